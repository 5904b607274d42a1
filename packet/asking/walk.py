"""Which questions there are for the answers given so far, in order."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import count

from packet.asking.answers import Answers, starred
from packet.asking.questions import Group, Question, Station, stations
from packet.jobfile.schema import Condition, Key, keys


@dataclass(frozen=True)
class Asked:
    """A question at its place.

    Parameters
    ----------
    path : str
        What the answer is called: ``route.2.length``; of the question whether there is a
        section or another line, the section or the line: ``route.2``.
    question : Question
    station : Station
    group : Group
    is_gate : bool
        Whether it asks if there is one at all; answered with yes or no.
    needed : bool
        Whether no job is whole without an answer; silence is no answer to it.
    """

    path: str
    question: Question
    station: Station
    group: Group
    is_gate: bool
    needed: bool

    @property
    def line(self) -> str:
        """The line of a list that it is about; empty outside of lists."""
        found = re.match(r".*\.[0-9]+(?=\.|$)", self.path)
        return found[0] if found else ""

    @property
    def text(self) -> str:
        """The question as it is put here."""
        first = self.path.endswith(".1") or self.question.key.type != "list"
        return self.question.ask if first else self.question.more


def open_questions(answers: Answers) -> Iterator[Asked]:
    """Yield each question that applies and has no answer yet, in order."""
    for asked in walk(answers):
        implied = asked.is_gate and answers.has(asked.path)
        if answers.text_of(asked.path) is None and not implied:
            yield asked


def walk(answers: Answers) -> Iterator[Asked]:
    """Yield each question that applies, in order; what follows depends on the answers.

    Where a question has no answer yet, those after it are such as they are without it.
    """
    for station in stations():
        for group in station.groups:
            for question in group.questions:
                if "*" not in question.key.path:
                    yield from _one(answers, question, station, group, "")


def _one(
    answers: Answers, question: Question, station: Station, group: Group, line: str
) -> Iterator[Asked]:
    key = question.key
    path = key.path.replace(f"{starred(line)}.", f"{line}.", 1) if line else key.path
    if not _applies(answers, question, path):
        return
    if key.type == "list":
        yield from _lines(answers, question, station, group, path)
    else:
        is_gate = key.type == "section"
        if not (is_gate and _must(answers, key, path)):
            yield Asked(path, question, station, group, is_gate, _must(answers, key, path))


def _lines(
    answers: Answers, question: Question, station: Station, group: Group, path: str
) -> Iterator[Asked]:
    for number in count(1):
        line = f"{path}.{number}"
        if number > question.key.at_least:
            claims_none = number == 1 and question.key.required
            yield Asked(line, question, station, group, is_gate=True, needed=claims_none)
            if not answers.has(line):
                return
        for member in group.lines_of(question):
            yield from _one(answers, member, station, group, line)


def _applies(answers: Answers, question: Question, path: str) -> bool:
    return (
        _is_open(answers, path)
        and _holds(answers, question.key.only_when, path)
        and _holds(answers, question.only_if, path)
    )


def _is_open(answers: Answers, path: str) -> bool:
    """Whether every section around `path` is there."""
    around = path.rpartition(".")[0]
    if not around:
        return True
    key = keys().get(starred(around))
    if key is None or key.type == "list":  # a line of a list, which its own question opens
        return True
    if not (_is_open(answers, around) and _holds(answers, key.only_when, around)):
        return False
    return (
        answers.has(around)
        or _must(answers, key, around)
        or not (key.required_when or key.path in _asked_for())
    )


@cache
def _asked_for() -> frozenset[str]:
    """Return the sections that have a question of their own."""
    return frozenset(
        question.key.path
        for station in stations()
        for group in station.groups
        for question in group.questions
        if question.key.type == "section"
    )


def _must(answers: Answers, key: Key, path: str) -> bool:
    return key.required or (bool(key.required_when) and _holds(answers, key.required_when, path))


def _holds(answers: Answers, condition: Condition, path: str) -> bool:
    around = path.rpartition(".")[0]
    for name, values in condition:
        at = name if "." in name else f"{around}.{name}".lstrip(".")
        if answers.text_of(at) not in values:
            return False
    return True
