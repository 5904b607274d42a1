"""Terminals are tightened as marked; the general table only says what to expect."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book
from packet.ledger import decimal_of
from packet.quantities import ConductorSize, TradeSize, round_shown
from packet.rules.torque import (
    SCREW_COLUMNS,
    Screw,
    general_torque,
    small_screw_torque,
    socket_torque,
    terminal_torque,
    tightening_tool,
    tool_range,
)
from packet.showing import show
from tests.rules.givens import given, shown, size, worded
from tests.rules.installation import enters_ledger, examples, ids, reworked

PUBLISHED = examples("torque")


def terminal(
    of: str,
    marked: Any = None,
    unit: str = "lbf_in",
    number: int = 1,
    screw: Screw | None = None,
) -> Any:
    at = f"terminal.{number}"
    value = None if marked is None else given(f"{at}.marked_torque", marked, unit)
    return terminal_torque(Book("2023"), at, size(f"{at}.size", of), value, screw)


@pytest.mark.parametrize("place", range(5))
@pytest.mark.parametrize("edition", EDITIONS)
def test_published_small_screws(place: int, edition: str) -> None:
    published = PUBLISHED["small_screws"]
    slot = published["slot_length"][place]
    for wide, column in ((False, "narrow"), (True, "wide")):
        entry = small_screw_torque(Book(edition), "terminal.1", slot, wide=wide)
        assert entry is not None
        assert decimal_of(entry) == published[column][place]


def test_a_slot_is_of_the_narrow_column_unless_it_is_seen_to_be_wide() -> None:
    published = PUBLISHED["small_screws"]
    place = next(n for n in range(5) if published["narrow"][n] != published["wide"][n])
    slot = published["slot_length"][place]
    for screw, column in (
        (Screw(slot_length=slot), "narrow"),
        (Screw(slot_length=slot, slot_is_wide=True), "wide"),
    ):
        (entry,) = terminal("14", screw=screw).general
        assert decimal_of(entry) == published[column][place]


@pytest.mark.parametrize("published", PUBLISHED["conversions"], ids=ids)
def test_published_conversions(published: dict[str, Any]) -> None:
    assert published["source"]
    assert published["confirmed"].startswith(("FOUND", "PARTLY", "MEMORY"))
    assert ("why" in published) is bool(published.get("contested"))
    for marked, text in zip(published["lbf_in"], published["newton_metre"], strict=True):
        printed = Decimal(text)
        torque = terminal("12", marked)
        places = -int(printed.as_tuple().exponent)
        assert round_shown(decimal_of(torque.metric), places) == printed, marked
        assert reworked([torque.value, torque.metric, torque.feet]) == []


@pytest.mark.parametrize(
    ("marked", "unit", "inches", "metric", "feet"),
    [
        (45, "lbf_in", "45", "5.08", "3.75"),
        ("3.75", "lbf_ft", "45", "5.08", "3.75"),
        ("5.1", "N_m", "45.1", "5.1", "3.76"),
        (250, "lbf_in", "250", "28.25", "20.83"),
    ],
)
def test_a_marked_value_in_any_unit_is_printed_in_all_three(
    marked: Any, unit: str, inches: str, metric: str, feet: str
) -> None:
    torque = terminal("6", marked, unit)
    assert worded(torque.check) == "meets"
    values = ["terminal.1.size", "terminal.1.torque_metric", "terminal.1.torque_feet"]
    assert shown(torque.check) == ("terminal.1.torque", "", "", values)
    assert show(torque.value) == f"{inches}\u00a0lbf·in"
    assert show(torque.metric) == f"{metric}\u00a0N·m"
    assert show(torque.feet) == f"{feet}\u00a0lbf·ft"


def test_without_a_marking_there_is_no_value_only_a_question() -> None:
    torque = terminal("6")
    assert worded(torque.check) == "ask"
    heads = ["narrow_slot", "wide_slot", "hexagonal"]
    told = ["terminal.1.size", *(f"terminal.1.general_torque_{head}" for head in heads)]
    assert shown(torque.check) == ("", "", "", told)
    assert torque.value is torque.metric is torque.feet is None
    assert [decimal_of(entry) for entry in torque.general] == [35, 45, 110]
    enters_ledger(torque.general, [torque.check])


@pytest.mark.parametrize(("of", "marked"), PUBLISHED["range_terminal_block"]["marked"].items())
def test_a_makers_value_stands_against_the_general_table(of: str, marked: int) -> None:
    torque = terminal(of, marked, screw=Screw("slotted"))
    assert decimal_of(torque.value) == marked
    assert max(decimal_of(general) for general in torque.general) > marked


@pytest.mark.parametrize(
    ("of", "head", "lbf_in"),
    [
        ("14", "slot_narrow", 20),
        ("10", "slot_wide", 35),
        ("8", "slot_wide", 40),
        ("6", "slot_narrow", 35),
        ("4", "slot_wide", 45),
        ("3", "other", 150),
        ("2", "split_bolt", 275),
        ("1/0", "slot_wide", 50),
        ("4/0", "other", 250),
    ],
)
def test_general_values(of: str, head: str, lbf_in: int) -> None:
    """Transfer-switch maker's manual, 2018, p. 18, stating UL 486A-486B values; 2 AWG split bolt
    275 also at electricianexampractice.com."""
    general = general_torque(Book("2020"), "terminal.1", size("terminal.1.size", of), (head,))
    assert [decimal_of(entry) for entry in general] == [lbf_in]


def test_heads_the_table_does_not_have_are_left_out() -> None:
    of = size("terminal.1.size", "1/0")
    general = general_torque(Book("2020"), "terminal.1", of, tuple(SCREW_COLUMNS))
    assert [decimal_of(entry) for entry in general] == [50, 385, 180]
    with pytest.raises(LookupError, match="2000"):
        general_torque(
            Book("2020"), "terminal.1", given("terminal.1.size", ConductorSize("2000 kcmil")), ()
        )


def test_every_size_of_the_ampacity_table_has_a_general_value() -> None:
    book = Book("2023")
    for row in book.table("conductor_ampacity").rows():
        if row["size"] <= ConductorSize("750 kcmil"):
            of = given("terminal.1.size", row["size"])
            assert general_torque(book, "terminal.1", of, ("slot_wide",)), row["size"].name


@pytest.mark.parametrize(
    ("screw", "expected"),
    [
        (Screw("slotted"), [35, 45]),
        (Screw("hex head"), [110]),
        (Screw("cross"), [35, 45, 110]),
        (Screw("hex socket"), []),
        (Screw("hex socket", given("terminal.1.across_flats", TradeSize("3/16"))), [120]),
        (Screw("square", given("terminal.1.across_flats", TradeSize("1/4"))), [200]),
        (Screw("slotted", slot_length="3/16"), [7]),
        (Screw("slotted", slot_length="3/16", slot_is_wide=True), [12]),
        (Screw("slotted", slot_length="over 9/32"), []),
        (Screw("slotted", slot_length="over 9/32", slot_is_wide=True), [20]),
    ],
)
def test_what_is_seen_of_a_screw_selects_its_general_values(
    screw: Screw, expected: list[int]
) -> None:
    """Annex I: a slotted screw has no value of a wrench, nor a recess one of a slot; 6 AWG."""
    general = terminal("6", screw=screw).general
    assert [decimal_of(entry) for entry in general] == expected


def test_recessed_drive() -> None:
    """3/16 takes 120 lbf·in (electricianexampractice.com)."""
    flats = given("terminal.1.across_flats", TradeSize("3/16"))
    assert decimal_of(socket_torque(Book("2023"), "terminal.1", flats)) == 120


def test_the_tool_reaches_from_the_lowest_to_the_highest() -> None:
    """110.14(D)."""
    book = Book("2023")
    three = [terminal("6", 45), terminal("10", 20, number=2), terminal("6", number=3)]
    low, high = tool_range(three, book) or (None, None)
    assert low is not None
    assert high is not None
    assert (decimal_of(low), decimal_of(high)) == (20, 45)
    assert [symbol for symbol, _ in low.inputs] == ["T1", "T2"]
    assert tool_range([terminal("6")], book) is None
    single = tool_range([terminal("6", 45)], book)
    assert single is not None
    assert single[0].value == single[1].value


def test_the_2017_edition_asks_for_a_calibrated_tool() -> None:
    """electricallicenserenewal.com course pages 216 (2017) and 797 (2020)."""
    assert "calibrated" in tightening_tool(Book("2017")).value
    for edition in ("2020", "2023", "2026"):
        assert "approved means" in tightening_tool(Book(edition)).value


def test_a_50_a_outlet_in_practice() -> None:
    """Common practice, no source: receptacle screws about 20, lugs 40 lbf·in on 6 AWG.

    Both lie in or under the range that the general table gives for their conductors.
    """
    screw = small_screw_torque(Book("2023"), "terminal.1", "over 9/32", wide=True)
    assert screw is not None
    assert decimal_of(screw) == 20
    lug = terminal("6", 40)
    ends = sorted(decimal_of(entry) for entry in lug.general)
    assert ends[0] <= decimal_of(lug.value) <= ends[-1]
