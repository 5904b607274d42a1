"""Where each word of printed pages comes from: a catalog, the job file, a citation, a symbol."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any

from packet import codebook
from packet.jobfile import schema
from packet.jobfile.model import Job
from packet.language import OwnWords
from packet.ledger import Citation
from packet.plans.branch_circuit import Plan
from packet.quantities import UNIT_LABELS, UNIT_SPELLINGS
from packet.showing import show, show_citation, show_section, stamp
from packet.versions import code_book
from tests.language.pseudo import PLAIN, catalog_command

TOKEN = re.compile(r"[^\W\d_]+(?:_[^\W_]+)*")

ALIKE_IN_EVERY_LANGUAGE = {
    "AWG": "names a system of sizes",
    "kcmil": "names a system of sizes",
    "NEC": "title of a document",
}
"""Words that no other source below gives, each with the reason why it is not translated."""


def strangers(texts: list[str], job: Job, plan: Plan) -> set[str]:
    """Return the words of pages that are in none of the languages of this print.

    Parameters
    ----------
    texts : list of str
        Page by page, printed in the made-up language.
    job : Job
    plan : Plan
        What the pages were made from: own words, citations and symbols are left alone.
    """
    kept = _whole(job, plan)
    words = _symbols(plan) | _trade_names() | _units() | set(ALIKE_IN_EVERY_LANGUAGE)
    found = set()
    for text in texts:
        if _plain(text) - words:  # else there is nothing that a citation could explain
            found |= _plain(kept.sub(" ", text))
    return found - words


def _plain(text: str) -> set[str]:
    return {token for token in TOKEN.findall(text) if len(token) > 1 and PLAIN.search(token)}


def _whole(job: Job, plan: Plan) -> re.Pattern[str]:
    """Return a pattern of the texts that stand on a page as they are, over any line break."""
    ledger = plan.ledger
    own = {entry.value for entry in ledger if isinstance(entry.value, OwnWords)}
    own |= set(_own_words(job))
    cited = {citation for entry in ledger for citation in entry.cite}
    cited |= {citation for check in ledger.checks.values() for citation in check.cite}
    cited |= {plan.book.cite(name) for name in codebook.figures() if plan.book.has(name)}
    places = {text for one in cited for text in _places(one)}
    texts = own | places | {stamp(ledger), code_book()}
    title = show(ledger["work.title"])  # cut to the width of the foot line
    texts |= {f"{title[:length].rstrip()} ..." for length in range(20, len(title))}
    ordered = sorted(filter(None, texts), key=len, reverse=True)
    return re.compile("|".join(map(_over_lines, ordered)))


def _places(citation: Citation) -> Iterator[str]:
    yield from (show_citation(citation), show_section(citation), citation.section, citation.at)


def _own_words(part: Any) -> Iterator[str]:
    """Yield every text of a job file that is in a person's own words."""
    if isinstance(part, OwnWords):
        yield str(part)
    elif is_dataclass(part):
        for field in fields(part):
            yield from _own_words(getattr(part, field.name))
    elif isinstance(part, tuple):
        for one in part:
            yield from _own_words(one)


def _over_lines(text: str) -> str:
    parts = r"\s*".join(re.escape(sign) for sign in re.sub(r"\s", "", text))
    return rf"(?<![^\W\d_]){parts}(?![^\W\d_])"


def _symbols(plan: Plan) -> set[str]:
    """Return the symbols of all formulas; a longer one is a word only where it has a line."""
    symbols = {symbol for entry in plan.ledger if entry.formula for symbol, _ in entry.inputs}
    return {token for symbol in symbols for token in TOKEN.findall(symbol)}


@cache
def _trade_names() -> set[str]:
    """Return names of wires, methods and configurations, which are the same in every language."""
    names = [choice for key in schema.keys().values() for choice in key.choices]
    for whole in codebook.figures().values():
        for line in whole["editions"].values():
            names += str(line.get("value", "")).split(", ")
    kept = (name for name in names if not catalog_command().IS_WORD.search(name))
    return {token for name in kept for token in TOKEN.findall(name)}


@cache
def _units() -> set[str]:
    labels = [*UNIT_LABELS.values(), *UNIT_SPELLINGS]
    symbols = {token for label in labels for token in TOKEN.findall(label)}
    return symbols - {"days", "day", "hours", "hour", "minutes", "feet", "inches", "amps", "volts"}
