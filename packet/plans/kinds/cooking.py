"""A range, a cooktop, a wall oven, or a cooktop with ovens on one circuit (Table 220.55)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from packet.jobfile.model import Cooking
from packet.ledger import Check, Entry, Verdict, total
from packet.plans.givens import given, must, truth
from packet.plans.kinds.kind import (
    Case,
    Demand,
    KindOfWork,
    LoadLine,
    means_of_disconnection,
    ordinary,
    rated,
    single_receptacle,
)
from packet.rules.appliance import (
    CookingUnit,
    appliance_current,
    cooking_circuit_load,
    cooking_conductor_limit,
    equipment_is_listed,
    four_wires,
    least_cooking_rating,
    tap_checks,
)
from packet.rules.overcurrent import selected_overcurrent_rating
from packet.rules.receptacle import configuration

WORDS_OF = {"range": "range", "wall oven": "wall_oven", "cooktop": "cooktop"}
"""Kind of a single unit in the job file -> its words."""


def _cooking(case: Case) -> Cooking:
    cooking = case.job.circuit.cooking
    if cooking is None:
        raise LookupError("the reader makes sure that the cooking units are described")
    return cooking


def _units(case: Case) -> list[CookingUnit]:
    return [
        CookingUnit(
            unit.kind.value,
            must(f"cooking.{number}.rating", unit.rating),
            given(f"cooking.{number}.tap", unit.tap),
        )
        for number, unit in enumerate(_cooking(case).units, 1)
    ]


def _word(case: Case) -> str:
    units = _cooking(case).units
    return WORDS_OF[units[0].kind.value] if len(units) == 1 else "cooking_units"


def _activity(case: Case) -> str:
    """Return what the rules of ground-fault protection call it; each kind is on their list."""
    return str(_cooking(case).units[0].kind.value)


def _together(case: Case) -> Entry:
    cite = case.book.cite("appliance_circuit_rating")
    return total("cooking.rating", cite, "P", [unit.rating for unit in _units(case)])


def _demand(case: Case) -> Demand:
    book, together = case.book, _together(case)
    load = cooking_circuit_load(book, _units(case))
    voltage = book.figure("nominal_voltage")
    current = appliance_current(book, load or together, voltage)
    demand = ordinary(case, current, continuous=False)
    minimum = least_cooking_rating(book, current, together)
    return replace(
        demand,
        minimum=minimum,
        selected=selected_overcurrent_rating(book, minimum),
        device_limit=cooking_conductor_limit,
    )


def _receptacle_checks(case: Case, demand: Demand, rating: Entry) -> Iterator[Check]:
    yield from single_receptacle(case, demand, rating)
    name = case.job.circuit.configuration
    if name is not None:
        yield four_wires(case.book, configuration(case.book, name.value))


def _checks(case: Case, _: Demand, rating: Entry) -> Iterator[Check]:
    book, units = case.book, _units(case)
    yield equipment_is_listed(book, listed=truth(_cooking(case).listed))
    if cooking_circuit_load(book, units) is None:
        cite = (book.cite("cooking_as_one_range"),)
        yield Check("cooking_units_share_a_circuit", Verdict.FALLS_SHORT, cite)
    for number, unit in enumerate(units, 1):
        yield from tap_checks(book, number, unit, rating, book.figure("nominal_voltage"))


def _disconnect_checks(case: Case, _: Demand, __: Entry) -> Iterator[Check]:
    yield means_of_disconnection(case, _together(case))


def _loads(case: Case, at: str, _: Demand) -> tuple[LoadLine, ...]:
    stem, first = at.rsplit(".", 1)
    return tuple(
        LoadLine(unit.kind.value, rated(f"{stem}.{number}", unit.rating), unit.name)
        for number, unit in enumerate(_cooking(case).units, int(first))
    )


COOKING = KindOfWork(
    serves="cooking",
    word=_word,
    activity=_activity,
    name=lambda case: _cooking(case).name,
    demand=_demand,
    loads=_loads,
    serves_alone="appliance_circuit_rating",
    maximum_device=lambda case: given(
        "equipment_maximum_device", _cooking(case).maximum_overcurrent_device
    ),
    receptacle_checks=_receptacle_checks,
    checks=_checks,
    disconnect_checks=_disconnect_checks,
    needs_neutral=lambda case: truth(_cooking(case).neutral) is not False,
    fact_names=("is_cooking", "has_taps"),
    facts=lambda case, _: {
        "is_cooking": True,
        "has_taps": any(unit.tap is not None for unit in _units(case)),
    },
)
