"""The printed record: everything wrong at once and the longest answers, clean on both papers."""

from __future__ import annotations

from functools import cache

import pytest

from packet.plans.record import record
from packet.render import fields
from packet.sheets.record import forms_set, record_set
from packet.sheets.views import RecordOfWork, SheetSet
from packet.showing import show
from tests.demos.conftest import planned
from tests.demos.test_pages import numbers, shown_numbers
from tests.pages import checks
from tests.pages.validators import VALIDATORS
from tests.plans.test_record import NAME, good, row

WORST = {
    **{row(f"live-l1-{end}"): "131" for end in "ng"},
    **{row(f"live-l2-{end}"): "110" for end in "ng"},
    row("apart-n-g"): "0.2 ohm",
    row("grounding-path"): "OL",
    row("neutral-path"): "OL",
    row("loaded-l1-l2"): "228.4",
    row("voltage-fall"): "1",
    row("dead-l1-l2"): "nothing that would stand still, the display jumped",
    "E.2.set": "",
    "E.4.set": "4,75",
    "E.5.set": "90 lbf-in",
    "E.calibrated_until": "2025-01-31",
    "M.circuit.breaker.built": "50 A, of the other kind, bought at the second shop on the way",
    "M.circuit.breaker.by": "MO 09-20",
    "M.did.name": "Maren Oduya, with Idris Vale",
}


@cache
def worst() -> SheetSet:
    plan = planned(NAME)
    written = {name: text for name, text in {**good(), **WORST}.items() if text}
    tips = {name: field.tip for name, field in fields(forms_set(plan)).items()}
    return record_set(plan, record(plan, written), written, tips)


def test_the_record_is_without_a_fault_on_both_papers() -> None:
    letter, a4 = checks.printed(worst(), "letter"), checks.printed(worst(), "a4")
    assert checks.every_fault(letter, worst()) == []
    assert checks.unlike_papers(letter, a4) == []
    assert checks.margin_collisions(a4) == []


@pytest.mark.parametrize("by", ["page-validation", "qpdf", "poppler"])
def test_no_validator_complains_of_the_record(by: str) -> None:
    assert VALIDATORS[by](checks.printed(worst(), "letter").content) == []


def test_the_verdict_and_what_to_do_come_before_every_row() -> None:
    front = checks.printed(worst(), "letter").texts[0]
    assert "DO NOT USE" in front
    assert front.index("What is outside, and what to do") < front.index("Loosen it first")
    text = " ".join(" ".join(checks.printed(worst(), "letter").texts).split())
    order = ["What is outside", "points to", "What is missing", "under load show", "Readings, as"]
    assert [text.index(part) for part in order] == sorted(text.index(part) for part in order)
    assert "calibrated until 2025-01-31" in text
    assert "worked out here: 12.8 V" in text
    assert "50 A, of the other kind" in text


def test_every_number_is_a_value_of_the_plan_or_of_the_record_or_was_written() -> None:
    plan = planned(NAME)
    written = {name: text for name, text in {**good(), **WORST}.items() if text}
    kept = record(plan, written)
    known = shown_numbers(NAME)
    for text in (*written.values(), *(show(entry) for entry in kept.ledger)):
        known |= numbers(text)
    found: set[str] = set()
    for text in checks.printed(worst(), "letter").texts:
        found |= numbers(text)
    # a reading in its column is followed by the words `in band`
    assert {one for one in found - known if not one.endswith(" in")} == set()


def test_the_first_sheet_tells_everything_that_is_wrong() -> None:
    sheet = worst().sheets[0]
    assert isinstance(sheet, RecordOfWork)
    assert sheet.verdict == "do_not_use"
    assert {one.number for one in sheet.outside} >= {"E-5", "F-6", "F-15", "F-17", "F-26"}
    assert "the neutral of the service" in sheet.faults[0].name.lower()
    assert sheet.faults[0].source.startswith("Ohm's\u00a0law node equations, loose service")
