"""The faults of one job file, collected, and the exception that carries them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from typing import Any

from packet.problems import Problem, Span, plain, report
from packet.textdata import load

JOB_FILE = {
    "kind": "a job file",
    "holds": "job",
    "sample": "a copy of a file in `jobs/`",
    "other": "a file in `jobs/`",
    "first": "write `work:` on a line of its own, and its values below it",
}
"""How messages speak of a job file."""


class JobFaults(Exception):
    """The job file has faults; its text is the whole report.

    Parameters
    ----------
    problems : sequence of Problem
        Every fault of the phase that failed, at least one.
    """

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__(report(self.problems))


@dataclass
class Faults:
    """Collects the faults of one file.

    Parameters
    ----------
    file : str
        Name of the file as the reader gave it.
    lines : sequence of str
        Its text, line by line; empty before it is read.
    kind : mapping
        What a message calls such a file, and where it points to for comparison.
    """

    file: str
    lines: Sequence[str] = ()
    kind: dict[str, str] = field(default_factory=lambda: JOB_FILE)
    found: list[Problem] = field(default_factory=list)

    def add(self, code: str, span: Span, case: str = "", **words: object) -> None:
        """Note a fault; `case` picks among several sentences of help, `words` fill them."""
        wording = wordings()[code]
        advice = wording.get("help", "")
        if isinstance(advice, dict):
            advice = advice[case]
        said = {**self.kind, **{name: plain(str(word)) for name, word in words.items()}}
        text = self.lines[span.line - 1] if span.line <= len(self.lines) else ""
        problem = Problem(
            code, span, wording["error"].format_map(said), advice.format_map(said), text
        )
        self.found.append(problem)

    def stop(self) -> None:
        """Raise what was found, if anything was.

        Raises
        ------
        JobFaults
            When there is at least one fault.
        """
        if self.found:
            raise JobFaults(self.found)

    def whole(self) -> Span:
        """Return the place of a fault of the file as a whole."""
        return Span(self.file, 1, 1, 0)


@cache
def wordings() -> dict[str, dict[str, Any]]:
    """Return what is said and advised for every fault, by code."""
    text = (files("packet") / "jobfile" / "faults.yaml").read_text("utf-8")
    found: dict[str, dict[str, Any]] = load(text)
    return found
