"""Every answer of the installation rules has its words, with every value filled in."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

import pytest

from packet.codebook import Book
from packet.findings import finding, texts
from packet.ledger import Check, Verdict
from packet.rules import box, cover, raceway, schedule, support, torque, wiring_method
from tests.rules.givens import given, size, trade_size
from tests.rules.installation import enters_ledger, group, outlet_contents

BOOK = Book("2023")
ROUTE = "route.2"


def raceway_checks() -> Iterator[Check]:
    length = given("route.2.length", 40, "ft")
    for count, trade in ((2, "3/4"), (9, "3/4"), (60, "2")):
        groups = [group(1, count, "6", at=ROUTE), group(2, 1, "10", at=ROUTE)]
        given_size = given("route.2.trade_size", trade_size(trade).value)
        yield raceway.raceway_fill(BOOK, ROUTE, "ENT", groups, length, given_size).check
    for degrees in (270, 450):
        bends = given("route.2.bends", degrees, "deg")
        yield raceway.bends_between_pull_points(BOOK, ROUTE, bends)
    yield raceway.bends_between_pull_points(BOOK, ROUTE, None)
    for trade in ("3/4", "1"):
        given_size = given("route.2.trade_size", trade_size(trade).value)
        three = group(1, 3, "3", at=ROUTE)
        yield raceway.jam_ratio(BOOK, ROUTE, "EMT", given_size, three)[1]


def box_checks() -> Iterator[Check]:
    fill = box.box_fill(BOOK, "box.1", outlet_contents())
    for volume in (30, 42):
        marked = given("box.1.marked_volume", volume, "in**3")
        yield box.box_holds_contents(BOOK, "box.1", fill, marked)
    yield box.box_holds_contents(
        BOOK, "box.1", fill, given("box.1.marked_volume", 9, "in**3"), kinds=("device",)
    )
    yield box.box_holds_contents(BOOK, "box.1", fill, None)
    need = box.free_conductor_length(BOOK, "box.1", None, None)
    for inches in (5, 6):
        left = given("box.1.free_length_left", inches, "in")
        yield box.free_conductor_long_enough("box.1", left, need)
    yield box.free_conductor_long_enough("box.1", None, need)
    long = box.straight_pull_length(
        BOOK, "box.1", [given("box.1.raceways.1.size", trade_size("2").value)]
    )
    for inches in (15, 16):
        for side in ("length", "width", "height"):
            inside = given(f"box.1.inside_{side}", inches, "in")
            yield box.pull_box_long_enough("box.1", inside, long, side)
            yield box.pull_box_long_enough("box.1", None, long, side)
        apart = given("box.1.entry_spacing", inches, "in")
        yield box.raceway_entries_apart("box.1", apart, long)
    yield box.raceway_entries_apart("box.1", None, long)
    for listed in (True, False, None):
        wet = given("route.1.wet", True)
        yield box.box_suits_wet_place(BOOK, "box.1", wet, listed=listed)
    ground = size("box.1.grounds_size", "10")
    for jumper in ("12", "10"):
        yield box.metal_box_bonded(BOOK, "box.1", size("box.1.bonding_jumper", jumper), ground)


def support_checks() -> Iterator[Check]:
    need = support.supports(BOOK, ROUTE, "NM-B", given("route.2.length", 40, "ft"))
    for feet in (4, 5):
        planned = given("route.2.support_spacing_planned", feet, "ft")
        yield support.support_spacing_given(ROUTE, planned, need)
    for inches in (1, 2):
        distance = given("route.2.edge_distance", inches, "in")
        yield support.framing_protected(BOOK, ROUTE, "NM-B", distance)
    yield support.framing_protected(BOOK, ROUTE, "NM-B", None)
    yield support.framing_protected(BOOK, ROUTE, "EMT", None)
    for feet in (4, 9):
        lowest = given("route.2.lowest_point", feet, "ft")
        yield support.cable_in_garage(BOOK, ROUTE, "NM-B", lowest)
    yield support.cable_in_garage(BOOK, ROUTE, "NM-B", None)


def buried_checks() -> Iterator[Check]:
    need = cover.minimum_cover(
        BOOK,
        ROUTE,
        "open ground",
        "PVC-80",
        given("nominal_voltage", 240, "V"),
        given("overcurrent_rating", 60, "A"),
        given("circuit.is_gfci", False),
    )
    for inches in (12, 18):
        yield cover.cover_deep_enough(BOOK, ROUTE, given("route.2.cover", inches, "in"), need)
    yield cover.cover_deep_enough(BOOK, ROUTE, None, need)
    for method in ("PVC-40", "PVC-80"):
        yield cover.riser_protected(BOOK, ROUTE, given("route.2.riser_method", method))
    yield cover.riser_protected(BOOK, ROUTE, None)


def method_checks() -> Iterator[Check]:
    method = given("route.2.method", "NM-B")
    for place in ("attic", "crawl space", "underground"):
        yield wiring_method.method_suits_place(BOOK, ROUTE, method, given("route.2.place", place))
    for wet in (True, False):
        yield wiring_method.method_suits_moisture(BOOK, ROUTE, method, given("route.2.wet", wet))
    yield wiring_method.method_suits_moisture(BOOK, ROUTE, method, None)
    for insulation in ("THHN", "XHHW-2"):
        yield wiring_method.insulation_suits_wet(
            BOOK,
            ROUTE,
            given("route.2.insulation", insulation),
            given("route.2.inside_is_wet", True),
        )
    change = given("route.2.length_change", 1, "in")
    for planned in (0, 1):
        fittings = given("route.2.expansion_fittings_planned", planned, "")
        yield wiring_method.run_free_to_grow(BOOK, ROUTE, change, fittings)
    yield wiring_method.run_free_to_grow(BOOK, ROUTE, None, None)


def other_checks() -> Iterator[Check]:
    of = size("terminal.2.size", "6")
    yield torque.terminal_torque(BOOK, "terminal.2", of, None).check
    marked = given("terminal.2.marked_torque", 45, "lbf_in")
    yield torque.terminal_torque(BOOK, "terminal.2", of, marked).check
    lead = given("material.2.lead_time", 5, "d")
    start = given("work.planned_start", date(2026, 10, 15))
    last = schedule.order_by(BOOK, "material.2.order_by", start, lead)
    for day in (8, 9):
        first = given("first_order_day", date(2026, 10, day))
        yield schedule.ordered_in_time(BOOK, "material.2.ordered_in_time", last, first, lead)


CHECKS = [
    check
    for checks in (
        raceway_checks,
        box_checks,
        support_checks,
        buried_checks,
        method_checks,
        other_checks,
    )
    for check in checks()
]


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: f"{check.name}-{check.verdict.name}")
def test_an_answer_in_words(check: Check) -> None:
    found = finding(check, enters_ledger([], [check]))
    assert found.asks.endswith("?")
    assert found.says.endswith(".")
    assert "None" not in found.says
    assert bool(found.who) >= (check.verdict is Verdict.ASK)


def test_every_wording_is_reached() -> None:
    """Nobody can be told what no rule can answer."""
    reached = {
        (check.name.replace(".1.", ".*.").replace(".2.", ".*."), check.verdict.name.lower())
        for check in CHECKS
    }
    names = {name for name, _ in reached}
    written = {
        (name, verdict)
        for name, line in texts().items()
        for verdict in ("meets", "falls_short", "ask", "note")
        if verdict in line and name in names
    }
    assert written == reached
