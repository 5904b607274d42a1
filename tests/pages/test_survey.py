"""The survey sheet: every question of a job on paper, and pages such as the other sheets have."""

from __future__ import annotations

import html
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest

from packet import cli, render
from packet.asking import stations
from packet.language import speaking
from packet.resources import language_of
from packet.sheets.survey import survey_set
from packet.sheets.views import SheetSet, Survey, SurveyLines
from tests.pages import checks
from tests.pages.validators import VALIDATORS

WHOLE = survey_set()


@cache
def part() -> SheetSet:
    """The caution, and groups that between them have every kind of question and table."""
    (sheet,) = WHOLE.sheets
    assert isinstance(sheet, Survey)
    house, route = sheet.stations[3], sheet.stations[5]
    kept = (replace(house, groups=house.groups[1:2]), replace(route, groups=route.groups[1:2]))
    return replace(WHOLE, sheets=(replace(sheet, stations=kept),))


def runs() -> list[object]:
    (sheet,) = part().sheets
    assert isinstance(sheet, Survey)
    return [run for station in sheet.stations for group in station.groups for run in group.runs]


def test_the_part_has_every_kind_of_table() -> None:
    lines = [run for run in runs() if isinstance(run, SurveyLines)]
    assert {run.in_rows for run in lines} == {True, False}
    assert len(lines) < len(runs())


def test_pages_have_no_fault() -> None:
    assert checks.every_fault(checks.printed(WHOLE, "letter"), WHOLE) == []


def test_both_papers_have_the_same_pages() -> None:
    letter, a4 = (checks.printed(part(), paper) for paper in ("letter", "a4"))
    assert checks.unlike_papers(letter, a4) == []
    assert checks.margin_collisions(a4) == []
    assert checks.inked_margins(a4) == []


def test_large_print_has_no_fault() -> None:
    pages = checks.printed(part(), "letter", "large")
    assert checks.every_fault(pages, part(), checks.SMALLEST_LARGE_TYPE) == []


@pytest.mark.parametrize("by", VALIDATORS)
def test_no_validator_complains(by: str) -> None:
    assert VALIDATORS[by](checks.printed(WHOLE, "letter").content) == []


def test_every_question_of_start_is_on_paper_with_where_to_look() -> None:
    page = html.unescape(render.html(WHOLE, "letter"))
    for station in stations():
        assert station.title in page
        assert station.bring in page
        for group in station.groups:
            for question in group.questions:
                assert question.ask in page
                assert question.look in page


def test_the_first_page_tells_that_nothing_is_opened_and_when_to_stop() -> None:
    front = " ".join(checks.printed(WHOLE, "letter").texts[0].split())
    assert "WARNING" in front
    assert "Leave every cover on" in front
    assert "Stop, and call a licensed electrician, where" in front
    assert "Blank form: no job yet" in front
    assert "Values" not in front


def test_units_stand_in_the_blanks_and_choices_beside_their_boxes() -> None:
    page = render.html(WHOLE, "letter")
    rating = page[page.index("What is the rating of the service?") :]
    assert rating.index('<span class="hint">A</span>') < rating.index("</tr>")
    house = page[page.index("What kind of house is it?") :]
    row = house[: house.index("</tr>")]
    assert row.count('class="tick"') == 4  # three choices, and not known


def test_the_form_has_one_code_in_every_language_and_another_when_a_question_changes(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    with speaking(language_of("es")):
        assert survey_set().frame.stamp == WHOLE.frame.stamp
    monkeypatch.setattr("packet.sheets.survey.ABREAST", 3)
    assert survey_set().frame.stamp != WHOLE.frame.stamp


def test_the_command_needs_no_job(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(render, "pdf", lambda *_: b"%PDF-1.7")
    arguments = ["survey", "--out", str(tmp_path), "--print", "large", "--paper", "a4"]
    assert cli.main(arguments) == 0
    assert capsys.readouterr().out == f"{tmp_path / 'survey-large.pdf'}\n"
    assert (tmp_path / "survey-large.pdf").read_bytes() == b"%PDF-1.7"
