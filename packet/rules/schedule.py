"""Dates of the job: ordering, working days, inspections, and how long the power is off."""

from __future__ import annotations

import calendar
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from packet.codebook import Book
from packet.ledger import Check, Entry, Verdict, chosen, compare, computed, total
from packet.quantities import magnitude, quantity

DAYS_OFF = (calendar.SATURDAY, calendar.SUNDAY)
"""Days on which no office or supply house is counted on."""


def working_day_on_or_before(day: date) -> date:
    """Return `day`, or the last working day before it."""
    while day.weekday() in DAYS_OFF:
        day -= timedelta(days=1)
    return day


def working_day_on_or_after(day: date) -> date:
    """Return `day`, or the first working day after it."""
    while day.weekday() in DAYS_OFF:
        day += timedelta(days=1)
    return day


def order_by(book: Book, name: str, start: Entry, lead_time: Entry) -> Entry:
    """Return the last working day to order something that must be there at the start.

    Parameters
    ----------
    start : Entry
        Planned first day of work (date).
    lead_time : Entry
        From order to hand. [days]

    Rule
    ----
    order_margin
    """
    margin = book.figure("order_margin")
    day = working_day_on_or_before(start.value - _days(lead_time) - _days(margin))
    return chosen(name, day, margin.cite, start=start, lead_time=lead_time, margin=margin)


def ordered_in_time(
    book: Book, name: str, last_day: Entry, first_day: Entry, lead_time: Entry
) -> Check:
    """Judge whether something can still be ordered in time for the planned start.

    Falls to a note: the work may start later; the remedy is the first possible start.

    Parameters
    ----------
    last_day : Entry
        The answer of :func:`order_by` (date).
    first_day : Entry
        First day on which one can order (date).
    lead_time : Entry
        [days]
    """
    margin = book.figure("order_margin")
    earliest = chosen(
        f"{name.rsplit('.', 1)[0]}.earliest_start",
        working_day_on_or_after(first_day.value + _days(lead_time) + _days(margin)),
        margin.cite,
        first_day=first_day,
        lead_time=lead_time,
        margin=margin,
    )
    return compare(
        name,
        first_day,
        "<=",
        last_day,
        margin.cite,
        otherwise=Verdict.NOTE,
        remedy=earliest,
        facts=(lead_time,),
    )


def days_of_work(book: Book, hours: Entry, name: str = "working_days") -> Entry:
    """Return the working days that the hours take, rounded up [days]."""
    return computed(
        name,
        "round_up(h / d) * u",
        book.cite("hours_per_day"),
        h=hours,
        d=book.figure("hours_per_day"),
        u=book.figure("one_day"),
    )


def power_off_hours(book: Book, connections: Entry) -> Entry:
    """Return how long the house has no power: proving dead, connecting, dead tests [h].

    Parameters
    ----------
    connections : Entry
        Terminals connected in the panel.
    """
    return computed(
        "power_off_hours",
        "a + n * b + c",
        book.cite("power_off_prove_dead"),
        a=book.figure("power_off_prove_dead"),
        n=connections,
        b=book.figure("power_off_per_terminal"),
        c=book.figure("power_off_dead_tests"),
    )


def inspection_day(book: Book, name: str, ready: Entry, notice: Entry | None) -> Entry:
    """Return the first working day for an inspection, from the day the work is ready.

    Parameters
    ----------
    ready : Entry
        Day on which the stage is ready to be seen (date).
    notice : Entry, optional
        That the office wants; the usual notice when it is not known. [days]
    """
    ask = notice or book.figure("usual_inspection_notice")
    day = working_day_on_or_after(ready.value + _days(ask))
    return chosen(name, day, book.cite("usual_inspection_notice"), ready=ready, notice=ask)


def call_for_inspection_by(book: Book, name: str, inspection: Entry, notice: Entry) -> Entry:
    """Return the last working day to ask for an inspection (date)."""
    day = working_day_on_or_before(inspection.value - _days(notice))
    cite = book.cite("usual_inspection_notice")
    return chosen(name, day, cite, inspection=inspection, notice=notice)


def call_before_digging_by(book: Book, start: Entry) -> Entry:
    """Return the last working day to have buried lines marked (date)."""
    notice = book.figure("locate_notice")
    day = start.value
    left = int(magnitude(notice.value, "d"))
    while left:
        day = working_day_on_or_before(day - timedelta(days=1))
        left -= 1
    return chosen("call_before_digging_by", day, notice.cite, start=start, notice=notice)


def ready_after(book: Book, name: str, start: Entry, days: Entry) -> Entry:
    """Return the working day on which work that takes `days` working days is done (date).

    The first day counts.
    """
    day = working_day_on_or_after(start.value)
    for _ in range(1, int(magnitude(days.value, "d"))):
        day = working_day_on_or_after(day + timedelta(days=1))
    return chosen(name, day, book.cite("hours_per_day"), start=start, days=days)


@dataclass(frozen=True)
class WorkDay:
    """One day of work: its date, and the hours worked on it [h]."""

    date: Entry
    hours: Entry


def days_at_work(book: Book, number: int, start: Entry, hours: Entry) -> Iterator[WorkDay]:
    """Yield the days that `hours` are worked on, the first on the day of `start` itself.

    Someone who plans to begin on a Saturday works that Saturday; the days after it are
    working days.

    Parameters
    ----------
    number : int
        Of the first of these days in the plan.
    start : Entry
        First day (date).
    hours : Entry
        [h]

    Rule
    ----
    hours_per_day
    """
    cite, whole_day = book.cite("hours_per_day"), book.figure("hours_per_day")
    day, left, done = start.value, magnitude(hours.value, "h"), list[Entry]()
    while left > 0:
        at = f"plan_day.{number + len(done)}"
        before = total(f"{at}.done_before", cite, "h", done)
        worked = computed(f"{at}.hours", "smaller(d, h - b)", cite, d=whole_day, h=hours, b=before)
        done.append(worked)
        yield WorkDay(chosen(f"{at}.date", day, cite, start=start, hours=worked), worked)
        left -= magnitude(worked.value, "h")
        day = working_day_on_or_after(day + timedelta(days=1))


def next_working_day(book: Book, day: Entry) -> Entry:
    """Return the working day after `day` (date)."""
    following = working_day_on_or_after(day.value + timedelta(days=1))
    return chosen("next_working_day", following, book.cite("hours_per_day"), day=day)


@dataclass(frozen=True)
class PowerOff:
    """When the power is off: hours after midnight [h], and the same as times of day.

    Parameters
    ----------
    day : int
        Of the stage's days of work, from 0, where it was not moved.
    moved : bool
        Whether it was put off to the morning after, so as not to end too late.
    begins, ends : Entry
        [h]
    start, end : Entry
        Such as ``13:00``.
    """

    day: int
    moved: bool
    begins: Entry
    ends: Entry
    start: Entry
    end: Entry


def power_off_window(book: Book, after: Entry, hours: Entry, *, same_day: bool) -> PowerOff:
    """Return when the power goes off and is back, on one day.

    Parameters
    ----------
    after : Entry
        Hours of work of the stage that come before it. [h]
    hours : Entry
        How long it is off. [h]
    same_day : bool
        Whether the stage begins on the day of an inspection, after it.

    Rule
    ----
    day_begins_at, day_begins_after_inspection, power_on_again_by, clock_step, hours_per_day
    """
    morning, step = book.figure("day_begins_at"), book.figure("clock_step")
    full_day = book.figure("hours_per_day")
    day = int(magnitude(after.value, "h") // magnitude(full_day.value, "h"))
    first = book.figure("day_begins_after_inspection") if same_day and not day else morning
    begins = computed(
        "power_off_begins",
        "round_up((b + (o - round_down(o / d) * d)) / q) * q",
        morning.cite,
        b=first,
        o=after,
        d=full_day,
        q=step,
    )
    ends = _ends(book, begins, hours)
    too_late = ends.value > book.figure("power_on_again_by").value
    moved = bool(too_late and begins.value > morning.value)
    if moved:
        begins = computed("power_off_begins", "b", morning.cite, b=morning)
        ends = _ends(book, begins, hours)
    return PowerOff(
        day,
        moved,
        begins,
        ends,
        chosen("power_off_from", _clock(begins), morning.cite, begins=begins),
        chosen("power_off_until", _clock(ends), morning.cite, ends=ends),
    )


def _ends(book: Book, begins: Entry, hours: Entry) -> Entry:
    return computed(
        "power_off_ends",
        "round_up((b + p) / q) * q",
        book.cite("power_on_again_by"),
        b=begins,
        p=hours,
        q=book.figure("clock_step"),
    )


def _clock(hours: Entry) -> str:
    minutes, hour = (
        int(magnitude(one, "min").to_integral_value()) for one in (hours.value, quantity(1, "h"))
    )
    whole, rest = divmod(minutes, hour)
    return f"{whole:02}:{rest:02}"


def waiting_time(book: Book, name: str, ready: Entry, inspection: Entry) -> Entry:
    """Return the days from the work being ready to its inspection [days]."""
    wait = quantity((inspection.value - ready.value).days, "d")
    cite = book.cite("usual_inspection_notice")
    return chosen(name, wait, cite, ready=ready, inspection=inspection)


def longest_lead_time(lead_times: Sequence[Entry]) -> Entry | None:
    """Return the longest of the lead times, or None [days]."""
    return max(lead_times, key=lambda entry: entry.value, default=None)


def _days(entry: Entry) -> timedelta:
    return timedelta(days=float(magnitude(entry.value, "d")))
