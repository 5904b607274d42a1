"""Sheet A: may the work start, why, and what does it take."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from packet import resources, words
from packet.findings import finding, findings, render_text
from packet.ledger import Entry, Ledger, Verdict
from packet.plans.branch_circuit import Plan
from packet.sheets import views
from packet.sheets.calculations import asked, numbers, unconfirmed
from packet.sheets.days import work_days
from packet.sheets.filled import Filled
from packet.sheets.route import methods
from packet.sheets.views import SHORTFALL_SHEETS
from packet.showing import show, show_source

OUTCOMES = {
    Verdict.MEETS: views.Outcome.READY,
    Verdict.ASK: views.Outcome.READY_IF,
    Verdict.FALLS_SHORT: views.Outcome.DO_NOT_START,
}
SERVICE, WITH_SHARE = "service_carries_load", "service_carries_continuous_share"
"""Whether the service carries the load, and whether it does with the continuous share on top."""

MOST_TELLING = ("overcurrent_carries_load", "ground_fault_protection_is_there")
"""What a packet that may start says beside the load of the service."""

MOST_QUESTIONS = 4
"""Open questions on the front; further ones stand on the back."""

ROWS = (10, 8, 6, 4, 3)
"""Key values that leave room on one page, by the number of questions above them."""

SHORTFALL_ROWS = (6, 4, 3, 2, 1)
"""The same where reasons take more room."""


def summary(
    plan: Plan, load: views.LoadWorksheet, letters: str, *, power_off: str, trips: int
) -> views.Summary:
    """Return sheet A.

    Parameters
    ----------
    plan : Plan
    load : LoadWorksheet
        Sheet K of the same job, for the numbers of its lines.
    letters : str
        The sheets of the set; nothing on this sheet names another one without its packet.
    power_off : str
        How long the power is off, and between which steps.
    trips : int
        Trips to a store.
    """
    ledger = plan.ledger
    shown = _Shown(plan, load, letters, numbers(ledger))
    questions = _questions(ledger, letters)
    return views.Summary(
        address=_text(ledger, "site.address"),
        owner=_text(ledger, "people.owner"),
        work_by=_work_by(ledger),
        planned_start=_text(ledger, "work.planned_start"),
        outcome=OUTCOMES[ledger.verdict],
        reasons=tuple(shown.reasons()),
        first=questions[:MOST_QUESTIONS],
        more=questions[MOST_QUESTIONS:],
        key_values=tuple(shown.key_values())[: _room(ledger.verdict, len(questions))],
        hours=_text(ledger, "own_hours") or _text(ledger, "work_hours"),
        trips=str(trips) if trips else "",
        cost=_text(ledger, "trips.total"),
        people=words.word("people.needed").label,
        power_off=power_off,
        days=work_days(ledger),
        unconfirmed=shown.place("L") if any(unconfirmed(ledger)) else "",
    )


def _questions(ledger: Ledger, letters: str) -> tuple[views.OpenQuestion, ...]:
    """Return every open question once, however many things it is asked of."""
    open_ones = (finding(check, ledger) for check in asked(ledger, letters))
    asked_once = {(one.says, one.who): None for one in open_ones if one.verdict is Verdict.ASK}
    unknown = words.word("who.unknown").label
    answer = views.Blank(words.word("open_question.answer").label)
    return tuple(views.OpenQuestion(says, who or unknown, answer) for says, who in asked_once)


def _work_by(ledger: Ledger) -> str:
    by = _text(ledger, "people.work_by")
    name = _text(ledger, "people.installer")
    return f"{by}: {name}" if name else by


def _room(verdict: Verdict, questions: int) -> int:
    """Return how many key values leave room on one page for what stands above them."""
    rows = SHORTFALL_ROWS if verdict is Verdict.FALLS_SHORT else ROWS
    return rows[min(questions, MOST_QUESTIONS)]


@dataclass(frozen=True)
class _Shown:
    """Reasons and key values, each with the row or line that holds it."""

    plan: Plan
    load: views.LoadWorksheet
    letters: str
    rows: Mapping[str, str]

    def reasons(self) -> Iterator[views.Reason]:
        """Yield every shortfall; where there is none, the checks that tell most."""
        ledger = self.plan.ledger
        short = findings(ledger, Verdict.FALLS_SHORT)
        decides = WITH_SHARE if self.plan.load.worksheet.with_share else SERVICE
        telling = (decides, *(() if ledger.verdict is Verdict.ASK else MOST_TELLING))
        met = {one.name: one for one in findings(ledger, Verdict.MEETS)}
        for one in short or [met[name] for name in telling if name in met]:
            remedy = self._remedy() if one.name == SERVICE and short else ""
            yield views.Reason(one.says, self._place_of(one.name), remedy)

    def key_values(self) -> Iterator[views.KeyValue]:
        """Yield the key values that the job has, the most telling first."""
        texts = resources.texts("summary")
        deciding = self.plan.load.worksheet.deciding
        ledger = self.plan.ledger
        current = self.plan.current
        told = {"methods": methods(self.plan), "load": show(deciding), "current": current.name}
        filled = Filled(ledger, told)
        for line in filled.chosen(texts["key_values"]):
            entry = deciding if "load" in line else ledger.get(line["of"])
            if line.get("of") == "current":
                entry = current
            yield views.KeyValue(
                line["item"],
                filled.text(line["value"]),
                words.word(f"kind.{entry.kind.value}").label if entry else "",
                self._line(-1) if "load" in line else self._row(entry, line["sheet"]),
            )

    def _remedy(self) -> str:
        put_right = self.plan.remedies
        entries = (
            put_right.setting,
            put_right.management_limit,
            put_right.method,
            put_right.measured_peak,
            put_right.service,
        )
        return "; ".join(
            f"{words.word(entry.name).label}: {show(entry)}" for entry in entries if entry
        )

    def _place_of(self, check: str) -> str:
        """Return the row or line that holds what a check compared."""
        if check in (SERVICE, WITH_SHARE):
            return self._line(0 if check == SERVICE else -1)
        left = self.plan.ledger.checks[check].left
        row = self.rows.get(left.name, "L") if left else "L"
        return self.place(row if row[0] in self.letters or row[0] in SHORTFALL_SHEETS else "L")

    def _line(self, which: int) -> str:
        """Return the line of sheet K with the amperes, first without and last with the share."""
        totals = [one.number for one in self.load.methods[0].lines if one.kind == "total"]
        line = resources.texts("summary")["references"]["line"]
        return self.place(render_text(line, {"line": totals[which]}))

    def _row(self, entry: Entry | None, sheet: str) -> str:
        """Return the row of sheet L, else the sheet, else the line of the job file."""
        row = self.rows.get(entry.name, "") if entry else ""
        if row.startswith("L-"):
            return self.place(row)
        if sheet in self.letters or sheet in SHORTFALL_SHEETS or entry is None:
            return self.place(sheet)
        return show_source(entry)

    def place(self, row: str) -> str:
        """Return a sheet, or a row of it, with the packet that has it where this set does not."""
        if row[0] in self.letters:
            return row
        return words.word("set.in_work_packet").label.format(row=row)


def _text(ledger: Ledger, name: str) -> str:
    entry = ledger.get(name)
    return show(entry) if entry else ""
