"""Demand tables against loads that others have calculated and against their own build.

Published sources: EC&M code quiz, Nov 2025 (ten 14 kW ranges, 27.5 kW); residential wiring
question bank (one 14 kW range, 8.8 kW); elightinformation.com (two ranges); ordinance of
Centerville, Indiana, 152.50 (65 %); Mike Holt forum, 2017 (35 ranges, 50 kW); high-tech
guide (fifteen 15 kW ranges, 34.5 kW); copy of NEC Example D2(a) (9000 VA gives 5100 VA);
load worksheet (3000, 117 000, 25 %); International Residential Code E3704 (dryers).
"""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest

from packet.codebook import EDITIONS
from tests.codebook.reading import cells

RANGES = cells("range_demand")
DRYERS = cells("dryer_demand")
LIGHTING = cells("lighting_demand")


def band(rows: list[dict[str, Any]], number: int) -> dict[str, Any]:
    (row,) = [r for r in rows if r["from"] <= number and (r["to"] is None or number <= r["to"])]
    return row


def column_c(number: int) -> Decimal:
    row = band(RANGES, number)
    if row["column_c"] is not None:
        return Decimal(row["column_c"])
    return Decimal(row["column_c_base"] + row["column_c_each"] * number)


def larger_than_12(number: int, kilowatts: int) -> Decimal:
    """Note 1: 5 % for each kilowatt over twelve."""
    return column_c(number) * (1 + Decimal("0.05") * (kilowatts - 12))


@pytest.mark.parametrize(
    ("number", "kilowatts", "demand"),
    [(1, 12, "8"), (2, 12, "11"), (8, 12, "23"), (10, 12, "25"), (15, 12, "30"), (35, 12, "50"),
     (1, 14, "8.8"), (10, 14, "27.5"), (15, 15, "34.5"), (1, 16, "9.6")],
)  # fmt: skip
def test_ranges_demand_what_the_published_examples_say(
    number: int, kilowatts: int, demand: str
) -> None:
    assert larger_than_12(number, kilowatts) == Decimal(demand)


def test_column_c_is_built_in_four_straight_pieces() -> None:
    """8, then 3 kW each to five, then 1 kW each to forty, then 25 kW and 0.75 kW each."""
    assert [column_c(n) for n in range(1, 6)] == [8, 11, 14, 17, 20]
    assert all(column_c(n) - column_c(n - 1) == 1 for n in range(6, 41))
    assert all(column_c(n) - column_c(n - 1) == Decimal("0.75") for n in range(42, 80))
    assert column_c(41) - column_c(40) == Decimal("0.75")


def test_the_percent_columns_never_rise_and_start_as_published() -> None:
    for column in ("column_a", "column_b"):
        assert all(b[column] <= a[column] for a, b in pairwise(RANGES)), column
    assert band(RANGES, 1)["column_a"] == 80
    assert band(RANGES, 2)["column_b"] == 65
    assert all(row["column_b"] <= row["column_a"] for row in RANGES)


@pytest.mark.parametrize("rows", [RANGES, DRYERS], ids=["ranges", "dryers"])
def test_every_number_has_one_row(rows: list[dict[str, Any]]) -> None:
    for number in range(1, 101):
        assert band(rows, number)
    assert rows[-1]["to"] is None


def dryer_factor(number: int) -> Decimal:
    row = band(DRYERS, number)
    less = (row["less_each"] or 0) * (number - (row["beyond"] or number))
    return Decimal(row["factor"] - less)


def test_dryer_factors_never_rise_and_meet_where_the_rows_meet() -> None:
    factors = [dryer_factor(number) for number in range(1, 61)]
    assert all(later <= earlier for earlier, later in pairwise(factors))
    assert all(abs(later - earlier) <= 1 for earlier, later in pairwise(factors[10:]))
    assert [dryer_factor(n) for n in (1, 4, 9, 10, 11, 12, 23)] == [100, 100, 55, 50, 47, 46, 35]
    assert [dryer_factor(n) for n in (24, 42, 43)] == [Decimal("34.5"), Decimal("25.5"), 25]


def lighting_demand(load: Decimal, edition: str) -> Decimal:
    total = Decimal(0)
    for row in cells("lighting_demand", edition):
        top = load if row["up_to"] is None else min(load, row["up_to"])
        total += max(Decimal(0), top - row["over"]) * row["factor"] / 100
    return total


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("load", "demand"),
    [("3000", "3000"), ("9000", "5100"), ("120000", "43950"), ("130000", "46450")],
)
def test_lighting_demand_goes_step_by_step(edition: str, load: str, demand: str) -> None:
    """9000 to 5100 VA: NEC Example D2(a); 3000 + 35 % of 117 000 + 25 % of the rest: worksheet."""
    assert lighting_demand(Decimal(load), edition) == Decimal(demand)


def test_the_lighting_steps_meet() -> None:
    assert LIGHTING[0]["over"] == 0
    assert all(a["up_to"] == b["over"] for a, b in pairwise(LIGHTING))
    assert LIGHTING[-1]["up_to"] is None
