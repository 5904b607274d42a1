"""The days of the job: orders, bookings, work, the hours without power, inspections."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import count

from packet import words
from packet.ledger import Entry, Ledger
from packet.sheets import views
from packet.showing import show

STAGES = ("trench", "rough_in", "service", "final")

BEFORE = (
    "permit.apply_by",
    "first_order_by",
    "call_before_digging_by",
    "work.planned_start",
    *(f"{stage}_call_by" for stage in STAGES),
)


@dataclass(frozen=True)
class _Told:
    """One thing of one day; `rank` orders what falls on the same day."""

    day: Entry
    rank: tuple[int, int]
    label: str


def days(ledger: Ledger) -> tuple[views.Fact, ...]:
    """Return every day of the job, the earliest first; on one day in the order of the work."""
    told = [*_bookings(ledger), *_work(ledger), *_power_off(ledger), *_inspections(ledger)]
    return tuple(
        views.Fact(one.label, show(one.day))
        for one in sorted(told, key=lambda one: (one.day.value, one.rank))
    )


def work_days(ledger: Ledger) -> str:
    """Return the first and the last day of work; nothing where there is no plan."""
    found = [entry for entry, _ in _planned(ledger)]
    if not found:
        return ""
    first, last = show(found[0]), show(found[-1])
    name = "day_plan.days" if first != last else "day_plan.one_day"
    return words.word(name).label.format(first=first, last=last)


def with_window(steps: str, ledger: Ledger) -> str:
    """Return the steps without power, with the day and the times of day where they are planned."""
    if "power_off_day" not in ledger:
        return steps
    return words.word("day_plan.power_off_on").label.format(
        steps=steps,
        day=show(ledger["power_off_day"]),
        start=show(ledger["power_off_from"]),
        end=show(ledger["power_off_until"]),
    )


def _bookings(ledger: Ledger) -> Iterator[_Told]:
    for name in BEFORE:
        if name in ledger:
            yield _Told(ledger[name], (-1, 0), words.word(name).label)


def _planned(ledger: Ledger) -> Iterator[tuple[Entry, str]]:
    """Yield each day of work with the beginning of its names in the ledger."""
    for number in count(1):
        at = f"plan_day.{number}"
        if f"{at}.date" not in ledger:
            return
        yield ledger[f"{at}.date"], at


def _work(ledger: Ledger) -> Iterator[_Told]:
    label = words.word("day_plan.work").label
    for day, at in _planned(ledger):
        stage, hours = ledger[f"{at}.stage"], show(ledger[f"{at}.hours"])
        text = label.format(stage=show(stage), hours=hours)
        yield _Told(day, (_order(stage.value), 0), text)


def _power_off(ledger: Ledger) -> Iterator[_Told]:
    if "power_off_day" in ledger:
        start, end = (show(ledger[name]) for name in ("power_off_from", "power_off_until"))
        label = words.word("day_plan.power_off").label
        text = label.format(start=start, end=end)
        yield _Told(ledger["power_off_day"], (len(STAGES) - 1, 1), text)


def _inspections(ledger: Ledger) -> Iterator[_Told]:
    label = words.word("day_plan.inspection").label
    for stage in STAGES:
        name = f"{stage}_inspection"
        if name in ledger:
            what, wait = words.word(name).label, show(ledger[f"{stage}_wait"])
            yield _Told(ledger[name], (_order(stage), 2), label.format(what=what, wait=wait))


def _order(stage: str) -> int:
    return STAGES.index(stage.replace("-", "_"))
