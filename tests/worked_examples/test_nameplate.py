"""Welders and units with a sealed compressor as published; the sources stand in nameplate.yaml."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book, read
from packet.ledger import Verdict, decimal_of
from packet.rules.nameplate import (
    effective_current,
    largest_standard_within,
    largest_welder_device,
    least_welder_device,
    service_receptacle,
    unit_by_nameplate,
    unit_conductor_limit,
    unit_device_fits_ampacity,
    unit_disconnect,
    unit_maximum_device,
    unit_minimum_ampacity,
    unit_nameplate_agrees,
    welder_conductor_device_limit,
    welder_conductor_limit,
    welder_device_holds,
    welder_device_limit,
    welder_minimum_ampacity,
    welder_receptacle,
)
from tests.rules.givens import given, verdicts

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


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_marked_effective_current_stands_for_the_duty_cycle(edition: str) -> None:
    """NEC 630.11(A): the marked effective current, or the primary current by Table 630.11(A)."""
    book = Book(edition)
    primary, duty = given("welder.primary_current", 40, "A"), given("welder.duty", 50, "%")
    marked = given("welder.effective_current", 26, "A")
    assert decimal_of(effective_current(book, primary, duty, SIMPLE, None)) == Decimal("28.4")
    assert decimal_of(effective_current(book, primary, duty, SIMPLE, marked)) == Decimal(26)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("primary", "largest"), [(20, 40), (25, 50), (26, 60), (57, 125)])
def test_the_next_standard_device_of_a_welder(edition: str, primary: int, largest: int) -> None:
    """NEC 630.12(A): twice the primary current, or the next standard rating."""
    found = largest_welder_device(Book(edition), given("welder.primary_current", primary, "A"))
    assert decimal_of(found) == largest


@pytest.mark.parametrize("edition", EDITIONS)
def test_conductors_of_a_welder_allow_twice_their_ampacity(edition: str) -> None:
    """NEC 630.12(B); Mike Holt forum thread 2559497: 30 A allow 60 A."""
    ampacity = given("feeder.usable_ampacity", 30, "A")
    found = welder_conductor_limit(Book(edition), "route.1.overcurrent_limit", ampacity)
    assert decimal_of(found) == 60


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("outlet", "device", "least", "expected"),
    [
        (50, 50, 24, {"receptacle_carries_circuit": "meets"}),
        (50, 60, 50, {"receptacle_carries_welder": "meets"}),
        (50, 60, 51, {"receptacle_carries_welder": "falls short"}),
    ],
)
def test_the_receptacle_of_a_welder(
    edition: str, outlet: int, device: int, least: int, expected: dict[str, str]
) -> None:
    """NEC 210.21(B)(1) Exception 2: not less than the least ampacity of the conductors."""
    check = welder_receptacle(
        Book(edition),
        given("receptacle.rating", outlet, "A"),
        given("overcurrent_rating", device, "A"),
        given("welder.minimum_ampacity", least, "A"),
    )
    assert verdicts([check]) == expected


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("marked", "largest"), [(29, 25), (30, 30), (34, 30), (60, 60), (9, None)])
def test_the_largest_standard_device_of_a_unit(
    edition: str, marked: int, largest: int | None
) -> None:
    """EC&M on air-conditioning nameplates: never above the marked maximum."""
    device = given("equipment_maximum_device", marked, "A")
    found = largest_standard_within(Book(edition), "selected_overcurrent_rating", device)
    assert (found and decimal_of(found)) == largest


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_nameplate_is_taken_as_it_stands(edition: str) -> None:
    """EC&M on air-conditioning nameplates: 44 A and 60 A, no further factor; 440.22, 240.4(G)."""
    book = Book(edition)
    ampacity = given("unit.marked_ampacity", 44, "A")
    device = given("equipment_maximum_device", 60, "A")
    assert decimal_of(unit_by_nameplate(book, "minimum_conductor_ampacity", ampacity)) == 44
    name = "route.1.overcurrent_limit"
    for carries, limit in ((50, 60), (60, 60), (65, 65)):
        usable = given("route.1.usable_ampacity", carries, "A")
        assert decimal_of(unit_conductor_limit(book, name, device, usable)) == limit
        assert decimal_of(unit_conductor_limit(book, name, None, usable)) == carries


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("primary", "device", "least", "noted"),
    [(44, 50, 45, False), (44, 45, 45, False), (44, 40, 45, True), (60, 60, 60, False)],
)
def test_a_breaker_that_holds_the_arc(
    edition: str, primary: int, device: int, least: int, noted: bool
) -> None:
    """240.6(A) for the steps; 630.11 sizes by the duty cycle, and the arc itself draws more."""
    book, current = Book(edition), given("welder.primary_current", primary, "A")
    assert decimal_of(least_welder_device(book, current)) == least
    check = welder_device_holds(book, given("overcurrent_rating", device, "A"), current)
    assert (check is not None) is noted
    assert check is None or verdicts([check]) == {"welder_device_holds": "note"}


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("ampacity", "device", "expected"),
    [
        ("18", 30, ("meets", "meets")),
        ("17.9", 30, ("ask", "meets")),
        ("19.1", 35, ("meets", "ask")),
        ("19.1", None, ("meets",)),
    ],
)
def test_a_nameplate_that_does_not_fit_its_compressor_is_asked(
    edition: str, ampacity: str, device: int | None, expected: tuple[str, ...]
) -> None:
    """NEC 440.33 and 440.22(B): 14.1 A and 1.2 A give 18.8 A and 30 A."""
    checks = unit_nameplate_agrees(
        Book(edition),
        given("unit.marked_ampacity", Decimal(ampacity), "A"),
        None if device is None else given("equipment_maximum_device", device, "A"),
        given("unit.compressor_current", Decimal("14.1"), "A"),
        given("unit.other_current", Decimal("1.2"), "A"),
    )
    assert tuple(verdicts(checks).values()) == expected


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("ampacity", "device", "verdict"),
    [("20", 36, "meets"), ("20", 37, "ask"), ("44", 60, "meets"), ("3", 10, "meets")],
)
def test_a_maximum_beyond_its_minimum_ampacity_is_asked(
    edition: str, ampacity: str, device: int, verdict: str
) -> None:
    """NEC 440.33 and 440.22(B): 2.25 to 1.25; EC&M on nameplates: 44 A go with 60 A."""
    check = unit_device_fits_ampacity(
        Book(edition),
        given("unit.marked_ampacity", Decimal(ampacity), "A"),
        given("equipment_maximum_device", device, "A"),
    )
    assert verdicts([check]) == {"unit_device_agrees": verdict}


def test_a_small_compressor_is_not_held_against_its_nameplate() -> None:
    """NEC 440.22(A): the smallest device is allowed to every unit."""
    small = given("unit.compressor_current", 2, "A"), given("unit.other_current", 0, "A")
    device = given("equipment_maximum_device", 15, "A")
    ampacity = given("unit.marked_ampacity", 3, "A")
    checks = unit_nameplate_agrees(Book("2017"), ampacity, device, *small)
    assert [check.name for check in checks] == ["unit_ampacity_agrees"]


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("in_sight", "verdict"),
    [(True, Verdict.MEETS), (False, Verdict.FALLS_SHORT), (None, Verdict.ASK)],
)
def test_a_unit_has_its_disconnect_in_sight(
    edition: str, *, in_sight: bool | None, verdict: Verdict
) -> None:
    """NEC 440.14; EC&M on Article 440 disconnects."""
    check = unit_disconnect(Book(edition), in_sight=in_sight)
    assert verdicts([check]) == {"unit_has_disconnect": verdict.value}


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("feet", "verdict"),
    [(24, "meets"), (25, "meets"), (26, "falls short"), (None, "ask")],
)
def test_a_receptacle_is_near_a_unit(edition: str, feet: int | None, verdict: str) -> None:
    """NEC 210.63, 210.63(A): within 25 ft (Building Code Forum thread 34486)."""
    distance = None if feet is None else given("unit.receptacle_distance", feet, "ft")
    check = service_receptacle(Book(edition), distance)
    assert verdicts([check]) == {"unit_has_service_receptacle": verdict}
