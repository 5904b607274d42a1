"""Sheet L: every check, every calculation, and the figures still to be compared with the book."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping

from packet import words
from packet.findings import finding
from packet.language import said
from packet.ledger import Check, Entry, Kind, Ledger, Verdict
from packet.sheets import views
from packet.showing import (
    show_citation,
    show_formula,
    show_in_full,
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

OF_THE_WORK = (*ON_OTHER_SHEETS, "every_material_has_a_price", "offer_has_a_total")
"""Checks that point at sheets B, E and S; without these sheets only a shortfall is said."""


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


def asked(ledger: Ledger, letters: str) -> list[Check]:
    """Return the checks that sheet L answers in a set of the sheets `letters`."""

    def elsewhere(check: Check) -> bool:
        if "E" in letters:
            return check.verdict is Verdict.MEETS and check.name.startswith(ON_OTHER_SHEETS)
        return check.verdict is not Verdict.FALLS_SHORT and check.name.startswith(OF_THE_WORK)

    return [check for check in ledger.checks.values() if not elsewhere(check)]


def calculations(
    ledger: Ledger, letters: str, *, review: Collection[str] | None = None
) -> views.Calculations:
    """Return sheet L, grouped by the subjects of the glossary in the order they are met.

    Parameters
    ----------
    ledger : Ledger
    letters : str
        The sheets of the set; nothing on this sheet names another one.
    review : collection of str, optional
        Rows that the set refers to. With them, only these and what the answers rest on are
        kept, under the numbers of the whole sheet.
    """
    rows = numbers(ledger)
    checks = asked(ledger, letters)
    kept = set(ledger.entries)
    if review is not None:
        compared = [one for check in checks for one in (check.left, check.right, *check.facts)]
        referred = [ledger[name] for name, place in rows.items() if place in review]
        kept = set(rested_on([one for one in (*compared, *referred) if one]))
    used = _uses(ledger, rows, kept, letters)
    groups: dict[str, list[views.Calculation]] = {}
    for name, place in rows.items():
        if not place.startswith("L-") or name not in kept:
            continue
        subject = words.word(name).subject
        groups.setdefault(subject, []).append(
            _block(ledger, ledger[name], rows, used.get(name, {}))
        )
    return views.Calculations(
        findings=tuple(_finding(check, ledger) for check in checks),
        groups=tuple(
            views.CalculationGroup(words.subject(subject), tuple(blocks))
            for subject, blocks in groups.items()
        ),
        unconfirmed=tuple(unconfirmed([entry for entry in ledger if entry.name in kept])),
        for_review=review is not None,
    )


def rested_on(entries: Iterable[Entry]) -> Iterator[str]:
    """Yield the name of each entry and of everything it rests on, once."""
    seen: set[str] = set()
    waiting = list(entries)
    while waiting:
        entry = waiting.pop()
        if entry.name not in seen:
            seen.add(entry.name)
            waiting += [source for _, source in entry.inputs]
            yield entry.name


def _uses(
    ledger: Ledger, rows: Mapping[str, str], kept: Collection[str], letters: str
) -> dict[str, dict[str, None]]:
    """Return for each entry the rows and sheets of the set whose values rest on it, each once."""
    used: dict[str, dict[str, None]] = {}
    for name, place in rows.items():
        if place[0] in letters and (name in kept or not place.startswith("L-")):
            for _, source in ledger[name].inputs:
                used.setdefault(source.name, {})[place] = None
    return used


def _block(
    ledger: Ledger, entry: Entry, rows: dict[str, str], used: Iterable[str]
) -> views.Calculation:
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
                show_in_full(source),
                rows.get(source.name) or show_source(source),
            )
            for symbol, source in entry.inputs
        ),
        result=show_in_full(entry),
        source="; ".join(dict.fromkeys(show_section(citation) for citation in entry.cite)),
        limit=f"{check.op.replace('>=', '≥').replace('<=', '≤')} {show_in_full(check.right)}"
        if check and check.right
        else "",
        used_on=", ".join(used),
        verdict=_VERDICTS.get(check.verdict.value, "") if check else "",  # type: ignore[arg-type]
    )


def _finding(check: Check, ledger: Ledger) -> views.Finding:
    said = finding(check, ledger)
    return views.Finding(said.asks, said.says, check.verdict.value, said.source)


def unconfirmed(entries: Iterable[Entry]) -> Iterator[views.Unconfirmed]:
    """Yield each cited place that has not been compared with a published copy, once."""
    seen = set()
    cited = [(words.word(e.name).label, c) for e in entries for c in e.cite]
    for label, citation in cited:
        source = show_citation(citation)
        if citation.confirmed.startswith("MEMORY") and source not in seen:
            seen.add(source)
            yield views.Unconfirmed(label, source, said(citation.confirmed.partition(": ")[2]))
