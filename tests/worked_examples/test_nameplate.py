"""Welders and units with a sealed compressor as published; the sources stand in nameplate.yaml."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book, read
from packet.ledger import decimal_of
from packet.rules.nameplate import (
    unit_maximum_device,
    unit_minimum_ampacity,
    welder_conductor_device_limit,
    welder_device_limit,
    welder_minimum_ampacity,
)
from tests.rules.givens import given

EXAMPLES: Any = read(Path(__file__).with_name("nameplate.yaml").read_text("utf-8"))
SIMPLE, GENERATOR = "nonmotor_generator", "motor_generator"


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example["name"])
def test_the_printed_currents(example: dict[str, Any], edition: str) -> None:
    assert example["source"]
    assert example["confirmed"].startswith(("FOUND", "PARTLY", "MEMORY"))
    book, of = Book(edition), example["inputs"]
    found = {}
    if "primary" in of:
        primary = given("welder.primary_current", of["primary"], "A")
        duty = given("welder.duty", of["duty"], "%")
        found["minimum"] = welder_minimum_ampacity(book, primary, duty, SIMPLE)
        found["device"] = welder_device_limit(book, primary)
        if "ampacity" in of:
            ampacity = given("feeder.usable_ampacity", of["ampacity"], "A")
            found["conductor_device"] = welder_conductor_device_limit(book, ampacity)
    else:
        compressor = given("unit.compressor_current", of["compressor"], "A")
        others = given("unit.other_current", of["others"], "A")
        found["minimum"] = unit_minimum_ampacity(book, compressor, others)
        found["device"] = unit_maximum_device(book, compressor, others)
    for name, wanted in example["expected"].items():
        assert decimal_of(found[name]) == Decimal(wanted), name


@pytest.mark.parametrize(
    ("duty", "simple", "generator"),
    [(1, "0.45", "0.55"), (20, "0.45", "0.55"), (21, "0.55", "0.62"), (100, "1", "1")],
)
def test_between_two_duty_cycles_the_higher_counts(duty: int, simple: str, generator: str) -> None:
    """Table 630.11(A)."""
    primary, cycle = given("welder.primary_current", 1, "A"), given("welder.duty", duty, "%")
    for kind, wanted in ((SIMPLE, simple), (GENERATOR, generator)):
        found = welder_minimum_ampacity(Book("2020"), primary, cycle, kind)
        assert decimal_of(found) == Decimal(wanted)


def test_beyond_the_table() -> None:
    primary = given("welder.primary_current", 1, "A")
    with pytest.raises(ValueError, match="100 %"):
        welder_minimum_ampacity(Book("2020"), primary, given("welder.duty", 101, "%"), SIMPLE)


@pytest.mark.parametrize(("compressor", "device"), [("20", 45), ("19.9", 40), ("6.7", 15)])
def test_the_device_of_a_unit_is_a_standard_rating_and_never_above_the_limit(
    compressor: str, device: int
) -> None:
    """440.22(B) and 240.6(A): 2.25 x 20 is 45, and 0.1 A less leaves 40."""
    none = given("unit.other_current", 0, "A")
    current = given("unit.compressor_current", compressor, "A")
    assert decimal_of(unit_maximum_device(Book("2023"), current, none)) == device


def test_a_unit_too_small_for_any_standard_rating() -> None:
    none = given("unit.other_current", 0, "A")
    with pytest.raises(ValueError, match="so small"):
        unit_maximum_device(Book("2023"), given("unit.compressor_current", "1", "A"), none)
