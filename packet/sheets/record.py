"""Sheet R and the set it stands in: what was written on a packet, judged and kept."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from fnmatch import fnmatchcase
from typing import Any

from packet import resources, words
from packet.findings import Finding, finding, render_text
from packet.ledger import Entry, Ledger, Verdict
from packet.plans.branch_circuit import Plan
from packet.plans.record import Judged, Record, Standing
from packet.procedure import Procedure, build_procedure
from packet.sheets import views
from packet.sheets.directory import directory
from packet.sheets.forms import readings, rows, torque
from packet.sheets.procedure import as_built, permit
from packet.sheets.sets import frame
from packet.sheets.summary import OUTCOMES
from packet.showing import show, show_citation

NEEDED = (
    "E.tool",
    "E.*.initials",
    "F.tester",
    "F.date",
    "M.*.built",
    "M.*.by",
    "M.did.name",
    "M.did.date",
)
"""Blanks that a record is not complete without, beside each setting and each reading."""

SIGNED = {"initials": "set", "by": "built"}
"""Initials -> the entry that they stand for."""

CONNECTION_ROWS = ("live-l1-l2", "loaded-l1-l2", "load-current")
"""Readings that the resistance of the run is worked out from."""

OPEN = (Standing.MISSING, Standing.UNREADABLE)


def forms_set(plan: Plan) -> views.SheetSet:
    """Return the sheets of the clipboard set that have blanks, as they were printed."""
    if plan.installed is None:
        raise ValueError("the conductors are not sized: there is nothing to fill in")
    made = build_procedure(plan.ledger, rows(plan.installed), plan.book)
    return views.SheetSet(
        frame(plan),
        OUTCOMES[plan.ledger.verdict],
        (
            torque(plan.installed, plan.ledger),
            readings(plan.installed, plan.ledger, made),
            permit(made, plan.ledger),
            as_built(made),
        ),
    )


def record_set(
    plan: Plan, record: Record, written: Mapping[str, str], tips: Mapping[str, str]
) -> views.SheetSet:
    """Return the record of a job: sheet R, the directory as it stands, sheet M filled in.

    Parameters
    ----------
    plan : Plan
    record : Record
    written : mapping
        Name of a field -> what was written.
    tips : mapping
        Name of every field of the packet -> what it is for.
    """
    if plan.installed is None:
        raise ValueError("the conductors are not sized: there is nothing to record")
    made = build_procedure(plan.ledger, rows(plan.installed), plan.book)
    stands = replace(
        plan.picture, circuits=tuple(replace(one, new=False) for one in plan.picture.circuits)
    )
    return views.SheetSet(
        frame(plan),
        OUTCOMES[plan.ledger.verdict],
        (
            record_of_work(plan, record, written, tips),
            replace(
                directory(stands),
                devices=(),
                as_it_stands=True,
                dated=written.get("M.did.date", ""),
            ),
            as_built(made),
        ),
        views.Reader.RECORD,
        {name: text for name, text in written.items() if name in tips},
    )


def record_of_work(
    plan: Plan, record: Record, written: Mapping[str, str], tips: Mapping[str, str]
) -> views.RecordOfWork:
    """Return sheet R."""
    if plan.installed is None:
        raise ValueError("the conductors are not sized: there is nothing to record")
    texts = resources.texts("record")
    made = build_procedure(plan.ledger, rows(plan.installed), plan.book)
    wording = _Wording(plan, record, texts, made)
    blanks = [tips[name] for name in tips if _is_missing(name, written)]
    judged = (*record.torques, *record.readings)
    said = list(wording.connection_findings(Verdict.FALLS_SHORT))
    outside = [one for one in judged if one.standing is Standing.OUTSIDE]
    missing = [
        *(wording.open(one) for one in judged if one.standing in OPEN),
        *(wording.differs(one) for one in judged if one.differs),
        *wording.uncalibrated(),
        *blanks,
    ]
    verdict = "do_not_use" if outside or said else "not_complete" if missing else "complete"
    return views.RecordOfWork(
        verdict=verdict,  # type: ignore[arg-type]
        verdict_words=texts["verdicts"][verdict],
        says=texts["says"][verdict],
        address=_shown(plan.ledger, "site.address"),
        owner=_shown(plan.ledger, "people.owner"),
        did=written.get("M.did.name", ""),
        finished=written.get("M.did.date", ""),
        counts=(
            wording.count("terminals", record.torques),
            wording.count("readings", record.readings),
            *([render_text(texts["counts"]["blanks"], {"n": len(blanks)})] if blanks else []),
            *wording.other_spaces(written.get("M.circuit.spaces.built", "")),
        ),
        outside=(
            *(wording.outside(one) for one in outside),
            *(wording.connection(one.says) for one in said),
        ),
        missing=tuple(missing),
        faults=tuple(
            views.LikelyFault(
                fault["name"],
                wording.text(fault["means"]),
                wording.text(fault["do"]),
                f"{show_citation(one.cite)}: {one.cite.confirmed.partition(': ')[2]}",
            )
            for one in record.faults
            for fault in [texts["faults"][one.fault]]
        ),
        evidence=tuple(_evidence(record)),
        evidence_says=tuple(wording.evidence()),
        torques=tuple(wording.row(one) for one in record.torques),
        readings=tuple(wording.row(one) for one in record.readings),
    )


def _is_missing(name: str, written: Mapping[str, str]) -> bool:
    """Say whether a blank must be filled in still; initials wait for what they stand for."""
    if written.get(name) or not any(fnmatchcase(name, pattern) for pattern in NEEDED):
        return False
    row, _, own = name.rpartition(".")
    return own not in SIGNED or bool(written.get(f"{row}.{SIGNED[own]}"))


def _of(entry: Entry | None) -> str:
    return show(entry) if entry else ""


def _shown(ledger: Ledger, name: str) -> str:
    return _of(ledger.get(name))


def _evidence(record: Record) -> Iterator[views.Fact]:
    found = record.connection
    if found is None:
        return
    for entry in (
        found.fall,
        found.measured,
        found.expected,
        found.upstream,
        found.excess,
        found.power,
    ):
        yield views.Fact(words.word(entry.name).label, show(entry))


class _Wording:
    """Puts the words of sheets E and F beside what was written on them."""

    def __init__(
        self, plan: Plan, record: Record, texts: Mapping[str, Any], made: Procedure
    ) -> None:
        if plan.installed is None:
            raise ValueError("the conductors are not sized: there is nothing to word")
        self.plan, self.record, self.texts, self.made = plan, record, texts, made
        self.said = resources.texts("readings")["readings"]
        forms = torque(plan.installed, plan.ledger)
        tests = readings(plan.installed, plan.ledger, made)
        self.terminals = {
            f"E-{row.number}": (f"{group.place}: {row.terminal}", row.required)
            for group in forms.groups
            for row in group.rows
        }
        self.tests = {f"F-{row.number}": row for group in tests.groups for row in group.rows}

    def text(self, text: str) -> str:
        """Return a text with values of the plan or of the record."""
        return render_text(text, {"v": lambda name: show(self.entry(name))})

    def entry(self, name: str) -> Entry:
        """Return a value of the record, of the plan, or of the code book."""
        known = self.record.ledger.get(name) or self.plan.ledger.get(name)
        return known or self.plan.book.figure(name)

    def item(self, one: Judged) -> str:
        """Return what a row is about."""
        if one.row in self.terminals:
            return self.terminals[one.row][0]
        return self.text(self.said[one.id])

    def expect(self, one: Judged) -> str:
        """Return the torque required, or the band of a reading."""
        return (
            self.terminals[one.row][1] if one.row in self.terminals else self.tests[one.row].expect
        )

    def row(self, one: Judged) -> views.RecordRow:
        """Return one row of the two tables at the end."""
        standing = self.texts["standings"][one.standing.value]
        if one.row in self.terminals and one.standing is Standing.WITHIN:
            standing = self.texts["within_torque"]
        note = ""
        if one.worked is not None and (one.differs or not one.written):
            note = f"{self.texts['standings']['worked']}: {show(one.worked)}"
        return views.RecordRow(
            one.number,
            self.item(one),
            self.expect(one),
            one.written,
            standing,
            one.standing in (Standing.WITHIN, Standing.NOT_TAKEN) and not one.differs,
            note,
        )

    def open(self, one: Judged) -> str:
        """Return why a row could not be judged."""
        if one.standing is Standing.UNREADABLE:
            text = self.texts["unreadable"][one.why]
        elif one.why:
            text = self.texts["missing"][one.why]
        else:
            text = self.texts["missing"]["terminal" if one.row in self.terminals else "reading"]
        return self.filled(text, one)

    def differs(self, one: Judged) -> str:
        """Return that a subtraction was written with another result."""
        return self.filled(self.texts["differs"], one)

    def uncalibrated(self) -> Iterator[str]:
        """Yield that the torque tool was out of its calibration."""
        until = self.record.uncalibrated
        if until is not None:
            yield render_text(self.texts["uncalibrated"], {"until": show(until)}).rstrip(".")

    def outside(self, one: Judged) -> views.Outside:
        """Return a row outside its band, with what its sheet says to do."""
        if one.row in self.terminals:
            says = self.filled(self.texts["as_written"], one)
            return views.Outside(one.row, self.item(one), says, self.texts["torque_outside"])
        as_said = "as_worked" if one.worked is not None else "as_read"
        return views.Outside(
            one.row,
            self.item(one),
            self.filled(self.texts[as_said], one),
            self.tests[one.row].outside,
            self.rule(one.row),
        )

    def connection(self, says: str) -> views.Outside:
        """Return that the run has more resistance than anything explains."""
        row = next(one for one in self.record.readings if one.id == "loaded-l1-l2")
        return views.Outside(
            row.row,
            self.item(row),
            says.rstrip("."),
            self.tests[row.row].outside,
            self.rule(row.row),
        )

    def connection_findings(self, verdict: Verdict) -> Iterator[Finding]:
        """Yield what was found of the connection and ended as `verdict`, in words."""
        found = self.record.connection
        for check in found.checks if found else ():
            if check.verdict is verdict:
                yield finding(check, self.record.ledger)

    def rule(self, row: str) -> str:
        """Return the stop rule that the step of a reading leads to, by its number."""
        rules = {exit_.number: exit_.text for exit_ in self.made.exits}
        for block in self.made.blocks:
            for branch in block.branches:
                if block.step.reading == row and branch.target in rules:
                    return render_text(
                        self.texts["stop_rule"],
                        {"number": branch.target, "text": rules[branch.target]},
                    )
        return ""

    def filled(self, text: str, one: Judged) -> str:
        """Return a text about one row."""
        return render_text(
            text,
            {
                "row": one.row,
                "what": self.item(one),
                "written": one.written,
                "expect": self.expect(one),
                "worked": _of(one.worked),
                "low": _of(one.low).partition("\u00a0")[0],
                "high": _of(one.high),
            },
        )

    def count(self, what: str, judged: Iterable[Judged]) -> str:
        """Return how many rows are as they should be."""
        every = list(judged)
        good = sum(one.standing is Standing.WITHIN for one in every)
        return render_text(self.texts["counts"][what], {"good": good, "all": len(every)})

    def other_spaces(self, written: str) -> Iterator[str]:
        """Yield that the breaker stands elsewhere than the card of sheet J has it."""
        planned = self.plan.ledger.get("breaker_spaces")
        built, meant = (sorted(re.findall(r"\d+", one)) for one in (written, _of(planned)))
        if built and built != meant:
            yield render_text(
                self.texts["other_spaces"], {"written": written, "planned": _of(planned)}
            )

    def evidence(self) -> Iterator[str]:
        """Yield what the numbers of the connection mean, or which readings they need."""
        texts = self.texts["connection"]
        if self.record.connection is None:
            by_id = {one.id: one.row for one in self.record.readings}
            asked = [by_id[name] for name in CONNECTION_ROWS if name in by_id]
            if len(asked) == len(CONNECTION_ROWS):
                yield render_text(texts["not_shown"], {"rows": ", ".join(asked)})
            return
        found = [
            one
            for verdict in (Verdict.FALLS_SHORT, Verdict.NOTE, Verdict.MEETS)
            for one in self.connection_findings(verdict)
        ]
        yield from (one.says for one in found)
        yield texts["cold"]
        yield self.text(texts["digits"])
        sources = "; ".join(dict.fromkeys(one.source for one in found))
        yield render_text(texts["limits"], {"sources": sources})
