"""Ground-fault protection: the decision table by outlet, place, rating, edition and date.

Sources of the cells, by rule: charging receptacles, electriciantalk.com thread 276856 (interim
amendment of 2017) and EC&M code questions 2021; hardwired chargers of 2026, an r/evcharging post
quoting 625.54 (weak); places, Mike Holt forum thread 2711350 (2020) and Electrical Contractor
magazine (2023); appliances, a breaker maker's page on 210.8(D); outdoor outlets,
electricallicenserenewal.com on 210.8(F) and a breaker maker's page; outdoor units, ACCA, Sept 2025,
and Mike Holt forum thread 2582508; spas, expertce.com on 680.44.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book
from packet.ledger import Verdict
from packet.rules.ground_fault import (
    Need,
    Outlet,
    ground_fault_need,
    ground_fault_protection,
    open_ground_fault_answers,
)
from tests.rules.givens import given, shown, worded

YES, NO, ASK = Need.YES, Need.NO, Need.ASK
BEFORE, AFTER = date(2026, 8, 31), date(2026, 9, 1)


def outlet(
    connection: str, place: str, serves: str, rating: Any = 50, volts: int = 240, **more: Any
) -> Outlet:
    return Outlet(
        connection,
        place,
        serves,
        given("nominal_voltage", volts, "V"),
        given("nominal_voltage_to_ground", more.pop("to_ground", 120), "V"),
        given("overcurrent_rating", rating, "A"),
        **more,
    )


EV = "vehicle charging"
UNIT = "heating or cooling unit"
SMALL = {"volts": 120}
FAR = given("circuit.sink_distance", Decimal("6.01"), "ft")

TABLE: list[tuple[Outlet, tuple[Need, Need, Need, Need]]] = [
    # charging receptacles
    (outlet("receptacle", "garage", EV), (ASK, YES, YES, YES)),
    (outlet("receptacle", "garage", EV, 30), (ASK, YES, YES, YES)),
    (outlet("receptacle", "garage", EV, early_rule_adopted=True), (YES, YES, YES, YES)),
    (outlet("receptacle", "garage", EV, early_rule_adopted=False), (NO, YES, YES, YES)),
    (outlet("receptacle", "garage", EV, 60, early_rule_adopted=True), (NO, YES, YES, YES)),
    (outlet("receptacle", "outdoors", EV), (ASK, YES, YES, YES)),
    (outlet("receptacle", "outdoors", EV, early_rule_adopted=True), (YES, YES, YES, YES)),
    (outlet("receptacle", "carport", EV), (ASK, YES, YES, YES)),
    (outlet("receptacle", "basement", EV), (ASK, YES, YES, YES)),
    (outlet("receptacle", "other room", EV), (ASK, YES, YES, YES)),
    (outlet("receptacle", "accessory building", EV, 30), (ASK, YES, YES, YES)),
    # hardwired chargers
    (outlet("hardwired", "garage", EV, 20), (NO, NO, NO, YES)),
    (outlet("hardwired", "garage", EV, 50), (NO, NO, NO, YES)),
    (outlet("hardwired", "garage", EV, 60), (NO, NO, NO, YES)),
    (outlet("hardwired", "basement", EV, 60), (NO, NO, NO, YES)),
    (outlet("hardwired", "outdoors", EV, 45), (NO, YES, YES, YES)),
    (outlet("hardwired", "outdoors", EV, 50), (NO, YES, YES, YES)),
    (outlet("hardwired", "outdoors", EV, 60), (NO, NO, NO, YES)),
    (outlet("hardwired", "outdoors", EV, 70), (NO, NO, NO, YES)),
    (outlet("hardwired", "carport", EV, 50), (NO, YES, YES, YES)),
    (outlet("hardwired", "outdoors", EV, 50, outdoor_rule_adopted=False), (NO, NO, NO, YES)),
    # dryer 14-30
    (outlet("receptacle", "laundry", "dryer", 30), (NO, YES, YES, YES)),
    (outlet("receptacle", "garage", "dryer", 30), (NO, YES, YES, YES)),
    (outlet("receptacle", "basement", "dryer", 30), (NO, YES, YES, YES)),
    (outlet("receptacle", "hall closet", "dryer", 30), (NO, ASK, YES, YES)),
    (outlet("receptacle", "kitchen", "dryer", 30), (NO, ASK, YES, YES)),
    (
        outlet(
            "receptacle",
            "hall closet",
            "dryer",
            30,
            sink_distance=given("circuit.sink_distance", 6, "ft"),
        ),
        (NO, YES, YES, YES),
    ),
    # range 14-50, cooktop, wall oven
    (outlet("receptacle", "kitchen", "range"), (NO, ASK, YES, YES)),
    (outlet("receptacle", "kitchen", "range", sink_distance=FAR), (NO, NO, YES, YES)),
    (outlet("receptacle", "other room", "welder"), (NO, ASK, ASK, ASK)),
    (outlet("receptacle", "other room", "welder", sink_distance=FAR), (NO, NO, NO, NO)),
    (
        outlet(
            "receptacle", "kitchen", "range", sink_distance=given("circuit.sink_distance", 6, "ft")
        ),
        (NO, YES, YES, YES),
    ),
    (outlet("hardwired", "kitchen", "cooktop", 40), (NO, NO, YES, YES)),
    (outlet("hardwired", "kitchen", "wall oven", 60), (NO, NO, YES, YES)),
    (outlet("hardwired", "kitchen", "wall oven", 70), (NO, NO, NO, NO)),
    (outlet("hardwired", "kitchen", "dishwasher", 20, **SMALL), (YES, YES, YES, YES)),
    # water heater
    (outlet("hardwired", "garage", "water heater", 30), (NO, NO, NO, NO)),
    (outlet("hardwired", "basement", "water heater", 60), (NO, NO, NO, NO)),
    # outdoor units
    (outlet("hardwired", "outdoors", UNIT, 40, work_date=BEFORE), (NO, ASK, NO, NO)),
    (outlet("hardwired", "outdoors", UNIT, 50, work_date=AFTER), (NO, ASK, YES, YES)),
    (outlet("hardwired", "outdoors", UNIT, 40), (NO, ASK, ASK, ASK)),
    (outlet("hardwired", "outdoors", UNIT, 60, work_date=BEFORE), (NO, NO, NO, NO)),
    (outlet("hardwired", "outdoors", UNIT, 60, work_date=AFTER), (NO, NO, NO, YES)),
    # welder 6-50
    (outlet("receptacle", "garage", "welder"), (NO, YES, YES, YES)),
    (outlet("receptacle", "accessory building", "welder"), (NO, YES, YES, YES)),
    # spa
    (outlet("hardwired", "outdoors", "spa"), (YES, YES, YES, YES)),
    (outlet("hardwired", "other room", "spa"), (YES, YES, YES, YES)),
    # 20 A, 120 V
    *(
        (outlet("receptacle", place, "general use", 20, **SMALL), (YES, YES, YES, YES))
        for place in ("garage", "outdoors", "carport", "bathroom", "kitchen counter", "laundry")
    ),
    (outlet("receptacle", "kitchen", "refrigerator", 20, **SMALL), (ASK, ASK, YES, YES)),
    (
        outlet(
            "receptacle",
            "kitchen",
            "refrigerator",
            20,
            sink_distance=given("circuit.sink_distance", 6, "ft"),
            **SMALL,
        ),
        (YES, YES, YES, YES),
    ),
    (outlet("receptacle", "basement", "general use", 20, **SMALL), (ASK, YES, YES, YES)),
    (outlet("receptacle", "unfinished basement", "general use", 20, **SMALL), (YES,) * 4),
    (outlet("receptacle", "bedroom", "general use", 20, **SMALL), (ASK, ASK, ASK, ASK)),
    (
        outlet("receptacle", "bedroom", "general use", 20, sink_distance=FAR, **SMALL),
        (NO, NO, NO, NO),
    ),
]


@pytest.mark.parametrize(
    ("one", "edition", "need"),
    [
        (one, edition, need)
        for one, needs in TABLE
        for edition, need in zip(EDITIONS, needs, strict=True)
    ],
    ids=lambda value: (
        f"{value.connection} {value.place} {value.serves} {value.rating.value:~P}"
        if isinstance(value, Outlet)
        else getattr(value, "name", str(value))
    ),
)
def test_every_cell_of_the_decision_table(one: Outlet, edition: str, need: Need) -> None:
    found, cites = ground_fault_need(Book(edition), one)
    assert found is need
    assert all(cite.edition == edition for cite in cites)


@pytest.mark.parametrize(
    ("edition", "rating", "need"),
    [
        *((e, r, n) for e in ("2020", "2023") for r, n in ((49, YES), (50, YES), (51, NO))),
        *(("2026", r, n) for r, n in ((59, YES), (60, YES), (61, NO))),
        *(("2017", r, NO) for r in (15, 50)),
    ],
)
def test_outdoor_outlets_at_the_limit(edition: str, rating: int, need: Need) -> None:
    """50 A in 2020 and 2023, 60 A in 2026; a load that no other rule names."""
    one = outlet("hardwired", "outdoors", "pump", rating)
    assert ground_fault_need(Book(edition), one)[0] is need


@pytest.mark.parametrize(
    ("edition", "volts", "rating", "need"),
    [
        ("2017", 125, 20, YES),
        ("2017", 126, 20, NO),
        ("2017", 125, 21, NO),
        ("2020", 250, 50, YES),
        ("2020", 251, 50, NO),
        ("2023", 250, 400, YES),
        ("2026", 251, 20, NO),
    ],
)
def test_receptacles_at_the_limits_of_the_list_of_places(
    edition: str, volts: int, rating: int, need: Need
) -> None:
    """125 V and 20 A in 2017; 125 to 250 V and any rating from 2020 (thread 2711350)."""
    one = outlet("receptacle", "garage", "general use", rating, volts)
    assert ground_fault_need(Book(edition), one)[0] is need


@pytest.mark.parametrize(("to_ground", "need"), [(149, YES), (150, YES), (151, NO)])
def test_150_volts_to_ground(to_ground: int, need: Need) -> None:
    for edition in ("2020", "2023", "2026"):
        one = outlet("receptacle", "garage", "welder", to_ground=to_ground)
        assert ground_fault_need(Book(edition), one)[0] is need
        pump = outlet("hardwired", "outdoors", "pump", to_ground=to_ground)
        assert ground_fault_need(Book(edition), pump)[0] is need
    for edition in ("2023", "2026"):
        cooktop = outlet("hardwired", "kitchen", "cooktop", 40, to_ground=to_ground)
        assert ground_fault_need(Book(edition), cooktop)[0] is need


@pytest.mark.parametrize(("to_ground", "need"), [(150, YES), (151, ASK), (277, ASK)])
def test_a_hardwired_charger_above_150_volts_to_ground_is_asked_for_in_2026(
    to_ground: int, need: Need
) -> None:
    one = outlet("hardwired", "garage", EV, to_ground=to_ground)
    assert ground_fault_need(Book("2026"), one)[0] is need


def test_the_answer_rests_on_the_rules_that_gave_it() -> None:
    book = Book("2023")
    heater = outlet("hardwired", "garage", "water heater", 30)
    assert ground_fault_need(book, heater) == (NO, (book.cite("gfci_appliances"),))
    bedroom = outlet("receptacle", "bedroom", "general use", 20, sink_distance=FAR, **SMALL)
    assert ground_fault_need(book, bedroom) == (
        NO,
        (
            book.cite("gfci_receptacle_places"),
            book.cite("gfci_sink_distance"),
            book.cite("gfci_appliances"),
        ),
    )


def test_a_rule_that_asks_for_nothing_is_not_named_beside_one_that_does() -> None:
    book = Book("2020")
    dryer = outlet("receptacle", "laundry", "dryer", 30)
    assert ground_fault_need(book, dryer) == (YES, (book.cite("gfci_receptacle_places"),))


def test_the_later_day_of_outdoor_units_is_for_hardwired_ones_only() -> None:
    book = Book("2023")
    need, cites = ground_fault_need(book, outlet("receptacle", "outdoors", UNIT, 30))
    assert need is YES
    assert book.cite("gfci_outdoor_top_rating") in cites


def test_a_later_day_never_lifts_the_requirement() -> None:
    order = [NO, ASK, YES]
    for one, _ in TABLE:
        for edition in EDITIONS:
            needs = [
                ground_fault_need(Book(edition), Outlet(**{**vars(one), "work_date": day}))[0]
                for day in (BEFORE, AFTER)
            ]
            assert order.index(needs[0]) <= order.index(needs[1])


@pytest.mark.parametrize(
    ("edition", "given_kind", "kind", "verdict"),
    [
        ("2023", None, "GFCI", Verdict.MEETS),
        ("2023", "GFCI", "GFCI", Verdict.MEETS),
        ("2023", "standard", "standard", Verdict.FALLS_SHORT),
        ("2017", None, "GFCI", Verdict.MEETS),
        ("2017", "standard", "standard", Verdict.ASK),
        ("2017", "GFCI", "GFCI", Verdict.MEETS),
    ],
)
def test_the_device_given_or_left_out(
    edition: str, given_kind: str | None, kind: str, verdict: Verdict
) -> None:
    device = None if given_kind is None else given("circuit.device_kind", given_kind)
    answer = ground_fault_protection(Book(edition), outlet("receptacle", "garage", EV), device)
    assert answer.device_kind.value == kind
    assert answer.check.verdict is verdict
    if verdict is not Verdict.MEETS:
        assert answer.check.remedy is not None
        assert answer.check.remedy.value == "GFCI"
    assert worded(answer.check) == verdict.value
    remedy = "" if verdict is Verdict.MEETS else "device_kind_needed"
    assert shown(answer.check) == ("selected_device_kind", "ground_fault.required", remedy, [])
    assert dict(answer.device_kind.inputs).get("given") is device
    assert dict(answer.device_kind.inputs)["required"] is answer.required


@pytest.mark.parametrize(("edition", "kind"), [("2023", "standard"), ("2026", "GFCI")])
def test_a_standard_breaker_is_chosen_only_where_no_rule_asks(edition: str, kind: str) -> None:
    answer = ground_fault_protection(Book(edition), outlet("hardwired", "garage", EV, 60))
    assert answer.device_kind.value == kind
    assert answer.check.verdict is Verdict.MEETS


@pytest.mark.parametrize(
    ("one", "edition", "asked"),
    [
        (outlet("receptacle", "kitchen", "range"), "2017", []),
        (outlet("receptacle", "kitchen", "range"), "2020", ["sink_distance_is_known"]),
        (outlet("receptacle", "kitchen", "range", sink_distance=FAR), "2020", []),
        (outlet("receptacle", "kitchen", "range"), "2023", []),
        (
            outlet("receptacle", "other room", "dryer", 30),
            "2020",
            ["sink_distance_is_known", "dryer_place_is_settled"],
        ),
        (
            outlet("receptacle", "other room", "dryer", 30, sink_distance=FAR),
            "2020",
            ["dryer_place_is_settled"],
        ),
    ],
)
def test_each_open_answer_is_asked_for_a_standard_breaker_only(
    one: Outlet, edition: str, asked: list[str]
) -> None:
    book = Book(edition)
    for kind, names in (("standard", asked), ("GFCI", [])):
        device = given("selected_device_kind", kind)
        checks = list(open_ground_fault_answers(book, one, device))
        assert [check.name for check in checks] == names
        assert all(worded(check) == "ask" for check in checks)


@pytest.mark.parametrize(
    ("edition", "start", "end", "asked"),
    [
        ("2023", BEFORE, BEFORE, False),
        ("2023", BEFORE, AFTER, True),
        ("2026", BEFORE, AFTER, True),
        ("2023", AFTER, AFTER, False),
        ("2017", BEFORE, AFTER, False),
    ],
)
def test_work_that_goes_on_past_the_first_day_of_the_rule_is_asked_about(
    edition: str, start: date, end: date, asked: bool
) -> None:
    """Which day counts, permit, work or inspection, is not in the rule (210.8(F))."""
    one = outlet("hardwired", "outdoors", UNIT, 40, work_date=start)
    device = given("selected_device_kind", "standard")
    final = given("final_inspection", end)
    checks = list(open_ground_fault_answers(Book(edition), one, device, final))
    assert [check.name for check in checks] == ["ground_fault_start_is_settled"] * asked
    assert all(worded(check) == "ask" for check in checks)
