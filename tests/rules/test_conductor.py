"""The conductor carries its load in every part of the route; the smallest that does is named."""

from __future__ import annotations

from decimal import Decimal
from itertools import product

import pytest

from packet.codebook import EDITIONS, Book
from packet.ledger import Entry, Ledger
from packet.quantities import ConductorSize
from packet.rules.ampacity import ConductorConditions, termination_temperature
from packet.rules.conductor import (
    CircuitDemand,
    SizedConductor,
    circuit_load,
    conductor_sizes,
    dwelling_supply_ampacity,
    dwelling_supply_conductor,
    dwelling_supply_rule_applies,
    minimum_conductor_ampacity,
    selected_conductor,
    sized_conductor,
    uncorrected_conductor,
)
from tests.rules.givens import (
    ALUMINUM,
    COPPER,
    METALS,
    SEVERAL,
    amperes,
    conditions,
    demand,
    given,
    marks,
    not_redoable,
    shown,
    size,
    verdicts,
    worded,
)

NM = [conditions("NM-B")]
EMT = [conditions("EMT")]


def sized(
    book: Book,
    route: list[ConductorConditions],
    asked: CircuitDemand,
    conductor: str | None = None,
    material: Entry = COPPER,
    ends: tuple[int | None, ...] = (75, 75),
) -> SizedConductor:
    given_size = None if conductor is None else size("conductor_size", conductor)
    return sized_conductor(book, route, material, marks(*ends), asked, given_size)


def selected(found: SizedConductor) -> ConductorSize:
    assert found.selected is not None
    value = found.selected.value
    assert isinstance(value, ConductorSize)
    return value


# --- what the circuit asks ------------------------------------------------------------------------


@pytest.mark.parametrize("edition", EDITIONS)
def test_the_continuous_part_counts_with_its_factor_and_the_load_without(edition: str) -> None:
    book = Book(edition)
    load = given("continuous_load", 40, "A"), given("noncontinuous_load", "7.5", "A")
    assert amperes(minimum_conductor_ampacity(book, *load)) == Decimal("57.5")
    assert amperes(circuit_load(book, *load)) == Decimal("47.5")
    assert not_redoable([minimum_conductor_ampacity(book, *load), circuit_load(book, *load)]) == []


# --- the two faults that this work must never make ------------------------------------------------


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("method", "conductor", "verdict"),
    [("NM-B", "6", "falls short"), ("NM-B", "4", "meets"), ("EMT", "6", "meets")],
)
def test_48_amperes_of_charging(edition: str, method: str, conductor: str, verdict: str) -> None:
    """6 AWG NM-B is 55 A, and 48 A of charging asks for 60 A; the next size up does not help.

    EC&M and the cable's own 60 °C rule; the commonest fault of a hardwired charger.
    """
    book = Book(edition)
    found = sized(book, [conditions(method)], demand(book, 48), conductor)
    checks = verdicts(found.checks)
    assert checks["route.1.conductor_carries_continuous_load"] == verdict
    assert checks["route.1.conductor_carries_load"] == "meets"
    assert checks["route.1.conductor_protected"] == "meets"
    assert selected(found).name == ("4 AWG" if method == "NM-B" else "6 AWG")
    remedy = "selected_conductor" if verdict == "falls short" else ""
    usable = "route.1.usable_ampacity"
    assert [shown(check) for check in found.checks if "conductor_" in check.name][:3] == [
        ("route.1.uncorrected_ampacity", "minimum_conductor_ampacity", remedy, []),
        (usable, "circuit_load", "", []),
        ("selected_overcurrent_rating", "route.1.overcurrent_limit", "", [usable]),
    ]


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("method", "conductor", "material", "ends", "meets"),
    [
        ("NM-B", "8", COPPER, (75, 75), False),
        ("NM-B", "6", COPPER, (75, 75), True),
        ("EMT", "8", COPPER, (75, 75), True),
        ("EMT", "8", COPPER, (60, 75), False),
        ("EMT", "6", ALUMINUM, (75, 75), True),
        ("EMT", "6", ALUMINUM, (60, 75), False),
    ],
)
def test_a_50_ampere_receptacle(
    edition: str,
    method: str,
    conductor: str,
    material: Entry,
    ends: tuple[int, int],
    meets: bool,
) -> None:
    """8 AWG NM-B is 40 A, 6 AWG is 55 A: ElectricianTalk thread, 50 amp hot tub feeders."""
    book = Book(edition)
    found = sized(book, [conditions(method)], demand(book, 40), conductor, material, ends)
    short = [check for check in found.checks if check.verdict.value != "meets"]
    assert (not short) is meets
    assert {check.verdict.value for check in short} <= {"falls short"}
    assert all(check.remedy == found.selected for check in short)


# --- each test under, at and over its limit -------------------------------------------------------


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("load", "verdict"), [("43.99", "meets"), ("44", "meets"), ("44.01", "falls short")]
)
def test_continuous_load_at_the_limit(edition: str, load: str, verdict: str) -> None:
    """6 AWG NM-B carries 55 A, and 44 A x 1.25 = 55 A."""
    book = Book(edition)
    found = sized(book, NM, demand(book, load, rating=60), "6")
    assert verdicts(found.checks)["route.1.conductor_carries_continuous_load"] == verdict


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("load", "verdict"), [("17.39", "meets"), ("17.4", "meets"), ("17.41", "falls short")]
)
def test_load_after_correction_at_the_limit(edition: str, load: str, verdict: str) -> None:
    """10 AWG at 45 °C with ten conductors: 40 x 0.87 x 0.50 = 17.4 A."""
    book = Book(edition)
    part = [conditions("EMT", ambient=45, together=10)]
    found = sized(book, part, demand(book, 0, load, rating=20), "10")
    assert verdicts(found.checks)["route.1.conductor_carries_load"] == verdict
    (check,) = [one for one in found.checks if one.name.endswith("conductor_carries_load")]
    remedy = "selected_conductor" if verdict == "falls short" else ""
    assert shown(check) == ("route.1.usable_ampacity", "circuit_load", remedy, [])


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("rating", "several", "verdict"),
    [
        (55, False, "meets"),
        (60, False, "meets"),
        (70, False, "falls short"),
        (50, True, "meets"),
        (60, True, "falls short"),
    ],
)
def test_protection_at_the_limit(edition: str, rating: int, several: bool, verdict: str) -> None:
    book = Book(edition)
    outlets = SEVERAL if several else given("several_receptacles", False)
    asked = demand(book, 40, rating=rating, several=outlets)
    found = sized(book, NM, asked, "6")
    assert verdicts(found.checks)["route.1.conductor_protected"] == verdict


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_small_conductor_keeps_to_its_own_breaker(edition: str) -> None:
    """14 AWG THHN has 20 A at 75 °C terminals, and still no more than a 15 A breaker."""
    book = Book(edition)
    found = sized(book, EMT, demand(book, 16), "14")
    checks = verdicts(found.checks)
    assert checks["small_conductor_protected"] == "falls short"
    assert checks["route.1.conductor_carries_continuous_load"] == "meets"
    assert selected(found).name == "12 AWG"


# --- the whole route ------------------------------------------------------------------------------


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_the_worst_part_of_the_route_decides(order: tuple[int, int]) -> None:
    book = Book("2023")
    cool = conditions("EMT", number=order[0] + 1)
    hot = conditions("EMT", number=order[1] + 1, ambient=60, together=6)
    route = sorted((cool, hot), key=lambda part: part.number)
    found = sized(book, route, demand(book, 40))
    # 75 x 0.71 x 0.80 = 42.6 A: carries 40 A, but a 50 A breaker needs more than 45 A
    assert selected(found).name == "4 AWG"
    assert [part.number for part in found.parts] == [1, 2]
    assert set(verdicts(found.checks).values()) == {"meets"}


def test_a_change_of_method_on_the_way_is_judged_part_by_part() -> None:
    book = Book("2023")
    route = [conditions("EMT", number=1), conditions("NM-B", number=2)]
    found = sized(book, route, demand(book, 48), "6")
    checks = verdicts(found.checks)
    assert checks["route.1.conductor_carries_continuous_load"] == "meets"
    assert checks["route.2.conductor_carries_continuous_load"] == "falls short"
    assert selected(found).name == "4 AWG"


@pytest.mark.parametrize("edition", EDITIONS)
def test_what_is_chosen_meets_every_test_and_the_next_smaller_does_not(edition: str) -> None:
    book = Book(edition)
    for load, material, method, ambient, together in product(
        (12, 16, 24, 32, 40, 48, 64, 80),
        METALS,
        ("NM-B", "UF-B", "SER", "PVC-40"),
        (30, 45),
        (2, 8),
    ):
        route = [conditions(method, ambient=ambient, together=together)]
        asked = demand(book, load)
        found = sized_conductor(book, route, material, marks(75, 75), asked)
        assert {check.verdict.value for check in found.checks} == {"meets"}
        sizes = list(conductor_sizes(book, material))
        place = sizes.index(selected(found))
        if place:
            smaller = given("conductor_size", sizes[place - 1])
            worse = sized_conductor(book, route, material, marks(75, 75), asked, smaller)
            assert "falls short" in verdicts(worse.checks).values()
            assert worse.selected == found.selected


@pytest.mark.parametrize("material", METALS, ids=lambda metal: metal.value)
def test_more_load_or_more_heat_never_gets_a_smaller_conductor(material: Entry) -> None:
    book = Book("2023")
    chosen: dict[tuple[int, int], ConductorSize] = {}
    for load in range(2, 130, 2):
        for heat, ambient in enumerate((20, 30, 40, 50)):
            route = [conditions("EMT", ambient=ambient, together=4)]
            found = sized(book, route, demand(book, load), material=material)
            chosen[load, heat] = selected(found)
    for (load, heat), conductor in chosen.items():
        assert conductor <= chosen.get((load + 2, heat), conductor)
        assert conductor <= chosen.get((load, heat + 1), conductor)


# --- unknowns -------------------------------------------------------------------------------------


def test_an_unread_mark_that_decides_is_asked_and_not_guessed() -> None:
    book = Book("2023")
    found = sized(book, EMT, demand(book, 40), "8", ends=(75, None))
    checks = verdicts(found.checks)
    assert checks["route.1.conductor_carries_continuous_load"] == "ask"
    assert selected(found).name == "6 AWG"
    assert "falls short" not in checks.values()
    unread = verdicts(sized(book, EMT, demand(book, 40), "8", ends=(None, None)).checks)
    assert unread["route.1.conductor_carries_continuous_load"] == "ask"
    # 45 A: 8 AWG carries 40 A at 60 °C terminals and 50 A at 75 °C
    tests = verdicts(sized(book, EMT, demand(book, 0, 45), "8", ends=(75, None)).checks)
    assert {name for name, answer in tests.items() if answer == "ask"} == {
        "route.1.conductor_carries_continuous_load",
        "route.1.conductor_carries_load",
        "route.1.conductor_protected",
    }


@pytest.mark.parametrize(
    ("conductor", "ends"),
    [("10", (75, None)), ("10", (None, None)), ("8", (60, None)), ("8", (60, 75))],
)
def test_where_no_mark_could_help_it_falls_short(
    conductor: str, ends: tuple[int | None, ...]
) -> None:
    book = Book("2023")
    found = sized(book, EMT, demand(book, 40), conductor, ends=ends)
    assert "falls short" in verdicts(found.checks).values()
    assert "ask" not in verdicts(found.checks).values()


@pytest.mark.parametrize(
    ("cables", "sealed", "verdict"), [(2, None, None), (3, None, "ask"), (3, False, "meets")]
)
def test_how_several_cables_lie_is_asked_with_the_rest(
    cables: int, sealed: bool | None, verdict: str | None
) -> None:
    route = [conditions("NM-B", together=2 * cables, cables=cables, sealed=sealed)]
    found = sized(Book("2023"), route, demand(Book("2023"), 16), "10")
    assert verdicts(found.checks).get("route.1.seal_known") == verdict


def test_a_route_that_has_no_ampacity_says_why_and_chooses_nothing() -> None:
    book = Book("2023")
    unmarked = sized(book, [conditions("EMT", insulation=None)], demand(book, 40))
    assert verdicts(unmarked.checks) == {"route.1.insulation_marked": "ask"}
    too_hot = sized(book, [conditions("UF-B", ambient=56)], demand(book, 40))
    assert verdicts(too_hot.checks) == {"route.1.ambient_within_table": "falls short"}
    for found in (unmarked, too_hot):
        assert found.selected is None
        assert found.parts == ()


def test_a_size_that_is_not_listed_gets_the_one_that_is() -> None:
    book = Book("2023")
    found = sized(book, EMT, demand(book, 12), "14", ALUMINUM)
    (check,) = [check for check in found.checks if check.verdict.value != "meets"]
    assert check.name == "conductor_size_listed"
    assert check.remedy is not None
    assert check.remedy.value.name == "12 AWG"
    asked = ["minimum_conductor_ampacity", "circuit_load", "selected_overcurrent_rating"]
    facts = ["circuit.material", *asked]
    assert shown(check) == ("conductor_size", "", "selected_conductor", facts)
    assert found.size is not None
    assert found.size.value.name == "14 AWG"
    assert selected(found).name == "12 AWG"
    assert worded(check) == "falls short"
    assert found.parts == ()


def test_a_load_beyond_every_listed_conductor_falls_short() -> None:
    book = Book("2023")
    found = sized(book, EMT, demand(book, 0, 900))
    assert verdicts(found.checks)["conductor_available"] == "falls short"
    assert found.selected is None
    (check,) = [one for one in found.checks if one.name == "conductor_available"]
    facts = {one.name: one.value for one in check.facts}
    assert facts["least_parallel_conductor"].name == "1/0 AWG"
    assert facts["largest_conductor"] == max(conductor_sizes(book, COPPER))


@pytest.mark.parametrize(("continuous", "found"), [(335, True), (336, True), (337, False)])
def test_just_within_the_largest_conductor_one_is_found(continuous: int, found: bool) -> None:
    """600 kcmil copper has 420 A at 75 degrees, Table 310.16: 336 A continuous is the last."""
    book = Book("2023")
    assert (sized(book, EMT, demand(book, continuous)).selected is not None) is found


def test_everything_can_be_entered_in_one_ledger() -> None:
    book = Book("2020")
    ledger = Ledger()
    route = [conditions("EMT", number=1, ambient=45), conditions("NM-B", number=2, together=6)]
    found = sized(book, route, demand(book, 48, rating=60), "6")
    for check in found.checks:
        ledger.judge(check)
    for part in found.parts:
        ledger.add(part.usable_ampacity)
    assert "route.2.usable_ampacity" in ledger
    assert ledger.verdict.value == "falls short"
    assert not_redoable(list(ledger)) == []


# --- the size an enlargement is measured from -----------------------------------------------------


def test_without_correction_the_ordinary_size_is_found() -> None:
    """250.122(B): what an enlargement is measured from."""
    book = Book("2017")
    hot = [conditions("EMT", ambient=50, together=8)]
    asked = demand(book, 40)
    termination = termination_temperature(book, asked.overcurrent_rating, marks(75, 75))
    plain = uncorrected_conductor(book, hot, COPPER, termination, asked)
    corrected = selected_conductor(book, hot, COPPER, termination, asked)
    assert plain is not None
    assert corrected is not None
    assert plain.value.name == "8 AWG"
    assert (plain.name, corrected.name) == ("uncorrected_conductor", "selected_conductor")
    assert corrected.value > plain.value


def test_the_ordinary_size_knows_nothing_of_a_roof() -> None:
    book = Book("2017")
    asked = demand(book, 40)
    termination = termination_temperature(book, asked.overcurrent_rating, marks(75, 75))
    roof = [conditions("EMT", ambient=50, above_roof="0.5")]
    plain = uncorrected_conductor(book, roof, COPPER, termination, asked)
    assert plain is not None
    assert plain.value.name == "8 AWG"


# --- conductors of a whole dwelling ---------------------------------------------------------------


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("material", METALS, ids=lambda metal: metal.value)
def test_the_share_for_a_whole_dwelling_gives_the_published_sizes(
    edition: str, material: Entry
) -> None:
    """Every row of the dwelling table: an electrical distributor's page citing the 2020 table."""
    book = Book(edition)
    for row in book.table("dwelling_service").rows():
        rating = given("dwelling_supply_rating", row["rating"].magnitude, "A")
        found = dwelling_supply_conductor(book, rating, material)
        assert found.value == row[material.value], row
        assert not_redoable([dwelling_supply_ampacity(book, rating)]) == []


@pytest.mark.parametrize(
    ("rating", "whole", "verdict"),
    [
        (99, True, "falls short"),
        (100, True, "meets"),
        (400, True, "meets"),
        (401, True, "falls short"),
        (200, False, "falls short"),
        (200, None, "ask"),
    ],
)
def test_the_share_never_serves_a_part_of_the_dwelling(
    rating: int, whole: bool | None, verdict: str
) -> None:
    """Not for a subpanel or a garage: Electrical Contractor magazine, Heat is the enemy.

    310.12, in 2017 310.15(B)(7).
    """
    answer = None if whole is None else given("carries_whole_dwelling", whole)
    check = dwelling_supply_rule_applies(
        Book("2023"), given("dwelling_supply_rating", rating, "A"), answer
    )
    assert worded(check) == verdict
    limits = ["dwelling_supply_smallest_rating", "dwelling_supply_largest_rating"]
    told = [*limits, "carries_whole_dwelling"] if answer else limits
    assert shown(check) == ("dwelling_supply_rating", "", "", told)
    with pytest.raises(LookupError):
        dwelling_supply_conductor(Book("2023"), given("dwelling_supply_rating", 900, "A"), COPPER)
