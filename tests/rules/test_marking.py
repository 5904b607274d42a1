"""What labels and instructions allow, on both sides of each limit.

Instructions bind by NEC 110.3(B), and the metal of a terminal is its marking by 110.14; that RMC,
EMT and PVC of schedule 80 may be struck, and no cable may, is from memory.
"""

from __future__ import annotations

import pytest

from packet.codebook import EDITIONS, Book
from packet.ledger import Verdict
from packet.quantities import ConductorSize
from packet.rules.box import box_suits_wet_place, raceway_entries_apart, raceway_spacing
from packet.rules.marking import (
    equipment_allows_device,
    neutral_stands_alone,
    safe_from_damage,
    terminal_takes_metal,
    terminal_takes_size,
)
from packet.rules.panel import directory_is_complete
from tests.rules.givens import (
    ALUMINUM,
    COPPER,
    given,
    shown,
    size,
    trade_size,
    verdicts,
    worded,
)

MEETS, SHORT, ASK, NOTE = "meets", "falls short", "ask", "note"


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("rating", "verdict"), [(49, MEETS), (50, MEETS), (60, SHORT)])
def test_the_breaker_is_no_larger_than_the_instructions_allow(
    edition: str, rating: int, verdict: str
) -> None:
    most = given("equipment_maximum_device", 50, "A")
    check = equipment_allows_device(Book(edition), given("overcurrent_rating", rating, "A"), most)
    assert worded(check) == verdict
    assert check.remedy == (most if verdict == SHORT else None)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("wire", "small", "large"),
    [
        ("14", SHORT, MEETS),
        ("12", MEETS, MEETS),
        ("8", MEETS, MEETS),
        ("4", MEETS, MEETS),
        ("3", MEETS, SHORT),
    ],
)
def test_a_terminal_marked_12_to_4_takes_both_ends_and_what_lies_between(
    edition: str, wire: str, small: str, large: str
) -> None:
    least, most = size("terminal.2.smallest", "12"), size("terminal.2.largest", "4")
    used = size("conductor_size", wire)
    checks = terminal_takes_size(Book(edition), "terminal.2", used, least, most)
    assert verdicts(checks) == {
        "terminal.2.not_too_small": small,
        "terminal.2.not_too_large": large,
    }
    for check, limit in zip(checks, (least, most), strict=True):
        wanted = limit.value if check.verdict is Verdict.FALLS_SHORT else None
        assert (check.remedy and check.remedy.value) == wanted
        assert check.left is not None
        assert check.left.value == ConductorSize.parse(wire)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("material", "marked", "verdict"),
    [
        (COPPER, None, MEETS),
        (COPPER, "copper", MEETS),
        (COPPER, "copper and aluminum", MEETS),
        (COPPER, "aluminum", SHORT),
        (ALUMINUM, None, ASK),
        (ALUMINUM, "copper", SHORT),
        (ALUMINUM, "copper and aluminum", MEETS),
        (ALUMINUM, "aluminum", MEETS),
    ],
)
def test_aluminum_goes_only_where_the_terminal_says_so(
    edition: str, material: object, marked: str | None, verdict: str
) -> None:
    metal = ALUMINUM if material is ALUMINUM else COPPER
    mark = None if marked is None else given("terminal.1.material", marked)
    check = terminal_takes_metal(Book(edition), "terminal.1", metal, mark)
    assert worded(check) == verdict
    assert check.left is metal


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("exposed", [True, False, None])
@pytest.mark.parametrize(
    ("method", "tough"),
    [
        *((name, True) for name in ("RMC", "EMT", "PVC-80")),
        *((name, False) for name in ("NM-B", "UF-B", "SER", "MC", "PVC-40", "FMC", "LFNC-B")),
    ],
)
def test_soft_wiring_stands_out_of_the_way_of_cars(
    edition: str,
    exposed: bool | None,
    method: str,
    tough: bool,
) -> None:
    check = safe_from_damage(Book(edition), "route.1", given("route.1.method", method), exposed)
    safe = tough or exposed is False
    assert worded(check) == (MEETS if safe else ASK if exposed is None else SHORT)
    listed = ("", ["methods_against_damage"]) if safe else ("methods_against_damage", [])
    assert shown(check) == ("route.1.method", "", *listed)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("allowed", "verdict"), [(1, MEETS), (2, NOTE), (3, NOTE)])
def test_a_neutral_alone(edition: str, allowed: int, verdict: str) -> None:
    """408.41."""
    check = neutral_stands_alone(
        Book(edition), "terminal.1", given("terminal.1.conductors_allowed", allowed, "")
    )
    assert worded(check) == verdict


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_directory(edition: str) -> None:
    """408.4(A)."""
    for complete, verdict in ((True, MEETS), (False, NOTE)):
        assert worded(directory_is_complete(Book(edition), complete=complete)) == verdict


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("listed", "verdict"), [(True, MEETS), (False, SHORT), (None, ASK)])
def test_a_box_in_a_wet_place(edition: str, listed: bool | None, verdict: str) -> None:
    """314.15."""
    wet = given("route.1.wet", True)
    check = box_suits_wet_place(Book(edition), "box.1", wet, listed=listed)
    assert worded(check) == verdict


@pytest.mark.parametrize(("apart", "verdict"), [("11.9", SHORT), ("12", MEETS), (None, ASK)])
def test_entries_of_one_pull(apart: str | None, verdict: str) -> None:
    """314.28(A)(2): six times the trade size, here of 2 in, between entries of one pull."""
    raceway = given("box.1.raceways.1.size", trade_size("2").value)
    need = raceway_spacing(Book("2023"), "box.1", raceway)
    planned = None if apart is None else given("box.1.entry_spacing", apart, "in")
    assert worded(raceway_entries_apart("box.1", planned, need)) == verdict
