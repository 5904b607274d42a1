"""Equipment grounding, its enlargement, the electrode conductor, and neutral against ground."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book
from packet.ledger import Entry
from packet.quantities import ConductorSize
from packet.rules.grounding import (
    EquipmentGrounding,
    box_bonding_jumper,
    cable_equipment_grounding,
    electrode_conductor,
    equipment_grounding,
    equipment_grounding_base,
    equipment_grounding_checks,
    neutral_and_ground,
    neutral_stands_right,
    raceway_grounds,
    table_equipment_grounding,
)
from tests.rules.givens import (
    ALUMINUM,
    COPPER,
    METALS,
    given,
    not_redoable,
    shown,
    size,
    trade_size,
    verdicts,
    worded,
)

TABLE = [
    *((15, "14", "12"), (20, "12", "10"), (60, "10", "8"), (100, "8", "6"), (200, "6", "4")),
    *((300, "4", "2"), (400, "3", "1"), (500, "2", "1/0"), (600, "1", "2/0"), (800, "1/0", "3/0")),
    *((1000, "2/0", "4/0"), (1200, "3/0", "250")),
]
"""Device rating, copper, aluminum: Bruns engineering page; copper in a Mike Holt newsletter."""


def rated(amperes: Any) -> Entry:
    return given("overcurrent_rating", amperes, "A")


def needed(
    book: Book, rating: Any, used: str, base: str, material: Entry = COPPER
) -> EquipmentGrounding:
    return equipment_grounding(
        book,
        rated(rating),
        size("conductor_size", used),
        size("equipment_grounding_base", base),
        material,
    )


# --- by the table ---------------------------------------------------------------------------------


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("row", range(len(TABLE)))
def test_the_table_goes_by_the_device(edition: str, row: int) -> None:
    book = Book(edition)
    limit, copper, aluminum = TABLE[row]
    for metal, wanted in ((COPPER, copper), (ALUMINUM, aluminum)):
        for rating in (limit, Decimal(limit) - Decimal("0.01")):
            found = table_equipment_grounding(book, rated(rating), metal)
            assert found.value == ConductorSize.parse(wanted)
        over = rated(Decimal(limit) + Decimal("0.01"))
        if row + 1 < len(TABLE):
            following = TABLE[row + 1][1 if metal is COPPER else 2]
            found = table_equipment_grounding(book, over, metal)
            assert found.value == ConductorSize.parse(following)
        else:
            with pytest.raises(LookupError):
                table_equipment_grounding(book, over, metal)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("rating", "circuit", "minimum"),
    [(30, "12", "12"), (30, "10", "10"), (60, "6", "10"), (70, "10", "10"), (70, "8", "8")],
)
def test_it_need_not_be_larger_than_the_circuit_conductors(
    edition: str, rating: int, circuit: str, minimum: str
) -> None:
    found = needed(Book(edition), rating, circuit, circuit)
    assert found.minimum.value == ConductorSize.parse(minimum)
    assert found.required_area is None


# --- enlargement ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("edition", "base"), [("2017", "8"), ("2020", "6"), ("2023", "6"), ("2026", "6")]
)
def test_since_2020_what_heat_asked_for_does_not_count_as_enlarged(edition: str, base: str) -> None:
    """Mike Holt newsletter on 250.122, and Mike Holt forum thread 2579628."""
    found = equipment_grounding_base(
        Book(edition), size("uncorrected_conductor", "8"), size("selected_conductor", "6")
    )
    assert found.value == ConductorSize.parse(base)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("rating", "used", "base", "area", "minimum"),
    [
        (30, "8", "10", "16510", "8"),
        (20, "10", "12", "10380", "10"),
        (40, "6", "8", "16497.347062", "8"),
        (50, "4", "6", "16511.478659", "6"),
        (50, "6", "6", None, "10"),
        (50, "8", "6", None, "10"),
        (60, "4", "6", "16511.478659", "6"),
        (60, "3", "6", "20815.381098", "6"),
    ],
)
def test_an_enlarged_circuit_enlarges_its_ground_by_the_exact_ratio(
    edition: str, rating: int, used: str, base: str, area: str | None, minimum: str
) -> None:
    """8 AWG on 30 A asks for 16,510 cmil, an 8 AWG: the worked case of EC&M, April 2022.

    50 A with 4 AWG for 6 AWG needs 16,511 cmil: one more than an 8 AWG has.
    """
    found = needed(Book(edition), rating, used, base)
    assert found.minimum.value == ConductorSize.parse(minimum)
    if area is None:
        assert found.required_area is None
    else:
        assert found.required_area is not None
        magnitude = Decimal(found.required_area.value.magnitude)
        assert abs(magnitude - Decimal(area)) < Decimal("0.000001")
        assert not_redoable([found.required_area]) == []


@pytest.mark.parametrize("edition", EDITIONS)
def test_an_enlarged_ground_is_never_larger_than_its_circuit(edition: str) -> None:
    book = Book(edition)
    sizes = [row["size"] for row in book.table("conductor_ampacity").rows()][:-1]
    listed = {row["size"] for row in book.table("conductor_resistance").rows()}
    for rating in (15, 20, 30, 40, 50, 60, 100, 200):
        for low, base in enumerate(sizes):
            last = None
            for used in sizes[low:]:
                if used not in listed:
                    continue
                found = needed(book, rating, used.name, base.name)
                assert found.minimum.value <= used
                assert found.minimum.value >= min(found.by_table.value, used)
                assert last is None or found.minimum.value >= last
                last = found.minimum.value


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("by_person", "agreed", "verdict"),
    [
        (False, False, "falls short"),
        (False, True, "falls short"),
        (True, False, "ask"),
        (True, True, "note"),
    ],
)
def test_the_ground_inside_an_enlarged_cable(
    edition: str, by_person: bool, agreed: bool, verdict: str
) -> None:
    """6 AWG NM-B with its 10 AWG ground on a 40 A circuit that 8 AWG would carry.

    The exception for a qualified person came in 2020 (EC&M, April 2022).
    """
    book = Book(edition)
    inside = cable_equipment_grounding(
        book, given("route.1.method", "NM-B"), COPPER, size("conductor_size", "6")
    )
    assert inside is not None
    need = needed(book, 40, "6", "8")
    checks = equipment_grounding_checks(
        book,
        inside,
        size("conductor_size", "6"),
        need,
        by_qualified_person=by_person,
        agreed=agreed,
    )
    assert verdicts(checks) == {
        "equipment_grounding_meets_table": "meets",
        "equipment_grounding_enlarged": "falls short" if edition == "2017" else verdict,
    }
    assert need.unenlarged.value.name == "10 AWG"
    assert need.minimum.value.name == "8 AWG"
    by_area = ["required_equipment_grounding_area"]
    minimum = "minimum_equipment_grounding"
    assert shown(checks[1]) == ("cable_equipment_grounding", minimum, minimum, by_area)
    enough = equipment_grounding_checks(
        book,
        size("equipment_grounding", "8"),
        size("conductor_size", "6"),
        needed(book, 40, "6", "8"),
    )
    assert set(verdicts(enough).values()) == {"meets"}


def test_the_exception_is_used_only_where_the_job_says_so_and_asked_for_until_agreed() -> None:
    book, inside, circuit = (
        Book("2026"),
        size("equipment_grounding", "10"),
        size("conductor_size", "6"),
    )
    need = needed(book, 40, "6", "8")
    for more, verdict in (({}, "falls short"), ({"by_qualified_person": True}, "ask")):
        checks = equipment_grounding_checks(book, inside, circuit, need, **more)
        assert verdicts(checks)["equipment_grounding_enlarged"] == verdict


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("ground", "circuit", "rating", "verdict"),
    [
        ("12", "6", 60, "falls short"),
        ("10", "6", 60, "meets"),
        ("8", "6", 60, "meets"),
        ("10", "4", 70, "falls short"),
        ("12", "12", 30, "meets"),
    ],
)
def test_a_given_ground_is_checked_against_the_table(
    edition: str, ground: str, circuit: str, rating: int, verdict: str
) -> None:
    book = Book(edition)
    need = needed(book, rating, circuit, circuit)
    (check,) = equipment_grounding_checks(
        book, size("equipment_grounding", ground), size("conductor_size", circuit), need
    )
    assert worded(check) == verdict
    assert check.remedy == (need.minimum if verdict == "falls short" else None)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("metal", METALS, ids=lambda metal: metal.value)
def test_cables_as_sold_meet_the_table_at_their_own_breaker(edition: str, metal: Entry) -> None:
    """Each cable's own ground at the breaker its 60 °C ampacity allows. Common practice."""
    book = Book(edition)
    table = book.table("cable_equipment_grounding")
    ampacity = book.table("conductor_ampacity")
    for row in table.where(material=metal.value):
        amperes = ampacity.row(size=row["size"])[f"{metal.value}_60"]
        by_table = table_equipment_grounding(book, rated(amperes.magnitude), metal)
        assert row["equipment_grounding"] >= min(by_table.value, row["size"]), row


def test_a_cable_that_is_not_on_record_has_no_ground_to_guess() -> None:
    book = Book("2023")
    for method, metal, conductor in (
        ("MC", COPPER, "6"),
        ("NM-B", ALUMINUM, "6"),
        ("NM-B", COPPER, "1/0"),
    ):
        named = given("route.1.method", method)
        assert (
            cable_equipment_grounding(book, named, metal, size("conductor_size", conductor)) is None
        )


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("rating", "jumper"), [(20, "12"), (30, "10"), (60, "10"), (70, "8")])
def test_the_jumper_to_a_metal_box(edition: str, rating: int, jumper: str) -> None:
    """250.146 and 250.148(C)."""
    book = Book(edition)
    assert box_bonding_jumper(book, needed(book, rating, "4", "4")).value == ConductorSize.parse(
        jumper
    )


# --- raceways as the ground path ------------------------------------------------------------------


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("method", "rating", "length", "trade", "grounds", "is_short"),
    [
        ("EMT", 400, 90, None, "meets", None),
        ("RMC", 400, 90, None, "meets", None),
        ("PVC-40", 15, 1, None, "falls short", None),
        ("ENT", 15, 1, None, "falls short", None),
        ("LFNC-B", 15, 1, None, "falls short", None),
        ("FMC", 20, 6, None, "meets", "meets"),
        ("FMC", 25, 6, None, "falls short", "meets"),
        ("FMC", 20, "6.01", None, "meets", "falls short"),
        ("LFMC", 20, 6, "1/2", "meets", "meets"),
        ("LFMC", 25, 6, "1/2", "falls short", "meets"),
        ("LFMC", 25, 6, "3/4", "meets", "meets"),
        ("LFMC", 60, 6, "1-1/4", "meets", "meets"),
        ("LFMC", 70, 6, "1-1/4", "falls short", "meets"),
        ("LFMC", 20, 6, "1-1/2", "falls short", None),
        ("LFMC", 60, 6, None, "ask", None),
        ("PVC-40", 15, 1, "1/2", "falls short", None),
    ],
)
def test_which_raceways_are_a_ground_path(
    edition: str,
    method: str,
    rating: int,
    length: Any,
    trade: str | None,
    grounds: str,
    is_short: str | None,
) -> None:
    """250.118."""
    found = raceway_grounds(
        Book(edition),
        1,
        given("route.1.method", method),
        rated(rating),
        given("route.1.length", length, "ft"),
        trade_size(trade) if trade else None,
    )
    checks = verdicts(found)
    assert checks["route.1.raceway_grounds"] == grounds
    assert checks.get("route.1.flexible_ground_path_short") == is_short
    by_rating = ("overcurrent_rating", "raceway_grounding_rating", "", ["route.1.method"])
    by_kind = ("route.1.method", "", "", [])
    assert shown(found[0]) == (by_kind if is_short is None else by_rating)


# --- electrodes -----------------------------------------------------------------------------------


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("service", "metal", "copper", "aluminum"),
    [
        ("2", COPPER, "8", "6"),
        ("1", COPPER, "6", "4"),
        ("1/0", COPPER, "6", "4"),
        ("2/0", COPPER, "4", "2"),
        ("3/0", COPPER, "4", "2"),
        ("4/0", COPPER, "2", "1/0"),
        ("350", COPPER, "2", "1/0"),
        ("400", COPPER, "1/0", "3/0"),
        ("1250", COPPER, "3/0", "250"),
        ("1/0", ALUMINUM, "8", "6"),
        ("2/0", ALUMINUM, "6", "4"),
        ("4/0", ALUMINUM, "4", "2"),
        ("250", ALUMINUM, "4", "2"),
        ("300", ALUMINUM, "2", "1/0"),
    ],
)
def test_the_electrode_conductor_goes_by_the_service(
    edition: str, service: str, metal: Entry, copper: str, aluminum: str
) -> None:
    """Rows of the table as on two independent pages (voltagelab.com, buckworks.net)."""
    book = Book(edition)
    used = size("service_conductor", service), metal
    for wire, wanted in ((COPPER, copper), (ALUMINUM, aluminum)):
        water = given("electrode_kind", "water pipe")
        assert electrode_conductor(book, *used, wire, water).value == ConductorSize.parse(wanted)
    rod = given("electrode_kind", "rod")
    assert electrode_conductor(book, *used, COPPER, rod).value == min(
        ConductorSize.parse(copper), ConductorSize.parse("6")
    )
    assert electrode_conductor(book, *used, ALUMINUM, rod).value == min(
        ConductorSize.parse(aluminum), ConductorSize.parse("4")
    )
    concrete = given("electrode_kind", "concrete-encased")
    assert electrode_conductor(book, *used, COPPER, concrete).value == min(
        ConductorSize.parse(copper), ConductorSize.parse("4")
    )


# --- neutral and ground ---------------------------------------------------------------------------


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("kind", "apart", "verdict"),
    [
        ("service", False, "meets"),
        ("service", True, "falls short"),
        ("service", None, "ask"),
        ("subpanel", True, "meets"),
        ("subpanel", False, "falls short"),
        ("subpanel", None, "ask"),
    ],
)
def test_neutral_and_ground_meet_in_the_service_only(
    edition: str, kind: str, apart: bool | None, verdict: str
) -> None:
    """250.24(A)(5) and 250.142(B)."""
    book = Book(edition)
    panel = given("panel.kind", kind)
    answer = None if apart is None else given("panel.neutral_apart_from_ground", apart)
    check = neutral_stands_right(book, panel, answer)
    assert worded(check) == verdict
    told = "panel.neutral_apart_from_ground" if answer else ""
    assert shown(check) == (told, "neutral_and_ground", "", ["panel.kind"])
    words = neutral_and_ground(book, panel).value
    assert ("joined" in words) is (kind == "service")


def test_an_unknown_kind_of_panel_is_refused() -> None:
    with pytest.raises(KeyError):
        neutral_and_ground(Book("2023"), given("panel.kind", "panel"))
