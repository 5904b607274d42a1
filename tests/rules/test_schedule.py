"""Dates: ordering, working days, inspections, time without power."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

import pytest

from packet.codebook import Book
from packet.ledger import Entry, Verdict, decimal_of
from packet.rules.schedule import (
    call_before_digging_by,
    call_for_inspection_by,
    days_at_work,
    days_of_work,
    inspection_day,
    longest_lead_time,
    next_working_day,
    order_by,
    ordered_in_time,
    power_off_hours,
    power_off_window,
    ready_after,
    waiting_time,
    working_day_on_or_after,
    working_day_on_or_before,
)
from tests.rules.givens import given
from tests.rules.installation import enters_ledger, reworked

BOOK = Book("2023")
START = given("work.planned_start", date(2026, 10, 15))  # a Thursday


def days(number: int) -> Entry:
    return given("material.1.lead_time", number, "d")


@pytest.mark.parametrize(
    ("lead", "last"),
    [
        (0, date(2026, 10, 13)),  # Tuesday: two days in hand
        (1, date(2026, 10, 12)),
        (2, date(2026, 10, 9)),  # Sunday the 11th goes back to Friday
        (3, date(2026, 10, 9)),
        (4, date(2026, 10, 9)),
        (5, date(2026, 10, 8)),
        (30, date(2026, 9, 11)),  # Sunday the 13th goes back to Friday
    ],
)
def test_order_by(lead: int, last: date) -> None:
    """Common practice, no source."""
    entry = order_by(BOOK, "material.1.order_by", START, days(lead))
    assert entry.value == last
    enters_ledger([entry])


@pytest.mark.parametrize(
    ("first", "verdict"),
    [
        (date(2026, 10, 7), Verdict.MEETS),
        (date(2026, 10, 8), Verdict.MEETS),
        (date(2026, 10, 9), Verdict.NOTE),
    ],
)
def test_ordered_in_time(first: date, verdict: Verdict) -> None:
    """Common practice, no source."""
    last = order_by(BOOK, "material.1.order_by", START, days(5))
    first_day = given("first_order_day", first)
    check = ordered_in_time(BOOK, "material.1.ordered_in_time", last, first_day, days(5))
    assert check.verdict is verdict
    late = verdict is Verdict.NOTE
    assert check.left is first_day
    assert check.right is last
    assert [fact.name for fact in check.facts] == ["material.1.lead_time"]
    assert bool(check.remedy) is late
    if late:
        assert check.remedy is not None
        assert check.remedy.value == date(2026, 10, 16)  # the 9th, five days, two in hand
    enters_ledger([last], [check])


def test_the_remedy_is_always_in_time() -> None:
    """Order on the first day, start on the remedy: the last day to order has not passed."""
    for offset in range(60):
        first = working_day_on_or_after(date(2026, 10, 1) + timedelta(days=offset))
        first_day = given("first_order_day", first)
        late = order_by(
            BOOK, "material.1.order_by", given("work.planned_start", date(2026, 9, 1)), days(9)
        )
        check = ordered_in_time(BOOK, "material.1.ordered_in_time", late, first_day, days(9))
        assert check.remedy is not None
        again = order_by(BOOK, "material.1.order_by", check.remedy, days(9))
        assert again.value >= first


@pytest.mark.parametrize("offset", range(14))
def test_working_days(offset: int) -> None:
    """Common practice, no source."""
    day = date(2026, 2, 23) + timedelta(days=offset)  # over a month's end
    before, after = working_day_on_or_before(day), working_day_on_or_after(day)
    assert before <= day <= after
    assert {before.isoweekday(), after.isoweekday()} <= {1, 2, 3, 4, 5}
    assert (after - before).days in (0, 3)


@pytest.mark.parametrize(
    ("hours", "number"), [("0.5", 1), (6, 1), ("6.1", 2), (12, 2), ("12.01", 3)]
)
def test_days_of_work(hours: Any, number: int) -> None:
    """Common practice, no source."""
    entry = days_of_work(BOOK, given("work_hours", hours, "h"))
    assert decimal_of(entry) == number
    assert reworked([entry]) == []


@pytest.mark.parametrize(
    ("number", "done"),
    [
        (1, date(2026, 10, 15)),
        (2, date(2026, 10, 16)),
        (3, date(2026, 10, 19)),
        (7, date(2026, 10, 23)),
        (8, date(2026, 10, 26)),
    ],
)
def test_ready_after(number: int, done: date) -> None:
    """Common practice, no source."""
    entry = ready_after(BOOK, "rough_in_ready", START, given("rough_in_days", number, "d"))
    assert entry.value == done


def test_inspections() -> None:
    """Common practice, no source."""
    ready = given("rough_in_ready", date(2026, 10, 16))
    usual = inspection_day(BOOK, "rough_in_inspection", ready, None)
    assert usual.value == date(2026, 10, 19)  # one day on is a Saturday
    notice = given("inspection_notice", 3, "d")
    told = inspection_day(BOOK, "rough_in_inspection", ready, notice)
    assert told.value == date(2026, 10, 19)
    later = inspection_day(BOOK, "rough_in_inspection", ready, given("inspection_notice", 5, "d"))
    assert later.value == date(2026, 10, 21)
    by = call_for_inspection_by(BOOK, "rough_in_call_by", told, notice)
    assert by.value == date(2026, 10, 16)


def test_three_working_days_to_mark_buried_lines() -> None:
    """Common practice, no source: the law of the state decides."""
    assert call_before_digging_by(BOOK, START).value == date(2026, 10, 12)
    monday = given("work.planned_start", date(2026, 10, 12))
    assert call_before_digging_by(BOOK, monday).value == date(2026, 10, 7)


def test_time_without_power() -> None:
    """Common practice, no source."""
    four = power_off_hours(BOOK, given("panel_connections", 4, ""))
    three = power_off_hours(BOOK, given("panel_connections", 3, ""))
    assert decimal_of(four) == Decimal("2.25")
    assert decimal_of(three) < decimal_of(four)
    assert reworked([four]) == []


def test_days_of_work_begin_on_the_day_that_was_planned() -> None:
    """Common practice, no source: six hours a day, a Saturday where someone plans one."""
    saturday = given("work.planned_start", date(2026, 10, 17))
    found = list(days_at_work(BOOK, 1, saturday, given("work_hours", "13.5", "h")))
    assert [one.date.value for one in found] == [
        date(2026, 10, 17),
        date(2026, 10, 19),
        date(2026, 10, 20),
    ]
    assert [decimal_of(one.hours) for one in found] == [6, 6, Decimal("1.5")]
    assert reworked([one.hours for one in found]) == []
    assert list(days_at_work(BOOK, 1, saturday, given("work_hours", 0, "h"))) == []
    assert next_working_day(BOOK, saturday).value == date(2026, 10, 19)


@pytest.mark.parametrize(
    ("after", "hours", "same_day", "window"),
    [
        (0, "2.25", False, (0, "08:00", "10:15")),
        (0, "2.25", True, (0, "13:00", "15:15")),
        ("2.1", "2.25", False, (0, "10:15", "12:30")),
        (6, "2.25", True, (1, "08:00", "10:15")),
        ("7.5", "2.25", False, (1, "09:30", "11:45")),
        (0, 7, True, (0, "13:00", "20:00")),
        (0, "7.1", True, (0, "08:00", "15:15")),
        (0, 13, False, (0, "08:00", "21:00")),
    ],
)
def test_the_window_without_power(
    after: Any, hours: Any, same_day: bool, window: tuple[int, str, str]
) -> None:
    """Common practice, no source: from 8:00, or 13:00 after an inspection; back by 20:00."""
    found = power_off_window(
        BOOK,
        given("power_off_after", after, "h"),
        given("own_power_off_hours", hours, "h"),
        same_day=same_day,
    )
    assert (found.day, found.start.value, found.end.value) == window
    assert found.moved is (hours == "7.1")
    assert reworked([found.begins, found.ends]) == []


def test_waiting_time() -> None:
    """Common practice, no source."""
    ready, seen = given("rough_in_ready", date(2026, 10, 16)), date(2026, 10, 19)
    told = waiting_time(BOOK, "rough_in_wait", ready, given("rough_in_inspection", seen))
    assert decimal_of(told) == 3


def test_longest_lead_time() -> None:
    times = [given(f"material.{number}.lead_time", number, "d") for number in (2, 9, 4)]
    longest = longest_lead_time(times)
    assert longest is not None
    assert longest.name == "material.9.lead_time"
    assert longest_lead_time([]) is None
