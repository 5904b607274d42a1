"""The ledger as a list: what `values` prints, and what travels inside each PDF."""

from __future__ import annotations

import json
from pathlib import Path

from packet import __version__, words
from packet.ledger import Entry, Ledger
from packet.problems import plain
from packet.showing import show, show_citation, show_formula, show_in_full, stamp
from packet.versions import code_book


def listed(ledger: Ledger) -> list[dict[str, object]]:
    """Return every value with its label, kind, unit, formula, inputs and source, all as text."""
    return [
        {
            "name": entry.name,
            "label": words.word(entry.name).label,
            "kind": entry.kind.value,
            "value": show_in_full(entry),
            "unit": words.word(entry.name).unit,
            "formula": show_formula(entry) if entry.formula else "",
            "inputs": {symbol: source.name for symbol, source in entry.inputs},
            "source": source_of(entry),
        }
        for entry in ledger
    ]


def as_json(ledger: Ledger) -> str:
    """Return every value and verdict as JSON, and what they were worked out with.

    The keys are ``tool``, ``edition``, ``code_book``, ``stamp``, ``checks`` (name -> verdict)
    and ``values`` (the list).
    """
    whole = {
        "tool": __version__,
        "edition": show(ledger["authority.edition"]),
        "code_book": code_book(),
        "stamp": stamp(ledger),
        "checks": {check.name: check.verdict.value for check in ledger.checks.values()},
        "values": listed(ledger),
    }
    return json.dumps(whole, ensure_ascii=False, indent=1)


def source_of(entry: Entry) -> str:
    """Return the place in the job file, or the citations in full.

    Of the file only its name is told: the list goes to others, and is the same from any folder.
    """
    if entry.span is not None:
        return f"{entry.kind.value}, {plain(Path(entry.span.file).name)}:{entry.span.line}"
    return "; ".join(show_citation(citation) for citation in entry.cite)
