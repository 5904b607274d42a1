"""Every demo in a made-up language: no word from Python, and all of it fits its place."""

from __future__ import annotations

import html
import re
from dataclasses import replace
from functools import cache

import pytest

from packet import render, words
from packet.jobfile import load_job
from packet.language import said, speaking
from packet.plans.branch_circuit import plan
from packet.resources import language_of
from packet.sheets import sets, views
from packet.showing import stamp
from tests.demos.conftest import JOBS, NAMES, planned
from tests.demos.conftest import printed as printed_in_english
from tests.language.pseudo import pseudo, pseudo_language
from tests.language.words import strangers
from tests.pages import checks

PRINTED = ["garage-receptacle", "full-service"]
"""One job with all its sheets and one that may not start; the others cost minutes."""


@cache
def in_pseudo(name: str) -> views.SheetSet:
    """Return a clipboard set; K and L are long, and printed of the job that has no others."""
    with speaking(pseudo_language()):
        whole = sets.clipboard_set(planned(name))
    if views.SHORTFALL_SHEETS.issuperset(whole.letters):
        return whole
    return replace(whole, sheets=tuple(one for one in whole.sheets if one.letter not in "KL"))


def words_of_nowhere(name: str, texts: list[str]) -> set[str]:
    job = load_job(next(path for path in JOBS if path.stem == name))
    return strangers(texts, job, planned(name))


@pytest.mark.parametrize("name", PRINTED)
def test_a_language_a_third_longer_fits_its_pages(name: str) -> None:
    with speaking(pseudo_language()):
        pages = checks.printed(in_pseudo(name), "letter")
        assert checks.every_fault(pages, in_pseudo(name)) == []
        ends = ("END OF SHEET %(letter)s", "Words of sheet %(letter)s: over")
        assert any(said(end) % {"letter": "A"} in pages.texts[0] for end in ends), "one page"


@pytest.mark.parametrize("name", PRINTED)
def test_every_word_comes_from_a_catalog_or_stays_in_every_language(name: str) -> None:
    with speaking(pseudo_language()):
        pages = checks.printed(in_pseudo(name), "letter")
    assert words_of_nowhere(name, pages.texts) == set()


def test_spanish_lacks_nothing_and_fits_its_pages() -> None:
    """Terms after NOM-001-SEDE-2012 and the Spanish safety sheets of OSHA and CPWR."""
    spanish = language_of("es")
    assert spanish.missing == 0
    with speaking(spanish):
        whole = sets.clipboard_set(planned("full-service"))
        pages = checks.printed(whole, "letter")
        assert checks.every_fault(pages, whole) == []
    assert "NO EMPIECE" in pages.texts[0]
    assert "FIN DE LA HOJA A" in pages.texts[1]


@pytest.mark.parametrize(
    ("english", "spanish"),
    [
        *(("DANGER", "PELIGRO"), ("WARNING", "ADVERTENCIA")),
        *(("CAUTION", "PRECAUCIÓN"), ("NOTICE", "AVISO")),
    ],
)
def test_signal_words_are_those_of_the_standard(english: str, spanish: str) -> None:
    """ANSI Z535.4 in Spanish, from memory."""
    with speaking(language_of("es")):
        assert said(english) == spanish


TAG = re.compile(r"<[^>]*>")
ATTRIBUTE = re.compile(r' (?:title|data-[a-z]+)="([^"]*)"')
"""What is said besides the text: tool tips, lines in the margins, words that a style prints."""


def texts_of(page: str) -> list[str]:
    return [html.unescape(text) for text in (*TAG.split(page), *ATTRIBUTE.findall(page))]


@pytest.mark.parametrize("reader", sets.SETS)
@pytest.mark.parametrize("name", NAMES)
def test_no_set_has_a_word_that_no_catalog_has(name: str, reader: str) -> None:
    """Tool tips and the texts of pictures too, which are on no printed page."""
    with speaking(pseudo_language()):
        page = render.html(sets.SETS[reader](planned(name)), "letter")
    assert words_of_nowhere(name, texts_of(page)) == set()


def test_a_bare_word_in_a_tip_a_margin_or_a_picture_is_caught() -> None:
    page = '<p data-name="Sheet"><input title="done &amp; seen"></p><title>lands</title>'
    found = words_of_nowhere("full-service", texts_of(page))
    assert found == {"Sheet", "done", "seen", "lands"}


def test_english_pages_have_words_that_are_not_of_the_made_up_language() -> None:
    """Without this, a check that lets everything through would pass."""
    found = words_of_nowhere("full-service", printed_in_english("full-service").texts)
    assert {"Summary", "Page", "NOT", "START", "load", "worksheet", "Answer"} <= found


@pytest.mark.parametrize(
    ("written", "planted"),
    [
        ("keep the lid shut", {"keep", "the", "lid", "shut"}),
        ("KEEP OUT", {"KEEP", "OUT"}),
        ("Kéep", {"Kéep"}),
    ],
)
def test_a_word_written_in_python_is_caught(written: str, planted: set[str]) -> None:
    with speaking(pseudo_language()):
        sheet = next(s for s in in_pseudo("garage-receptacle").sheets if s.letter == "E")
        assert isinstance(sheet, views.Torque)
        spoiled = views.SheetSet(
            in_pseudo("garage-receptacle").frame,
            views.Outcome.READY,
            (replace(sheet, again=written),),
        )
        texts = checks.printed(spoiled, "letter").texts
    assert words_of_nowhere("garage-receptacle", texts) == planted


def test_a_text_that_no_catalog_has_is_caught() -> None:
    with speaking(pseudo_language()):
        assert said("Shopping list") != "Shopping list"
        assert words_of_nowhere("full-service", [said("Not in any catalog")]) == {
            "Not",
            "in",
            "any",
            "catalog",
        } - {"in"}  # also the unit


def test_overflow_of_a_word_too_long_for_its_place_is_caught() -> None:
    """The made-up language must be long enough to press against the columns."""
    with speaking(pseudo_language()):
        sheets = in_pseudo("full-service")
        one = views.SheetSet(sheets.frame, sheets.outcome, sheets.sheets[1:2])
        html = render.html(one, "letter").replace(pseudo("Line"), pseudo("Line" * 4))
        faults = checks.overflow(checks.printed_html(html))
    assert any("runs out of its th" in fault for fault in faults)


def test_a_persons_own_words_numbers_and_citations_stay() -> None:
    plan = planned("full-service")
    for_english = sets.clipboard_set(plan)
    assert in_pseudo("full-service").frame == for_english.frame
    shown = {sheet.letter: sheet for sheet in in_pseudo("full-service").sheets}
    for sheet in for_english.sheets:
        if isinstance(sheet, views.Summary):
            other = shown["A"]
            assert isinstance(other, views.Summary)
            assert (other.address, other.owner) == (sheet.address, sheet.owner)
            digits = [
                [re.findall(r"\d[\d,./]*", line.value) for line in one.key_values]
                for one in (other, sheet)
            ]
            rows = min(map(len, digits))  # a longer language leaves room for fewer
            assert digits[0][:rows] == digits[1][:rows]
            assert rows >= 2
            assert digits[0][0]
        if isinstance(sheet, views.LoadWorksheet):
            other = shown["K"]
            assert isinstance(other, views.LoadWorksheet)
            amounts = [[line.source for line in m.lines] for m in other.methods]
            assert amounts == [[line.source for line in m.lines] for m in sheet.methods]


def test_the_stamp_is_the_same_in_every_language() -> None:
    ledger = planned("garage-receptacle").ledger
    english = stamp(ledger)
    with speaking(pseudo_language()):
        assert stamp(ledger) == english
        assert words.yes_or_no(True) == pseudo("yes")


@pytest.mark.parametrize("name", [path.stem for path in JOBS])
def test_a_plan_made_while_another_language_is_spoken_is_the_english_one(name: str) -> None:
    with speaking(pseudo_language()):
        other = plan(load_job(next(path for path in JOBS if path.stem == name)))
        assert words.yes_or_no(True) == pseudo("yes"), "still spoken afterwards"
    english = planned(name)
    assert stamp(other.ledger) == stamp(english.ledger)
    assert other.ledger == english.ledger
