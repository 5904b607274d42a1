"""The panel: its spaces, its ratings, the room before it, and the feeder of a subpanel."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from itertools import combinations, product
from typing import Any

import pytest

from packet import words
from packet.codebook import EDITIONS, Book
from packet.findings import finding
from packet.ledger import Check, Entry, Ledger, Verdict
from packet.quantities import magnitude
from packet.rules.load import SAFE_SIDES, Readings, standard_worksheet
from packet.rules.panel import (
    Spaces,
    WorkingSpace,
    breaker_is_listed_for_panel,
    directory_is_complete,
    feeder_carries_charger,
    feeder_load_is_known,
    feeder_worksheet,
    free_spaces,
    given_spaces,
    highest_handle,
    panel_carries_device,
    panel_is_protected,
    panel_place_is_allowed,
    poles_within_label,
    selected_spaces,
    service_is_not_small,
    working_space,
)
from tests.rules.givens import GAP, amperes, given, shown
from tests.rules.houses import charger, house, load, supply, va

MEETS, SHORT, ASK, NOTE = Verdict.MEETS, Verdict.FALLS_SHORT, Verdict.ASK, Verdict.NOTE
BOOK = Book("2023")


def said(*checks: Check) -> None:
    """Every check has words for its verdict, and says who can answer."""
    ledger = Ledger()
    for check in checks:
        ledger.judge(check)
    for check in checks:
        found = finding(check, ledger)
        assert found.says
        assert not GAP.search(found.says)
        assert check.verdict is not ASK or found.who


def spaces(count: int, *occupied: int) -> Spaces:
    return Spaces(given("panel.spaces", count, ""), frozenset(occupied))


# --- spaces -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("panel", "free", "pair"),
    [
        (spaces(4), 4, "1, 3"),
        (spaces(4, 1), 3, "2, 4"),
        (spaces(4, 1, 4), 2, None),  # two free spaces side by side are on one leg
        (spaces(6, 1, 2, 3, 4), 2, None),
        (spaces(6, 3, 4), 4, None),
        (spaces(8, 3, 4), 6, "5, 7"),
        (spaces(30, *range(1, 27)), 4, "27, 29"),
        (spaces(4, 1, 2, 3, 4), 0, None),
        (spaces(2), 2, None),
        (spaces(3), 3, "1, 3"),
    ],
)
def test_two_free_spaces_one_below_the_other(panel: Spaces, free: int, pair: str | None) -> None:
    """240.15(B): a two-pole device opens both; neighbors of one column stand on two legs."""
    entry, check = selected_spaces(BOOK, panel)
    assert free_spaces(BOOK, panel).value == free
    assert (entry.value if entry else None) == pair
    assert check.verdict is (SHORT if pair is None else MEETS)
    told = ["selected_spaces"] if pair else []
    assert shown(check) == ("panel.free_spaces", "", "", told)
    said(check)


def test_every_pair_of_a_small_panel_by_brute_force() -> None:
    """Legs alternate row by row, two spaces a row: a pair spans two rows of one column."""
    leg = {number: (number + 1) // 2 % 2 for number in range(1, 9)}
    column = {number: number % 2 for number in range(1, 9)}
    for size in range(9):
        for occupied in combinations(range(1, 9), size):
            panel = spaces(8, *occupied)
            expected = {
                (a, b)
                for a, b in combinations(range(1, 9), 2)
                if not {a, b} & set(occupied)
                and column[a] == column[b]
                and (b + 1) // 2 - (a + 1) // 2 == 1
            }
            assert set(panel.free_pairs) == expected
            assert all(leg[a] != leg[b] for a, b in panel.free_pairs)


@pytest.mark.parametrize(
    ("wanted", "pair", "free"),
    [
        ((5, 7), MEETS, MEETS),
        ((7, 5), MEETS, MEETS),
        ((1, 3), MEETS, SHORT),
        ((2, 4), MEETS, MEETS),
        ((5, 6), SHORT, MEETS),
        ((5, 9), SHORT, MEETS),
        ((11, 13), SHORT, MEETS),
        ((0, 2), SHORT, MEETS),
        ((5,), SHORT, MEETS),
        ((5, 7, 9), SHORT, MEETS),
        ((5, 6, 7), SHORT, MEETS),
    ],
)
def test_spaces_that_are_given(wanted: tuple[int, ...], pair: Verdict, free: Verdict) -> None:
    """240.15(B)."""
    panel = spaces(12, 1, 3)
    entry = given("circuit.spaces", ", ".join(map(str, wanted)))
    checks = given_spaces(BOOK, panel, wanted, entry)
    assert [check.verdict for check in checks] == [pair, free]
    for check in checks:
        remedy = "selected_spaces" if check.verdict is SHORT else ""
        assert shown(check) == ("circuit.spaces", "", remedy, [])
    said(*checks)


def test_given_spaces_of_a_full_panel_have_no_remedy_and_still_have_words() -> None:
    checks = given_spaces(BOOK, spaces(2, 1, 2), (1, 3), given("circuit.spaces", "1, 3"))
    assert [check.verdict for check in checks] == [SHORT, SHORT]
    assert all(check.remedy is None for check in checks)
    said(*checks)


@pytest.mark.parametrize(("poles", "verdict"), [(39, MEETS), (40, MEETS), (41, SHORT)])
def test_poles_on_the_label(poles: int, verdict: Verdict) -> None:
    """408.54."""
    most = given("panel.maximum_poles", 40, "")
    check = poles_within_label(BOOK, given("panel.poles", poles, ""), most)
    assert check.verdict is verdict
    said(check)
    unread = poles_within_label(BOOK, given("panel.poles", poles, ""), None)
    assert unread.verdict is NOTE
    assert shown(unread) == ("panel.poles", "", "", [])
    said(unread)


@pytest.mark.parametrize(("listed", "verdict"), [(True, MEETS), (False, SHORT), (None, ASK)])
def test_the_breaker_is_on_the_label(listed: bool | None, verdict: Verdict) -> None:
    """110.3(B)."""
    check = breaker_is_listed_for_panel(BOOK, listed=listed)
    assert check.verdict is verdict
    said(check)


# --- ratings ------------------------------------------------------------------------------------


def rating(name: str, value: int | None) -> Entry | None:
    return None if value is None else given(name, value, "A")


@pytest.mark.parametrize(
    ("bus", "device", "verdict"),
    [(60, 50, MEETS), (50, 50, MEETS), (45, 50, SHORT), (None, 50, ASK)],
)
def test_the_panel_carries_the_new_breaker(bus: int | None, device: int, verdict: Verdict) -> None:
    """408.30."""
    check = panel_carries_device(
        BOOK, rating("panel.bus_rating", bus), given("overcurrent_rating", device, "A")
    )
    assert check.verdict is verdict
    assert shown(check) == ("panel.bus_rating" if bus else "", "overcurrent_rating", "", [])
    said(check)


@pytest.mark.parametrize(
    ("bus", "main", "verdict"),
    [
        (200, 175, MEETS),
        (200, 200, MEETS),
        (200, 225, SHORT),
        (None, 200, ASK),
        (200, None, ASK),
    ],
)
def test_the_panel_is_protected_at_its_rating(
    bus: int | None, main: int | None, verdict: Verdict
) -> None:
    """408.36."""
    check = panel_is_protected(
        BOOK, rating("panel.bus_rating", bus), rating("panel.main_rating", main)
    )
    assert check.verdict is verdict
    said(check)


@pytest.mark.parametrize(("amps", "verdict"), [(60, NOTE), (99, NOTE), (100, MEETS), (101, MEETS)])
@pytest.mark.parametrize("edition", EDITIONS)
def test_a_service_below_100_amperes_is_noted(edition: str, amps: int, verdict: Verdict) -> None:
    """230.79(C); International Residential Code E3602.1."""
    check = service_is_not_small(Book(edition), given("service.rating", amps, "A"))
    assert check.verdict is verdict
    said(check)


# --- the room before it -------------------------------------------------------------------------


def room(service: int = 200, to_ground: int = 120, **measured: Any) -> dict[str, Check]:
    names = {
        "width": ("panel.working_width", "in"),
        "depth": ("panel.working_depth", "in"),
        "height": ("panel.working_height", "in"),
        "door_opens": ("panel.door_opens", "deg"),
    }
    entries = {
        key: given(names[key][0], value, names[key][1]) if key in names else value
        for key, value in measured.items()
    }
    checks = list(
        working_space(
            BOOK,
            WorkingSpace(**entries),
            given("nominal_voltage_to_ground", to_ground, "V"),
            given("service.rating", service, "A"),
        )
    )
    said(*checks)
    return {check.name: check for check in checks}


@pytest.mark.parametrize(
    ("what", "check", "values"),
    [
        ("depth", "panel_depth_is_clear", ((35, SHORT), (36, MEETS), (37, MEETS))),
        ("width", "panel_width_is_clear", ((29, SHORT), (30, MEETS), (31, MEETS))),
        ("height", "panel_height_is_clear", ((77, NOTE), (78, MEETS), (79, MEETS))),
        ("door_opens", "panel_door_opens", ((89, SHORT), (90, MEETS), (91, MEETS))),
    ],
)
def test_the_room_at_its_limits(
    what: str, check: str, values: tuple[tuple[int, Verdict], ...]
) -> None:
    """36 in deep, 30 in wide, 6 ft 6 in high, door to 90 degrees (International Residential Code
    E3405 in contractortalk.com thread 250081)."""
    for value, verdict in values:
        assert room(**{what: value})[check].verdict is verdict


@pytest.mark.parametrize(("service", "verdict"), [(199, NOTE), (200, NOTE), (201, SHORT)])
def test_low_headroom_is_allowed_at_an_existing_small_service(
    service: int, verdict: Verdict
) -> None:
    assert room(service, height=70)["panel_height_is_clear"].verdict is verdict


@pytest.mark.parametrize(("to_ground", "row"), [(120, "150"), (150, "150"), (151, "600")])
def test_the_depth_is_the_table_s(to_ground: int, row: str) -> None:
    right = room(to_ground=to_ground, depth=40)["panel_depth_is_clear"].right
    assert right is not None
    assert magnitude(right.value, "in") == 36
    assert right.cite[0].at.startswith(row)


def test_what_nobody_measured_is_asked_for() -> None:
    checks = room()
    assert {check.verdict for check in checks.values()} == {ASK}
    assert {name: shown(check) for name, check in checks.items()} == {
        "panel_depth_is_clear": ("", "working_space_depth", "", []),
        "panel_width_is_clear": ("", "working_space_width", "", []),
        "panel_height_is_clear": ("", "working_space_height", "", []),
        "panel_door_opens": ("", "panel_door_opening", "", []),
        "panel_space_is_free_of_pipes": ("", "", "", ["dedicated_space_height"]),
    }
    narrow = room(width=29)["panel_width_is_clear"]
    assert shown(narrow) == (
        "panel.working_width",
        "working_space_width",
        "working_space_width",
        [],
    )


@pytest.mark.parametrize(("clear", "verdict"), [(True, MEETS), (False, SHORT), (None, ASK)])
def test_pipes_in_the_space_of_the_panel(clear: bool | None, verdict: Verdict) -> None:
    found = room(clear_of_pipes_and_ducts=clear)
    assert found["panel_space_is_free_of_pipes"].verdict is verdict


@pytest.mark.parametrize(
    ("height", "verdict"), [("78.9", MEETS), ("79", MEETS), ("79.1", SHORT), (None, ASK)]
)
def test_the_highest_handle(height: str | None, verdict: Verdict) -> None:
    """6 ft 7 in (International Residential Code 2024)."""
    entry = None if height is None else given("panel.highest_handle", height, "in")
    check = highest_handle(BOOK, entry)
    assert check.verdict is verdict
    limit = "highest_handle"
    sides = ("panel.highest_handle" if entry else "", limit, limit if verdict is SHORT else "")
    assert shown(check) == (*sides, [])
    said(check)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("place", "verdict"),
    [
        ("garage", MEETS),
        ("basement", MEETS),
        ("outdoors", MEETS),
        ("bathroom", SHORT),
        ("clothes closet", SHORT),
        ("stairs", SHORT),
        (None, ASK),
    ],
)
def test_rooms_a_panel_may_not_be_in(edition: str, place: str | None, verdict: Verdict) -> None:
    """240.24(D) to (F): EC&M; International Residential Code E3405.1."""
    entry = None if place is None else given("panel.place", place)
    check = panel_place_is_allowed(Book(edition), entry)
    assert check.verdict is verdict
    barred = "places_barred_to_panels"
    assert shown(check) == ("panel.place" if entry else "", barred, "", [])
    said(check)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("complete", "verdict"), [(True, MEETS), (False, NOTE)])
def test_a_directory_with_gaps_is_noted(edition: str, complete: bool, verdict: Verdict) -> None:
    """408.4(A)."""
    check = directory_is_complete(Book(edition), complete=complete)
    assert check.verdict is verdict
    said(check)


# --- the feeder of a subpanel -------------------------------------------------------------------


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("extra", "verdict"), [("-1", MEETS), ("0", MEETS), ("1", SHORT)])
def test_a_feeder_carries_its_load_by_the_standard_method(
    edition: str, extra: str, verdict: Verdict
) -> None:
    """90 A: 21 600 VA, of which a quarter more than 9600 VA charger, 1500 VA a laundry circuit.

    Article 220 Part III; the share by 215.2(A) and 215.3.
    """
    book = Book(edition)
    rest = load(1, "spa", f"{21600 - 12000 - 1500 + Decimal(extra)} VA")
    loads = house(rest, charger(2, 40), area=0, kitchen=0, laundry=1)
    sheet = feeder_worksheet(book, loads, supply(book, 90))
    assert sheet.check.name == "feeder_carries_load"
    assert sheet.check.verdict is verdict
    said(sheet.check)


@pytest.mark.parametrize("edition", EDITIONS)
def test_the_feeders_worksheet_is_the_standard_one_under_names_of_its_own(edition: str) -> None:
    book = Book(edition)
    loads = house(load(1, "spa", "9 kW"), charger(2, 40), kitchen=0)
    served = supply(book, 60, carries_whole_dwelling=False)
    sheet, plain = feeder_worksheet(book, loads, served), standard_worksheet(book, loads, served)
    assert [(line.entry.value, line.subtotal, line.name) for line in sheet.lines] == [
        (line.entry.value, line.subtotal, line.name) for line in plain.lines
    ]
    assert any(line.name for line in sheet.lines)
    assert sheet.least_new_load == plain.least_new_load
    assert (sheet.least_new_load is not None) is (edition == "2023")
    assert sheet.new_load is not None
    assert va(sheet.new_load) == 9600
    assert shown(sheet.check) == (
        "feeder.load.standard.current_with_continuous_share",
        "service.rating",
        "feeder.load.service_needed",
        [],
    )
    without = feeder_worksheet(book, house(load(1, "spa", "9 kW")), supply(book, 90))
    assert without.new_load is None
    assert shown(without.check) == ("feeder.load.standard.current", "service.rating", "", [])
    vast = feeder_worksheet(book, house(load(1, "spa", "9000 kW")), served)
    assert vast.check.verdict is SHORT
    assert vast.check.remedy is None


def test_a_feeder_is_held_to_the_continuous_share_on_either_reading() -> None:
    """215.2(A)(1) and 215.3 name it for feeders; only for a service do readers differ."""
    served = supply(BOOK, 100, carries_whole_dwelling=True)
    old = charger(3, 16, new=False)
    loads = house(load(1, "spa", "9 kW"), charger(2, 40), old, kitchen=0)
    sheets = [
        feeder_worksheet(BOOK, loads, served, *sides)
        for sides in ((), (SAFE_SIDES,), (replace(SAFE_SIDES, continuous_share_added=False),))
    ]
    assert sheets[0] == sheets[1] == sheets[2]
    sheet = sheets[0]
    part = supply(BOOK, 100, carries_whole_dwelling=False)
    plain = standard_worksheet(BOOK, loads, part)
    assert sheet.method == plain.method
    assert [(one.name, one.value) for one in sheet.chargers] == [
        (f"feeder.{one.name}", one.value) for one in plain.chargers
    ]
    assert len(sheet.chargers) == 2
    assert sheet.disputed == ()
    assert sheet.pool is None
    for name in ("total", "amperes", "whole_amperes", "with_share", "deciding", "new_load"):
        ours, theirs = getattr(sheet, name), getattr(plain, name)
        assert (ours.name, ours.value) == (f"feeder.{theirs.name}", theirs.value)


@pytest.mark.parametrize("edition", ["2017", "2020"])
def test_a_fastened_charger_on_a_feeder_is_disputed_as_on_a_service(edition: str) -> None:
    book = Book(edition)
    appliances = [load(n, "other appliance", "1 kW", fastened=True) for n in range(1, 5)]
    loads = house(*appliances, replace(charger(5, 40), fastened=True), kitchen=0)
    part = supply(book, 100, carries_whole_dwelling=False)
    (ours,) = feeder_worksheet(book, loads, part).disputed
    theirs, share = standard_worksheet(book, loads, part).disputed
    among = Readings(fastened_charger="pool")
    totals = [va(feeder_worksheet(book, loads, part, one).total) for one in (SAFE_SIDES, among)]
    assert totals[0] - totals[1] == 2400
    assert va(ours.other_total) == totals[1]
    assert (ours.name, theirs.name, share.name) == (
        "fastened_charger",
        "fastened_charger",
        "continuous_share",
    )
    for name in ("taken", "other_total", "other_amperes"):
        mine, other = getattr(ours, name), getattr(theirs, name)
        assert (mine.name, mine.value) == (f"feeder.{other.name}", other.value)


def test_feeder_and_service_stand_in_one_ledger() -> None:
    """A subpanel job prints both; the same name must never stand for two values."""
    everything = [
        load(1, "range", "14 kW"),
        load(2, "cooktop", "3 kW"),
        load(3, "dryer", "5 kW"),
        load(4, "water heater", "4.5 kW"),
        load(5, "dishwasher", "1.2 kW"),
        load(6, "disposer", "900 W"),
        load(7, "other appliance", "800 W", fastened=True),
        load(8, "heat pump", "20 A", volts=240),
        load(9, "supplemental heat", "8 kW"),
        load(10, "air conditioning", "12 A", volts=240),
        charger(11, 40),
    ]
    for edition, together in product(EDITIONS, (True, False)):
        book, ledger = Book(edition), Ledger()
        served = supply(book, 200)
        whole = house(*everything, supplemental_heat_with_compressor=together)
        part = house(*everything[1:], supplemental_heat_with_compressor=together)
        for sheet in (
            standard_worksheet(book, whole, served),
            feeder_worksheet(book, part, supply(book, 200)),
        ):
            for line in sheet.lines:
                ledger.add(line.entry)
            ledger.judge(sheet.check)
        assert va(ledger["load.standard.total"]) > va(ledger["feeder.load.standard.total"])
        assert words.word("feeder.load.standard.total").label.endswith("feeder")


def test_every_name_of_the_standard_method_has_its_twin_for_the_feeder() -> None:
    """A load that only one house has would else stop the packet of a subpanel."""
    names = [name for name in words.glossary() if name.startswith("load.standard.")]
    only_service = {
        "load.standard.cooking.one_range",
        "load.standard.cooking.one",
        "load.standard.continuous_share_reading",
        "load.standard.continuous_share_other_current",
        "load.standard.left",
    }
    missing = [
        name
        for name in names
        if f"feeder.{name}" not in words.glossary() and name not in only_service
    ]
    assert missing == []


@pytest.mark.parametrize(("feeder", "verdict"), [(49, SHORT), (50, MEETS), (60, MEETS)])
def test_the_charger_alone_must_fit_the_feeder(feeder: int, verdict: Verdict) -> None:
    """215.3."""
    check = feeder_carries_charger(
        BOOK, given("panel.feeder_rating", feeder, "A"), given("charging.nameplate", 40, "A")
    )
    assert check.verdict is verdict
    remedy = "feeder.largest_charging_current" if verdict is SHORT else ""
    assert shown(check) == ("panel.feeder_rating", "feeder.charger_share", remedy, [])
    if check.remedy is not None:
        assert amperes(check.remedy) == Decimal("39.2")
    said(check)


def test_an_unknown_feeder_load_is_asked_for() -> None:
    for known, verdict in ((True, MEETS), (False, ASK)):
        check = feeder_load_is_known(BOOK, known=known)
        assert check.verdict is verdict
        said(check)


def test_a_breaker_of_one_pole_takes_any_free_space() -> None:
    """NEC 408.54, by hand: spaces 1 and 4 are free of four, which is room for no pair."""
    panel = spaces(4, 2, 3)
    found, check = selected_spaces(BOOK, panel, 1)
    assert found is not None
    assert (found.value, check.verdict) == ("1", MEETS)
    assert selected_spaces(BOOK, panel)[1].verdict is SHORT
    for wanted, verdict in (((4,), MEETS), ((2,), SHORT)):
        entry = given("circuit.spaces", str(wanted[0]))
        checks = given_spaces(BOOK, panel, wanted, entry, 1)
        assert [(one.name, one.verdict) for one in checks] == [("spaces_are_free", verdict)]
