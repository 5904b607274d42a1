"""Energy and hours of charging against public agencies; reach, length and cost by hand."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book
from packet.ledger import Verdict, decimal_of
from packet.quantities import quantity
from packet.rules.choosing import (
    charging_hours,
    charging_power,
    cord_needed,
    cord_reaches,
    cost,
    current_into_vehicle,
    energy_of_a_day,
    part_length_at,
    spare_capacity,
)
from packet.showing import show
from tests.rules.givens import given
from tests.rules.installation import reworked

BOOK = Book("2023")


def energy(miles: Any, each: Any, efficiency: Any = None, *, at_wall: bool = True) -> Any:
    share = None if efficiency is None else given("options.charging_efficiency", efficiency, "%")
    return energy_of_a_day(
        BOOK,
        given("options.distance", miles, "mi"),
        given("options.consumption", each, "kWh/mi"),
        at_wall=at_wall,
        efficiency=share,
    )


def hours(used: Any, amperes: Any) -> Any:
    current = current_into_vehicle(BOOK, given("charging_current", amperes, "A"))
    return charging_hours(BOOK, used, charging_power(BOOK, current))


def test_an_hour_at_the_usual_power_gives_the_miles_that_agencies_publish() -> None:
    """The EPA's Green Vehicle Guide: Level 2, reckoned at 6.6 kW, gives about 25 miles in an hour.

    epa.gov/greenvehicles, "Plug-in Electric Vehicle Charging"; 6.6 kW is 27.5 A at 240 V. The
    Department of Energy's example of what driving costs takes 27 kWh for 100 miles.
    """
    found = hours(energy(25, "0.27"), "27.5")
    assert abs(decimal_of(found) - 1) < Decimal("0.03")
    assert reworked([found]) == []


def test_the_level_2_circuits_of_the_agency_have_its_power() -> None:
    """The Alternative Fuels Data Center: 30 A gives 7.2 kW, and 80 A gives 19.2 kW, at 240 V."""
    for amperes, kilowatts in ((30, "7.2"), (80, "19.2")):
        power = charging_power(BOOK, given("option.current", amperes, "A"))
        assert decimal_of(power) == Decimal(kilowatts)


def test_a_full_charge_takes_the_energy_of_a_published_example() -> None:
    """200 miles at 33 kWh for 100 miles are 66 kWh: pluginamerica.org, on the cost of charging."""
    assert decimal_of(energy(200, "0.33")) == 66


def test_losses_are_those_of_a_certification_document() -> None:
    """77.702 kWh into the battery took 87.868 kWh from the wall, as its maker told the EPA.

    Car and Driver, "EVs Explained: Charging Losses", a certification of 2021. Its loss of
    11.6 % lies between the 10 % and the 16 % that fueleconomy.gov gives for highway and city.
    """
    share = Decimal("77.702") / Decimal("87.868") * 100
    from_wall = energy(Decimal("77.702"), 1, f"{share:.12f}", at_wall=False)
    assert abs(decimal_of(from_wall) - Decimal("87.868")) < Decimal("0.000001")
    assert 10 < 100 - share < 16


@pytest.mark.parametrize("edition", EDITIONS)
def test_the_published_loss_counts_where_no_efficiency_is_given(edition: str) -> None:
    """fueleconomy.gov, "Where the Energy Goes": 16 % are lost in charging, so 8.4 of 10 arrive."""
    assert decimal_of(Book(edition).figure("charging_loss")) == 16
    assert decimal_of(energy(28, "0.3", at_wall=False)) == 10
    assert decimal_of(energy(28, "0.3")) == Decimal("8.4")


def test_the_least_current_decides_how_fast_it_charges() -> None:
    """By hand: 12 kWh at 48 A take 12 / 11.52 h, at the vehicle's 32 A 12 / 7.68 h."""
    charger = given("charging_current", 48, "A")
    vehicle = given("options.largest_current", 32, "A")
    assert show(hours(energy(40, "0.3"), 48)) == "1.1\u00a0h"
    held = current_into_vehicle(BOOK, charger, vehicle)
    assert held.value == quantity(32, "A")
    slower = charging_hours(BOOK, energy(40, "0.3"), charging_power(BOOK, held))
    assert decimal_of(slower) == Decimal("1.5625")
    managed = given("service.management_limit", 16, "A")
    assert current_into_vehicle(BOOK, charger, vehicle, managed).value == quantity(16, "A")


def along(feet: Any, name: str = "option.place") -> Any:
    return given(name, feet, "ft")


@pytest.mark.parametrize(
    ("place", "length"), [(6, 11), (2, 7), (0, 9), (12, 17), ("2.5", "7.5"), (10, 15)]
)
def test_the_wire_grows_with_the_way_along_the_wall(place: Any, length: Any) -> None:
    """By hand: 11 ft lead to 6 ft by a wall reached at 2 ft, so 7 ft stand before it.

    To 12 ft it is 7 + 10, to 2 ft 7 + 0, and back to the corner 7 + 2.
    """
    found = part_length_at(
        BOOK,
        given("options.part_length", 11, "ft"),
        along(place),
        along(6, "options.now"),
        along(2, "options.wire_comes_at"),
    )
    assert decimal_of(found) == Decimal(length)
    assert reworked([found]) == []


def needed(place: Any, inlet: Any = 11) -> Any:
    return cord_needed(
        BOOK,
        along(place),
        given("options.height", 46, "in"),
        along(inlet, "options.inlet_along"),
        along(5, "options.inlet_out"),
        given("options.inlet_height", 32, "in"),
    )


def cords(*feet: int) -> list[Any]:
    return [given(f"options.cord.{number}", one, "ft") for number, one in enumerate(feet, 1)]


def test_the_cord_hangs_lies_and_rises() -> None:
    """By hand: 46 in down, 9 ft along the wall, 5 ft out, 32 in up: 20.5 ft; as far from beyond."""
    assert decimal_of(needed(2)) == Decimal("20.5")
    assert decimal_of(needed(20)) == Decimal("20.5")
    assert decimal_of(needed(11)) == Decimal("11.5")
    assert reworked([needed(2)]) == []


@pytest.mark.parametrize(
    ("inches", "bought", "verdict"),
    [
        (138, 20, Verdict.MEETS),
        (137, 24, Verdict.MEETS),
        (90, 24, Verdict.MEETS),
        (89, None, Verdict.FALLS_SHORT),
    ],
)
def test_an_inch_decides_whether_a_cord_reaches(
    inches: int, bought: int | None, verdict: Verdict
) -> None:
    """By hand: 20 ft less 46 in, 5 ft and 32 in leave 102 in of wall; of 24 ft are left 150 in.

    The inlet is 240 in from the corner, so the places are 138 in and 90 in from it.
    """
    found, check = cord_reaches(BOOK, needed(Decimal(inches) / 12, 20), cords(24, 18, 20))
    assert check.verdict is verdict
    assert (found.value if found else None) == (quantity(bought, "ft") if bought else None)


def test_a_cost_is_a_sum_to_the_cent() -> None:
    """By hand: 414.285 + 880 + 640 are 1,934.285, which is $1,934.29."""
    parts = [
        given("bill.total", "414.285", "USD"),
        given("offer.labour", 880, "USD"),
        given("options.management_price", 640, "USD"),
    ]
    assert show(cost(BOOK, *parts)) == "$\u00a01,934.29"
    assert show(cost(BOOK, parts[0])) == "$\u00a0414.29"


def test_the_smaller_supply_decides_what_is_left() -> None:
    """By hand: a feeder with 11 A left in a service with 30 A left has 11 A left."""
    service, feeder = given("load.standard.left", 30, "A"), given("feeder.left", 11, "A")
    assert spare_capacity(BOOK, [service, feeder]).value == quantity(11, "A")
    assert spare_capacity(BOOK, [service]).value == quantity(30, "A")
