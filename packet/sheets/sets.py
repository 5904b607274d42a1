"""The sheets of one job, put together for each of its three readers."""

from __future__ import annotations

from collections.abc import Callable

from packet import __version__, words
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
from packet.sheets.permit_summary import permit_summary
from packet.sheets.procedure import as_built, carry, do, permit
from packet.sheets.scope import scope
from packet.sheets.summary import OUTCOMES, summary
from packet.showing import show, show_citation, stamp
from packet.versions import code_book

WORKING, REVIEWED = "ABCDEFGHJKL", "PHKL"
"""The sheets of the clipboard and of the permit set, where work may start."""


def clipboard_set(plan: Plan) -> views.SheetSet:
    """Return the clipboard set; three sheets only where something falls short.

    Raises
    ------
    KeyError
        When a sheet asks for a value that the plan did not enter.
    """
    sheets = shortfall_sheets(plan, "AKL") if _incomplete(plan) else working_sheets(plan)
    return _set(plan, sheets, views.Reader.CLIPBOARD)


def client_set(plan: Plan) -> views.SheetSet:
    """Return the client set: the scope of work, or the summary where there is none to sign."""
    sheets = shortfall_sheets(plan, "A") if _incomplete(plan) else (scope(plan),)
    return _set(plan, sheets, views.Reader.CLIENT)


def permit_set(plan: Plan) -> views.SheetSet:
    """Return the permit set; where something falls short, what shows the office why."""
    sheets = shortfall_sheets(plan, "AKL") if _incomplete(plan) else review_sheets(plan)
    return _set(plan, sheets, views.Reader.PERMIT)


SETS: dict[str, Callable[[Plan], views.SheetSet]] = {
    "clipboard": clipboard_set,
    "client": client_set,
    "permit": permit_set,
}
"""Every set by the name of its reader."""


def _set(plan: Plan, sheets: tuple[views.Sheet, ...], reader: views.Reader) -> views.SheetSet:
    return views.SheetSet(frame(plan), OUTCOMES[plan.ledger.verdict], sheets, reader)


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
        version=__version__,
        code_book=code_book(),
    )


def _incomplete(plan: Plan) -> bool:
    return plan.ledger.verdict is Verdict.FALLS_SHORT or plan.installed is None


def shortfall_sheets(plan: Plan, letters: str) -> tuple[views.Sheet, ...]:
    """Return `letters` of summary, load worksheet and calculations: all there is without a plan."""
    stops = tuple(
        text for name, text in library().exits.items() if name != "who" and "{{" not in text
    )
    sheets: tuple[views.Sheet, ...] = (
        summary(plan, letters, stop_if=stops, power_off="", trips=0),
        load_worksheet(plan),
        calculations(plan.ledger, letters),
    )
    return tuple(sheet for sheet in sheets if sheet.letter in letters)


def review_sheets(plan: Plan) -> tuple[views.Sheet, ...]:
    """Return the sheets that a plan review asks for."""
    load = load_worksheet(plan)
    first = permit_summary(plan, load, REVIEWED)
    rows = {row.see for row in first.rows}
    return first, one_line(plan), load, calculations(plan.ledger, REVIEWED, review=rows)


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
            WORKING,
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
        calculations(ledger, WORKING),
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
