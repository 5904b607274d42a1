"""Exhaustive over the finite sets: each choice is the smallest that meets, and moves one way.

The sweeps run in one edition; that the tables under them are the same in each is held first.
Standard ratings differ, and are swept in every edition.
"""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise, product
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book
from packet.ledger import Entry, Verdict, decimal_of
from packet.quantities import ConductorSize, magnitude
from packet.rules.conductor import conductor_sizes, sized_conductor
from packet.rules.materials import whole_pieces
from packet.rules.overcurrent import minimum_overcurrent_rating, selected_overcurrent_rating
from packet.rules.voltage_drop import Load, RunPart, route_loop, voltage_drop
from tests.rules.givens import METALS, conditions, demand, given, marks

BOOK = Book("2023")
RATINGS = [
    magnitude(row["rating"], "A")
    for row in BOOK.table("standard_ratings").rows()
    if 15 <= magnitude(row["rating"], "A") <= 110
]
HEAT = sorted(
    {int(magnitude(row["up_to"], "degC")) for row in BOOK.table("ambient_correction").rows()}
)
METHODS = ("NM-B", "EMT")
"""One of each kind: a cable held to 60 degrees, and conductors of 90 degrees in a raceway."""

SWEPT = (
    "conductor_ampacity",
    "ambient_correction",
    "ccc_adjustment",
    "conductor_resistance",
    "conductor_impedance",
    "equipment_grounding",
)


@pytest.mark.parametrize("table", SWEPT)
def test_the_tables_of_the_sweeps_are_the_same_in_every_edition(table: str) -> None:
    rows = [
        [
            {name: cell for name, cell in row.items() if name not in ("confirmed", "section")}
            for row in Book(edition).table(table).rows()
        ]
        for edition in EDITIONS
    ]
    assert all(one == rows[0] for one in rows)


@pytest.fixture(scope="module", params=product(METHODS, METALS), ids=lambda one: str(one[0]))
def swept(request: pytest.FixtureRequest) -> dict[tuple[int, int], ConductorSize | None]:
    """Return the conductor of every breaker in its full continuous use, at every heat."""
    method, material = request.param
    found: dict[tuple[int, int], ConductorSize | None] = {}
    for heat, ambient in enumerate(HEAT):
        route = [conditions(method, ambient=ambient)]
        for load, rating in enumerate(RATINGS):
            asked = demand(BOOK, rating * Decimal("0.8"), rating=rating)
            result = sized_conductor(BOOK, route, material, marks(75, 75), asked)
            found[load, heat] = result.selected.value if result.selected else None
            if result.selected is not None:
                _smallest(route, material, asked, result.selected)
    return found


def _smallest(route: Any, material: Entry, asked: Any, chosen: Entry) -> None:
    """Hold that the chosen size meets and the next smaller one falls short."""
    sizes = list(conductor_sizes(BOOK, material))
    place = sizes.index(chosen.value)
    if place:
        smaller = given("conductor_size", sizes[place - 1])
        worse = sized_conductor(BOOK, route, material, marks(75, 75), asked, smaller)
        assert Verdict.FALLS_SHORT in {check.verdict for check in worse.checks}


def _not_smaller(later: ConductorSize | None, earlier: ConductorSize | None) -> bool:
    return later is None or (earlier is not None and later >= earlier)


def test_more_load_or_heat_never_gets_a_smaller_conductor(
    swept: dict[tuple[int, int], ConductorSize | None],
) -> None:
    """Every breaker up to 110 A in its full use, at every step of the ambient table.

    No conductor at all stands behind every size.
    """
    for (load, heat), conductor in swept.items():
        assert _not_smaller(swept.get((load + 1, heat), conductor), conductor)
        assert _not_smaller(swept.get((load, heat + 1), conductor), conductor)


@pytest.mark.parametrize("material", METALS, ids=lambda metal: str(metal.value))
@pytest.mark.parametrize("method", ["NM-B", "UF-B", "SER", "MC", "EMT", "RMC", "PVC-40"])
def test_longer_never_drops_less_and_larger_never_more_over_every_size(
    method: str, material: Entry
) -> None:
    listed = {row["size"] for row in BOOK.table("conductor_impedance").rows()}
    sizes = [one for one in conductor_sizes(BOOK, material) if one in listed]
    load = Load(
        given("nominal_voltage", 240, "V"),
        given("voltage_drop_current", 40, "A"),
        given("circuit.power_factor", 1, ""),
    )

    def drop(conductor: ConductorSize, feet: int) -> Decimal:
        part = RunPart(
            "route.1", given("route.1.method", method), given("route.1.length", feet, "ft")
        )
        loop = route_loop(BOOK, [part], given("conductor_size", conductor), material)
        return decimal_of(voltage_drop(BOOK, load, loop).drop)

    assert len(sizes) > 15
    for feet, longer in pairwise((10, 50, 150, 400)):
        drops = [drop(one, feet) for one in sizes]
        assert drops == sorted(drops, reverse=True)
        assert all(a < drop(one, longer) for a, one in zip(drops, sizes, strict=True))


@pytest.mark.parametrize("edition", EDITIONS)
def test_every_breaker_is_chosen_up_to_its_rating_and_the_next_one_above(edition: str) -> None:
    book = Book(edition)
    ratings = [magnitude(row["rating"], "A") for row in book.table("standard_ratings").rows()]
    usable = [one for one in ratings if one >= 15]

    def selected(amperes: Decimal) -> Decimal:
        minimum = minimum_overcurrent_rating(
            book, given("continuous_load", 0, "A"), given("noncontinuous_load", amperes, "A")
        )
        return magnitude(selected_overcurrent_rating(book, minimum).value, "A")

    for rating, following in pairwise(usable):
        assert selected(rating) == rating
        assert selected(rating + Decimal("0.001")) == following


STOCK = [Decimal(feet) for feet in (25, 50, 125, 250)]


@pytest.mark.parametrize("feet", range(1, 251))
def test_one_pull_is_bought_in_the_shortest_piece_that_holds_it(feet: int) -> None:
    """Each shorter piece is too short, so that none that does costs less by the foot."""
    counts = whole_pieces([Decimal(feet)], STOCK)
    assert counts is not None
    (bought,) = [length for length, count in zip(STOCK, counts, strict=True) for _ in range(count)]
    assert bought >= feet
    assert not [length for length in STOCK if feet <= length < bought]


def test_a_longer_pull_is_never_bought_shorter() -> None:
    def length(feet: int) -> Decimal:
        counts = whole_pieces([Decimal(feet)], STOCK)
        assert counts is not None
        return sum((a * b for a, b in zip(counts, STOCK, strict=True)), Decimal(0))

    lengths = [length(feet) for feet in range(1, 251)]
    assert lengths == sorted(lengths)
    assert whole_pieces([Decimal(251)], STOCK) is None


def test_candidates_are_tried_from_the_smallest_up() -> None:
    """The first that meets is the smallest only while the list is in order."""
    for material in METALS:
        sizes = list(conductor_sizes(BOOK, material))
        assert sizes == sorted(sizes)
        assert len(sizes) == len(set(sizes))
