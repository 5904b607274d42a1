"""Conductors of a service and of a feeder, at and just past their limits, in every edition."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book
from packet.rules.supply_conductor import (
    Feeder,
    FeederLoad,
    feeder_conductor_checks,
    feeder_neutral_is_large_enough,
    service_conductor_carries_rating,
)
from tests.rules.givens import (
    ALUMINUM,
    COPPER,
    conditions,
    given,
    marks,
    shown,
    size,
    verdicts,
    worded,
)

UNCORRECTED = "feeder.uncorrected_ampacity"
MEETS, SHORT, ASK = "meets", "falls short", "ask"


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("rating", "conductor", "material", "verdict"),
    [
        # 310.12: 0.83 x 100 = 83: 4 AWG copper has 85, 6 AWG has 65
        (100, "4", COPPER, MEETS),
        (100, "6", COPPER, SHORT),
        (400, "600 kcmil", ALUMINUM, MEETS),
        (400, "500 kcmil", ALUMINUM, SHORT),
        # below 100 A no share: 60 A takes 6 AWG (55, next size up), never 8 AWG (50 at 75 degrees)
        (60, "6", COPPER, MEETS),
        (60, "8", COPPER, SHORT),
        # 90 A: 3 AWG by unmarked terminals (85), 4 AWG only by marked ones (85 at 75 degrees)
        (90, "3", COPPER, MEETS),
        (90, "4", COPPER, ASK),
        (90, "6", COPPER, SHORT),
        # aluminum: 55 A at 60 degrees takes the next size up, 60; 90 A is 1 AWG or marked 2 AWG
        (60, "4", ALUMINUM, MEETS),
        (60, "6", ALUMINUM, SHORT),
        (90, "1", ALUMINUM, MEETS),
        (90, "2", ALUMINUM, ASK),
        (90, "3", ALUMINUM, SHORT),
        # above 400 A no share: 450 A takes more than any single conductor of the table
        (450, "600 kcmil", COPPER, MEETS),
        (450, "500 kcmil", COPPER, SHORT),
        (600, "600 kcmil", COPPER, ASK),
    ],
)
def test_service_conductors(
    rating: int, conductor: str, material: Any, verdict: str, edition: str
) -> None:
    check = service_conductor_carries_rating(
        Book(edition),
        given("service.rating", rating, "A"),
        size("service_conductor", conductor),
        given("service_conductor_material", material.value),
    )
    assert worded(check) == verdict


def test_an_unread_service_conductor_is_asked_for() -> None:
    rating = given("service.rating", 200, "A")
    assert worded(service_conductor_carries_rating(Book("2023"), rating, None, COPPER)) == ASK
    wire = size("service_conductor", "2/0")
    unread = service_conductor_carries_rating(Book("2023"), rating, wire, None)
    assert worded(unread) == ASK
    assert shown(unread) == ("service_conductor", "", "", [])


@pytest.mark.parametrize("rating", [60, 200])
def test_a_service_check_shows_the_conductor_and_the_one_needed(rating: int) -> None:
    wire = size("service_conductor", "3/0")
    rated = given("service.rating", rating, "A")
    check = service_conductor_carries_rating(Book("2023"), rated, wire, COPPER)
    need = "dwelling_supply_conductor" if rating == 200 else "service.conductor_needed"
    assert shown(check) == ("service_conductor", need, "", [])
    assert check.op == ">="
    assert need == "dwelling_supply_conductor" or [
        (symbol, source.name) for symbol, source in check.right.inputs
    ] == [("ampacity", "service.ampacity")]


def test_a_service_conductor_beyond_the_table_is_named() -> None:
    rated, wire = given("service.rating", 600, "A"), size("service_conductor", "600 kcmil")
    check = service_conductor_carries_rating(Book("2023"), rated, wire, COPPER)
    assert shown(check) == ("service_conductor", "", "", [])


def feeder(
    conductor: str,
    rating: Any,
    method: str = "EMT",
    *,
    ends: tuple[int | None, ...] = (75, 75),
    whole: bool = False,
    material: Any = COPPER,
    **more: Any,
) -> Feeder:
    part = replace(conditions(method, **more), at="feeder")
    rated = given("panel.feeder_rating", rating, "A")
    return Feeder(part, size("feeder.size", conductor), material, rated, marks(*ends), whole)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("of", "verdict"),
    [
        # 240.4(B): 65 A at 75 degrees, next size up 70
        (feeder("6", 70), MEETS),
        (feeder("6", 80), SHORT),
        # 334.80: NM-B is held to 55 A, next size up 60
        (feeder("6", 60, "NM-B"), MEETS),
        (feeder("6", 70, "NM-B"), SHORT),
        (feeder("6", 70, "UF-B"), SHORT),
        # 310.15(C): ten wires together leave the cable 75 x 0.50 = 37.5 A, next size up 40
        (feeder("6", 40, "NM-B", together=10), MEETS),
        (feeder("6", 45, "NM-B", together=10), SHORT),
        # 240.4(D): 10 AWG has 35 A at 75 degrees and may have 30
        (feeder("10", 30), MEETS),
        (feeder("10", 35), SHORT),
        # 310.15(C): seven wires together leave 10 AWG 28 A, nine as many, ten 20 A
        (feeder("10", 30, together=9), MEETS),
        (feeder("10", 20, together=10), MEETS),
        (feeder("10", 25, together=10), SHORT),
        # 110.14(C): 60 degrees where marked so, or unread
        (feeder("6", 70, ends=(75, 60)), SHORT),
        (feeder("6", 70, ends=(75, None)), ASK),
        (feeder("6", 60, ends=(75, None)), MEETS),
        (feeder("6", 80, ends=(75, None)), SHORT),
        (feeder("6", 70, ends=(60, None)), SHORT),
        (feeder("6", 70, ends=(None, None)), ASK),
        # above 100 A an unread mark is 75 degrees: 1 AWG has 130 A there and takes no 175
        (feeder("1", 125, ends=(None, None)), MEETS),
        (feeder("1", 175, ends=(None, None)), SHORT),
        # 310.15(B): 75 x 0.76 = 57 at 55 degrees
        (feeder("6", 60, ambient=55), MEETS),
        (feeder("6", 70, ambient=55), SHORT),
        # 310.12: a feeder of the whole dwelling, 115 / 0.83 = 138; a part of it, 115, next 125
        (feeder("2", 125, whole=True), MEETS),
        (feeder("2", 150, whole=True), SHORT),
        (feeder("2", 90, material=ALUMINUM), MEETS),
        (feeder("2", 100, material=ALUMINUM), SHORT),
        (feeder("2", 100, material=ALUMINUM, whole=True), MEETS),
        (feeder("3", 90, material=ALUMINUM, whole=True), SHORT),
    ],
)
def test_the_breaker_of_a_feeder(of: Feeder, verdict: str, edition: str) -> None:
    assert verdicts(feeder_conductor_checks(Book(edition), of, None))["feeder_protected"] == verdict


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("of", "amperes", "continuous", "carries"),
    [
        # 6 AWG NM-B: 55 A behind a 60 A breaker
        (feeder("6", 60, "NM-B"), 55, 0, MEETS),
        (feeder("6", 60, "NM-B"), 56, 0, SHORT),
        # 215.2 and 215.3: 43 + 0.25 x 48 = 55, 49 + 12 = 61
        (feeder("6", 60, "NM-B"), 43, 48, MEETS),
        (feeder("6", 60, "NM-B"), 44, 48, SHORT),
        (feeder("6", 60, ends=(None, None)), 60, 0, ASK),
        # a mark would give 65 A: enough for the load is not enough with the share on top
        (feeder("6", 60, ends=(None, None)), 60, 20, ASK),
        (feeder("6", 60, ends=(None, None)), 60, 24, SHORT),
        # 75 x 0.76 = 57 carry the load, 65 before the correction the load with its share
        (feeder("6", 60, ambient=55), 57, 32, MEETS),
        (feeder("6", 60, ambient=55), 57, 33, SHORT),
        (feeder("6", 60, ambient=55), 58, 0, SHORT),
    ],
)
def test_the_load_of_a_feeder(
    of: Feeder, amperes: int, continuous: int, carries: str, edition: str
) -> None:
    load = FeederLoad(
        given("feeder.load.standard.current", amperes, "A"),
        given(
            "feeder.load.standard.current_with_continuous_share",
            amperes + Decimal(continuous) / 4,
            "A",
        ),
    )
    found = verdicts(feeder_conductor_checks(Book(edition), of, load))
    assert found["feeder_conductor_carries_load"] == carries


@pytest.mark.parametrize(
    ("amperes", "with_share", "told"),
    [
        (57, 62, ("feeder.usable_ampacity", "feeder.load.standard.current")),
        (52, 64, (UNCORRECTED, "feeder.load.standard.current_with_continuous_share")),
    ],
)
def test_the_tighter_of_the_two_tests_of_a_feeder_is_told(
    amperes: int, with_share: int, told: tuple[str, str]
) -> None:
    """57 A with the heat and 65 A without it, each beside what it carries."""
    load = FeederLoad(
        given("feeder.load.standard.current", amperes, "A"),
        given("feeder.load.standard.current_with_continuous_share", with_share, "A"),
    )
    checks = list(feeder_conductor_checks(Book("2023"), feeder("6", 60, ambient=55), load))
    assert [shown(check) for check in checks] == [
        ("route.1.ambient", "feeder.hottest_ambient", "", []),
        ("panel.feeder_rating", "feeder.overcurrent_limit", "", ["feeder.usable_ampacity"]),
        (*told, "", []),
    ]
    assert [check.op for check in checks] == ["<=", "<=", ">="]


@pytest.mark.parametrize(
    ("of", "limit"),
    [
        (feeder("10", 30), "small_conductor_limit"),
        # where both are 30 A, the one that hangs on this feeder
        (feeder("10", 30, ends=(60, 60)), "feeder.overcurrent_limit"),
        (feeder("6", 30), "feeder.overcurrent_limit"),
        (feeder("2", 100, whole=True), "feeder.whole_dwelling_limit"),
    ],
)
def test_what_limits_the_breaker_of_a_feeder(of: Feeder, limit: str) -> None:
    checks = {one.name: one for one in feeder_conductor_checks(Book("2023"), of, None)}
    assert shown(checks["feeder_protected"])[1] == limit


def test_the_feeder_of_a_whole_dwelling_is_not_held_to_its_load() -> None:
    """310.12: its conductors go by the rating; outside 100 A to 400 A they carry the load."""
    load = FeederLoad(
        given("feeder.load.standard.current", 120, "A"),
        given("feeder.load.standard.current_with_continuous_share", 120, "A"),
    )
    for rating, held in ((90, True), (100, False), (125, False)):
        of = feeder("2", rating, whole=True)
        found = verdicts(feeder_conductor_checks(Book("2023"), of, load))
        assert ("feeder_conductor_carries_load" in found) is held
    assert Feeder(of.conditions, of.size, of.material, of.rating, of.marks).whole is False


def test_a_feeder_beyond_the_tables() -> None:
    book = Book("2023")
    hot = feeder("6", 60, "UF-B", ambient=56)
    assert verdicts(feeder_conductor_checks(book, hot, None)) == {"feeder_cool_enough": SHORT}
    huge = feeder("1000 kcmil", 400)
    assert verdicts(feeder_conductor_checks(book, huge, None)) == {"feeder_conductor_known": ASK}
    (check,) = feeder_conductor_checks(book, huge, None)
    assert shown(check) == ("feeder.size", "", "", [])


@pytest.mark.parametrize(
    ("neutral", "verdict"),
    [("4", MEETS), ("6", ASK), ("8", ASK), ("10", SHORT)],
)
def test_the_neutral_of_a_feeder(neutral: str, verdict: str) -> None:
    """4 AWG hots on 80 A: Table 250.122 has 8 AWG."""
    for edition in EDITIONS:
        of = feeder("4", 80)
        small = size("feeder.neutral", neutral)
        assert worded(feeder_neutral_is_large_enough(Book(edition), of, small)) == verdict
    unknown = feeder_neutral_is_large_enough(Book("2023"), feeder("4", 80), None)
    assert worded(unknown) == ASK
    assert shown(unknown) == ("", "feeder.size", "", [])
    known = feeder_neutral_is_large_enough(Book("2023"), feeder("4", 80), small)
    assert shown(known) == ("feeder.neutral", "feeder.size", "", [])
    # aluminum hots: the table asks for aluminum, two sizes larger
    of = feeder("2", 80, material=ALUMINUM)
    for wire, found in (("6", ASK), ("8", SHORT)):
        check = feeder_neutral_is_large_enough(Book("2023"), of, size("feeder.neutral", wire))
        assert worded(check) == found
