"""The dates of the job: permit, orders, marks before digging, and each inspection."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from packet.codebook import Book
from packet.jobfile.model import Job
from packet.ledger import Entry, Ledger, chosen, computed
from packet.plans.givens import given
from packet.rules import schedule
from packet.rules.materials import own_hours

STAGES = ("trench", "rough-in", "service", "final")
"""The inspections that an office may ask for, in the order of the work."""


PANEL_STAGES = ("service", "final")
"""Inspections before which the panel is opened: the first of them that is asked for."""


@dataclass(frozen=True)
class StageHours:
    """Hours of work that must be done before each inspection, at the usual pace [h]."""

    trench: Entry
    rough_in: Entry
    whole: Entry


def enter_dates(book: Book, ledger: Ledger, job: Job, hours: StageHours, *, digs: bool) -> None:
    """Enter the days by which to apply, to call and to be ready."""
    start = ledger["work.planned_start"]
    _permit(book, ledger, job, start)
    times = [
        entry
        for entry in ledger
        if entry.name.startswith("prices.") and entry.name.endswith(".lead_time")
    ]
    longest = schedule.longest_lead_time(times)
    if longest is not None:
        ledger.add(schedule.order_by(book, "first_order_by", start, longest))
    if digs:
        ledger.add(schedule.call_before_digging_by(book, start))
    notice = given("inspection_notice", job.authority.inspection_notice)
    factor = given("hours_factor", job.labour and job.labour.hours_factor)
    begun = start
    number = 1
    for stage, worked in _stages(book, job, hours):
        own = own_hours(book, worked, factor, f"{stage}_hours") if factor else worked
        days = schedule.days_of_work(book, own, f"{stage}_days")
        ready = schedule.ready_after(book, f"{stage}_ready", begun, days)
        at_work = _days(book, ledger, hours, factor, _Stage(stage, number, begun, own))
        number += len(at_work)
        if at_work and at_work[-1].date.value > ready.value:
            ready = schedule.ready_after(
                book, f"{stage}_ready", at_work[-1].date, book.figure("one_day")
            )
        ledger.add(ready)
        seen = schedule.inspection_day(book, f"{stage}_inspection", ready, notice)
        begun = ledger.add(seen)
        wait = notice or book.figure("usual_inspection_notice")
        ledger.add(schedule.call_for_inspection_by(book, f"{stage}_call_by", seen, wait))
        ledger.add(schedule.waiting_time(book, f"{stage}_wait", ready, seen))


@dataclass(frozen=True)
class _Stage:
    """The work before one inspection: number of its first day, that day, and its hours [h]."""

    name: str
    number: int
    begun: Entry
    own: Entry


def _days(
    book: Book, ledger: Ledger, hours: StageHours, factor: Entry | None, stage: _Stage
) -> list[schedule.WorkDay]:
    """Enter the days of work before one inspection, and when the power is off on one of them."""
    window = None
    blocks = [stage.own]
    if stage.name in PANEL_STAGES and "power_off_day" not in ledger:
        window, blocks = _power_off(book, ledger, hours, factor, stage)
    days: list[schedule.WorkDay] = []
    start, before = stage.begun, 0
    for block in blocks:
        before = len(days)
        days += schedule.days_at_work(book, stage.number + before, start, block)
        start = schedule.next_working_day(book, days[-1].date if days else start)
    for number, day in enumerate(days, stage.number):
        ledger.add(day.date)
        ledger.add(
            chosen(
                f"plan_day.{number}.stage",
                stage.name.replace("_", "-"),
                book.cite("hours_per_day"),
                h=stage.own,
            )
        )
    if window is not None:
        at = days[before if window.moved else window.day].date
        for entry in (
            chosen("power_off_day", at.value, book.cite("power_on_again_by"), day=at),
            window.start,
            window.end,
        ):
            ledger.add(entry)
    return days


def _power_off(
    book: Book, ledger: Ledger, hours: StageHours, factor: Entry | None, stage: _Stage
) -> tuple[schedule.PowerOff, list[Entry]]:
    """Return when the power is off, and the hours of the stage before and from then on."""
    cite = book.cite("hours_panel")
    off = ledger["power_off_hours"]
    share = {"f": factor} if factor else {}
    own_off = computed("own_power_off_hours", "h * f" if factor else "h", cite, h=off, **share)
    pace = " * f" if factor else ""
    after = computed(
        "power_off_after",
        f"larger(h - (w - r){pace}, 0 * h)",
        cite,
        h=stage.own,
        w=hours.whole,
        r=hours.rough_in,
        **share,
    )
    window = schedule.power_off_window(
        book, after, ledger.add(own_off), same_day=stage.begun.name.endswith("_inspection")
    )
    if not window.moved:
        return window, [stage.own]
    rest = computed("power_off_rest", "h - b", cite, h=stage.own, b=after)
    return window, [after, rest]


def _permit(book: Book, ledger: Ledger, job: Job, start: Entry) -> None:
    """Enter the last day to apply, unless the permit is there already."""
    lead = given("permit.lead_time", job.authority.permit_lead_time)
    if lead is None or job.authority.permit_number is not None:
        return
    last = ledger.add(schedule.order_by(book, "permit.apply_by", start, lead))
    written = ledger["work.written"]
    ledger.judge(schedule.ordered_in_time(book, "permit.applied_in_time", last, written, lead))


def _stages(book: Book, job: Job, hours: StageHours) -> Iterator[tuple[str, Entry]]:
    """Yield each inspection asked for with the hours since the one before; the final always."""
    asked = job.authority.inspections
    wanted = {*(asked.value if asked else ()), "final"}
    done: Entry | None = None
    until = {
        "trench": hours.trench,
        "rough-in": hours.rough_in,
        "service": hours.whole,
        "final": hours.whole,
    }
    for stage in STAGES:
        if stage not in wanted:
            continue
        name, whole = stage.replace("-", "_"), until[stage]
        cite = book.cite("hours_panel")
        yield (
            name,
            computed(f"{name}_work", "larger(h - d, 0 * h)", cite, h=whole, d=done)
            if done is not None
            else computed(f"{name}_work", "h", cite, h=whole),
        )
        done = whole


def stage_hours(
    book: Book, trench: Entry, cable: Entry, raceway: Entry, boxes: Entry, whole: Entry
) -> StageHours:
    """Return the hours until each inspection.

    Parameters
    ----------
    trench, cable, raceway : Entry
        Lengths. [ft]
    boxes : Entry
        Their number.
    whole : Entry
        Hours of the whole job. [h]
    """
    cite = book.cite("hours_panel")
    stretch = book.figure("hours_stretch")
    dug = computed(
        "hours_to_trench",
        "T * h_g / s",
        cite,
        T=trench,
        h_g=book.figure("hours_trench_stretch"),
        s=stretch,
    )
    rough = computed(
        "hours_to_rough_in",
        "h_d + n * h_b + (C * h_c + R * h_r) / s",
        cite,
        h_d=dug,
        n=boxes,
        h_b=book.figure("hours_per_box"),
        C=cable,
        h_c=book.figure("hours_cable_stretch"),
        R=raceway,
        h_r=book.figure("hours_raceway_stretch"),
        s=stretch,
    )
    return StageHours(dug, rough, whole)
