"""Every kind of set, with ordinary, longest and emptiest values, comes out clean on both papers."""

from __future__ import annotations

import pytest

from tests.pages import checks
from tests.pages.fixtures import SETS


@pytest.mark.parametrize("name", SETS)
def test_pages_have_no_fault_and_are_the_same_on_both_papers(name: str) -> None:
    sheets = SETS[name]
    letter, a4 = checks.printed(sheets, "letter"), checks.printed(sheets, "a4")
    assert checks.every_fault(letter, sheets) == []
    assert checks.unlike_papers(letter, a4) == []
    assert checks.margin_collisions(a4) == []
    assert checks.inked_margins(a4) == []


@pytest.mark.parametrize("name", ["ordinary", "ready if", "do not start", "longest"])
def test_the_summary_is_one_page(name: str) -> None:
    front, back = checks.printed(SETS[name], "letter").texts[:2]
    assert "This packet is no license" in front
    assert "END OF SHEET A" in back


def test_only_the_first_page_has_the_scale_bar() -> None:
    texts = checks.printed(SETS["ordinary"], "letter").texts
    assert ["Print check" in text for text in texts] == [True] + [False] * (len(texts) - 1)


def test_later_pages_of_the_procedure_repeat_the_phase() -> None:
    texts = checks.printed(SETS["ordinary"], "letter").texts
    procedure = [text for text in texts[1:] if "Do: procedure" in text]
    assert len(procedure) > 2
    assert all("Phase" in text.split("Do: procedure")[1][:20] for text in procedure)
    assert not any("Phase" in text for text in texts if "Torque, one row" in text)
