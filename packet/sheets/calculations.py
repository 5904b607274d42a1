"""Sheet L: every check, every calculation, and the figures still to be compared with the book."""

from __future__ import annotations

from collections.abc import Iterator

from packet import words
from packet.findings import finding
from packet.language import said
from packet.ledger import Check, Entry, Kind, Ledger, Verdict
from packet.sheets import views
from packet.showing import (
    show,
    show_citation,
    show_formula,
    show_section,
    show_source,
    show_substituted,
)

_VERDICTS = {"meets": "fits", "falls short": "does not fit", "ask": "not known"}


ELSEWHERE = {
    "load": "K",
    "worksheet": "K",
    "materials": "B",
    "shopping": "B",
    "schedule": "B",
    "torque": "E",
    "readings": "F",
    "job": "A",
    "safety": "D",
    "forms": "E",
}
"""Subjects that are worked out on another sheet, and the letter of that sheet."""


ON_OTHER_SHEETS = ("material.", "terminal.", "prices.")
"""Checks of single lines, which are answered on sheets B and E where they hold."""


def numbers(ledger: Ledger) -> dict[str, str]:
    """Return where each calculated or chosen entry stands: a row of this sheet, or a sheet."""
    places: dict[str, str] = {}
    row = 0
    for entry in ledger:
        if entry.kind not in (Kind.COMPUTED, Kind.CHOSEN):
            continue
        sheet = ELSEWHERE.get(words.word(entry.name).subject)
        row += sheet is None
        places[entry.name] = sheet or f"L-{row}"
    return places


def calculations(ledger: Ledger) -> views.Calculations:
    """Return sheet L, grouped by the subjects of the glossary in the order they are met."""
    rows = numbers(ledger)
    groups: dict[str, list[views.Calculation]] = {}
    for name, place in rows.items():
        if not place.startswith("L-"):
            continue
        subject = words.word(name).subject
        groups.setdefault(subject, []).append(_block(ledger, ledger[name], rows))
    return views.Calculations(
        findings=tuple(
            _finding(check, ledger)
            for check in ledger.checks.values()
            if check.verdict is not Verdict.MEETS or not check.name.startswith(ON_OTHER_SHEETS)
        ),
        groups=tuple(
            views.CalculationGroup(words.subject(subject), tuple(blocks))
            for subject, blocks in groups.items()
        ),
        unconfirmed=tuple(unconfirmed(ledger)),
    )


def _block(ledger: Ledger, entry: Entry, rows: dict[str, str]) -> views.Calculation:
    check = next(
        (c for c in ledger.checks.values() if c.left is entry and c.right is not None), None
    )
    return views.Calculation(
        number=rows[entry.name],
        title=words.word(entry.name).label,
        formula=show_formula(entry) if entry.formula else "",
        numbers=show_substituted(entry) if entry.formula else "",
        inputs=tuple(
            views.CalculationInput(
                symbol if entry.formula else "",
                words.word(source.name).label,
                show(source),
                rows.get(source.name) or show_source(source),
            )
            for symbol, source in entry.inputs
        ),
        result=show(entry),
        source="; ".join(dict.fromkeys(show_section(citation) for citation in entry.cite)),
        limit=f"{check.op.replace('>=', '≥').replace('<=', '≤')} {show(check.right)}"
        if check and check.right
        else "",
        verdict=_VERDICTS.get(check.verdict.value, "") if check else "",  # type: ignore[arg-type]
    )


def _finding(check: Check, ledger: Ledger) -> views.Finding:
    said = finding(check, ledger)
    return views.Finding(said.asks, said.says, check.verdict.value, said.source)


def unconfirmed(ledger: Ledger) -> Iterator[views.Unconfirmed]:
    """Yield each cited place that has not been compared with a published copy, once."""
    seen = set()
    cited = [(words.word(e.name).label, c) for e in ledger for c in e.cite]
    for label, citation in cited:
        source = show_citation(citation)
        if citation.confirmed.startswith("MEMORY") and source not in seen:
            seen.add(source)
            yield views.Unconfirmed(label, source, said(citation.confirmed.partition(": ")[2]))
