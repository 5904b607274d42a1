"""The receptacle on an individual circuit: rating, voltage, neutral and cover."""

from __future__ import annotations

from itertools import product

import pytest

from packet.codebook import EDITIONS, Book
from packet.findings import finding
from packet.ledger import Check, Ledger, Verdict
from packet.rules.receptacle import (
    configuration,
    receptacle_carries_circuit,
    receptacle_cover,
    receptacle_is_for_new_work,
    receptacle_is_tamper_resistant,
    receptacle_matches_circuit,
    receptacle_suits_voltage,
)
from tests.rules.givens import GAP, amperes, given, shown

MEETS, SHORT, ASK, NOTE = Verdict.MEETS, Verdict.FALLS_SHORT, Verdict.ASK, Verdict.NOTE


def said(check: Check) -> str:
    ledger = Ledger()
    ledger.judge(check)
    words = finding(check, ledger).says
    assert not GAP.search(words)
    return words


def device(rating: int):  # noqa: ANN201 - an entry
    return given("overcurrent_rating", rating, "A")


def rated(rating: int):  # noqa: ANN201 - an entry
    return given("receptacle.rating", rating, "A")


@pytest.mark.parametrize(
    ("name", "rating", "wires", "neutral"),
    [
        ("6-15", 15, 3, False),
        ("6-20", 20, 3, False),
        ("6-30", 30, 3, False),
        ("6-50", 50, 3, False),
        ("14-30", 30, 4, True),
        ("14-50", 50, 4, True),
        ("14-60", 60, 4, True),
    ],
)
def test_what_a_configuration_stands_for(name: str, rating: int, wires: int, neutral: bool) -> None:
    """ANSI/NEMA WD 6: series 6 has no neutral, series 14 has one; the ground is a wire too."""
    for edition in EDITIONS:
        found = configuration(Book(edition), name)
        assert amperes(found.rating) == rating
        assert found.wires.value == wires
        assert found.neutral.value is neutral
        assert found.rating.cite[0].document == "ANSI/NEMA WD 6"


def test_a_configuration_that_is_not_in_the_standard() -> None:
    with pytest.raises(LookupError):
        configuration(Book("2023"), "14-55")


@pytest.mark.parametrize(("name", "verdict"), [("5-20", SHORT), ("6-20", MEETS), ("14-50", MEETS)])
def test_the_voltage_of_the_receptacle(name: str, verdict: Verdict) -> None:
    """210.21(B) and 406.4(F): configurations of unlike voltage do not interchange."""
    book = Book("2023")
    check = receptacle_suits_voltage(
        book, configuration(book, name), book.figure("nominal_voltage")
    )
    assert check.verdict is verdict
    assert said(check)


@pytest.mark.parametrize(
    ("name", "verdict"), [("10-30", SHORT), ("10-50", SHORT), ("14-30", MEETS)]
)
def test_a_receptacle_without_a_ground_is_not_for_new_work(name: str, verdict: Verdict) -> None:
    """Building Code Forum thread 38099: four wires for new circuits."""
    book = Book("2023")
    check = receptacle_is_for_new_work(book, configuration(book, name))
    assert check.verdict is verdict
    assert shown(check) == ("", "", "", ["receptacle.for_new_work"])
    assert said(check)


@pytest.mark.parametrize(
    ("receptacle", "breaker", "verdict"),
    [(50, 45, MEETS), (50, 50, MEETS), (50, 60, SHORT), (30, 30, MEETS), (30, 35, SHORT)],
)
@pytest.mark.parametrize("edition", EDITIONS)
def test_a_single_receptacle_is_not_rated_below_its_circuit(
    edition: str, receptacle: int, breaker: int, verdict: Verdict
) -> None:
    """210.21(B)(1): EC&M on receptacle ratings; electrical-contractor.net thread 221610."""
    check = receptacle_carries_circuit(Book(edition), rated(receptacle), device(breaker))
    assert check.verdict is verdict
    remedy = "receptacle.rating" if verdict is SHORT else ""
    assert shown(check) == ("receptacle.rating", "overcurrent_rating", remedy, [])
    assert said(check)


@pytest.mark.parametrize(
    ("edition", "receptacle", "breaker", "verdict"),
    [
        *(
            (edition, receptacle, breaker, verdict)
            for edition in ("2017", "2020", "2023")
            for receptacle, breaker, verdict in (
                (50, 50, MEETS),
                (50, 40, MEETS),
                (50, 30, NOTE),
                (50, 45, NOTE),
                (30, 20, NOTE),
                (60, 50, NOTE),
                (60, 40, NOTE),
                (30, 30, MEETS),
            )
        ),
        ("2026", 50, 50, MEETS),
        ("2026", 50, 40, SHORT),
        ("2026", 50, 30, SHORT),
        ("2026", 30, 30, MEETS),
    ],
)
def test_a_receptacle_larger_than_its_circuit(
    edition: str, receptacle: int, breaker: int, verdict: Verdict
) -> None:
    """50 A on a 40 A circuit by the table of receptacles; not for charging in 2026
    (electricallicenserenewal.com on 625.44)."""
    check = receptacle_matches_circuit(Book(edition), rated(receptacle), device(breaker))
    assert check.verdict is verdict
    remedy = "receptacle.rating" if verdict is SHORT else ""
    assert shown(check)[:3] == ("receptacle.rating", "overcurrent_rating", remedy)
    assert said(check)


@pytest.mark.parametrize(
    ("place", "weather", "rating", "unattended", "cover", "resistant", "asks"),
    [
        ("garage", None, 50, True, None, None, False),
        ("garage", "dry", 50, True, None, None, False),
        # 406.9(A): outdoors and protected from the weather is treated as damp
        ("outdoors", "dry", 50, True, "weatherproof while nothing is plugged in", False, False),
        ("carport", "dry", 20, True, "weatherproof while nothing is plugged in", True, False),
        ("outdoors", "damp", 50, True, "weatherproof while nothing is plugged in", False, False),
        ("outdoors", "wet", 50, True, "weatherproof with the plug in", False, False),
        ("outdoors", "wet", 50, False, "weatherproof while nothing is plugged in", False, False),
        ("outdoors", "wet", 20, False, "weatherproof with the plug in", True, False),
        ("outdoors", "wet", 21, True, "weatherproof with the plug in", False, False),
        ("outdoors", None, 50, True, "weatherproof with the plug in", False, True),
        ("carport", None, 20, True, "weatherproof with the plug in", True, True),
        ("garage", "wet", 50, True, "weatherproof with the plug in", False, False),
    ],
)
def test_the_cover_that_the_weather_asks_for(
    place: str,
    weather: str | None,
    rating: int,
    unattended: bool,
    cover: str | None,
    resistant: bool | None,
    asks: bool,
) -> None:
    """406.9, from memory: wet and unattended, or small, needs the cover that closes on the plug."""
    found, check = receptacle_cover(
        Book("2023"), place, weather, rated(rating), unattended=unattended
    )
    assert (found.cover.value if found else None) == cover
    assert (found.weather_resistant.value if found else None) is resistant
    if found is not None:
        rule = "receptacle_cover_damp" if weather in ("damp", "dry") else "receptacle_cover_wet"
        assert found.cover.cite == (Book("2023").cite(rule),)
    left_out = receptacle_cover(Book("2023"), place, weather, rated(rating))
    if unattended:
        assert left_out == (found, check)
    assert (check is not None) is asks
    if check is not None:
        assert check.verdict is ASK
        assert said(check)


def test_more_water_never_gives_a_lesser_cover() -> None:
    order = [None, "weatherproof while nothing is plugged in", "weatherproof with the plug in"]
    for place, rating, edition in product(("garage", "outdoors"), (15, 50), EDITIONS):
        covers = [
            receptacle_cover(Book(edition), place, weather, rated(rating))[0]
            for weather in ("dry", "damp", "wet")
        ]
        ranks = [order.index(one.cover.value if one else None) for one in covers]
        assert ranks == sorted(ranks)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("rating", "height", "verdict"),
    [
        (15, 46, Verdict.NOTE),
        (20, None, Verdict.NOTE),
        (20, 66, Verdict.NOTE),
        (20, 67, MEETS),
        (30, 46, None),
    ],
)
def test_small_receptacles_are_tamper_resistant(
    rating: int, height: int | None, verdict: Verdict | None, edition: str
) -> None:
    """406.12: 15 A and 20 A up to 5-1/2 ft above the floor."""
    above = None if height is None else given("circuit.height", height, "in")
    check = receptacle_is_tamper_resistant(Book(edition), rated(rating), above)
    assert (check and check.verdict) is verdict
    assert check is None or said(check)


def test_a_receptacle_for_exactly_the_voltage_suits() -> None:
    book = Book("2023")
    kind = configuration(book, "14-50")
    highest = kind.highest_voltage
    assert receptacle_suits_voltage(book, kind, highest).verdict is MEETS
