"""Sheet A: may the work start, why, and what does it take."""

from __future__ import annotations

from packet import words
from packet.findings import Finding, findings
from packet.ledger import Kind, Ledger, Verdict
from packet.plans.branch_circuit import Plan
from packet.sheets import views
from packet.showing import show

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
    ("equipment_grounding", "E"),
    ("circuit.configuration", "H"),
    ("charging_current", "L"),
    ("circuit.length", "B"),
    ("load.{method}.current", "K"),
    ("service.rating", "K"),
    ("load.largest_continuous_current", "K"),
    ("voltage_drop_share", "L"),
    ("authority.permit_fee", "G"),
)
KINDS = {
    Kind.GIVEN: "given",
    Kind.LABEL: "label",
    Kind.FIGURE: "code",
    Kind.COMPUTED: "calc",
    Kind.CHOSEN: "calc",
}
STOP_RULES = 3
MOST_ROWS = {Verdict.MEETS: 10, Verdict.ASK: 7, Verdict.FALLS_SHORT: 6}
"""Key values that leave room on one page for what stands above them."""


def summary(plan: Plan, *, stop_if: tuple[str, ...], power_off: str, trips: int) -> views.Summary:
    """Return sheet A.

    Parameters
    ----------
    plan : Plan
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
        reasons=_reasons(plan),
        first=tuple(
            views.OpenQuestion(one.says, one.who or words.word("who.unknown").label)
            for one in findings(ledger, Verdict.ASK)
        ),
        key_values=_key_values(plan),
        hours=_text(ledger, "own_hours") or _text(ledger, "work_hours"),
        trips=str(trips) if trips else "",
        cost=_text(ledger, "bill.total"),
        people=words.word("people.needed").label,
        power_off=power_off,
        stop_if=stop_if[:STOP_RULES],
    )


def _work_by(ledger: Ledger) -> str:
    by = _text(ledger, "people.work_by")
    name = _text(ledger, "people.installer")
    return f"{by}: {name}" if name else by


def _reasons(plan: Plan) -> tuple[views.Reason, ...]:
    ledger = plan.ledger
    short = findings(ledger, Verdict.FALLS_SHORT)
    if short:
        return tuple(_reason(one, plan) for one in short)
    telling = [one for one in findings(ledger, Verdict.MEETS) if one.name in MOST_TELLING]
    return tuple(_reason(one, plan) for one in telling)


def _reason(one: Finding, plan: Plan) -> views.Reason:
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
    return views.Reason(one.says, sheet, "; ".join(remedies))


def _key_values(plan: Plan) -> tuple[views.KeyValue, ...]:
    ledger = plan.ledger
    method = str(plan.load.method.value)
    rows = []
    for name, sheet in KEY_VALUES:
        entry = ledger.get(name.format(method=method))
        if entry is not None:
            rows.append(
                views.KeyValue(words.word(entry.name).label, show(entry), KINDS[entry.kind], sheet)
            )
    return tuple(rows[: MOST_ROWS[plan.ledger.verdict]])


def _text(ledger: Ledger, name: str) -> str:
    entry = ledger.get(name)
    return show(entry) if entry else ""
