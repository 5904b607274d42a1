"""The sheets of one job, put together for the reader who carries them to the work."""

from __future__ import annotations

from packet import words
from packet.ledger import Verdict
from packet.plans.branch_circuit import Plan
from packet.procedure import Panel, Procedure, build_procedure
from packet.procedure.library import library
from packet.sheets import views
from packet.sheets.buying import buy
from packet.sheets.calculations import calculations
from packet.sheets.diagram import one_line
from packet.sheets.directory import directory
from packet.sheets.forms import readings, rows, torque
from packet.sheets.load import load_worksheet
from packet.sheets.procedure import as_built, carry, do, permit
from packet.sheets.summary import OUTCOMES, summary
from packet.showing import show, show_citation, stamp


def clipboard_set(plan: Plan) -> views.SheetSet:
    """Return the clipboard set; three sheets only where something falls short.

    Raises
    ------
    KeyError
        When a sheet asks for a value that the plan did not enter.
    """
    sheets = shortfall_sheets(plan) if _incomplete(plan) else working_sheets(plan)
    return views.SheetSet(frame(plan), OUTCOMES[plan.ledger.verdict], sheets)


def frame(plan: Plan) -> views.Frame:
    """Return what stands on every page."""
    ledger = plan.ledger
    edition = plan.book.cite("adopted_edition")
    return views.Frame(
        job_number=show(ledger["work.number"]),
        title=show(ledger["work.title"]),
        edition=f"{edition.document} {edition.edition}",
        stamp=stamp(ledger),
        issued=show(ledger["work.written"]),
        revision=words.word("frame.first_revision").label,
    )


def _incomplete(plan: Plan) -> bool:
    return plan.ledger.verdict is Verdict.FALLS_SHORT or plan.installed is None


def shortfall_sheets(plan: Plan) -> tuple[views.Sheet, ...]:
    """Return summary, load worksheet and calculations: all that is printed without a plan."""
    stops = tuple(
        text for name, text in library().exits.items() if name != "who" and "{{" not in text
    )
    return (
        summary(plan, stop_if=stops, power_off="", trips=0),
        load_worksheet(plan),
        calculations(plan.ledger),
    )


def working_sheets(plan: Plan) -> tuple[views.Sheet, ...]:
    """Return all sheets of a job that may be worked."""
    if plan.installed is None or plan.shopping is None:
        raise ValueError("the conductors are not sized: there is nothing to work by")
    ledger = plan.ledger
    procedure = build_procedure(ledger, rows(plan.installed), plan.book)
    bought = buy(plan.shopping, ledger)
    return (
        summary(
            plan,
            stop_if=tuple(one.text for one in procedure.exits),
            power_off=words.word("power_off.from_to").label.format(
                first=_first_dead(procedure), last=_last_dead(procedure)
            ),
            trips=len(bought.trips),
        ),
        bought,
        carry(procedure),
        do(procedure, ledger, _who_may(plan)),
        torque(plan.installed, ledger),
        readings(plan.installed, ledger, _live_danger(procedure)),
        permit(procedure, ledger),
        one_line(plan),
        directory(plan.picture),
        load_worksheet(plan),
        calculations(ledger),
        as_built(procedure),
    )


def _who_may(plan: Plan) -> str:
    text = words.word(
        "who_may.owner" if plan.ledger["fact.owner_does_work"].value else "who_may.electrician"
    ).label
    return f"{text} ({show_citation(plan.book.cite('owner_work_rule'))})"


def _live_danger(procedure: Procedure) -> Panel:
    dangers = [
        panel for block in procedure.blocks for panel in block.hazards if panel.word == "danger"
    ]
    return dangers[-1]


def _first_dead(procedure: Procedure) -> str:
    return next(
        procedure.numbers[name] for name in ("main_off", "feeder_off") if name in procedure.numbers
    )


def _last_dead(procedure: Procedure) -> str:
    return next(
        procedure.numbers[name] for name in ("main_on", "feeder_on") if name in procedure.numbers
    )
