"""The 506 printed conductor counts of Annex C against the fill rule of Chapter 9.

Published sources: EMT from an electrical contractor's reference page and voltagelab.com;
PVC-80 THHN from a contractor's copy of a 2008 pocket reference; PVC-80 XHHW from the
International Residential Code 2018 Table E3904.6(9), p. 767; PVC-40 from memory but for
two cells (EC&M code question, June 2019; electricianmath.com). Rule: Chapter 9 Table 1
and its note 7 (a decimal of 0.8 or more counts as one more conductor).
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import ROUND_FLOOR, Decimal
from typing import Any

from tests.codebook.reading import PI, cells

COUNTS = cells("annex_c_counts", "2017")
RACEWAYS = {(r["raceway"], r["trade_size"]): r for r in cells("raceway_dimensions")}
CONDUCTORS = {row["size"]: row for row in cells("conductor_dimensions")}
FILL = {row["conductors"]: row["fill"] / 100 for row in cells("raceway_fill")}
INSULATION = {"THHN/THWN-2": "thhn_area", "XHHW-2": "xhhw_area"}

Area = Callable[[dict[str, Any]], Decimal]


def printed_area(raceway: dict[str, Any]) -> Decimal:
    area: Decimal = raceway["area"]
    return area


def exact_area(raceway: dict[str, Any]) -> Decimal:
    diameter: Decimal = raceway["internal_diameter"]
    return PI / 4 * diameter**2


def whole(quotient: Decimal) -> int:
    """Note 7: round down, but up from a decimal of 0.8."""
    down = quotient.to_integral_value(ROUND_FLOOR)
    return int(down) + (quotient - down >= Decimal("0.8"))


def count(raceway_area: Decimal, conductor_area: Decimal) -> int:
    """Return how many conductors Chapter 9 Table 1 and note 7 allow."""
    many = whole(FILL["more"] * raceway_area / conductor_area)
    if many > 2:
        return many
    if whole(FILL["two"] * raceway_area / conductor_area) >= 2:
        return 2
    return min(1, whole(FILL["one"] * raceway_area / conductor_area))


def misses(area: Area) -> list[tuple[str, str, str, int, int]]:
    """Return the cells whose printed count is not the one calculated."""
    found = []
    for row in COUNTS:
        raceway = RACEWAYS[row["raceway"], row["trade_size"]]
        conductor = CONDUCTORS[row["size"]][INSULATION[row["insulation"]]]
        calculated = count(area(raceway), conductor)
        if calculated != row["count"]:
            place = (row["raceway"], row["size"], row["trade_size"])
            found.append((*place, int(row["count"]), calculated))
    return found


def test_there_are_506_cells() -> None:
    per_table: dict[tuple[str, str], int] = {}
    for row in COUNTS:
        key = (row["raceway"], row["insulation"])
        per_table[key] = per_table.get(key, 0) + 1
    assert per_table == {
        ("EMT", "THHN/THWN-2"): 120,
        ("PVC-80", "THHN/THWN-2"): 180,
        ("PVC-80", "XHHW-2"): 66,
        ("PVC-40", "THHN/THWN-2"): 140,
    }


def test_printed_areas_give_every_count_but_two() -> None:
    """Both are one conductor low, on the safe side: quotients 19.799 and 4.796, just under 0.8."""
    assert misses(printed_area) == [
        ("PVC-80", "14 AWG", "1", 20, 19),
        ("PVC-80", "12 AWG", "1/2", 5, 4),
    ]


def test_the_unrounded_circle_gives_every_count() -> None:
    """So the printed counts were made from the diameters, and diameters and areas agree."""
    assert misses(exact_area) == []


def test_without_note_7_many_counts_would_be_wrong() -> None:
    """The check can fail: plain rounding down loses a conductor in dozens of cells."""
    low = 0
    for row in COUNTS:
        raceway = RACEWAYS[row["raceway"], row["trade_size"]]
        conductor = CONDUCTORS[row["size"]][INSULATION[row["insulation"]]]
        low += row["count"] > 2 and row["count"] > int(FILL["more"] * raceway["area"] / conductor)
    assert low > 30


EMT_SECOND_COPY = {
    "14": (12, 22, 35, 61, 84, 138), "12": (9, 16, 26, 45, 61, 101), "10": (5, 10, 16, 28, 38, 63),
    "8": (3, 6, 9, 16, 22, 36), "6": (2, 4, 7, 12, 16, 26), "4": (1, 2, 4, 7, 10, 16),
    "3": (1, 1, 3, 6, 8, 13), "2": (1, 1, 3, 5, 7, 11), "1": (1, 1, 1, 4, 5, 8),
}  # fmt: skip
"""EMT, THHN, trade sizes 1/2 to 2: voltagelab.com page reproducing Annex C Table C.1."""


def test_the_emt_cells_are_those_of_a_second_copy() -> None:
    ours = {
        (row["size"], row["trade_size"]): row["count"] for row in COUNTS if row["raceway"] == "EMT"
    }
    for size, copied in EMT_SECOND_COPY.items():
        sizes = ("1/2", "3/4", "1", "1-1/4", "1-1/2", "2")
        assert tuple(ours[f"{size} AWG", trade] for trade in sizes) == copied, size


def test_single_cells_printed_elsewhere() -> None:
    ours = {(row["raceway"], row["size"], row["trade_size"]): row["count"] for row in COUNTS
            if row["insulation"] == "THHN/THWN-2"}  # fmt: skip
    assert ours["PVC-40", "4/0 AWG", "2"] == 4  # EC&M code question, June 2019
    assert ours["PVC-80", "4/0 AWG", "2"] == 3  # the same
    assert ours["PVC-40", "10 AWG", "1"] == 15  # electricianmath.com
    # Steel Tube Institute: sixteen 12 AWG THHN in 3/4 rigid metal conduit, which has no table here.
    assert count(printed_area(RACEWAYS["RMC", "3/4"]), CONDUCTORS["12 AWG"]["thhn_area"]) == 16
