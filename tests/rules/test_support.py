"""Wiring is held, bent and protected as its method asks."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from math import ceil
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book
from packet.ledger import Verdict, decimal_of
from packet.rules.support import (
    bend_wide_enough,
    cable_bend_radius,
    cable_in_garage,
    framing_protected,
    plate_count,
    raceway_bend_radius,
    support_spacing_given,
    supports,
)
from tests.rules.givens import given, shown, size, trade_size, worded
from tests.rules.installation import enters_ledger, reworked


def count(method: str, feet: Any, trade: str | None = None, edition: str = "2023") -> int:
    found = supports(
        Book(edition),
        "route.1",
        method,
        given("route.1.length", feet, "ft"),
        trade_size(trade) if trade else None,
        size("conductor_size", "6"),
    )
    assert reworked([found.count]) == []
    return int(decimal_of(found.count))


@pytest.mark.parametrize(
    ("method", "trade", "feet", "number"),
    [
        # cable: first and last 12 in from the boxes, 4.5 ft between (334.30)
        ("NM-B", None, "0.5", 1),
        ("NM-B", None, 2, 1),
        ("NM-B", None, "2.1", 2),
        ("NM-B", None, "6.5", 2),
        ("NM-B", None, "6.6", 3),
        ("NM-B", None, 11, 3),
        ("NM-B", None, "11.1", 4),
        # tubing: 3 ft from the boxes, 10 ft between (358.30)
        ("EMT", "3/4", 6, 1),
        ("EMT", "3/4", 16, 2),
        ("EMT", "3/4", "16.1", 3),
        # plastic conduit: 3 ft to trade size 1, 5 ft to 2 (352.30)
        ("PVC-80", "1", 1, 1),  # however short, one
        ("PVC-80", "1", 12, 3),
        ("PVC-80", "1-1/4", 12, 3),
        ("PVC-80", "1-1/4", 11, 2),
        ("PVC-80", "1", 15, 4),
        # MC with conductors over 10 AWG has only its spacing of 6 ft (330.30)
        ("MC", None, 3, 1),
        ("MC", None, 12, 1),
        ("MC", None, 18, 2),
        ("MC", None, "18.1", 3),
    ],
)
def test_supports_around_each_step(method: str, trade: str | None, feet: Any, number: int) -> None:
    assert count(method, feet, trade) == number


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("method", ["NM-B", "UF-B", "SER", "EMT", "RMC", "PVC-40", "LFMC"])
def test_no_gap_is_wider_than_allowed_and_more_route_never_takes_fewer(
    method: str, edition: str
) -> None:
    """Walk the supports out: end gaps and the gaps between must all be allowed."""
    book = Book(edition)
    row = next(iter(book.table("supports").where(method=method)))
    within = Fraction(str(row["within"].m_as("in"))) / 12
    spacing = Fraction(str(row["spacing"].m_as("ft")))
    before = 0
    for tenths in range(1, 600, 7):
        length = Fraction(tenths, 10)
        number = count(method, Decimal(tenths) / 10, "3/4", edition)
        assert number >= before
        before = number
        between = length - 2 * within
        assert number - 1 >= ceil(max(between, Fraction(0)) / spacing)
        assert number == 1 or (number - 2) * spacing < between


def test_length_in_metres_counts_the_same() -> None:
    """Ratio of metres and feet is a plain number before it is rounded up."""
    book = Book("2023")
    metres = supports(book, "route.1", "NM-B", given("route.1.length", "9.144", "m"))
    assert decimal_of(metres.count) == count("NM-B", 30)


def test_a_method_without_supports_is_refused() -> None:
    with pytest.raises(LookupError):
        supports(Book("2023"), "route.1", "AC", given("route.1.length", 9, "ft"))


@pytest.mark.parametrize(("feet", "verdict"), [(4, "meets"), ("4.5", "meets"), (5, "falls short")])
def test_planned_spacing(feet: Any, verdict: str) -> None:
    """334.30: 4-1/2 ft."""
    need = supports(Book("2020"), "route.1", "NM-B", given("route.1.length", 30, "ft"))
    check = support_spacing_given(
        "route.1", given("route.1.support_spacing_planned", feet, "ft"), need
    )
    assert worded(check) == verdict
    remedy = "route.1.support_spacing" if verdict == "falls short" else ""
    sides = ("route.1.support_spacing_planned", "route.1.support_spacing", remedy)
    assert shown(check) == (*sides, [])


@pytest.mark.parametrize(
    ("inches", "verdict"), [("4.4", "falls short"), ("4.5", "meets"), ("4.6", "meets")]
)
def test_a_planned_bend(inches: str, verdict: str) -> None:
    """3/4 in conduit bends at 4.5 in or more (Chapter 9 Table 2)."""
    least = raceway_bend_radius(Book("2023"), "route.1", trade_size("3/4"))
    planned = given("route.1.bend_radius_planned", inches, "in")
    assert bend_wide_enough("route.1", planned, least).verdict.value == verdict


def test_bends() -> None:
    """Five cable diameters for NM (334.24); trade size 3/4 bends at 4.5 in (Chapter 9 Table 2)."""
    book = Book("2023")
    diameter = given("route.1.cable_diameter", "0.56", "in")
    assert decimal_of(cable_bend_radius(book, "route.1", "NM-B", diameter)) == Decimal("2.80")
    smooth = cable_bend_radius(book, "route.1", "MC", diameter, "smooth, up to 3/4 in")
    assert decimal_of(smooth) == Decimal("5.60")
    assert decimal_of(raceway_bend_radius(book, "route.1", trade_size("3/4"))) == Decimal("4.5")
    wide = raceway_bend_radius(book, "route.1", trade_size("3/4"), one_shot=False)
    assert decimal_of(wide) == 5


@pytest.mark.parametrize(
    ("method", "inches", "verdict", "plates"),
    [
        ("NM-B", "1.24", Verdict.NOTE, 12),
        ("NM-B", "1.25", Verdict.MEETS, 0),
        ("NM-B", "1.5", Verdict.MEETS, 0),
        ("NM-B", None, Verdict.ASK, 12),
        ("ENT", "1.0", Verdict.NOTE, 12),
        ("EMT", "0.5", Verdict.MEETS, 0),
        ("PVC-80", None, Verdict.MEETS, 0),
    ],
)
def test_steel_plates(method: str, inches: str | None, verdict: Verdict, plates: int) -> None:
    """1-1/4 in from the edge of the hole (300.4(A)(1), quoted at qastack)."""
    book = Book("2020")
    distance = None if inches is None else given("route.1.edge_distance", inches, "in")
    check = framing_protected(book, "route.1", method, distance)
    assert worded(check) == verdict.value
    exempt = method in ("EMT", "PVC-80")
    facts = ["methods_without_plates"] if exempt else []
    left = "route.1.edge_distance" if inches and not exempt else ""
    told = (left, "route.1.nail_distance", "", [*facts, "route.1.plate_thickness"])
    assert shown(check) == told
    members = given("route.1.members", 6, "")
    faces = given("route.1.near_faces", 2, "")
    number = plate_count(book, "route.1", check, members, faces)
    assert decimal_of(number) == plates
    enters_ledger([number], [check])


@pytest.mark.parametrize(
    ("method", "feet", "verdict"),
    [
        ("NM-B", "7.9", Verdict.ASK),
        ("NM-B", 8, Verdict.MEETS),
        ("NM-B", None, Verdict.ASK),
        ("EMT", 3, Verdict.MEETS),
    ],
)
def test_cable_in_a_garage(method: str, feet: Any, verdict: Verdict) -> None:
    """334.15(B)."""
    lowest = None if feet is None else given("route.1.lowest_point", feet, "ft")
    check = cable_in_garage(Book("2023"), "route.1", method, lowest)
    assert worded(check) == verdict.value
    left = "route.1.lowest_point" if lowest and method == "NM-B" else ""
    assert shown(check) == (left, "garage_cable_protected_to", "", ["cables_open_to_damage"])


@pytest.mark.parametrize(
    ("conductor", "within"), [("12", 12), ("10", 12), ("8", None), (None, None)]
)
def test_only_small_mc_cable_is_held_close_to_its_box(
    conductor: str | None, within: int | None
) -> None:
    """330.30(B): four or fewer conductors no larger than 10 AWG, within 12 in of the box."""
    used = size("conductor_size", conductor) if conductor else None
    found = supports(Book("2023"), "route.1", "MC", given("route.1.length", 8, "ft"), None, used)
    assert (found.within and decimal_of(found.within)) == within
    assert decimal_of(found.spacing) == 6


def test_supports_that_go_by_a_size_need_the_size() -> None:
    with pytest.raises(LookupError, match="no row for PVC-80"):
        supports(Book("2023"), "route.1", "PVC-80", given("route.1.length", 8, "ft"))
