"""Colors of conductors: by cable or raceway, with and without a neutral, in each edition."""

from __future__ import annotations

import pytest

from packet.codebook import EDITIONS, Book
from packet.rules.identification import conductor_colors
from tests.rules.givens import given

RACEWAYS = ("EMT", "PVC-40", "PVC-80", "RMC", "FMC", "LFMC", "LFNC-B", "ENT")
BLACK_TAPE = "white, wrapped with black tape"


def colors(edition: str, method: str, *, neutral: bool) -> tuple[str | None, ...]:
    found = conductor_colors(
        Book(edition), "outlet", given("route.1.method", method), neutral=neutral
    )
    entries = (found.line_1, found.line_2, found.neutral, found.ground)
    return tuple(entry and entry.value for entry in entries)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("method", "neutral", "expected"),
    [
        # two insulated conductors, black and white: 200.7(C)(1); bare ground: 250.119
        ("NM-B", False, ("black", BLACK_TAPE, None, "bare")),
        ("NM-B", True, ("black", "red", "white", "bare")),
        ("UF-B", False, ("black", BLACK_TAPE, None, "bare")),
        ("MC", False, ("black", BLACK_TAPE, None, "green")),
        ("MC", True, ("black", "red", "white", "green")),
        ("SER", True, ("black", "red, or black with a red stripe", "white", "bare")),
    ],
)
def test_cables(edition: str, method: str, neutral: bool, expected: tuple[str | None, ...]) -> None:
    assert colors(edition, method, neutral=neutral) == expected


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("method", RACEWAYS)
def test_wires_in_a_raceway_need_no_white_one_for_a_hot(edition: str, method: str) -> None:
    """200.7(C) allows a white conductor as a hot in cables, not in raceways."""
    assert colors(edition, method, neutral=False) == ("black", "red", None, "green")
    assert colors(edition, method, neutral=True) == ("black", "red", "white", "green")


@pytest.mark.parametrize("edition", EDITIONS)
def test_no_hot_is_white_gray_or_green_unmarked(edition: str) -> None:
    """200.7(A) and 250.119 keep white, gray and green for neutral and ground."""
    for method in (*RACEWAYS, "NM-B", "UF-B", "MC", "SER"):
        for neutral in (False, True):
            for hot in colors(edition, method, neutral=neutral)[:2]:
                assert hot == BLACK_TAPE or not {"white", "gray", "green"} & set(str(hot).split())
