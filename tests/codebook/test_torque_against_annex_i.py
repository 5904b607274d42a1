"""Torque tables against their metric twins and the order of the sizes.

Published sources: transfer-switch maker's manual of 2018 that states UL 486A-486B values
in both units; thenecwiki.com copy of Annex I (2020), Table I.2 with its metric twins; an
appliance maker's installation manual, p. 19 (20, 25 and 35 lbf·in with twins). The pound
force is 4.4482216152605 N (NIST SP 811).
"""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise

import pytest

from packet.quantities import ConductorSize, TradeSize
from tests.codebook.reading import cells

SCREW = cells("torque_screw")
SMALL = cells("torque_small_screw")
SOCKET = cells("torque_socket")

NEWTON_METERS = Decimal("4.4482216152605") * Decimal("0.0254")

TWINS = [
    (7, "0.79"), (9, "1.0"), (12, "1.4"), (20, "2.3"), (25, "2.8"), (35, "4.0"), (45, "5.1"),
    (50, "5.6"), (100, "11.4"), (110, "12.4"), (200, "22.6"), (325, "36.7"), (600, "67.8"),
]  # fmt: skip


@pytest.mark.parametrize(("inch_pounds", "newton_meters"), TWINS)
def test_every_printed_twin_is_the_same_torque_and_stands_in_a_table(
    inch_pounds: int, newton_meters: str
) -> None:
    """Within 0.1 N·m: the manual prints 11.4 where 100 lbf·in is 11.3."""
    exact = inch_pounds * NEWTON_METERS
    assert abs(exact - Decimal(newton_meters)) <= Decimal("0.11")
    ours = {row[c] for row in SCREW for c in ("slot_narrow", "slot_wide", "split_bolt", "other")}
    ours |= {row[c] for row in SMALL for c in ("narrow", "wide")} | {r["torque"] for r in SOCKET}
    assert inch_pounds in ours


@pytest.mark.parametrize("column", ["slot_narrow", "slot_wide", "split_bolt", "other"])
def test_a_larger_conductor_never_asks_for_less(column: str) -> None:
    values = [row[column] for row in SCREW if row[column] is not None]
    assert all(small <= large for small, large in pairwise(values))
    empty = [row[column] is None for row in SCREW]
    assert empty == sorted(empty), "a gap in the middle of a column"


def test_a_wider_slot_and_a_bolt_take_more_than_a_narrow_slot() -> None:
    for row in SCREW:
        assert (row["slot_narrow"] or 0) < row["slot_wide"] < row["other"] < row["split_bolt"]


def test_the_conductor_bands_meet_without_a_gap() -> None:
    """Every size from 30 AWG to 750 kcmil has one row."""
    bands = [(ConductorSize(r["smallest"]), ConductorSize(r["largest"])) for r in SCREW]
    assert all(low <= high for low, high in bands)
    assert all(a[1] < b[0] for a, b in pairwise(bands))
    names = ["14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG", "3 AWG", "2 AWG", "1 AWG"]
    names += ["1/0 AWG", "2/0 AWG", "3/0 AWG", "4/0 AWG"]
    names += [f"{kcmil} kcmil" for kcmil in (250, 300, 350, 400, 500, 600, 700, 750)]
    for size in map(ConductorSize, names):
        assert sum(low <= size <= high for low, high in bands) == 1, size


def test_small_screws_are_the_cells_of_the_copy_of_2020() -> None:
    first_five = SMALL[:5]
    assert [row["narrow"] for row in first_five] == [7, 7, 7, 7, 9]
    assert [row["wide"] for row in first_five] == [9, 12, 12, 12, 12]
    assert [row["slot_length"] for row in SMALL] == [
        "under 5/32", "5/32", "3/16", "7/32", "1/4", "9/32", "over 9/32",
    ]  # fmt: skip
    for column in ("narrow", "wide"):
        values = [row[column] for row in SMALL if row[column] is not None]
        assert all(small <= large for small, large in pairwise(values))


def test_a_larger_socket_takes_more() -> None:
    sizes = [TradeSize(row["across_flats"]).inches for row in SOCKET]
    assert sizes == sorted(set(sizes))
    assert all(a["torque"] < b["torque"] for a, b in pairwise(SOCKET))
    assert len(SOCKET) == 9


@pytest.mark.parametrize(
    ("size", "column", "printed"),
    [("2 AWG", "split_bolt", 275), ("2 AWG", "other", 150), ("8 AWG", "slot_narrow", 25)],
)
def test_single_cells_printed_elsewhere(size: str, column: str, printed: int) -> None:
    """electricianexampractice.com (2 AWG); appliance maker's manual, p. 19 (8 AWG)."""
    (row,) = [r for r in SCREW if ConductorSize(r["smallest"]) <= ConductorSize(size)
              <= ConductorSize(r["largest"])]  # fmt: skip
    assert row[column] == printed
