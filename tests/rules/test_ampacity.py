"""Ampacity of one route part: terminals, insulation, heat, conductors together, cable limits."""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book
from packet.ledger import Entry, decimal_of
from packet.quantities import ConductorSize
from packet.rules.ampacity import (
    ConductorConditions,
    PartAmpacity,
    adjustment_factor,
    ambient_factor,
    ambient_known,
    ambient_within_table,
    current_carrying_conductors,
    insulation_marked,
    part_ampacity,
    seal_known,
    termination_temperature,
    unmarked_terminal_matters,
)
from packet.rules.conductor import conductor_sizes
from tests.rules.givens import (
    ALUMINUM,
    COPPER,
    METALS,
    ONE_OUTLET,
    amperes,
    conditions,
    given,
    marks,
    not_redoable,
    shown,
    size,
    worded,
)

METHODS = {
    "NM-B": None,
    "UF-B": None,
    "SER": None,
    "MC": None,
    "EMT": "THHN/THWN-2",
    "PVC-40": "XHHW-2",
}
"""Every kind of insulation that the rules know, with a method that brings it."""


def ampacity(
    book: Book,
    part: ConductorConditions,
    conductor: str | ConductorSize,
    material: Entry = COPPER,
    terminals: int | str = 75,
) -> PartAmpacity:
    used = (
        given("conductor_size", conductor)
        if isinstance(conductor, ConductorSize)
        else size("conductor_size", conductor)
    )
    termination = termination_temperature(
        book, given("overcurrent_rating", 50, "A"), marks(terminals, terminals)
    )
    return part_ampacity(book, part, used, material, termination, ONE_OUTLET)


# --- terminals ------------------------------------------------------------------------------------


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("rating", "ends", "temperature"),
    [
        (50, (75, 75), 75),
        (50, (60, 75), 60),
        (50, (75, 60), 60),
        (50, (75, None), 60),
        (50, (None, None), 60),
        (50, (), 60),
        (50, (90, 75), 75),
        (50, (90, 90), 75),
        (50, (75, 75, 60, 75), 60),
        (100, (None, 75), 60),
        ("100.01", (None, 75), 75),
        (110, (None, None), 75),
        (110, (60, None), 60),
    ],
)
def test_terminals_take_conductors_by_the_lowest_mark(
    edition: str, rating: Any, ends: tuple[int | None, ...], temperature: int
) -> None:
    found = termination_temperature(
        Book(edition), given("overcurrent_rating", rating, "A"), marks(*ends)
    )
    assert decimal_of(found) == temperature
    assert not_redoable([found]) == []
    marked = [symbol for symbol, _ in found.inputs if symbol not in ("t_max", "t_0")]
    if len(found.inputs) == 1:
        assert found.formula == "t_max"
    assert marked == [f"t_{number}" for number in range(1, 1 + sum(map(bool, ends)))]


@pytest.mark.parametrize(
    ("rating", "ends", "matters"),
    [
        (100, (75, None), True),
        (100, (), True),
        (100, (75, 75), False),
        (100, (60, 60), False),
        (125, (75, None), False),
    ],
)
def test_an_unmarked_terminal_matters_up_to_the_rating_limit(
    rating: int, ends: tuple[int | None, ...], matters: bool
) -> None:
    entry = given("overcurrent_rating", rating, "A")
    assert unmarked_terminal_matters(Book("2023"), entry, marks(*ends)) is matters


@pytest.mark.parametrize(
    ("mark", "carries"),
    [("60", 55), ("60.0", 55), ("74.9", 55), ("75", 65), ("75.0", 65), ("80", 65), ("90", 65)],
)
def test_a_terminal_marked_between_two_columns_takes_the_cooler_one(
    mark: str, carries: int
) -> None:
    """6 AWG copper carries 55 A at 60 °C, 65 A at 75 °C: International Residential Code 2018
    Table E3705.1 p. 742. No terminal is used above its mark.
    """
    found = ampacity(Book("2023"), conditions(), "6", terminals=mark)
    assert decimal_of(found.termination_ampacity) == carries


# --- heat -----------------------------------------------------------------------------------------

AMBIENT_90 = [
    *((10, "1.15"), (15, "1.12"), (20, "1.08"), (25, "1.04"), (30, "1"), (35, ".96"), (40, ".91")),
    *((45, ".87"), (50, ".82"), (55, ".76"), (60, ".71"), (65, ".65"), (70, ".58"), (75, ".5")),
    *((80, ".41"), (85, ".29")),
]
"""90 °C column, band ends: International Residential Code 2018 Table E3705.2 p. 742."""

AMBIENT_60 = [
    *((10, "1.29"), (15, "1.22"), (20, "1.15"), (25, "1.08"), (30, "1"), (35, ".91"), (40, ".82")),
    *((45, ".71"), (50, ".58"), (55, ".41")),
]
"""60 °C column, from the same table."""


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("method", "bands"), [("EMT", AMBIENT_90), ("NM-B", AMBIENT_90), ("UF-B", AMBIENT_60)]
)
def test_the_factor_for_heat_is_that_of_the_band(
    edition: str, method: str, bands: list[tuple[int, str]]
) -> None:
    book = Book(edition)
    for (end, factor), (_, next_factor) in pairwise(bands):
        for ambient, wanted in (
            (Decimal(end) - Decimal("0.01"), factor),
            (end, factor),
            (Decimal(end) + Decimal("0.01"), next_factor),
        ):
            found = ambient_factor(book, conditions(method, ambient=ambient))
            assert decimal_of(found) == Decimal(wanted), (ambient, method)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("method", "hottest"), [("EMT", 85), ("NM-B", 85), ("UF-B", 55)])
def test_beyond_the_table_there_is_no_ampacity(edition: str, method: str, hottest: int) -> None:
    book = Book(edition)
    at = conditions(method, ambient=hottest)
    over = conditions(method, ambient=Decimal(hottest) + Decimal("0.1"))
    assert worded(ambient_within_table(book, at)) == "meets"
    check = ambient_within_table(book, over)
    assert worded(check) == "falls short"
    assert check.right is not None
    assert decimal_of(check.right) == hottest
    limit = "route.1.hottest_ambient"
    assert shown(check) == ("route.1.ambient", limit, "", ["route.1.method"])
    assert decimal_of(ambient_factor(book, at)) > 0
    with pytest.raises(LookupError):
        part_ampacity(
            book,
            over,
            size("conductor_size", "6"),
            COPPER,
            termination_temperature(book, given("overcurrent_rating", 50, "A"), marks(75, 75)),
            ONE_OUTLET,
        )


def test_a_temperature_that_is_not_given_is_asked() -> None:
    book = Book("2023")
    assert worded(ambient_known(book, 1, None)) == "ask"
    known = given("route.1.ambient", 30, "degC")
    check = ambient_known(book, 1, known)
    assert worded(check) == "meets"
    assert shown(check) == ("route.1.ambient", "", "", [])


@pytest.mark.parametrize(
    ("edition", "height", "heated"),
    [
        ("2017", "0.874", True),
        ("2017", "0.875", False),
        ("2020", "0.874", True),
        ("2020", "0.875", False),
        ("2023", "0.749", True),
        ("2023", "0.75", False),
        ("2023", "0.8", False),
        ("2026", "0.749", True),
        ("2026", "0.75", False),
    ],
)
def test_a_roof_in_the_sun_heats_what_lies_close_above_it(
    edition: str, height: str, heated: bool
) -> None:
    """7/8 in in 2017 and 2020, 3/4 in in 2023: three course pages on the rooftop rule."""
    book = Book(edition)
    close = conditions("EMT", ambient=38, above_roof=height)
    assert decimal_of(ambient_factor(book, close)) == Decimal(".5" if heated else ".91")
    exempt = conditions("EMT", ambient=38, above_roof=height, insulation="XHHW-2")
    assert decimal_of(ambient_factor(book, exempt)) == Decimal(".91")
    assert decimal_of(ambient_factor(book, conditions("EMT", ambient=38))) == Decimal(".91")
    cable = conditions("MC", ambient=38, above_roof=height)
    assert decimal_of(ambient_factor(book, cable)) == Decimal(".5" if heated else ".91")


# --- conductors together --------------------------------------------------------------------------

ADJUSTMENT = [
    *((1, "1"), (3, "1"), (4, ".8"), (6, ".8"), (7, ".7"), (9, ".7"), (10, ".5"), (20, ".5")),
    *((21, ".45"), (30, ".45"), (31, ".4"), (40, ".4"), (41, ".35"), (60, ".35")),
]
"""Both ends of every step: web copy of the 2014 table; course pages of 2017, 2020 and 2023."""


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("together", "factor"), ADJUSTMENT)
def test_the_factor_for_conductors_together(edition: str, together: int, factor: str) -> None:
    book = Book(edition)
    part = conditions("EMT", together=together, length="24.01")
    assert decimal_of(adjustment_factor(book, part)) == Decimal(factor)
    unknown_length = conditions("EMT", together=together)
    assert decimal_of(adjustment_factor(book, unknown_length)) == Decimal(factor)
    for short in ("24", "23.99"):
        relieved = conditions("EMT", together=together, length=short)
        assert decimal_of(adjustment_factor(book, relieved)) == 1


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("method", ["NM-B", "UF-B", "SER"])
@pytest.mark.parametrize(
    ("cables", "sealed", "contact", "length", "factor"),
    [
        (2, True, True, 4, "1"),
        (2, True, True, 36, ".8"),
        (3, False, False, 4, "1"),
        (3, True, False, 4, ".8"),
        (3, False, True, 4, ".8"),
        (3, None, False, 4, ".8"),
        (3, False, None, 4, ".8"),
        (3, False, False, 36, ".8"),
        (None, True, True, 4, "1"),
    ],
)
def test_more_than_two_cables_in_a_sealed_hole_have_no_relief(
    edition: str,
    method: str,
    cables: int | None,
    sealed: bool | None,
    contact: bool | None,
    length: int,
    factor: str,
) -> None:
    """The rule for cables in sealed framing: The Building Code Forum thread 33480."""
    part = conditions(
        method, together=6, cables=cables, sealed=sealed, contact=contact, length=length
    )
    assert decimal_of(adjustment_factor(Book(edition), part)) == Decimal(factor)


@pytest.mark.parametrize("edition", EDITIONS)
def test_mc_cable_in_a_sealed_hole_has_no_relief_from_2020_on(edition: str) -> None:
    """330.80(C) of 2020: EC&M, Stumped by the Code?, October 2021."""
    book = Book(edition)
    sealed = conditions("MC", together=6, cables=3, sealed=True, length=4)
    assert decimal_of(adjustment_factor(book, sealed)) == Decimal(
        "1" if edition == "2017" else ".8"
    )
    unknown = conditions("MC", together=6, cables=3, sealed=None, length=4)
    assert worded(seal_known(book, unknown)) == ("meets" if edition == "2017" else "ask")
    tubing = conditions("EMT", together=6, cables=3, sealed=True, length=4)
    assert decimal_of(adjustment_factor(book, tubing)) == 1


@pytest.mark.parametrize(
    ("cables", "sealed", "contact", "verdict"),
    [
        (2, None, None, "meets"),
        (3, None, False, "ask"),
        (3, False, None, "ask"),
        (3, False, False, "meets"),
        (3, True, True, "meets"),
        (None, None, None, "meets"),
    ],
)
def test_whether_a_shared_hole_is_sealed_is_asked_where_it_matters(
    cables: int | None, sealed: bool | None, contact: bool | None, verdict: str
) -> None:
    part = conditions("NM-B", together=6, cables=cables, sealed=sealed, contact=contact)
    check = seal_known(Book("2023"), part)
    assert worded(check) == verdict
    assert check.left == part.cables_together


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("hot", "neutrals", "extra", "counted"),
    [(2, 0, 0, 2), (2, 1, 0, 2), (2, 1, 4, 6), (2, 0, 1, 3)],
)
def test_a_neutral_of_unbalanced_current_is_not_counted(
    edition: str, hot: int, neutrals: int, extra: int, counted: int
) -> None:
    """Two cables of three current-carrying conductors never make six out of four hots.

    310.15(E), in 2017 310.15(B)(5).
    """
    found = current_carrying_conductors(
        Book(edition),
        1,
        given("route.1.ungrounded_conductors", hot, "each"),
        given("route.1.neutrals", neutrals, "each"),
        given("route.1.current_carrying_extra", extra, "each"),
    )
    assert decimal_of(found) == counted
    assert not_redoable([found]) == []


# --- insulation and cable limits ------------------------------------------------------------------


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("method", "conductor", "terminals", "table", "usable"),
    [
        ("EMT", "6", 75, 75, 65),
        ("EMT", "6", 60, 75, 55),
        ("NM-B", "6", 75, 75, 55),
        ("NM-B", "6", 60, 75, 55),
        ("UF-B", "6", 75, 55, 55),
        ("SER", "6", 75, 75, 65),
        ("MC", "6", 75, 75, 65),
        ("EMT", "8", 75, 55, 50),
        ("NM-B", "8", 75, 55, 40),
        ("SER", "10", 75, 40, 35),
    ],
)
def test_the_usable_ampacity_is_the_least_of_its_limits(
    edition: str, method: str, conductor: str, terminals: int, table: int, usable: int
) -> None:
    """Cells of the ampacity table: International Residential Code 2018 Table E3705.1."""
    part = ampacity(Book(edition), conditions(method), conductor, terminals=terminals)
    assert amperes(part.table_ampacity) == table
    assert amperes(part.usable_ampacity) == usable
    assert amperes(part.uncorrected_ampacity) == usable  # nothing is corrected at 30 °C


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("method", "section", "corrected", "usable"),
    [("UF-B", "340.80", "70.95", 55), ("NM-B", "334.80", "86.25", 55), ("MC", "", "86.25", 65)],
)
def test_cold_never_lifts_a_cable_above_its_column(
    edition: str, method: str, section: str, corrected: str, usable: int
) -> None:
    """6 AWG at 10 °C: factors 1.29 and 1.15 of IRC 2018 Table E3705.2; NEC 334.80 and 340.80."""
    part = ampacity(Book(edition), conditions(method, ambient=10), "6")
    assert amperes(part.corrected_ampacity) == Decimal(corrected)
    assert amperes(part.usable_ampacity) == usable
    assert amperes(part.uncorrected_ampacity) == usable
    for entry in (part.usable_ampacity, part.uncorrected_ampacity):
        assert (section in {cite.section for cite in entry.cite}) is bool(section)


@pytest.mark.parametrize(
    ("conductor", "contact", "usable"),
    [("10", True, 30), ("10", None, 30), ("10", False, 35), ("8", True, 50), ("8", False, 50)],
)
def test_small_ser_cable_in_insulation_has_the_lower_column(
    conductor: str, contact: bool | None, usable: int
) -> None:
    part = ampacity(Book("2020"), conditions("SER", contact=contact), conductor)
    assert amperes(part.usable_ampacity) == usable


def test_conductors_in_a_raceway_need_a_marking() -> None:
    book = Book("2023")
    unmarked = conditions("EMT", insulation=None)
    assert worded(insulation_marked(book, unmarked)) == "ask"
    assert worded(insulation_marked(book, conditions("EMT"))) == "meets"
    assert worded(insulation_marked(book, conditions("NM-B"))) == "meets"
    for strange in (unmarked, conditions("EMT", insulation="TW")):
        with pytest.raises(LookupError, match="no temperature rating for the insulation"):
            ampacity(book, strange, "6")


def test_a_size_that_the_table_does_not_list_in_this_metal_is_refused() -> None:
    with pytest.raises(LookupError):
        ampacity(Book("2023"), conditions("EMT"), "14", ALUMINUM)
    with pytest.raises(LookupError):
        ampacity(Book("2023"), conditions("EMT"), "5")


# --- sweeps ---------------------------------------------------------------------------------------

STEPS = (3, 4, 7, 10, 21, 31, 41)
HEAT = (-10, 10, 12, 18, 25, 30, 35, 40, 45, 50, 55)


@pytest.mark.parametrize("material", METALS, ids=lambda metal: metal.value)
@pytest.mark.parametrize("method", METHODS)
def test_hotter_and_closer_never_carries_more_and_larger_never_less(
    method: str, material: Entry
) -> None:
    """All sizes, temperatures and counts; each step is compared with its neighbours."""
    book = Book("2023")
    found: dict[tuple[int, int, int], Decimal] = {}
    sizes = list(conductor_sizes(book, material))
    for heat, ambient in enumerate(HEAT):
        for step, together in enumerate(STEPS):
            part = conditions(
                method, ambient=ambient, together=together, insulation=METHODS[method]
            )
            for place, conductor in enumerate(sizes):
                result = ampacity(book, part, conductor, material)
                usable = amperes(result.usable_ampacity)
                assert 0 < usable <= amperes(result.termination_ampacity)
                assert amperes(result.overcurrent_limit) >= usable
                found[heat, step, place] = usable
    for (heat, step, place), usable in found.items():
        assert usable >= found.get((heat + 1, step, place), 0)
        assert usable >= found.get((heat, step + 1, place), 0)
        assert usable <= found.get((heat, step, place + 1), usable)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("method", METHODS)
def test_the_printed_formulas_give_the_printed_values(edition: str, method: str) -> None:
    book = Book(edition)
    for material in METALS:
        for conductor in conductor_sizes(book, material):
            for ambient, together in ((30, 3), (41, 7), (55, 21)):
                part = conditions(
                    method, ambient=ambient, together=together, insulation=METHODS[method]
                )
                result = ampacity(book, part, conductor, material)
                assert not_redoable([result.usable_ampacity, result.uncorrected_ampacity]) == []


@pytest.mark.parametrize("edition", EDITIONS)
def test_each_step_of_the_ampacity_is_a_calculation_by_itself(edition: str) -> None:
    """12 AWG, 45 °C, eight conductors: 30 x 0.87 x 0.70 = 18.27 A."""
    part = ampacity(Book(edition), conditions("EMT", ambient=45, together=8), "12")
    assert amperes(part.corrected_ampacity) == Decimal("18.27")
    assert amperes(part.usable_ampacity) == Decimal("18.27")
    assert amperes(part.overcurrent_limit) == 20
    names = [symbol for symbol, _ in part.corrected_ampacity.inputs]
    assert names == ["I_t", "f_a", "f_n"]
    (cell,) = part.table_ampacity.cite
    assert cell.at == "12\u00a0AWG, copper, 90 °C"


def test_the_two_factors_of_a_part_keep_their_places() -> None:
    found = ampacity(Book("2023"), conditions("EMT", ambient=45, together=10), "6")
    assert decimal_of(found.ambient_factor) == Decimal("0.87")
    assert decimal_of(found.adjustment_factor) == Decimal("0.5")
