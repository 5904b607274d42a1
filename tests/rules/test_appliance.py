"""Appliances by their nameplates: each limit on both sides, in each edition.

After NEC 210.19(A)(3), 250.140, 422.10 to 422.13, 422.31 and Table 220.55 Note 4, as EC&M
questions and answers, the Mike Holt forum and an inspectors' chapter forum tell them.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book
from packet.ledger import Verdict, decimal_of
from packet.quantities import ConductorSize
from packet.rules.appliance import (
    CookingUnit,
    appliance_current,
    appliance_disconnect,
    cooking_circuit_load,
    cooking_conductor_limit,
    device_within_limit,
    element_is_undivided,
    equipment_is_listed,
    four_wires,
    is_storage_heater,
    largest_appliance_device,
    least_cooking_rating,
    next_rating,
    storage_heater_rating,
    tap_checks,
)
from packet.rules.receptacle import configuration
from tests.rules.givens import given, verdicts

MEETS, SHORT, ASK, NOTE = Verdict.MEETS, Verdict.FALLS_SHORT, Verdict.ASK, Verdict.NOTE
BOOK = Book("2023")
VOLTS = BOOK.figure("nominal_voltage")


def watts(value: Any) -> Any:
    return given("appliance.rating", value, "W")


def amperes(value: Any) -> Any:
    return given("equipment_current", value, "A")


@pytest.mark.parametrize("edition", EDITIONS)
def test_an_appliance_draws_its_nameplate(edition: str) -> None:
    """EC&M questions and answers, article 20899335: 4500 W at 240 V are 18.75 A."""
    book = Book(edition)
    found = appliance_current(book, watts(4500), book.figure("nominal_voltage"))
    assert decimal_of(found) == Decimal("18.75")


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("gallons", "storage"), [(None, True), (119, True), (120, True), (121, False)]
)
def test_the_rule_for_storage_heaters_ends_at_its_volume(
    edition: str, gallons: int | None, *, storage: bool
) -> None:
    """422.13: up to 120 gal; a volume that nobody knows is taken as one of them."""
    volume = None if gallons is None else given("water_heater.volume", gallons, "gal")
    assert is_storage_heater(Book(edition), volume) is storage


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_storage_heater_counts_at_its_factor(edition: str) -> None:
    """EC&M questions and answers, article 20899335: 18.75 A ask for 23.44 A."""
    found = storage_heater_rating(
        Book(edition), "minimum_overcurrent_rating", amperes(Decimal("18.75"))
    )
    assert decimal_of(found) == Decimal("23.4375")


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("current", "largest"),
    [("13.2", 20), ("13.3", 20), ("13.4", 25), ("18.75", 30), ("20", 30), ("20.1", 35)],
)
def test_the_largest_device_of_an_unmarked_appliance(
    edition: str, current: str, largest: int
) -> None:
    """422.11(E); EC&M questions and answers, article 20899335: 18.75 A allow 30 A."""
    found = largest_appliance_device(Book(edition), amperes(Decimal(current)))
    assert decimal_of(found) == largest


def test_no_standard_rating_is_large_enough_for_everything() -> None:
    """NEC 240.6(A)."""
    with pytest.raises(LookupError):
        next_rating(BOOK, amperes(99999))


@pytest.mark.parametrize(("rating", "verdict"), [(25, MEETS), (30, MEETS), (35, SHORT)])
def test_a_device_within_its_limit(rating: int, verdict: Verdict) -> None:
    """422.11(E)."""
    largest = largest_appliance_device(BOOK, amperes(Decimal("18.75")))
    check = device_within_limit(given("overcurrent_rating", rating, "A"), largest)
    assert verdicts([check]) == {"device_within_limit": verdict.value}


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("current", "verdict"), [("47.9", MEETS), ("48", MEETS), ("48.1", SHORT)])
def test_elements_on_one_circuit(edition: str, current: str, verdict: Verdict) -> None:
    """422.11(F): above 48 A they are subdivided."""
    check = element_is_undivided(Book(edition), amperes(Decimal(current)))
    assert verdicts([check]) == {"heater_fits_one_circuit": verdict.value}


@pytest.mark.parametrize(("listed", "verdict"), [(True, MEETS), (False, SHORT), (None, ASK)])
def test_equipment_is_listed(*, listed: bool | None, verdict: Verdict) -> None:
    """NEC 110.3(B)."""
    check = equipment_is_listed(BOOK, listed=listed)
    assert verdicts([check]) == {"equipment_is_listed": verdict.value}


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("name", "verdict"),
    [("14-30", MEETS), ("14-50", MEETS), ("6-30", SHORT), ("10-30", SHORT)],
)
def test_dryers_and_ranges_have_four_wires(edition: str, name: str, verdict: Verdict) -> None:
    """250.140: new circuits keep neutral and ground apart (Mike Holt forum thread 2572664)."""
    book = Book(edition)
    check = four_wires(book, configuration(book, name))
    assert verdicts([check]) == {"appliance_has_four_wires": verdict.value}


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("connection", "load", "in_sight", "verdict"),
    [
        ("receptacle", 5600, None, MEETS),
        ("hardwired", 5600, True, MEETS),
        ("hardwired", 5600, False, NOTE),
        ("hardwired", 5600, None, ASK),
        ("hardwired", 300, None, MEETS),
        ("hardwired", 301, None, ASK),
    ],
)
def test_an_appliance_is_taken_off_power_where_it_is(
    edition: str, connection: str, load: int, *, in_sight: bool | None, verdict: Verdict
) -> None:
    """422.31(A) and (B), 422.33."""
    check = appliance_disconnect(Book(edition), connection, watts(load), in_sight=in_sight)
    assert verdicts([check]) == {"appliance_has_disconnect": verdict.value}


# ------------------------------------------------------------------------------------ cooking


def unit(number: int, kind: str, kilowatts: Any, tap: Any = None) -> CookingUnit:
    return CookingUnit(kind, given(f"cooking.{number}.rating", kilowatts, "kW"), tap)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("units", "load"),
    [
        ([("range", "12")], "8000"),
        ([("range", "14")], "8800"),
        ([("range", "11.5")], "8000"),
        ([("wall oven", "4.8")], "4800"),
        ([("cooktop", "9")], "9000"),
        ([("cooktop", "9"), ("wall oven", "5.3")], "8800"),
        ([("cooktop", "6"), ("wall oven", "4"), ("wall oven", "5")], "9200"),
        ([("range", "9"), ("wall oven", "5")], None),
        ([("cooktop", "6"), ("cooktop", "4")], None),
        ([("wall oven", "4"), ("wall oven", "4")], None),
        ([("cooktop", "6"), *[("wall oven", "3")] * 3], None),
    ],
)
def test_the_load_of_a_cooking_circuit(
    edition: str, units: list[tuple[str, str]], load: str | None
) -> None:
    """Table 220.55 and Note 4.

    9 kW and 5.3 kW: Mike Holt forum thread 33537; cooktop with two ovens of 15 kW together and
    one range of 14 kW: EC&M on cooking appliances; a single oven at its nameplate: an
    inspectors' chapter forum, thread 8505.
    """
    made = [unit(number, kind, Decimal(rating)) for number, (kind, rating) in enumerate(units, 1)]
    found = cooking_circuit_load(Book(edition), made)
    if load is None:
        assert found is None
    else:
        assert found is not None
        assert decimal_of(found) == Decimal(load)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("kilowatts", "current", "least"),
    [("8.74", "30", "30"), ("8.75", "30", "40"), ("11.5", "33.4", "40"), ("20", "45", "45")],
)
def test_a_range_has_a_least_circuit(
    edition: str, kilowatts: str, current: str, least: str
) -> None:
    """210.19(A)(3), 210.19(C): 40 A from 8.75 kW on (Mike Holt forum thread 2577848)."""
    together = given("cooking.rating", Decimal(kilowatts), "kW")
    found = least_cooking_rating(Book(edition), amperes(Decimal(current)), together)
    assert decimal_of(found) == Decimal(least)


@pytest.mark.parametrize("edition", EDITIONS)
def test_conductors_of_a_range_carry_the_rating_of_its_circuit(edition: str) -> None:
    """210.19(A)(3): not less than the rating of the branch circuit."""
    ampacity = given("feeder.usable_ampacity", 47, "A")
    found = cooking_conductor_limit(Book(edition), "route.1.overcurrent_limit", ampacity)
    assert decimal_of(found) == 47


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("size", "kilowatts", "circuit", "expected"),
    [
        ("12 AWG", "4.8", 50, (MEETS, MEETS, MEETS)),
        ("12 AWG", "4.9", 50, (SHORT, MEETS, MEETS)),
        ("14 AWG", "3.6", 40, (MEETS, SHORT, MEETS)),
        ("10 AWG", "7.2", 60, (MEETS, MEETS, SHORT)),
    ],
)
def test_taps_of_a_range_circuit(
    edition: str, size: str, kilowatts: str, circuit: int, expected: tuple[Verdict, ...]
) -> None:
    """210.19(A)(3) Exception 1: 20 A, enough for the load, from 50 A (Mike Holt thread 129189)."""
    book = Book(edition)
    tap = given("cooking.1.tap", ConductorSize(size))
    rating = given("overcurrent_rating", circuit, "A")
    checks = tap_checks(
        book,
        1,
        unit(1, "wall oven", Decimal(kilowatts), tap),
        rating,
        book.figure("nominal_voltage"),
    )
    assert tuple(check.verdict for check in checks) == expected
    assert len(verdicts(checks)) == len(expected)


def test_a_unit_without_a_tap_has_none_to_judge() -> None:
    """210.19(A)(3) Exception 1."""
    assert tap_checks(BOOK, 1, unit(1, "range", 9), amperes(40), VOLTS) == ()
