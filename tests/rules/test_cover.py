"""Buried wiring lies deep enough and is protected where it comes out."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book
from packet.ledger import Entry, Verdict, decimal_of
from packet.rules.cover import (
    LOCATIONS,
    cover_deep_enough,
    method_may_be_buried,
    minimum_cover,
    riser_protected,
    riser_protected_from,
    trench_depth,
)
from tests.rules.givens import given, shown, worded
from tests.rules.installation import examples, ids

PUBLISHED = examples("cover")


def need(
    method: str,
    location: str = "open ground",
    *,
    volts: int = 240,
    amperes: int = 50,
    gfci: bool = True,
    edition: str = "2023",
) -> Entry:
    return minimum_cover(
        Book(edition),
        "route.1",
        location,
        method,
        given("nominal_voltage", volts, "V"),
        given("overcurrent_rating", amperes, "A"),
        given("circuit.is_gfci", gfci),
    )


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("case", PUBLISHED, ids=ids)
def test_published_depths(case: dict[str, Any], edition: str) -> None:
    assert case["source"]
    assert case["confirmed"].startswith(("FOUND", "PARTLY", "MEMORY"))
    for method, inches in case["cover"].items():
        assert decimal_of(need(method, case["location"], edition=edition)) == inches, method
    if "protected_120v" in case:
        low = need("UF-B", case["location"], volts=120, amperes=20, edition=edition)
        assert decimal_of(low) == case["protected_120v"]


@pytest.mark.parametrize(
    ("volts", "amperes", "gfci", "inches"),
    [
        (120, 20, True, PUBLISHED[0]["protected_120v"]),
        (120, 20, False, 24),
        (120, 25, True, 24),
        (121, 20, True, 24),
        (240, 20, True, 24),
        (240, 50, True, 24),
    ],
)
def test_the_low_column_is_for_protected_120_v_circuits(
    volts: int, amperes: int, gfci: bool, inches: int
) -> None:
    assert decimal_of(need("UF-B", volts=volts, amperes=amperes, gfci=gfci)) == inches


@pytest.mark.parametrize("edition", EDITIONS)
def test_no_240_v_circuit_ever_gets_the_low_column(edition: str) -> None:
    book = Book(edition)
    for row in book.table("burial_cover").rows():
        for method, column in (
            ("UF-B", "direct_burial"),
            ("RMC", "rigid_metal"),
            ("PVC-40", "nonmetallic"),
        ):
            if method == "UF-B" and row["raceway_only"]:
                continue
            entry = need(method, row["location"], edition=edition)
            assert entry.value == row[column]
            assert "120 V" not in entry.cite[0].at


def test_a_protected_circuit_in_rigid_metal_keeps_the_smaller_depth() -> None:
    assert decimal_of(need("RMC", volts=120, amperes=20)) == 6


@pytest.mark.parametrize("place", ["open ground", "under building"])
def test_where_the_low_column_asks_as_much_the_depth_stays_the_plain_one(place: str) -> None:
    entry = need("RMC", place, volts=120, amperes=20)
    assert "120 V" not in entry.cite[0].at


def test_cable_under_a_building_needs_a_raceway() -> None:
    with pytest.raises(LookupError, match="only in a raceway"):
        need("UF-B", "under building")
    assert decimal_of(need("PVC-40", "under building")) == 0


@pytest.mark.parametrize("method", ["NM-B", "SER", "FMC", "ENT"])
def test_methods_that_may_not_be_buried(method: str) -> None:
    with pytest.raises(LookupError, match="may not be buried"):
        need(method)


@pytest.mark.parametrize(
    ("word", "inches"),
    [
        ("open ground", 18),
        ("under two inches of concrete", 12),
        ("under building", 0),
        ("under slab no vehicles", 4),
        ("street", 24),
        ("dwelling driveway", 18),
    ],
)
def test_every_word_for_what_lies_above_has_a_row(word: str, inches: int) -> None:
    """Nonmetallic raceway in Table 300.5, from memory."""
    assert word in (*LOCATIONS, "dwelling driveway")
    assert decimal_of(need("PVC-80", word)) == inches


@pytest.mark.parametrize(
    ("inches", "verdict"),
    [("17.9", "falls short"), (18, "meets"), (24, "meets"), (None, "ask")],
)
def test_planned_depth(inches: Any, verdict: str) -> None:
    """300.5(A)."""
    given_cover = None if inches is None else given("route.1.cover", inches, "in")
    check = cover_deep_enough(Book("2020"), "route.1", given_cover, need("PVC-80"))
    assert worded(check) == verdict
    least = "route.1.minimum_cover"
    remedy = least if verdict == "falls short" else ""
    assert shown(check) == ("route.1.cover" if given_cover else "", least, remedy, [])
    if check.remedy is not None:
        assert decimal_of(check.remedy) == 18


def test_depth_given_in_feet_is_judged_exactly() -> None:
    cover = given("route.1.cover", "1.5", "ft")
    assert (
        cover_deep_enough(Book("2023"), "route.1", cover, need("PVC-80")).verdict is Verdict.MEETS
    )


def test_the_trench_is_deeper_than_the_cover() -> None:
    outside = given("route.1.outside_diameter", "1.05", "in")
    depth = trench_depth(Book("2023"), "route.1", need("PVC-40"), outside)
    assert decimal_of(depth) == Decimal("19.05")


@pytest.mark.parametrize(("cover", "below"), [(6, 6), (18, 18), (24, 18)])
def test_protection_begins_at_the_cover_or_at_its_limit(cover: int, below: int) -> None:
    """From the cover depth, at most 18 in, to 8 ft above grade (InterNACHI forum on 300.5(D))."""
    entry = riser_protected_from(Book("2023"), "route.1", given("route.1.cover", cover, "in"))
    assert decimal_of(entry) == below


@pytest.mark.parametrize(
    ("method", "verdict"),
    [("PVC-80", "meets"), ("RMC", "meets"), ("PVC-40", "falls short"), (None, "ask")],
)
def test_riser(method: str | None, verdict: str) -> None:
    """300.5(D)(1)."""
    riser = None if method is None else given("route.1.riser_method", method)
    check = riser_protected(Book("2020"), "route.1", riser)
    assert worded(check) == verdict
    told = "route.1.riser_method" if riser else ""
    remedy = "riser_methods" if verdict == "falls short" else ""
    facts = ["riser_methods", "riser_protection_height", "riser_protection_depth"]
    assert shown(check) == (told, "riser_methods", remedy, facts)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("method", "above", "verdict"),
    [
        ("UF-B", "open ground", "meets"),
        ("UF-B", "under building", "falls short"),
        ("PVC-40", "under building", "meets"),
        ("RMC", "street", "meets"),
        ("NM-B", "open ground", "falls short"),
        ("SER", "open ground", "falls short"),
        ("ENT", "open ground", "falls short"),
    ],
)
def test_what_may_lie_in_the_earth(method: str, above: str, verdict: str, edition: str) -> None:
    """Table 300.5: under a building, cable only in a raceway; 334.12: NM-B never."""
    location = given("route.1.above", above)
    wiring = given("route.1.method", method)
    check = method_may_be_buried(Book(edition), "route.1", location, wiring)
    assert worded(check) == verdict
