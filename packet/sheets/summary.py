"""Sheet A: may the work start, why, and what does it take."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
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

MOST_QUESTIONS, MOST_ROWS, LEAST_ROWS = 4, 10, 2
"""Open questions and key values on the front; further questions and reasons stand on the back."""

LINE, HEAD, ROW, WELL = 5.3, 8.0, 5.7, 9.1
"""Heights on the front in millimetres: a line of text, the head of the questions, a key value, a
question with one line beside its blank."""

REASON_SIGNS, QUESTION_SIGNS, TITLE_SIGNS, FACT_SIGNS = 84, 57, 52, 38
"""Signs of a line of each, counted low: the front stays one page in any language."""

FRONT = 76.5
"""Millimetres for reasons, questions and key values, beside all sheets and what the job takes."""

FRONT_OF_SHORTFALL = 114.0
"""The same where the job may not start: there are three sheets, and nothing is taken."""


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
    address, owner, work_by = (
        _text(ledger, "site.address"),
        _text(ledger, "people.owner"),
        _work_by(ledger),
    )
    front = _front(
        tuple(shown.reasons()),
        _questions(ledger, letters),
        _room(ledger, address, owner, work_by),
    )
    return views.Summary(
        address=address,
        owner=owner,
        work_by=work_by,
        planned_start=_text(ledger, "work.planned_start"),
        outcome=OUTCOMES[ledger.verdict],
        reasons=front.reasons,
        more_reasons=front.more_reasons,
        first=front.questions,
        more=front.more_questions,
        key_values=tuple(shown.key_values())[: front.rows],
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


@dataclass(frozen=True)
class _Front:
    """What stands on the front, what goes to the back, and how many key values have room."""

    reasons: tuple[views.Reason, ...]
    more_reasons: tuple[views.Reason, ...]
    questions: tuple[views.OpenQuestion, ...]
    more_questions: tuple[views.OpenQuestion, ...]
    rows: int


def _front(
    reasons: tuple[views.Reason, ...], questions: tuple[views.OpenQuestion, ...], room: float
) -> _Front:
    """Fill `room` with reasons, then questions, then key values: never less than two of those."""
    room -= LEAST_ROWS * ROW + (HEAD + WELL if questions else 0)
    tall = [_height_of_reason(one) for one in reasons]
    room -= LINE if sum(tall) > room else 0  # then a line says that more are on the back
    told, room = _that_fit(tall, room)
    room += WELL if questions else 0
    heights = [_height_of_question(one) for one in questions[:MOST_QUESTIONS]]
    asked, room = _that_fit(heights, room)
    rows = min(MOST_ROWS, LEAST_ROWS + max(0, int(room / ROW)))
    return _Front(reasons[:told], reasons[told:], questions[:asked], questions[asked:], rows)


def _that_fit(heights: Sequence[float], room: float) -> tuple[int, float]:
    """Return how many of `heights` fit, at least the first, and the room that they leave."""
    fit = 0
    for height in heights:
        if fit and height > room:
            break
        fit, room = fit + 1, room - height
    return fit, room


def _height_of_reason(one: views.Reason) -> float:
    parts = [f"{one.text} ({one.see})", *([f"To put it right: {one.remedy}"] if one.remedy else ())]
    return LINE * sum(_lines(part, REASON_SIGNS) for part in parts) + 0.6


def _height_of_question(one: views.OpenQuestion) -> float:
    signs = len(one.text) + len(one.who) + len("Who can tell: ")
    return max(WELL, 4.7 * math.ceil(signs / QUESTION_SIGNS) + 0.6)


def _room(ledger: Ledger, address: str, owner: str, work_by: str) -> float:
    """Return the height that reasons, questions and key values share."""
    room = FRONT_OF_SHORTFALL if ledger.verdict is Verdict.FALLS_SHORT else FRONT
    facts = max(_lines(address, FACT_SIGNS), _lines(owner, FACT_SIGNS)) + _lines(
        work_by, FACT_SIGNS
    )
    further = _lines(_text(ledger, "work.title"), TITLE_SIGNS) - 1
    return room - LINE * (facts - 2) - 7.3 * further


def _lines(text: str, signs: int) -> int:
    return max(1, math.ceil(len(text) / signs))


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
