"""The checks in words: each finding rendered from ``templates/findings`` with shown values."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Any

from jinja2 import Environment, StrictUndefined

from packet import language, resources
from packet.ledger import Check, Ledger, Verdict
from packet.showing import show, show_citation

_NUMBER = re.compile(r"(?<=\.)\d+(?=\.|$)")


@dataclass(frozen=True)
class Finding:
    """One check in the reader's words.

    `who` says who can answer, where the verdict is `ask`; `source` is the citation
    line; `place` points at the job file's line where a given value fell short.
    """

    name: str
    verdict: Verdict
    asks: str
    says: str
    who: str
    source: str
    place: str


def finding(check: Check, ledger: Ledger) -> Finding:
    """Return `check` in words.

    Raises
    ------
    KeyError
        When the texts have no words for this check and verdict.
    """
    line = texts()[_NUMBER.sub("*", check.name)]
    says = line[check.verdict.name.lower()]
    context = {
        "left": show(check.left) if check.left else "",
        "right": show(check.right) if check.right else "",
        "remedy": show(check.remedy) if check.remedy else "",
        "n": next(iter(_NUMBER.findall(check.name)), ""),
        "v": lambda name: show(ledger[name]),
        "code": lambda name: ledger[name].value,
        "has": lambda name: name in ledger,
    }
    spans = (entry.span for entry in (check.left, check.right, *check.facts) if entry)
    return Finding(
        check.name,
        check.verdict,
        render_text(line["asks"], context),
        render_text(says, context),
        render_text(line.get("who", ""), context),
        "; ".join(show_citation(citation) for citation in check.cite),
        next((str(span) for span in spans if span), ""),
    )


def findings(ledger: Ledger, *verdicts: Verdict) -> list[Finding]:
    """Return all checks of `ledger` that ended as one of `verdicts`, in words."""
    return [finding(check, ledger) for check in ledger.checks.values() if check.verdict in verdicts]


@language.cached
def texts() -> dict[str, dict[str, str]]:
    """Return the words of every check by its name (with ``*`` for numbers)."""
    found: dict[str, dict[str, str]] = {}
    for path in resources.templates("findings"):
        for name, line in resources.read_texts(path).items():
            if name in found:
                raise ValueError(f"`{name}` has two texts")
            found[name] = line
    return found


def render_text(text: str, context: dict[str, Any]) -> str:
    """Return one of the text files' sentences with its values filled in."""
    if "{" not in text:  # most are plain sentences
        return text.strip()
    return str(_template(text).render(context)).strip()


@cache
def _template(text: str) -> Any:
    return _environment().from_string(text)


@cache
def _environment() -> Environment:
    return Environment(undefined=StrictUndefined, autoescape=False)  # noqa: S701 - plain text


def worst_first(ledger: Ledger) -> Iterable[Finding]:
    """Yield what keeps work from starting, then the open questions, then the notes."""
    for verdict in (Verdict.FALLS_SHORT, Verdict.ASK, Verdict.NOTE):
        yield from findings(ledger, verdict)


def verdict_words(ledger: Ledger) -> str:
    """Return the verdict of the whole packet as its cover words it."""
    return str(resources.texts("verdict")[ledger.verdict.name.lower()])
