"""Sheet A: may the work start, why, and what does it take."""

from __future__ import annotations

from packet import words
from packet.findings import Finding, finding, findings
from packet.ledger import Entry, Ledger, Verdict
from packet.plans.branch_circuit import Plan
from packet.sheets import views
from packet.sheets.calculations import asked, numbers, unconfirmed
from packet.sheets.views import SHORTFALL_SHEETS
from packet.showing import show, show_source

OUTCOMES = {
    Verdict.MEETS: views.Outcome.READY,
    Verdict.ASK: views.Outcome.READY_IF,
    Verdict.FALLS_SHORT: views.Outcome.DO_NOT_START,
}
MOST_TELLING = (
    "service_carries_load",
    "overcurrent_carries_load",
    "ground_fault_protection_is_there",
)
KEY_VALUES = (
    ("overcurrent_rating", "E"),
    ("conductor_size", "E"),
    ("{load}", "K"),
    ("service.rating", "K"),
    ("{current}", "L"),
    ("equipment_grounding", "E"),
    ("circuit.length", "B"),
    ("voltage_drop_share", "L"),
)
STOP_RULES = 3
MOST_ROWS = {Verdict.MEETS: 7, Verdict.ASK: 2, Verdict.FALLS_SHORT: 4}
"""Key values that leave room on one page for what stands above them."""


def summary(
    plan: Plan, letters: str, *, stop_if: tuple[str, ...], power_off: str, trips: int
) -> views.Summary:
    """Return sheet A.

    Parameters
    ----------
    plan : Plan
    letters : str
        The sheets of the set; nothing on this sheet names another one without its packet.
    stop_if : tuple of str
        The stop rules of the procedure; the first few stand on this sheet.
    power_off : str
        How long the power is off.
    trips : int
        Trips to a store.
    """
    ledger = plan.ledger
    outcome = OUTCOMES[ledger.verdict]
    return views.Summary(
        address=_text(ledger, "site.address"),
        owner=_text(ledger, "people.owner"),
        work_by=_work_by(ledger),
        planned_start=_text(ledger, "work.planned_start"),
        outcome=outcome,
        reasons=_reasons(plan, letters),
        first=_questions(ledger, letters),
        key_values=_key_values(plan, letters),
        hours=_text(ledger, "own_hours") or _text(ledger, "work_hours"),
        trips=str(trips) if trips else "",
        cost=_text(ledger, "trips.total"),
        people=words.word("people.needed").label,
        power_off=power_off,
        stop_if=stop_if[:STOP_RULES],
        unconfirmed=_sheet("L", letters) if any(unconfirmed(ledger)) else "",
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


def _reasons(plan: Plan, letters: str) -> tuple[views.Reason, ...]:
    ledger = plan.ledger
    short = findings(ledger, Verdict.FALLS_SHORT)
    if short:
        return tuple(_reason(one, plan, letters) for one in short)
    names = MOST_TELLING[:1] if ledger.verdict is Verdict.ASK else MOST_TELLING
    telling = [one for one in findings(ledger, Verdict.MEETS) if one.name in names]
    return tuple(_reason(one, plan, letters) for one in telling)


def _reason(one: Finding, plan: Plan, letters: str) -> views.Reason:
    remedies = []
    if one.name == "service_carries_load" and one.verdict is Verdict.FALLS_SHORT:
        put_right = plan.remedies
        for entry in (
            put_right.setting,
            put_right.management_limit,
            put_right.method,
            put_right.measured_peak,
            put_right.service,
        ):
            if entry is not None:
                remedies += [f"{words.word(entry.name).label}: {show(entry)}"]
    sheet = "K" if one.name.startswith("service_carries") else "L"
    return views.Reason(one.says, _sheet(sheet, letters), "; ".join(remedies))


def _key_values(plan: Plan, letters: str) -> tuple[views.KeyValue, ...]:
    ledger = plan.ledger
    load = plan.load.worksheet.deciding.name
    rows = []
    for name, sheet in KEY_VALUES:
        entry = ledger.get(name.format(load=load, current=plan.current.name))
        if entry is not None:
            rows.append(
                views.KeyValue(
                    words.word(entry.name).label,
                    show(entry),
                    words.word(f"kind.{entry.kind.value}").label,
                    _place(entry, sheet, ledger, letters),
                )
            )
    return tuple(rows[: MOST_ROWS[plan.ledger.verdict]])


def _place(entry: Entry, sheet: str, ledger: Ledger, letters: str) -> str:
    """Return where an entry stands: on its sheet, else where sheet L or the job file has it."""
    row = numbers(ledger).get(entry.name, "")
    if row.startswith("L-") and (sheet == "L" or sheet not in letters):
        return _sheet(row, letters)
    if sheet in letters or sheet in SHORTFALL_SHEETS:
        return _sheet(sheet, letters)
    return show_source(entry)


def _sheet(row: str, letters: str) -> str:
    """Return a sheet, or a row of it, with the packet that has it where this set does not."""
    if row[0] in letters:
        return row
    return words.word("set.in_work_packet").label.format(row=row)


def _text(ledger: Ledger, name: str) -> str:
    entry = ledger.get(name)
    return show(entry) if entry else ""
