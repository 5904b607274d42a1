"""The breaker carries its load, has a standard rating, and protects its conductors."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book
from packet.ledger import Entry
from packet.quantities import quantity
from packet.rules.overcurrent import (
    minimum_overcurrent_rating,
    overcurrent_limit,
    overcurrent_rating_checks,
    selected_overcurrent_rating,
    small_conductor_limit,
    small_conductor_protected,
)
from tests.rules.givens import (
    ALUMINUM,
    COPPER,
    ONE_OUTLET,
    SEVERAL,
    amperes,
    given,
    not_redoable,
    shown,
    size,
    verdicts,
    worded,
)

STANDARD = [
    *(15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250),
    *(300, 350, 400, 450, 500, 600),
]
"""Standard ratings to 600 A, as reprinted for the builders' exams (list of 240.6(A))."""


def minimum(book: Book, continuous: Any, other: Any = 0) -> Entry:
    return minimum_overcurrent_rating(
        book,
        given("continuous_load", continuous, "A"),
        given("noncontinuous_load", other, "A"),
    )


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("continuous", "other", "needed"),
    [
        (16, 0, 20),
        (24, 0, 30),
        (32, 0, 40),
        (40, 0, 50),
        (48, 0, 60),
        ("18.75", 0, "23.4375"),
        (0, 28, 28),
        (40, "7.5", "57.5"),
    ],
)
def test_the_continuous_part_counts_with_its_factor(
    edition: str, continuous: Any, other: Any, needed: Any
) -> None:
    """32, 40 and 48 A chargers on 40, 50 and 60 A: a device maker's code-change guide of 2023."""
    assert amperes(minimum(Book(edition), continuous, other)) == Decimal(needed)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("lower", range(len(STANDARD) - 1))
def test_the_smallest_standard_rating_that_carries_the_load_is_selected(
    edition: str, lower: int
) -> None:
    book = Book(edition)
    at, above = STANDARD[lower], STANDARD[lower + 1]
    assert amperes(selected_overcurrent_rating(book, minimum(book, 0, at))) == at
    over = minimum(book, 0, Decimal(at) + Decimal("0.01"))
    assert amperes(selected_overcurrent_rating(book, over)) == above


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_small_load_does_not_get_a_breaker_for_lights(edition: str) -> None:
    """10 A is a standard rating since 2023, but for lighting and small fans only."""
    book = Book(edition)
    small = minimum(book, 4)
    selected = selected_overcurrent_rating(book, small)
    assert amperes(selected) == 15
    ten = given("overcurrent_rating", 10, "A")
    found = verdicts(overcurrent_rating_checks(book, ten, small, selected))
    assert found["overcurrent_carries_load"] == "meets"
    assert found["overcurrent_serves_equipment"] == "falls short"
    standard = "meets" if edition in {"2023", "2026"} else "falls short"
    assert found["overcurrent_rating_is_standard"] == standard
    checks = overcurrent_rating_checks(book, ten, small, selected)
    sides = ("overcurrent_rating", "smallest_power_circuit_rating", "selected_overcurrent_rating")
    assert shown(checks[2]) == (*sides, [])
    right_one = "" if standard == "meets" else "selected_overcurrent_rating"
    assert shown(checks[0]) == ("overcurrent_rating", "", right_one, [])
    fifteen = given("overcurrent_rating", 15, "A")
    at_least = verdicts(overcurrent_rating_checks(book, fifteen, small, selected))
    assert at_least["overcurrent_serves_equipment"] == "meets"


def test_a_load_beyond_every_rating_is_refused() -> None:
    book = Book("2023")
    with pytest.raises(LookupError):
        selected_overcurrent_rating(book, minimum(book, 0, 6001))


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("rating", "standard", "carries"),
    [
        (45, "meets", "falls short"),
        ("49.99", "falls short", "falls short"),
        (50, "meets", "meets"),
        (55, "falls short", "meets"),
        (60, "meets", "meets"),
    ],
)
def test_a_given_breaker_is_checked_and_the_right_one_named(
    edition: str, rating: Any, standard: str, carries: str
) -> None:
    """210.20(A) and 240.6(A)."""
    book = Book(edition)
    needed = minimum(book, 40)
    selected = selected_overcurrent_rating(book, needed)
    checks = overcurrent_rating_checks(
        book, given("overcurrent_rating", rating, "A"), needed, selected
    )
    found = verdicts(checks)
    assert found["overcurrent_rating_is_standard"] == standard
    assert found["overcurrent_carries_load"] == carries
    for check in checks:
        assert (check.remedy == selected) == (check.verdict.value == "falls short")
    assert amperes(selected) == 50


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("ampacity", "one_outlet", "several"),
    [
        (40, 40, 40),
        ("49.99", 50, "49.99"),
        (50, 50, 50),
        ("50.01", 60, "50.01"),
        (55, 60, 55),
        (135, 150, 135),
        (180, 200, 180),
        (799, 800, 799),
        (800, 800, 800),
        ("800.01", "800.01", "800.01"),
        (6001, 6001, 6001),
    ],
)
def test_the_next_size_up(edition: str, ampacity: Any, one_outlet: Any, several: Any) -> None:
    """135 and 180 A for 150 and 200 A: Mike Holt forum thread 148918."""
    book = Book(edition)
    usable = given("route.1.usable_ampacity", ampacity, "A")
    for outlets, limit in ((ONE_OUTLET, one_outlet), (SEVERAL, several)):
        found = overcurrent_limit(book, "route.1.overcurrent_limit", usable, outlets)
        assert amperes(found) == Decimal(limit)
        assert usable in [source for _, source in found.inputs]


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("material", "conductor", "limit"),
    [
        (COPPER, "14", 15),
        (COPPER, "12", 20),
        (COPPER, "10", 30),
        (COPPER, "8", None),
        (ALUMINUM, "12", 15),
        (ALUMINUM, "10", 25),
        (ALUMINUM, "8", None),
    ],
)
def test_small_conductors_have_a_limit_of_their_own(
    edition: str, material: Entry, conductor: str, limit: int | None
) -> None:
    """Copper 15, 20, 30 A and aluminum 15, 25 A: a wire maker's page quoting the note."""
    book = Book(edition)
    used = size("conductor_size", conductor)
    found = small_conductor_limit(book, used, material)
    assert (found and amperes(found)) == limit
    for rating, verdict in ((limit or 60, "meets"), ((limit or 60) + 5, "falls short")):
        device = given("overcurrent_rating", rating, "A")
        check = small_conductor_protected(book, device, used, material, used)
        if limit is None:
            assert check is None
        else:
            assert check is not None
            assert worded(check) == verdict
            remedy = "conductor_size" if verdict == "falls short" else ""
            facts = ["conductor_size", "circuit.material"]
            assert shown(check) == ("overcurrent_rating", "small_conductor_limit", remedy, facts)


def test_the_printed_formula_gives_the_printed_value() -> None:
    for edition in EDITIONS:
        for load in range(1, 4000, 37):
            entry = minimum(Book(edition), Decimal(load) / 10, Decimal(load) / 100)
            assert not_redoable([entry]) == []


def test_a_larger_load_never_gets_a_smaller_breaker() -> None:
    book = Book("2020")
    ratings = [
        selected_overcurrent_rating(book, minimum(book, Decimal(load) / 4)).value
        for load in range(1, 1200)
    ]
    assert ratings == sorted(ratings)
    assert ratings[0] == quantity(15, "A")
