"""The questions, the table of keys and the plan agree with each other."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import pytest

from packet import resources
from packet.asking import Answers, Question, stations, walk
from packet.asking.answers import starred
from packet.commands import schema
from packet.jobfile.json_schema import json_schema
from packet.jobfile.schema import Condition, Key, keys
from packet.ledger import Ledger, Verdict
from packet.plans.branch_circuit import plan
from tests.demos.conftest import NAMES, planned

ROOT = Path(__file__).parents[2]
ALL = [
    question for station in stations() for group in station.groups for question in group.questions
]
QUESTIONS = {question.key.path: question for question in ALL}
PLACES = {path: number for number, path in enumerate(QUESTIONS)}


def test_each_value_and_each_list_is_asked_for_once() -> None:
    assert len(ALL) == len(QUESTIONS)
    wanted = {path for path, key in keys().items() if key.type != "section"}
    assert {
        path for path, question in QUESTIONS.items() if question.key.type != "section"
    } == wanted


def test_only_what_may_be_absent_is_asked_whether_it_is_there() -> None:
    for question in ALL:
        if question.key.type == "section":
            assert not question.key.required, question.key.path


def test_each_question_is_whole() -> None:
    """What is asked, where to look and why; a list also asks for more, and has lines on paper."""
    for question in ALL:
        is_list = question.key.type == "list"
        assert question.ask.endswith("?"), question.key.path
        assert question.look.endswith("."), question.key.path
        assert question.why.endswith("."), question.key.path
        assert question.more.endswith("?") == is_list, question.key.path
        assert (question.rows > 0) == is_list, question.key.path


def conditions(question: Question) -> list[tuple[str, tuple[str, ...]]]:
    """Return every condition of a question and of the sections around it, by whole path."""
    found: list[tuple[str, tuple[str, ...]]] = []

    def take(condition: Condition, path: str) -> None:
        around = path.rpartition(".")[0]
        for name, values in condition:
            found.append((name if "." in name else f"{around}.{name}".lstrip("."), values))

    take(question.only_if, question.key.path)
    key: Key | None = question.key
    while key is not None:
        take(key.only_when, key.path)
        if key.type == "section":
            take(key.required_when, key.path)
        key = keys().get(key.parent)
    return found


def test_what_a_question_depends_on_is_asked_before() -> None:
    for question in ALL:
        for path, values in conditions(question):
            other = QUESTIONS[path]
            assert PLACES[path] < PLACES[question.key.path], question.key.path
            assert set(values) <= (set(other.key.choices) or {"yes", "no"}), question.key.path
        for path in QUESTIONS:
            if question.key.path.startswith(f"{path}."):
                assert PLACES[path] < PLACES[question.key.path], question.key.path


def answers_before(question: Question) -> Answers:
    """Return the fewest answers under which a question is asked."""
    answers = Answers("answers")
    ahead = [question]
    while ahead:
        one = ahead.pop()
        for path, values in conditions(one):
            if path in QUESTIONS:
                ahead.append(QUESTIONS[path])
            answers = answers.with_answer(path.replace("*", "1"), values[0])
        parent = one.key.parent
        while parent:
            if parent in QUESTIONS and keys()[parent].type == "section":
                answers = answers.with_answer(parent.replace("*", "1"), "yes")
                ahead.append(QUESTIONS[parent])
            elif parent.endswith(".*"):
                answers = answers.with_answer(parent.replace("*", "1"), "yes")
            parent = parent.rpartition(".")[0]
    return answers


def test_each_question_can_be_reached() -> None:
    """A key that nobody is ever asked for would stay an open question for good."""
    for question in ALL:
        path = question.key.path.replace("*", "1")
        path += ".1" if question.key.type == "list" and not question.key.at_least else ""
        path += ".2" if question.key.at_least else ""
        assert path in [asked.path for asked in walk(answers_before(question))], path


def test_what_does_not_apply_is_not_asked() -> None:
    """One condition is broken at a time; the question is gone each time."""
    broken = 0
    for question in ALL:
        path = question.key.path.replace("*", "1")
        path += ".1" if question.key.type == "list" else ""
        for needed, values in conditions(question):
            other = QUESTIONS[needed].key
            wrong = next(one for one in (*other.choices, "yes", "no") if one not in values)
            answers = answers_before(question).with_answer(needed.replace("*", "1"), wrong)
            assert path not in [asked.path for asked in walk(answers)], (path, needed)
            broken += 1
    assert broken > 40


def test_one_walks_from_the_papers_to_the_shop() -> None:
    assert [station.id for station in stations()] == [
        *("papers", "meter", "panel", "house", "outlet", "route", "shop")
    ]


# ------------------------------------------------------------------ what an absence costs


def open_checks(ledger: Ledger) -> set[str]:
    return {check.name for check in ledger.checks.values() if check.verdict is Verdict.ASK}


@cache
def answered(name: str) -> Answers:
    return Answers.read(ROOT / "jobs" / f"{name}.yaml")


def opened_without(name: str, *paths: str) -> set[str]:
    """Return the open questions of a demo that come when it says nothing about `paths`."""
    ledger = plan(answered(name).without(*paths).job()).ledger
    return open_checks(ledger) - open_checks(planned(name).ledger)


SHOWN_BY = {
    "cellar-subpanel": (
        *("dwelling.loads.*.on_subpanel", "panel.feeder.ambient", "route.*.current_carrying_extra"),
        *("panel.feeder.serves", "circuit.equipment"),
    ),
    "driveway-pedestal": ("route.*.insulation", "route.*.bends", "route.*.cover"),
    "full-service": ("circuit.equipment.fastened", "utility"),
    "garage-receptacle": (
        *("panel.place", "panel.highest_handle", "panel.working_space.width"),
        *("panel.working_space.depth", "panel.working_space.height"),
        *("panel.working_space.door_opens", "circuit.detached_building"),
        *("route.*.ambient", "route.*.wet", "route.*.edge_distance", "boxes", "terminals"),
    ),
}
"""Answers that open a question where they are missing, and a demo that has them."""


def test_what_is_said_to_open_a_question_is_that_and_no_more() -> None:
    shown = {path for paths in SHOWN_BY.values() for path in paths}
    assert {path for path, question in QUESTIONS.items() if question.opens} == shown


@pytest.mark.parametrize("name", NAMES)
def test_what_is_said_to_open_a_question_opens_one(name: str) -> None:
    for path in SHOWN_BY[name]:
        gone = [at for at in answered(name).said if f"{starred(at)}.".startswith(f"{path}.")]
        assert gone
        assert opened_without(name, *gone), path


@pytest.mark.parametrize("name", NAMES)
def test_nothing_else_that_is_left_out_opens_a_question(name: str) -> None:
    """Then the person would be told that the packet does without it."""
    gone = []
    for path in answered(name).said:
        key = keys().get(starred(path))
        if key is None or key.type in ("section", "list") or key.required or key.unknown:
            continue
        silent = not QUESTIONS[key.path].opens and not key.required_when
        needed_beside = key.name in ("volts", "tandem", "buried") or path.startswith(
            ("offer", "prices", "people.installer")
        )
        if silent and not needed_beside:
            gone.append(path)
    assert len(gone) > 30
    assert opened_without(name, *gone) == set()


# ----------------------------------------------------------------- one table, many readers


def test_readme_and_commands_name_the_one_table(capsys: pytest.CaptureFixture[str]) -> None:
    readme = (ROOT / "README.md").read_text("utf-8")
    assert "`packet/jobfile/schema.yaml`" in readme
    assert "packet schema" in readme
    assert "packet start" in readme
    assert schema.run(None) == 0  # type: ignore[arg-type]
    assert json.loads(capsys.readouterr().out) == json_schema()


def test_what_names_a_key_or_a_choice_is_no_text_to_translate() -> None:
    collected = resources.sentences(resources.folder("templates") / "questions.yaml")
    for question in ALL:
        assert {question.ask, question.look} <= set(collected)
        assert question.why not in collected  # put at the terminal only, which speaks English
    codes = {value for question in ALL for _, values in question.only_if for value in values}
    assert codes
    assert not codes & set(collected)
