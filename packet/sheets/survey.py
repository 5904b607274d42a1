"""Sheet Q: the questions of a job on paper, for a house nobody has looked at yet."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator

from packet import __version__, resources, words
from packet.asking import Group, Question, are_numbered, stations
from packet.language import ENGLISH, speaking
from packet.quantities import UNIT_LABELS
from packet.sheets import views

ABREAST = 4
"""Columns to write in that stand beside the questions."""


def survey_set() -> views.SheetSet:
    """Return the survey sheet as a set of its own; it needs no job."""
    return views.SheetSet(
        views.Frame(
            job_number="",
            title=resources.texts("questions")["title"],
            edition="",
            stamp=_stamp(),
            issued="",
            revision="",
            version=__version__,
            code_book="",
        ),
        views.Outcome.READY_IF,
        (survey(),),
        views.Reader.SURVEY,
    )


def survey() -> views.Survey:
    """Return sheet Q."""
    texts = resources.texts("questions")
    caution = texts["caution"]
    return views.Survey(
        texts["intro"],
        views.Hazard(caution["signal"], caution["what"], caution["harm"], caution["avoid"]),
        tuple(texts["stop"]),
        tuple(
            views.SurveyStation(
                station.title,
                station.bring,
                tuple(
                    views.SurveyGroup(group.title, tuple(_runs(group))) for group in station.groups
                ),
            )
            for station in stations()
        ),
    )


def _stamp() -> str:
    """Return the check code of the form, the same in every language."""
    with speaking(ENGLISH):
        code = hashlib.sha256(repr(survey()).encode()).hexdigest().upper()
    return f"{code[:4]}-{code[4:6]}"


def _runs(group: Group) -> Iterator[tuple[views.SurveyQuestion, ...] | views.SurveyLines]:
    run: list[views.SurveyQuestion] = []
    for question in group.questions:
        if question.key.type == "list":
            if run:
                yield tuple(run)
            run = []
            yield _lines(group, question)
        elif "*" not in question.key.path:
            run.append(_question(question))
    if run:
        yield tuple(run)


def _lines(group: Group, question: Question) -> views.SurveyLines:
    inner = tuple(_question(one) for one in group.lines_of(question))
    numbers = tuple(range(1, question.rows + 1))
    blocks = tuple(numbers[at : at + ABREAST] for at in range(0, len(numbers), ABREAST))
    lines = views.SurveyLines(question.ask, question.look, inner, blocks)
    return (
        views.SurveyLines(question.ask, question.look, inner, (numbers,))
        if lines.in_rows
        else lines
    )


def _question(question: Question) -> views.SurveyQuestion:
    condition = (*question.key.only_when, *question.only_if)
    with_these = dict.fromkeys(words.term(value) for _, values in condition for value in values)
    return views.SurveyQuestion(
        question.ask,
        question.look,
        _answer(question),
        ", ".join(with_these),
        question.short,
    )


def _answer(question: Question) -> views.SurveyAnswer:
    key = question.key
    if key.type in ("section", "yes/no"):
        return views.SurveyAnswer("yes_no", (words.yes_or_no(True), words.yes_or_no(False)))
    if key.choices:
        choices = tuple(words.term(choice) for choice in key.choices)
        return views.SurveyAnswer("ticks", choices, by_number=are_numbered(key))
    if key.type == "text":
        return views.SurveyAnswer("long")
    units = [UNIT_LABELS[unit] for unit in key.units]
    return views.SurveyAnswer("blank", units=" · ".join(filter(None, units)))
