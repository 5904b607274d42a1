"""Each wiring method is used only where it may be."""

from __future__ import annotations

from decimal import Decimal

import pytest

from packet.codebook import EDITIONS, Book
from packet.ledger import Verdict, decimal_of
from packet.rules.ampacity import CABLES
from packet.rules.wiring_method import (
    METHODS,
    expansion_fittings,
    inside_is_wet,
    insulation_suits_wet,
    method_suits_moisture,
    method_suits_place,
    methods_for_place,
    run_free_to_grow,
    run_length_change,
)
from tests.rules.givens import given, shown, worded
from tests.rules.installation import reworked

PLACES = (
    "interior wall",
    "basement",
    "attic",
    "crawl space",
    "garage exposed",
    "exterior wall",
    "underground",
    "in slab",
)


def verdict(method: str, place: str, edition: str = "2023") -> str:
    check = method_suits_place(
        Book(edition), "route.1", given("route.1.method", method), given("route.1.place", place)
    )
    remedy = "route.1.methods_for_place" if check.verdict is Verdict.FALLS_SHORT else ""
    assert shown(check) == ("route.1.method", "route.1.place", remedy, [])
    return worded(check)


@pytest.mark.parametrize(
    ("method", "place", "answer"),
    [
        # NM-B: dry places indoors only (334.12, archived forum quotation)
        ("NM-B", "interior wall", "meets"),
        ("NM-B", "attic", "meets"),
        ("NM-B", "garage exposed", "meets"),
        ("NM-B", "crawl space", "ask"),
        ("NM-B", "exterior wall", "falls short"),
        ("NM-B", "underground", "falls short"),
        ("NM-B", "in slab", "falls short"),
        ("UF-B", "underground", "meets"),
        ("UF-B", "in slab", "falls short"),
        ("UF-B", "exterior wall", "ask"),
        ("SER", "underground", "falls short"),
        ("EMT", "exterior wall", "meets"),
        ("EMT", "underground", "ask"),
        ("PVC-40", "underground", "meets"),
        ("PVC-40", "garage exposed", "ask"),
        ("PVC-80", "garage exposed", "meets"),
        ("FMC", "exterior wall", "falls short"),
        ("ENT", "underground", "falls short"),
        ("LFMC", "exterior wall", "meets"),
    ],
)
@pytest.mark.parametrize("edition", EDITIONS)
def test_places(method: str, place: str, answer: str, edition: str) -> None:
    assert verdict(method, place, edition) == answer


def test_every_method_has_an_answer_everywhere_and_every_place_a_method() -> None:
    book = Book("2023")
    raceways = {row["raceway"] for row in book.table("raceway_dimensions").rows()}
    assert set(METHODS) == CABLES | raceways
    for place in PLACES:
        answers = {method: verdict(method, place) for method in METHODS}
        allowed = [method for method, answer in answers.items() if answer == "meets"]
        listed = methods_for_place(book, "route.1", given("route.1.place", place))
        assert listed.value == ", ".join(allowed)
        assert "RMC" in allowed
        assert "PVC-80" in allowed


def test_a_wrong_method_is_answered_with_those_that_serve() -> None:
    check = method_suits_place(
        Book("2020"),
        "route.1",
        given("route.1.method", "NM-B"),
        given("route.1.place", "underground"),
    )
    assert check.remedy is not None
    assert check.remedy.value == "UF-B, PVC-40, PVC-80, RMC"


@pytest.mark.parametrize(
    ("method", "wet", "answer"),
    [
        ("NM-B", False, "meets"),
        ("NM-B", True, "falls short"),
        ("FMC", True, "falls short"),
        ("LFMC", True, "meets"),
        ("UF-B", True, "meets"),
        ("NM-B", None, "ask"),
    ],
)
def test_moisture(method: str, wet: bool | None, answer: str) -> None:
    """334.12(B)."""
    told = None if wet is None else given("route.1.wet", wet)
    check = method_suits_moisture(Book("2023"), "route.1", given("route.1.method", method), told)
    assert worded(check) == answer
    wet_methods = "methods_for_wet_places"
    listed = (wet_methods, []) if answer == "falls short" else ("", [wet_methods])
    assert shown(check) == ("route.1.method", "", *listed)


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("told", [False, True])
def test_outdoors_and_underground_are_wet_whatever_was_said(place: str, told: bool) -> None:
    """300.5(B) and 300.9: inside of a raceway in a wet place is wet."""
    wet = inside_is_wet(
        Book("2023"), "route.1", given("route.1.place", place), given("route.1.wet", told)
    )
    assert wet.value is (told or place in {"exterior wall", "underground", "in slab"})


@pytest.mark.parametrize(
    ("insulation", "wet", "answer"),
    [
        ("THHN/THWN-2", True, "meets"),
        ("XHHW-2", True, "meets"),
        ("THHN", True, "falls short"),
        ("THHN", False, "meets"),
    ],
)
def test_wet_insulation(insulation: str, wet: bool, answer: str) -> None:
    """310.10(C)."""
    check = insulation_suits_wet(
        Book("2023"),
        "route.1",
        given("route.1.insulation", insulation),
        given("route.1.inside_is_wet", wet),
    )
    assert worded(check) == answer
    types, told = "wet_insulation_types", "route.1.inside_is_wet"
    listed = (types, [told]) if answer == "falls short" else ("", [told, types])
    assert shown(check) == ("route.1.insulation", "", *listed)


def test_growth_of_a_long_plastic_run() -> None:
    """352.44 prints 4.06 in for 100 ft and a change of 100 °F, which is 55.56 °C (from memory)."""
    change = run_length_change(
        Book("2023"),
        "route.1",
        given("route.1.length", 100, "ft"),
        given("route.1.temperature_change", Decimal(100) * 5 / 9, "degC"),
    )
    assert abs(decimal_of(change) - Decimal("4.06")) < Decimal("0.005")
    assert reworked([change]) == []


@pytest.mark.parametrize(
    ("inches", "planned", "answer"),
    [
        ("0.24", 0, Verdict.MEETS),
        ("0.25", 0, Verdict.FALLS_SHORT),
        ("0.25", 1, Verdict.MEETS),
        ("0.60", 0, Verdict.FALLS_SHORT),
        ("0.60", None, Verdict.ASK),
        (None, 1, Verdict.ASK),
    ],
)
def test_expansion_fitting_from_a_quarter_inch_on(
    inches: str | None, planned: int | None, answer: Verdict
) -> None:
    """352.44."""
    book = Book("2023")
    change = None if inches is None else given("route.1.length_change", inches, "in")
    fittings = None if planned is None else given("route.1.expansion_fittings_planned", planned, "")
    check = run_free_to_grow(book, "route.1", change, fittings)
    assert worded(check) == answer.value
    limit, needs = "expansion_fitting_from", "route.1.expansion_fittings"
    if answer is Verdict.ASK:
        assert shown(check) == ("route.1.length_change" if change else "", limit, "", [])
    else:
        remedy = needs if answer is Verdict.FALLS_SHORT else ""
        assert shown(check) == ("route.1.expansion_fittings_planned", needs, remedy, [limit])
    needed = expansion_fittings(book, "route.1", change)
    assert (needed is None) is (inches is None)
