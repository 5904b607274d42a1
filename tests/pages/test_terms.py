"""Words of the trade: explained once, where a reader first meets them.

At most 25 on a sheet: our own choice, what the back of the summary holds.
"""

from __future__ import annotations

import re

import pytest

from packet import render
from packet.language import speaking
from packet.resources import language_of
from packet.sheets.terms import FirstUses, Term, terms
from tests.demos.conftest import NAMES, sheets
from tests.pages.fixtures import SETS
from tests.procedure.test_words import BANNED, grade, literal_faults

WORDS = re.compile(r'<div class="words">.*?</dl>\s*</div>', re.DOTALL)
WIRE = Term("wire", ("wire", "wires"), "A metal thread.")
GROUND_WIRE = Term("ground wire", ("ground wire",), "The wire that trips the breaker.")
BREAKER = Term("breaker", ("breaker",), "It opens by itself.")


def parts(name: str) -> dict[str, tuple[str, str]]:
    """Return the text of each sheet of a demo without its words, and the words."""
    found = {}
    whole = render.html(sheets(name), "letter")
    for part in whole.split('<section class="sheet ')[1:]:
        letter = re.search(r'data-letter="(.)"', part)
        assert letter
        explained = WORDS.search(part)
        found[letter[1]] = WORDS.sub("", part), explained[0] if explained else ""
    return found


@pytest.mark.parametrize("name", NAMES)
def test_each_word_of_a_demo_is_explained_once_and_not_later_than_it_is_used(name: str) -> None:
    met: set[str] = set()
    for letter, (sheet, explained) in parts(name).items():
        here = re.findall(r"<dt>(.*?)</dt>", explained)
        assert met.isdisjoint(here), letter
        met |= set(here)
        assert len(here) <= 25
        plain = re.sub(r"<[^>]*>", " ", sheet)
        for term in terms():
            used = any(
                re.search(rf"(?<![\w-]){re.escape(form)}(?![\w-])", plain) for form in term.forms
            )
            covered = any(
                form in longer and form != longer
                for form in term.forms
                for other in terms()
                for longer in other.forms
            )
            assert not used or covered or term.name in met, (letter, term.name)


@pytest.mark.parametrize("name", NAMES)
def test_the_words_of_a_sheet_come_before_its_first_step(name: str) -> None:
    if "D" in sheets(name).letters:
        whole = render.html(sheets(name), "letter")
        do = whole[whole.index('id="sheet-D"') :]
        assert 0 < do.index("Words on sheet D") < do.index('class="phase"')


def test_a_plan_reviewer_is_not_told_what_a_breaker_is() -> None:
    assert "Words on sheet" not in render.html(SETS["permit"], "letter")


def test_words_are_told_once_on_the_sheet_where_they_first_stand() -> None:
    first_uses = FirstUses((WIRE, GROUND_WIRE, BREAKER))
    assert first_uses("<p>Nothing of the trade: rewire, wire-free.</p>") == []
    assert first_uses("<p>Two <b>Wires</b>.</p>") == [WIRE]
    assert first_uses("<p>A wire and a breaker.</p>") == [BREAKER]
    assert first_uses("<p>A wire and a breaker.</p>") == []


def test_a_longer_word_is_not_taken_for_the_shorter_one() -> None:
    assert FirstUses((WIRE, GROUND_WIRE))("The ground\n wire") == [GROUND_WIRE, WIRE]
    assert FirstUses((WIRE, GROUND_WIRE))("The wire") == [WIRE]


def test_what_an_explanation_uses_is_explained_beside_it() -> None:
    assert FirstUses((WIRE, GROUND_WIRE, BREAKER))("ground wire") == [BREAKER, GROUND_WIRE, WIRE]


def test_tags_and_attributes_are_no_use_of_a_word() -> None:
    assert FirstUses((BREAKER,))('<p class="breaker">No word.</p>') == []


def test_a_word_has_one_heading_however_many_forms_a_language_has() -> None:
    with speaking(language_of("es")):
        found = {form: term for term in terms() for form in term.forms}
    assert found["listadas"].name == "listado"
    names = {term.name for term in found.values()}
    assert {name for name in names if "," in name} == {"lugar seco, húmedo o mojado"}


def test_no_form_belongs_to_two_words() -> None:
    forms = [form.casefold() for term in terms() for form in term.forms]
    assert sorted(set(forms)) == sorted(forms)


@pytest.mark.parametrize("term", terms(), ids=lambda term: term.name)
def test_an_explanation_is_short_plain_and_without_a_figure(term: Term) -> None:
    assert term.means.endswith(".")
    assert len(term.means.split()) <= 25
    assert all(len(one.split()) <= 20 for one in re.split(r"(?<=\.)\s", term.means))
    assert not BANNED.search(term.means)
    assert not list(literal_faults(term.means))


def test_the_explanations_read_at_grade_8_or_below() -> None:
    assert grade(" ".join(term.means for term in terms())) <= 8


def test_a_sign_is_told_from_a_word_by_its_capitals() -> None:
    volt_amperes = Term("VA", ("kVA", "VA"), "A unit.")
    assert FirstUses((volt_amperes,))("Si el cable va por la pared.") == []
    assert FirstUses((volt_amperes,))("180 VA each") == [volt_amperes]
    assert FirstUses((BREAKER,))("THE BREAKER") == [BREAKER]
