"""Large print: the same content as in regular print, set anew in larger type, nothing shrunk."""

from __future__ import annotations

import re
from collections import Counter
from functools import cache

import pytest

from packet import render
from packet.resources import PAPERS, folder
from packet.sheets.views import Outcome, SheetSet
from tests.demos.conftest import printed as printed_demo
from tests.demos.conftest import sheets
from tests.pages import checks
from tests.pages.fixtures import CARRY, FRAME, PROCEDURE

STYLES = folder("styles")
ONE = SheetSet(FRAME, Outcome.READY, (CARRY,))
TWO = SheetSet(FRAME, Outcome.READY, (CARRY, PROCEDURE))
MARGINS = re.compile(r"Page \d+ of \d+|page \d+")


@cache
def large(name: str, paper: str = "letter", reader: str = "clipboard") -> checks.Printed:
    """Return one set of a demo in large print."""
    return checks.printed(sheets(name, reader), paper, "large")


@pytest.mark.parametrize(
    ("name", "paper", "reader"),
    [
        ("garage-receptacle", "letter", "clipboard"),
        ("full-service", "letter", "clipboard"),
        ("cellar-subpanel", "letter", "client"),
        ("cellar-subpanel", "a4", "client"),
    ],
)
def test_pages_of_large_print_are_without_a_fault(name: str, paper: str, reader: str) -> None:
    made, pages = sheets(name, reader), large(name, paper, reader)
    assert checks.every_fault(pages, made, checks.SMALLEST_LARGE_TYPE) == []


def test_both_papers_have_the_same_pages_in_large_print() -> None:
    letter, a4 = (large("cellar-subpanel", paper, "client") for paper in PAPERS)
    assert checks.unlike_papers(letter, a4) == []


def test_regular_print_is_too_small_to_pass_for_large() -> None:
    pages = printed_demo("full-service")
    assert checks.small_type(pages) == []
    assert checks.small_type(pages, checks.SMALLEST_LARGE_TYPE) != []


@pytest.mark.parametrize("name", ["garage-receptacle", "full-service"])
def test_large_print_says_all_that_regular_print_says(name: str) -> None:
    """Pictures may cut a label elsewhere and heads of tables repeat, so words are compared."""
    regular, larger = words_of(printed_demo(name)), words_of(large(name))
    assert regular - larger == set()


def words_of(pages: checks.Printed) -> set[str]:
    return set(re.findall(r"[^\W_]+", MARGINS.sub(" ", " ".join(pages.texts))))


def test_a_word_that_is_left_out_is_caught() -> None:
    whole, part = (checks.printed(made, "letter", "large") for made in (TWO, ONE))
    assert words_of(whole) - words_of(part) != set()


def test_text_of_large_print_has_18_points() -> None:
    """ACB's guidelines for large print, 2022: 18 points for text, more for headings."""
    sizes = Counter(
        round(mark.measure, 1)
        for mark in checks.printed(TWO, "letter", "large").marks
        if mark.kind == "text"
    )
    assert sizes[18.0] > 0
    assert sum(count for size, count in sizes.items() if size >= 18) > sizes.total() / 2
    assert min(sizes) >= checks.SMALLEST_LARGE_TYPE


@pytest.mark.parametrize(("paper", "wide", "high"), [("letter", 279.4, 215.9), ("a4", 297, 210)])
def test_the_page_lies_on_its_side_with_the_same_live_area(
    paper: str, wide: float, high: float
) -> None:
    page = checks.printed(ONE, paper, "large").document.pages[0]
    assert page.width / checks.PX == pytest.approx(wide, abs=0.01)
    assert page.height / checks.PX == pytest.approx(high, abs=0.01)
    assert page._page_box.width / checks.PX == pytest.approx(240.8, abs=0.01)
    assert page._page_box.height / checks.PX == pytest.approx(164, abs=0.01)


def test_the_bar_for_the_ruler_is_as_long_as_it_says() -> None:
    """Drawn in the PDF 100 mm long in either print, or the check of the printer is none."""
    for print_size in ("regular", "large"):
        pages = render.html(ONE, "letter", print_size)
        bar = pages[pages.index('<div class="scale">') :]
        wide, view, path = re.findall(
            r'width="([\d.]+)mm".*?viewBox="0 0 ([\d.]+) .*?<path d="(M[^"]*)"', bar, re.DOTALL
        )[0]
        assert wide == view
        start, end = re.findall(r"M([\d.]+) [\d.]+H([\d.]+)", path)[0]
        assert float(end) - float(start) == pytest.approx(100)


def test_another_size_of_print_is_refused() -> None:
    with pytest.raises(ValueError, match="print `huge` is none of regular, large"):
        render.html(ONE, "letter", "huge")


SIZED = re.compile(r"\d(?:pt|px|rem)\b|(?<![-\w])width: [\d.]+mm")
SIGNS = (".tick ", ".alert ", ".diamond ")
"""Signs keep their size in large print."""


def sized(style: str) -> list[str]:
    """Return the lines with a size of type or a width that large print could not set anew."""
    lines = [line.strip() for line in style.splitlines()]
    return [line for line in lines if SIZED.search(line) and not line.startswith(SIGNS)]


def test_no_style_of_a_sheet_has_a_size_that_large_print_cannot_reach() -> None:
    own = {"base.css", "large.css", *(path.name for path in STYLES.glob("letter*.css"))}
    own |= {path.name for path in STYLES.glob("a4*.css")}
    found = {path.name: sized(path.read_text("utf-8")) for path in STYLES.glob("*.css")}
    assert {name: lines for name, lines in found.items() if lines and name not in own} == {}
    assert sized(".x { font-size: 11pt }")
    assert sized("col.x { width: 44mm }")
