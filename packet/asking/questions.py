"""The questions: where one stands, what is asked there, where to look, and why."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from packet import resources
from packet.jobfile.schema import Condition, Key, keys
from packet.language import cached


@dataclass(frozen=True)
class Question:
    """One question about one key.

    Parameters
    ----------
    key : Key
        A value, an optional section, or a list.
    ask, look, why : str
        The question; where the answer is found; what it is for.
    more : str
        Of a list: asks whether there is another line.
    only_if : Condition
        Answers of keys asked before under which it is asked; a name without a dot is a
        neighbour of the key.
    opens : bool
        Whether the packet prints an open question where there is no answer.
    rows : int
        Of a list: how many lines are printed on the survey sheet.
    short : str
        Head of its column, where the lines of its list stand below each other.
    """

    key: Key
    ask: str
    look: str
    why: str
    more: str = ""
    only_if: Condition = ()
    opens: bool = False
    rows: int = 0
    short: str = ""


@dataclass(frozen=True)
class Group:
    """Questions of one subject."""

    title: str
    questions: tuple[Question, ...]

    def lines_of(self, question: Question) -> tuple[Question, ...]:
        """Return the questions about each line of a list."""
        inside = f"{question.key.path}.*."
        return tuple(one for one in self.questions if one.key.path.startswith(inside))


@dataclass(frozen=True)
class Station:
    """A place where one stands, and what one brings there."""

    id: str
    title: str
    bring: str
    groups: tuple[Group, ...]


@cached
def stations() -> tuple[Station, ...]:
    """Return all questions, station by station.

    Raises
    ------
    KeyError
        When a question is about no key of the table.
    """
    return tuple(
        Station(
            place["id"],
            place["title"],
            place["bring"],
            tuple(
                Group(
                    group["title"],
                    tuple(_question(path, line) for path, line in group["questions"].items()),
                )
                for group in place["groups"]
            ),
        )
        for place in resources.texts("questions")["stations"]
    )


def are_numbered(key: Key) -> bool:
    """Whether the choices of a key may be answered by their number: none looks like one."""
    return not any(re.match(r"[0-9]{1,2}\b", choice) for choice in key.choices)


def _question(path: str, line: dict[str, Any]) -> Question:
    return Question(
        keys()[path],
        line["ask"],
        line["look"],
        line["purpose"],
        line.get("another", ""),
        tuple((name, tuple(values)) for name, values in line.get("only_if", {}).items()),
        "opens" in line,
        int(line.get("rows", 0)),
        line.get("short", ""),
    )
