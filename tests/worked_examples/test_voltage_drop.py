"""Published worked examples of voltage drop, and independent power-flow solutions."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
import yaml

from packet.codebook import EDITIONS, Book
from packet.ledger import decimal_of
from packet.quantities import ConductorSize
from packet.rules.voltage_drop import (
    Load,
    Loop,
    RunPart,
    conductor_for_voltage_drop,
    constant_impedance_voltage,
    constant_power_voltage,
    loaded_leg_voltage,
    route_loop,
    voltage_drop,
    voltage_drop_checks,
)
from tests.rules.givens import COPPER, given, size


class Digits(yaml.SafeLoader):
    """Merges as YAML says, and keeps every number as typed."""

    yaml_implicit_resolvers = {  # noqa: RUF012
        first: [pair for pair in pairs if pair[0].endswith((":merge", ":bool"))]
        for first, pairs in yaml.SafeLoader.yaml_implicit_resolvers.items()
    }


TEXT = Path(__file__).with_name("voltage_drop.yaml").read_text("utf-8")
CASES = yaml.load(TEXT, Digits)  # noqa: S506 - a safe loader


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_voltage_drop(case: dict[str, Any], edition: str) -> None:
    assert case["source"]
    assert case["confirmed"].startswith(("FOUND", "PARTLY", "MEMORY"))
    assert ("why" in case) is bool(case.get("contested"))
    found = SOLVED[case["kind"]](Book(edition), case["inputs"])
    for name, wanted in case["expected"].items():
        if isinstance(found[name], ConductorSize):
            assert found[name] == ConductorSize.parse(wanted), name
        else:
            off = abs(found[name] - Decimal(wanted))
            scale = Decimal(wanted) if case["kind"] == "lengths" else 1
            assert off <= Decimal(case.get("tolerance", 0)) * scale, (name, found[name])


def load(inputs: dict[str, str]) -> Load:
    return Load(
        given("nominal_voltage", inputs["volts"], "V"),
        given("voltage_drop_current", inputs["amperes"], "A"),
        given("circuit.power_factor", inputs.get("factor", 1), ""),
    )


def run(inputs: dict[str, str]) -> RunPart:
    return RunPart(
        "route.1",
        given("route.1.method", "PVC-40"),
        given("route.1.length", inputs["feet"], "ft"),
    )


def printed_loop(inputs: dict[str, str]) -> Loop:
    """Return the loop from ohms by the thousand feet, as the source prints them."""
    both_ways = 2 * Decimal(inputs["feet"]) / 1000
    return Loop(
        given("loop_resistance", both_ways * Decimal(inputs["ohms"]), "Ω"),
        given("loop_reactance", both_ways * Decimal(inputs.get("reactance", "0")), "Ω"),
    )


def drop(book: Book, inputs: dict[str, str]) -> dict[str, Any]:
    found = voltage_drop(book, load(inputs), printed_loop(inputs))
    return {"drop": decimal_of(found.drop), "share": decimal_of(found.share)}


def table(book: Book, inputs: dict[str, str]) -> dict[str, Any]:
    used = size("conductor_size", inputs["size"])
    found = voltage_drop(book, load(inputs), route_loop(book, [run(inputs)], used, COPPER))
    return {"drop": decimal_of(found.drop), "share": decimal_of(found.share)}


def within_advice(book: Book, inputs: dict[str, str]) -> dict[str, Any]:
    smallest = size("conductor_size", "14")
    found = conductor_for_voltage_drop(book, [run(inputs)], smallest, COPPER, load(inputs))
    assert found is not None
    return {"size": found.value}


def share(book: Book, inputs: dict[str, str]) -> dict[str, Any]:
    one_ampere = load({**inputs, "amperes": "1"})
    ohms = Loop(given("loop_resistance", inputs["lost"], "Ω"), given("loop_reactance", 0, "Ω"))
    return {"share": decimal_of(voltage_drop(book, one_ampere, ohms).share)}


def floor(book: Book, inputs: dict[str, str]) -> dict[str, Any]:
    """Return the lowest voltage at the outlet that still draws no note, found by halving."""
    low, high = Decimal(0), Decimal(inputs["volts"])
    for _ in range(80):
        lost = (low + high) / 2
        ohms = Loop(given("loop_resistance", lost, "Ω"), given("loop_reactance", 0, "Ω"))
        found = voltage_drop(book, load({**inputs, "amperes": "1"}), ohms)
        checks = voltage_drop_checks(book, found, given("feeder_voltage_drop_share", 0, "%"))
        within = checks[-1].verdict.value == "meets"
        low, high = (lost, high) if within else (low, lost)
    return {"floor": Decimal(inputs["volts"]) - round(low, 9)}


def resistance(book: Book, inputs: dict[str, str]) -> dict[str, Any]:
    used = size("conductor_size", inputs["size"])
    return {"ohms": decimal_of(route_loop(book, [run(inputs)], used, COPPER).resistance)}


def ohms(book: Book, feet: str, gauge: str) -> Decimal:
    used = size("conductor_size", gauge)
    return decimal_of(route_loop(book, [run({"feet": feet})], used, COPPER).resistance)


def combined(book: Book, inputs: dict[str, Any]) -> dict[str, Any]:
    return {
        "share": sum(ohms(book, *part) for part in inputs["parts"]) / ohms(book, *inputs["longest"])
    }


def lengths(book: Book, inputs: dict[str, Any]) -> dict[str, Any]:
    allowed = ohms(book, *inputs["first"])
    return {gauge: allowed / ohms(book, "1", gauge) for gauge in ("8", "6", "4", "2")}


def temperature(book: Book, inputs: dict[str, str]) -> dict[str, Any]:
    zero = decimal_of(book.figure("copper_zero_resistance_temperature"))
    ratio = (zero + Decimal(inputs["to"])) / (zero + Decimal(inputs["from"]))
    return {"ohms": Decimal(inputs["ohms"]) * ratio}


def area(book: Book, inputs: dict[str, str]) -> dict[str, Any]:
    rows = book.table("conductor_resistance").rows()
    wanted = Decimal(inputs["area"])
    return {"size": next(row["size"] for row in rows if row["area"].magnitude >= wanted)}


def power_flow(book: Book, inputs: dict[str, str]) -> dict[str, Any]:
    asked, loop = load(inputs), printed_loop(inputs)
    found = voltage_drop(book, asked, loop)
    source = Decimal(inputs["volts"])
    return {
        "approximate": decimal_of(found.approximate),
        "current": decimal_of(found.drop),
        "power": source - decimal_of(constant_power_voltage(book, asked, loop)),
        "impedance": source - decimal_of(constant_impedance_voltage(book, asked, loop)),
    }


def three_wire(book: Book, inputs: dict[str, str]) -> dict[str, Any]:
    """Let each load draw by its own voltage until voltages and currents agree."""
    volts = Decimal(inputs["volts"])
    one_way = Decimal(inputs["feet"]) * Decimal(inputs["ohms"]) / 1000
    ohms = given("leg_resistance", one_way, "Ω"), given("neutral_resistance", one_way, "Ω")
    source = given("nominal_voltage_to_ground", volts, "V")
    legs = [volts, volts]
    for _ in range(40):
        across = Decimal(inputs["across"]) * sum(legs) / (2 * volts)
        amperes = [
            Decimal(inputs[name]) * leg / volts + across
            for name, leg in zip(("first", "second"), legs, strict=True)
        ]
        legs = [
            decimal_of(
                loaded_leg_voltage(
                    book,
                    source,
                    given("leg_current", own, "A"),
                    given("other_leg_current", other, "A"),
                    *ohms,
                )
            )
            for own, other in (amperes, amperes[::-1])
        ]
    return {
        "first": legs[0],
        "second": legs[1],
        "across": sum(legs),
        "neutral": (amperes[0] - amperes[1]) * one_way,
    }


SOLVED = {
    "drop": drop,
    "table": table,
    "size": within_advice,
    "share": share,
    "floor": floor,
    "resistance": resistance,
    "combined": combined,
    "lengths": lengths,
    "temperature": temperature,
    "area": area,
    "power_flow": power_flow,
    "three_wire": three_wire,
}
