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
from tests.rules.givens import ALUMINUM, COPPER, conditions, given, marks, size, verdicts, worded

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
        # 240.4(D): 10 AWG has 35 A at 75 degrees and may have 30
        (feeder("10", 30), MEETS),
        (feeder("10", 35), SHORT),
        # 110.14(C): 60 degrees where marked so, or unread
        (feeder("6", 70, ends=(75, 60)), SHORT),
        (feeder("6", 70, ends=(75, None)), ASK),
        (feeder("6", 60, ends=(75, None)), MEETS),
        (feeder("6", 80, ends=(75, None)), SHORT),
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


def test_a_feeder_beyond_the_tables() -> None:
    book = Book("2023")
    hot = feeder("6", 60, "UF-B", ambient=56)
    assert verdicts(feeder_conductor_checks(book, hot, None)) == {"feeder_cool_enough": SHORT}
    huge = feeder("1000 kcmil", 400)
    assert verdicts(feeder_conductor_checks(book, huge, None)) == {"feeder_conductor_known": ASK}


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
    assert worded(feeder_neutral_is_large_enough(Book("2023"), feeder("4", 80), None)) == ASK
