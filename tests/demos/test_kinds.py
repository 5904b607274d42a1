"""The demos that are printed once: each kind of work with its own words, numbers and rows."""

from __future__ import annotations

import re
from html import unescape

import pytest

from packet.ledger import Verdict
from packet.plans.kinds import KINDS
from packet.render import html
from packet.sheets.sets import SETS
from packet.showing import show
from tests.demos.conftest import NAMES, ONCE, planned, printed, sheets
from tests.demos.test_pages import strangers
from tests.pages import checks

CHARGING = re.compile(r"vehicle|\bcharge\b|\bcharger|\bcharging|\bEV\b", re.IGNORECASE)

CHECKS = (
    checks.page_numbers,
    checks.left_over_signs,
    checks.overflow,
    checks.margin_collisions,
    checks.splits,
    checks.orphan_headings,
    checks.hazards_out_of_place,
    checks.blanks_without_field,
)
"""What another kind of work may break; type, colors and fonts are those of every demo."""

PRINTED = ("laundry-dryer", "tankless-water-heater", "yard-heat-pump")
"""One demo on a receptacle, one that is wired in, and one that may not start."""

VERDICTS = {
    "basement-water-heater": Verdict.MEETS,
    "kitchen-range": Verdict.ASK,
    "laundry-dryer": Verdict.MEETS,
    "oven-and-cooktop": Verdict.MEETS,
    "shop-welder": Verdict.MEETS,
    "tankless-water-heater": Verdict.FALLS_SHORT,
    "yard-heat-pump": Verdict.ASK,
}

FIGURES = {
    "basement-water-heater": ("18.75 A", "30 A", "10 AWG", "standard"),
    "kitchen-range": ("33.34 A", "40 A", "8 AWG", "GFCI"),
    "laundry-dryer": ("23.34 A", "30 A", "10 AWG", "GFCI"),
    "oven-and-cooktop": ("33.34 A", "40 A", "8 AWG", "standard"),
    "shop-welder": ("44 A", "50 A", "12 AWG", "GFCI"),
    "yard-heat-pump": ("15.3 A", "30 A", "14 AWG", "GFCI"),
}
"""Current, breaker, conductor and kind of breaker, each redone by hand from the job file."""


def plain(page: str) -> str:
    """Return the words of a page without its tags, styles and pictures' own markup."""
    body = re.sub(r"<(style|script|title|desc)\b.*?</\1>", " ", page, flags=re.DOTALL)
    return unescape(re.sub(r"<[^>]+>", " ", body))


def test_every_kind_of_work_has_a_demo() -> None:
    assert {planned(name).kind.serves for name in (*NAMES, *ONCE)} == KINDS.keys()
    assert set(VERDICTS) == set(ONCE)


@pytest.mark.parametrize("name", ONCE)
def test_each_demo_comes_out_as_it_was_made_to(name: str) -> None:
    assert planned(name).ledger.verdict is VERDICTS[name]


@pytest.mark.parametrize("name", FIGURES)
def test_the_figures_of_each_demo(name: str) -> None:
    ledger = planned(name).ledger
    shown = [
        show(ledger[one]).replace("\u00a0", " ")
        for one in (
            planned(name).current.name,
            "overcurrent_rating",
            "conductor_size",
            "selected_device_kind",
        )
    ]
    assert tuple(shown) == FIGURES[name]


@pytest.mark.parametrize("name", ONCE)
def test_every_set_speaks_of_its_own_equipment_and_no_strange_number(name: str) -> None:
    """The words alone, without the print: no page of a dryer speaks of charging."""
    for reader in SETS:
        text = plain(html(sheets(name, reader), "letter"))
        of_money = text.replace("hours charged", "").replace("as the office charges", "")
        assert CHARGING.findall(of_money) == []
        assert strangers(text, name) == set()
    if VERDICTS[name] is not Verdict.FALLS_SHORT:
        assert show(planned(name).ledger["equipment.word"]) in text


@pytest.mark.parametrize("name", PRINTED)
def test_pages_of_other_kinds_are_without_a_fault(name: str) -> None:
    pages = printed(name)
    assert [fault for check in CHECKS for fault in check(pages)] == []


def test_a_neutral_is_read_where_there_is_one() -> None:
    """A dryer and a range have a neutral at the receptacle; a welder has none."""
    for name, neutral in (("laundry-dryer", True), ("kitchen-range", True), ("shop-welder", False)):
        installed = planned(name).installed
        assert installed is not None
        read = {reading.id for reading in installed.readings}
        assert ("live-l1-n" in read) is neutral
        assert ("neutral-path" in read) is neutral
