"""What labels and instructions allow: metal, sizes, device, neutral, wet places, damage."""

from __future__ import annotations

import pytest

from packet.codebook import EDITIONS, Book
from packet.ledger import Verdict
from packet.rules.box import box_suits_wet_place, raceway_entries_apart, raceway_spacing
from packet.rules.marking import (
    charger_allows_device,
    neutral_stands_alone,
    safe_from_damage,
    terminal_takes_metal,
    terminal_takes_size,
)
from packet.rules.panel import directory_is_complete
from tests.rules.givens import ALUMINUM, COPPER, given, size, trade_size, worded

MEETS, SHORT, ASK, NOTE = Verdict.MEETS, Verdict.FALLS_SHORT, Verdict.ASK, Verdict.NOTE


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("rating", "verdict"), [(39, MEETS), (40, MEETS), (41, SHORT)])
def test_the_largest_device_of_the_instructions(
    edition: str, rating: int, verdict: Verdict
) -> None:
    """110.3(B): equipment is used as its instructions say."""
    check = charger_allows_device(
        Book(edition),
        given("overcurrent_rating", rating, "A"),
        given("charger_maximum_device", 40, "A"),
    )
    assert worded(check) == verdict.value


@pytest.mark.parametrize(
    ("of", "small", "large"),
    [("16", SHORT, MEETS), ("14", MEETS, MEETS), ("6", MEETS, MEETS), ("4", MEETS, SHORT)],
)
def test_the_sizes_of_a_terminal(of: str, small: Verdict, large: Verdict) -> None:
    """110.3(B) and 110.14(A); a terminal marked 14 to 6 AWG."""
    checks = terminal_takes_size(
        Book("2023"),
        "terminal.1",
        size("terminal.1.size", of),
        size("terminal.1.smallest", "14"),
        size("terminal.1.largest", "6"),
    )
    assert [check.verdict for check in checks] == [small, large]


@pytest.mark.parametrize(
    ("marked", "of_copper", "of_aluminum"),
    [
        ("copper", MEETS, SHORT),
        ("aluminum", SHORT, MEETS),
        ("copper and aluminum", MEETS, MEETS),
        (None, MEETS, ASK),
    ],
)
def test_the_metal_of_a_terminal(
    marked: str | None, of_copper: Verdict, of_aluminum: Verdict
) -> None:
    """110.14: unlike metals only where the terminal is marked for them."""
    mark = None if marked is None else given("terminal.1.material", marked)
    for metal, verdict in ((COPPER, of_copper), (ALUMINUM, of_aluminum)):
        check = terminal_takes_metal(Book("2023"), "terminal.1", metal, mark)
        assert check.verdict is verdict


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("allowed", "verdict"), [(1, MEETS), (2, NOTE), (3, NOTE)])
def test_a_neutral_alone(edition: str, allowed: int, verdict: Verdict) -> None:
    """408.41."""
    check = neutral_stands_alone(
        Book(edition), "terminal.1", given("terminal.1.conductors_allowed", allowed, "")
    )
    assert worded(check) == verdict.value


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_directory(edition: str) -> None:
    """408.4(A)."""
    for complete, verdict in ((True, MEETS), (False, NOTE)):
        assert worded(directory_is_complete(Book(edition), complete=complete)) == verdict.value


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("listed", "verdict"), [(True, MEETS), (False, SHORT), (None, ASK)])
def test_a_box_in_a_wet_place(edition: str, listed: bool | None, verdict: Verdict) -> None:
    """314.15."""
    wet = given("route.1.wet", True)
    check = box_suits_wet_place(Book(edition), "box.1", wet, listed=listed)
    assert worded(check) == verdict.value


@pytest.mark.parametrize(("apart", "verdict"), [("11.9", SHORT), ("12", MEETS), (None, ASK)])
def test_entries_of_one_pull(apart: str | None, verdict: Verdict) -> None:
    """314.28(A)(2): six times the trade size, here of 2 in, between entries of one pull."""
    raceway = given("box.1.raceways.1.size", trade_size("2").value)
    need = raceway_spacing(Book("2023"), "box.1", raceway)
    planned = None if apart is None else given("box.1.entry_spacing", apart, "in")
    assert worded(raceway_entries_apart("box.1", planned, need)) == verdict.value


@pytest.mark.parametrize(
    ("method", "exposed", "verdict"),
    [
        ("NM-B", True, SHORT),
        ("NM-B", False, MEETS),
        ("NM-B", None, ASK),
        ("PVC-40", True, SHORT),
        ("PVC-80", True, MEETS),
        ("RMC", None, MEETS),
    ],
)
def test_wiring_in_harms_way(method: str, exposed: bool | None, verdict: Verdict) -> None:
    """300.4, 334.15(B) and 352.10(F): Schedule 80 and rigid metal stand a blow."""
    check = safe_from_damage(Book("2023"), "route.1", given("route.1.method", method), exposed)
    assert worded(check) == verdict.value
