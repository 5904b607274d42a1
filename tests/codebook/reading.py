"""Read table cells as bare decimals, so that an outside check is plain arithmetic."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from packet.codebook import Book
from packet.quantities import ConductorSize, Quantity, TradeSize

PI = Decimal("3.14159265358979323846264338328")

EDITION = "2023"
"""The edition that is read; test_book holds that hardly any table differs between editions."""


def plain(cell: Any) -> Any:
    """Return a number as its decimal, a size as its name, anything else as it is."""
    if isinstance(cell, Quantity):
        return Decimal(cell.magnitude)
    if isinstance(cell, ConductorSize | TradeSize):
        return cell.name
    return cell


def cells(table: str, edition: str = EDITION) -> list[dict[str, Any]]:
    """Return the rows of a table with plain cells."""
    return [
        {column: plain(cell) for column, cell in row.items()}
        for row in Book(edition).table(table).rows()
    ]


def half_a_digit(printed: Decimal) -> Decimal:
    """Return half a unit in the last printed place: how far rounding alone can move a figure."""
    return Decimal(5).scaleb(int(printed.as_tuple().exponent) - 1)


def awg(size: str) -> int | None:
    """Return the gauge number of an AWG size (0 for 1/0, -3 for 4/0), None for kcmil."""
    number, system = size.split(" ")
    if system != "AWG":
        return None
    return 1 - int(number[0]) if number.endswith("/0") else int(number)
