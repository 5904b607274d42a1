"""Dwellings and supplies for the tests of load calculations."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from packet.codebook import Book
from packet.ledger import Entry, Ledger
from packet.quantities import magnitude, parse_quantity
from packet.rules.load import DwellingLoads, Load, LoadCalculation, Management, Supply, Worksheet
from tests.rules.givens import given


def load(
    number: int,
    kind: str,
    rating: str,
    *,
    count: int = 1,
    volts: int | None = None,
    fastened: bool | None = None,
    new: bool = False,
) -> Load:
    """Return one load with its rating as typed: `12 kW`, `29 A`."""
    at = f"dwelling.load.{number}"
    value = parse_quantity(rating, ("A", "VA", "kVA", "W", "kW"))
    in_amperes = value.check("[current]")
    return Load(
        number,
        kind,
        given(f"{at}.name", kind),
        given(f"{at}.current" if in_amperes else f"{at}.rating", value),
        given(f"{at}.count", count, ""),
        None if volts is None else given(f"{at}.volts", volts, "V"),
        fastened,
        new,
    )


def charger(number: int, amperes: Any, *, new: bool = True) -> Load:
    return load(number, "vehicle charger", f"{amperes} A", volts=240, new=new)


def house(
    *loads: Load, area: Any = 1500, kitchen: int = 2, laundry: int = 1, **more: Any
) -> DwellingLoads:
    return DwellingLoads(
        given("dwelling.floor_area", area, "ft**2"),
        given("dwelling.small_appliance_circuits", kitchen, ""),
        given("dwelling.laundry_circuits", laundry, ""),
        loads,
        **more,
    )


def supply(book: Book, rating: Any = 100, **more: Any) -> Supply:
    return Supply(given("service.rating", rating, "A"), book.figure("nominal_voltage"), **more)


def management(limit: Any, *answers: bool | None) -> Management:
    return Management(given("service.management_limit", limit, "A"), *(answers or (True,) * 3))


def number(entry: Entry, unit: str) -> Decimal:
    return magnitude(entry.value, unit)


def va(entry: Entry | None) -> Decimal:
    assert entry is not None
    return number(entry, "VA")


def sheet_of(calculation: LoadCalculation, method: str) -> Worksheet:
    return next(sheet for sheet in calculation.worksheets if sheet.method == method)


def entered(calculation: LoadCalculation, more: Iterable[Entry] = ()) -> Ledger:
    """Return a ledger with everything a load calculation says."""
    ledger = Ledger()
    for sheet in calculation.worksheets:
        for line in sheet.lines:
            ledger.add(line.entry)
        points = [
            entry
            for point in sheet.disputed
            for entry in (point.taken, point.other_total, point.other_amperes)
        ]
        for entry in (sheet.amperes, sheet.whole_amperes, sheet.deciding, *points):
            ledger.add(entry)
    for check in calculation.checks:
        ledger.judge(check)
    for entry in (calculation.method, calculation.headroom, *more):
        if entry is not None:
            ledger.add(entry)
    return ledger
