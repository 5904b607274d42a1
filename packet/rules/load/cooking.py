"""The demand of household cooking appliances, by the columns and notes of their table."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from packet.codebook import Book
from packet.ledger import Entry, computed, total


@dataclass(frozen=True)
class Appliance:
    """Cooking appliances of one rating: the rating of each [kW or VA] and how many."""

    rating: Entry
    count: Entry


def cooking_demand(book: Book, appliances: tuple[Appliance, ...]) -> Entry:
    """Return the demand of all cooking appliances together, the smallest that the table allows.

    Column C may take all of them; or the smaller ones go by columns A and B and only the
    rest by column C. An appliance above the table's reach, or too small for it, counts in full.

    Parameters
    ----------
    book : Book
    appliances : tuple of Appliance
        At least one.

    Returns
    -------
    Entry
        ``load.standard.cooking_demand`` [VA].

    Rule
    ----
    range_demand
    """
    least, top = book.figure("cooking_least_rating"), book.figure("range_top_rating")
    small = book.figure("cooking_column_b_top")
    tabled = [one for one in appliances if least.value < one.rating.value <= top.value]
    outside = [one for one in appliances if one not in tabled]
    parts = [_connected("outside", book, outside)] if outside else []
    if tabled:
        ways = [[_column_c(book, "all", tabled)]]
        below = [one for one in tabled if one.rating.value <= small.value]
        above = [one for one in tabled if one not in below]
        if below:
            by_columns = _columns_a_b(book, below)
            ways.append(by_columns + ([_column_c(book, "large", above)] if above else []))
        parts += min(ways, key=lambda way: sum(part.value for part in way))
    return total("load.standard.cooking_demand", book.table("range_demand").cite, "D", parts)


def as_one_range(book: Book, appliances: tuple[Appliance, ...]) -> Appliance:
    """Return a counter-mounted unit and up to two wall ovens of one circuit as one range.

    Parameters
    ----------
    book : Book
    appliances : tuple of Appliance
        On one branch circuit, in one room.

    Returns
    -------
    Appliance
        With the sum of the nameplates.
    """
    cite = book.cite("cooking_as_one_range")
    symbols = _symbols(list(appliances))
    formula = " + ".join(f"n{i} * R{i}" for i in range(1, len(appliances) + 1))
    together = computed("load.standard.cooking.one_range", formula, cite, **symbols)
    return Appliance(together, computed("load.standard.cooking.one", "1", cite))


def _column_c(book: Book, group: str, appliances: list[Appliance]) -> Entry:
    stem, table = f"load.standard.cooking.{group}", book.table("range_demand")
    number = total(f"{stem}.count", table.cite, "n", [one.count for one in appliances])
    limit = book.figure("range_column_c_top")
    base = _column_c_base(book, stem, number)
    if all(one.rating.value <= limit.value for one in appliances):
        return computed(f"{stem}.demand", "C", table.cite, C=base)
    formula = " + ".join(f"n{i} * larger(R{i}, l)" for i in range(1, len(appliances) + 1))
    average = computed(
        f"{stem}.average",
        f"({formula}) / n",
        book.cite("range_demand_increase"),
        l=limit,
        n=number,
        **_symbols(appliances),
    )
    steps = computed(
        f"{stem}.steps",
        "round_half_up((R - l) / s)",
        book.cite("range_demand_increase"),
        R=average,
        l=limit,
        s=book.figure("range_rating_step"),
    )
    return computed(
        f"{stem}.demand",
        "C * (1 + p * x)",
        book.cite("range_demand_increase"),
        C=base,
        p=book.figure("range_demand_increase"),
        x=steps,
    )


def _column_c_base(book: Book, stem: str, number: Entry) -> Entry:
    table, row = book.table("range_demand"), _row(book, number)
    if row["column_c"] is not None:
        return table.entry(f"{stem}.column_c", "column_c", row)
    return computed(
        f"{stem}.column_c",
        "b + n * e",
        table.cite,
        b=table.entry(f"{stem}.column_c_base", "column_c_base", row),
        n=number,
        e=table.entry(f"{stem}.column_c_each", "column_c_each", row),
    )


def _columns_a_b(book: Book, appliances: list[Appliance]) -> list[Entry]:
    limit = book.figure("cooking_column_a_top")
    smaller = [one for one in appliances if one.rating.value < limit.value]
    larger = [one for one in appliances if one not in smaller]
    groups = (("column_a", smaller), ("column_b", larger))
    return [_share(book, column, ones) for column, ones in groups if ones]


def _share(book: Book, column: str, appliances: list[Appliance]) -> Entry:
    stem, table = f"load.standard.cooking.{column}", book.table("range_demand")
    number = total(f"{stem}.count", table.cite, "n", [one.count for one in appliances])
    return computed(
        f"{stem}.demand",
        "f * S",
        book.cite("cooking_columns_a_b"),
        f=table.entry(f"{stem}.factor", column, _row(book, number)),
        S=_connected(column, book, appliances),
    )


def _connected(group: str, book: Book, appliances: list[Appliance]) -> Entry:
    formula = " + ".join(f"n{i} * R{i}" for i in range(1, len(appliances) + 1))
    name = f"load.standard.cooking.{group}.connected"
    return computed(name, formula, book.table("range_demand").cite, **_symbols(appliances))


def _row(book: Book, number: Entry) -> dict[str, Any]:
    rows = book.table("range_demand").rows()
    return next(row for row in rows if row["to"] is None or number.value <= row["to"])


def _symbols(appliances: list[Appliance]) -> dict[str, Entry]:
    numbered = list(enumerate(appliances, 1))
    return {f"n{i}": one.count for i, one in numbered} | {
        f"R{i}": one.rating for i, one in numbered
    }
