"""Raceway and conductor cross sections against the area of a circle, cell by cell.

Outside: geometry; the 40 % areas that other publications print.
"""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise

import pytest

from packet.quantities import TradeSize
from tests.codebook.reading import PI, cells, half_a_digit

RACEWAYS = cells("raceway_dimensions")
CONDUCTORS = cells("conductor_dimensions")
BARE = cells("bare_conductor_dimensions")
RESISTANCE = cells("conductor_resistance")


def circle(diameter: Decimal) -> Decimal:
    return PI / 4 * diameter**2


def rounding(diameter: Decimal, area: Decimal) -> Decimal:
    """How far the printed places of diameter and area together can move the area."""
    return half_a_digit(area) + PI / 2 * diameter * half_a_digit(diameter)


def test_every_raceway_area_is_that_of_its_diameter() -> None:
    """All 72 rows of Chapter 9 Table 4 that are encoded; the source rounds to 0.001 in²."""
    for row in RACEWAYS:
        off = abs(circle(row["internal_diameter"]) - row["area"])
        assert off <= Decimal("0.0015"), (row["raceway"], row["trade_size"], off)
    assert len(RACEWAYS) == 72


def test_a_raceway_grows_with_its_trade_size() -> None:
    for name in {row["raceway"] for row in RACEWAYS}:
        rows = [row for row in RACEWAYS if row["raceway"] == name]
        sizes = [TradeSize(row["trade_size"]) for row in rows]
        assert sizes == sorted(sizes)
        assert sizes[0] == TradeSize("1/2")
        assert all(a["area"] < b["area"] for a, b in pairwise(rows)), name


def test_schedule_80_is_narrower_than_schedule_40_of_the_same_size() -> None:
    thick = {row["trade_size"]: row["area"] for row in RACEWAYS if row["raceway"] == "PVC-80"}
    thin = {row["trade_size"]: row["area"] for row in RACEWAYS if row["raceway"] == "PVC-40"}
    assert thick.keys() == thin.keys()
    assert all(thick[size] < thin[size] for size in thick)


FORTY_PERCENT = [
    ("EMT", "1", "0.346", "Steel Tube Institute, answer on fill tables"),
    ("EMT", "1-1/4", "0.598", "Steel Tube Institute, answer on fill tables"),
    ("EMT", "3/4", "0.213", "open question-and-answer data set on the 2023 code"),
    ("EMT", "1-1/2", "0.814", "open question-and-answer data set on the 2023 code"),
    ("EMT", "2", "1.342", "open question-and-answer data set on the 2023 code"),
    ("ENT", "3/4", "0.203", "open question-and-answer data set on the 2023 code"),
    ("PVC-80", "3-1/2", "3.475", "open question-and-answer data set on the 2023 code"),
    ("PVC-80", "4", "4.503", "open question-and-answer data set on the 2023 code"),
]


@pytest.mark.parametrize(("raceway", "size", "printed", "source"), FORTY_PERCENT)
def test_forty_percent_of_the_area_is_what_others_print(
    raceway: str, size: str, printed: str, source: str
) -> None:
    (row,) = [r for r in RACEWAYS if (r["raceway"], r["trade_size"]) == (raceway, size)]
    assert abs(Decimal("0.40") * row["area"] - Decimal(printed)) <= Decimal("0.00065"), source


@pytest.mark.parametrize("insulation", ["thhn", "xhhw", "rhw"])
def test_every_conductor_area_is_that_of_its_diameter(insulation: str) -> None:
    """All 54 cells of Chapter 9 Table 5 that are encoded."""
    tested = 0
    for row in CONDUCTORS:
        diameter, area = row[f"{insulation}_diameter"], row[f"{insulation}_area"]
        assert abs(circle(diameter) - area) <= Decimal("0.0001"), row["size"]
        tested += 1
    assert tested == 18


def test_insulation_is_wider_than_the_metal_it_covers() -> None:
    metal = {row["size"]: row["diameter"] for row in RESISTANCE}
    for row in CONDUCTORS:
        for insulation in ("thhn", "xhhw", "rhw"):
            assert row[f"{insulation}_diameter"] > metal[row["size"]], row["size"]


def test_every_bare_area_but_one_is_that_of_the_overall_diameter() -> None:
    """Chapter 9 Table 8 prints both; 12 AWG stranded (0.006, from memory) is cut, not rounded."""
    diameter = {(row["size"], row["stranding"]): row["diameter"] for row in RESISTANCE}
    assert {(row["size"], row["stranding"]) for row in BARE} == diameter.keys()
    off = []
    for row in BARE:
        d = diameter[row["size"], row["stranding"]]
        if abs(circle(d) - row["area"]) > rounding(d, row["area"]):
            off.append((row["size"], row["stranding"], row["area"]))
    assert off == [("12 AWG", "stranded", Decimal("0.006"))]
    assert len(BARE) == 22
