"""The sheets of one job, put together for each of its three readers."""

from __future__ import annotations

from collections.abc import Callable

from packet import __version__, words
from packet.ledger import Ledger, Verdict
from packet.plans.branch_circuit import Plan
from packet.procedure import Procedure, build_procedure
from packet.sheets import views
from packet.sheets.buying import buy
from packet.sheets.calculations import calculations
from packet.sheets.days import with_window
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


def frame(plan: Plan, code: str = "") -> views.Frame:
    """Return what stands on every page; `code` is the check code where it covers more plans."""
    ledger = plan.ledger
    edition = plan.book.cite("adopted_edition")
    return views.Frame(
        job_number=show(ledger["work.number"]),
        title=show(ledger["work.title"]),
        edition=f"{edition.document} {edition.edition}",
        stamp=code or stamp(ledger),
        issued=show(ledger["work.written"]),
        revision=words.word("frame.first_revision").label,
        version=__version__,
        code_book=code_book(),
        address=show(ledger["site.address"]),
        prepared_by=_first_told(ledger, "people.installer", "people.owner"),
        phone=_first_told(ledger, "people.installer_phone", "people.owner_phone"),
    )


def _first_told(ledger: Ledger, *names: str) -> str:
    return next((show(ledger[name]) for name in names if name in ledger), "")


def _incomplete(plan: Plan) -> bool:
    return plan.ledger.verdict is Verdict.FALLS_SHORT or plan.installed is None


def shortfall_sheets(plan: Plan, letters: str) -> tuple[views.Sheet, ...]:
    """Return `letters` of summary, load worksheet and calculations: all there is without a plan."""
    load = load_worksheet(plan)
    sheets: tuple[views.Sheet, ...] = (
        summary(plan, load, letters, power_off="", trips=0),
        load,
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
    load = load_worksheet(plan)
    return (
        summary(
            plan,
            load,
            WORKING,
            power_off=with_window(
                words.word("power_off.from_to").label.format(
                    hours=show(ledger.get("own_power_off_hours") or ledger["power_off_hours"]),
                    first=_first_dead(procedure),
                    last=_last_dead(procedure),
                ),
                ledger,
            ),
            trips=len(bought.trips),
        ),
        bought,
        carry(procedure),
        do(procedure, ledger, _who_may(plan)),
        torque(plan.installed, ledger),
        readings(plan.installed, ledger, procedure),
        permit(procedure, ledger),
        one_line(plan),
        directory(plan.picture),
        load,
        calculations(ledger, WORKING),
        as_built(procedure),
    )


def _who_may(plan: Plan) -> str:
    text = words.word(
        "who_may.owner" if plan.ledger["fact.owner_does_work"].value else "who_may.electrician"
    ).label
    return f"{text} ({show_citation(plan.book.cite('owner_work_rule'))})"


def _first_dead(procedure: Procedure) -> str:
    return next(
        procedure.numbers[name] for name in ("main_off", "feeder_off") if name in procedure.numbers
    )


def _last_dead(procedure: Procedure) -> str:
    return next(
        procedure.numbers[name] for name in ("main_on", "feeder_on") if name in procedure.numbers
    )
