"""Conductors fit their raceway, and can be pulled into it."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book
from packet.ledger import Verdict, decimal_of
from packet.quantities import TradeSize
from packet.rules.raceway import (
    ConductorGroup,
    bends_between_pull_points,
    conductors_area,
    count_by_areas,
    fill_share,
    jam_ratio,
    raceway_fill,
    same_size_limit,
)
from tests.rules.givens import given, shown, trade_size, worded
from tests.rules.installation import enters_ledger, examples, group, ids, reworked

LONG = given("route.1.length", 40, "ft")
RACEWAYS = ("EMT", "ENT", "FMC", "LFMC", "LFNC-B", "RMC", "PVC-40", "PVC-80")
SIZES = ("14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0")


def sizes_of(book: Book, raceway: str) -> list[TradeSize]:
    return [row["trade_size"] for row in book.table("raceway_dimensions").where(raceway=raceway)]


@pytest.mark.parametrize("case", examples("raceway_fill"), ids=ids)
@pytest.mark.parametrize("edition", EDITIONS)
def test_published_mixed_fills(case: dict[str, Any], edition: str) -> None:
    assert case["source"]
    assert case["confirmed"].startswith(("FOUND", "PARTLY", "MEMORY"))
    assert ("why" in case) is bool(case.get("contested"))
    groups = [group(n, *one) for n, one in enumerate(case["conductors"], 1)]
    fill = raceway_fill(Book(edition), "route.1", case["raceway"], groups, LONG)
    assert decimal_of(fill.conductors_area) == Decimal(case["area"])
    assert fill.trade_size.value == TradeSize(case["trade_size"])
    assert fill.check.verdict is Verdict.MEETS
    assert reworked([fill.usable_area, fill.conductors_area]) == []
    if "one_more" in case:
        count, *last = case["conductors"][-1]
        groups[-1] = group(len(groups), count + 1, *last)
        fuller = raceway_fill(Book(edition), "route.1", case["raceway"], groups, LONG)
        assert fuller.trade_size.value == TradeSize(case["one_more"])


CELLS = examples("annex_c_cells")


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("case", CELLS, ids=ids)
def test_published_cells_of_annex_c(case: dict[str, Any], edition: str) -> None:
    assert case["source"]
    assert case["confirmed"].startswith(("FOUND", "PARTLY", "MEMORY"))
    for of, trade, count in case["cells"]:
        like = group(1, 1, of, case["insulation"])
        limit = same_size_limit(Book(edition), "route.1", case["raceway"], trade_size(trade), like)
        assert decimal_of(limit) == count, (of, trade)


ANNEX = examples("annex_c")


@pytest.mark.parametrize("of", ANNEX["counts"])
def test_published_counts_of_one_size(of: str) -> None:
    book = Book("2020")
    for trade, count in zip(ANNEX["trade_sizes"], ANNEX["counts"][of], strict=True):
        limit = same_size_limit(book, "route.1", "EMT", trade_size(trade), group(1, 1, of))
        assert decimal_of(limit) == count, trade


def test_a_count_that_rounds_up_wins_over_the_sum_of_areas() -> None:
    of, trade = ANNEX["rounds_up"]
    book = Book("2023")
    twelve = [group(1, 12, of)]
    fill = raceway_fill(book, "route.1", "EMT", twelve, LONG, trade_size(trade))
    assert fill.check.verdict is Verdict.MEETS
    assert decimal_of(fill.conductors_area) > decimal_of(fill.usable_area)


def test_areas_and_the_rounding_decimal_rebuild_the_printed_counts() -> None:
    """FMC has no printed counts here, so the areas decide: 12 AWG in 3/4 as in EMT of that bore.

    Both have 0.533 in² inside, and Annex C prints 16 for EMT.
    """
    limit = same_size_limit(Book("2023"), "route.1", "FMC", trade_size("3/4"), group(1, 1, 12))
    assert limit.formula
    assert decimal_of(limit) == 16


@pytest.mark.parametrize(
    ("raceway", "trade", "of", "count"),
    [
        ("FMC", "1/2", 2, 1),  # 0.53 x 0.317 / 0.1158 = 1.45
        ("FMC", "1/2", "2/0", 0),  # 0.53 x 0.317 / 0.2223 = 0.76, under the decimal
        ("FMC", "1/2", "1/0", 1),  # 0.53 x 0.317 / 0.1855 = 0.91, over the decimal
        ("FMC", "1/2", 8, 3),  # 0.40 x 0.317 / 0.0366 = 3.46; for two alone 0.31: 2.69
        ("FMC", "3/4", 4, 2),  # 0.31 x 0.533 / 0.0824 = 2.005; three would need 0.40: 2.59
    ],
)
def test_counts_of_one_and_two_have_their_own_share(
    raceway: str, trade: str, of: Any, count: int
) -> None:
    limit = same_size_limit(Book("2020"), "route.1", raceway, trade_size(trade), group(1, 1, of))
    assert decimal_of(limit) == count


def test_two_that_fit_by_the_share_for_three_are_held_to_their_own() -> None:
    """6 AWG XHHW-2 in FMC 1/2: 0.40 x 0.317 / 0.0590 is 2.15, but 0.31 gives 1.67."""
    one = group(1, 1, 6, "XHHW-2")
    limit = same_size_limit(Book("2023"), "route.1", "FMC", trade_size("1/2"), one)
    assert decimal_of(limit) == 1


@pytest.mark.parametrize(("count", "share"), [(1, 53), (2, 31), (3, 40), (9, 40)])
def test_share_by_count(count: int, share: int) -> None:
    counted = given("route.1.conductor_count", count, "")
    entry = fill_share(Book("2020"), "route.1", counted, LONG)
    assert entry.value.m_as("%") == share


@pytest.mark.parametrize(("inches", "share"), [("23.9", 60), (24, 60), ("24.1", 40)])
def test_a_short_nipple_may_be_filled_further(inches: Any, share: int) -> None:
    counted = given("route.1.conductor_count", 3, "")
    entry = fill_share(Book("2020"), "route.1", counted, given("route.1.length", inches, "in"))
    assert entry.value.m_as("%") == share


def test_an_empty_raceway_has_no_share() -> None:
    with pytest.raises(ValueError, match="no conductors"):
        fill_share(Book("2020"), "route.1", given("route.1.conductor_count", 0, ""), LONG)


def test_charging_circuit_of_60_a_in_plastic_conduit() -> None:
    """Two 6 AWG and a 10 AWG ground: 2 x 0.0507 + 0.0211 = 0.1225 in².

    PVC-40 of 1/2 has 0.285 in² (40 %: 0.114), of 3/4 has 0.508 (0.2032): it takes 3/4.
    """
    groups = [group(1, 2, 6), group(2, 1, 10)]
    book = Book("2023")
    assert raceway_fill(book, "route.1", "PVC-40", groups, LONG).trade_size.value == TradeSize(
        "3/4"
    )
    small = raceway_fill(book, "route.1", "PVC-40", groups, LONG, trade_size("1/2"))
    assert small.check.verdict is Verdict.FALLS_SHORT
    assert small.check.remedy is not None
    assert small.check.remedy.value == TradeSize("3/4")
    enters_ledger([small.trade_size], [small.check])
    assert shown(small.check) == (
        "route.1.conductors_area",
        "route.1.usable_area",
        "route.1.smallest_trade_size",
        ["route.1.trade_size", "route.1.conductors_area", "route.1.usable_area"],
    )


@pytest.mark.parametrize(("of", "area"), [("bare solid", "0.008"), ("bare stranded", "0.011")])
def test_a_bare_ground_counts_with_its_own_area(of: str, area: str) -> None:
    """10 AWG in Table 8 of chapter 9 of the NEC."""
    insulated = [group(1, 2, 6), group(2, 1, 10)]
    bare = [group(1, 2, 6), group(2, 1, 10, of)]
    book = Book("2020")
    difference = decimal_of(conductors_area(book, "route.1", insulated)) - decimal_of(
        conductors_area(book, "route.1", bare)
    )
    assert difference == Decimal("0.0211") - Decimal(area)


@pytest.mark.parametrize(
    ("insulation", "area"), [("THHN/THWN-2", "0.0366"), ("XHHW-2", "0.0437"), ("RHW-2", "0.0556")]
)
def test_each_insulation_has_its_own_area(insulation: str, area: str) -> None:
    """8 AWG in Table 5 of chapter 9 of the NEC, from memory; RHW-2 without outer covering."""
    counted = conductors_area(Book("2020"), "route.1", [group(1, 1, 8, insulation)])
    assert decimal_of(counted) == Decimal(area)


def test_unknown_insulation_is_refused() -> None:
    with pytest.raises(LookupError, match="no conductor dimensions for insulation TW"):
        conductors_area(Book("2020"), "route.1", [group(1, 2, 6, "TW")])


def test_nothing_listed_holds_too_many() -> None:
    fill = raceway_fill(Book("2020"), "route.1", "ENT", [group(1, 40, "4/0"), group(2, 1, 8)], LONG)
    assert fill.check.verdict is Verdict.FALLS_SHORT
    assert fill.check.remedy is None
    assert fill.trade_size.value == sizes_of(Book("2020"), "ENT")[-1]


def test_a_given_size_that_nothing_could_better_falls_short_without_a_remedy() -> None:
    crowd = [group(1, 40, "4/0"), group(2, 1, 8)]
    fill = raceway_fill(Book("2020"), "route.1", "ENT", crowd, LONG, trade_size("1"))
    assert worded(fill.check) == "falls short"
    assert fill.check.remedy is None
    assert fill.trade_size.value == TradeSize("1")


@pytest.mark.parametrize(("count", "verdict"), [(13, "meets"), (14, "falls short")])
def test_conductors_all_alike_go_by_area_in_a_short_nipple(count: int, verdict: str) -> None:
    """0.60 x 0.304 in² / 0.0133 = 13.7 of 12 AWG in EMT 1/2; Annex C, for long runs, has 9."""
    short = given("route.1.length", 12, "in")
    fill = raceway_fill(
        Book("2023"), "route.1", "EMT", [group(1, count, 12)], short, trade_size("1/2")
    )
    assert worded(fill.check) == verdict
    assert fill.count_limit is None


@pytest.mark.parametrize("raceway", RACEWAYS)
def test_a_larger_raceway_never_holds_less(raceway: str) -> None:
    book = Book("2023")
    for of in SIZES:
        counts = [
            decimal_of(
                same_size_limit(
                    book, "route.1", raceway, given("route.1.trade_size", trade), group(1, 1, of)
                )
            )
            for trade in sizes_of(book, raceway)
        ]
        assert counts == sorted(counts), of


@pytest.mark.parametrize("raceway", RACEWAYS)
@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_the_chosen_size_fits_and_the_one_below_does_not(raceway: str, count: int) -> None:
    book = Book("2020")
    for of in SIZES:
        groups = [group(1, count, of), group(2, 1, 12)]
        chosen = raceway_fill(book, "route.1", raceway, groups, LONG)
        listed = sizes_of(book, raceway)
        place = listed.index(chosen.trade_size.value)
        if chosen.check.verdict is Verdict.MEETS and place:
            below = given("route.1.trade_size", listed[place - 1])
            short = raceway_fill(book, "route.1", raceway, groups, LONG, below)
            assert short.check.verdict is Verdict.FALLS_SHORT, (of, below.value)


@pytest.mark.parametrize(
    ("degrees", "verdict"), [(350, "meets"), (360, "meets"), ("360.5", "falls short")]
)
def test_bends_at_their_limit(degrees: Any, verdict: str) -> None:
    bends = given("route.1.bends", degrees, "deg")
    check = bends_between_pull_points(Book("2023"), "route.1", bends)
    assert worded(check) == verdict
    remedy = "greatest_bend_sum" if verdict == "falls short" else ""
    assert shown(check) == ("route.1.bends", "greatest_bend_sum", remedy, [])


def test_bends_not_given_are_asked_for() -> None:
    check = bends_between_pull_points(Book("2023"), "route.1", None)
    assert worded(check) == "ask"
    assert shown(check) == ("", "greatest_bend_sum", "", [])


@pytest.mark.parametrize(
    ("trade", "of", "verdict"),
    [
        ("3/4", 6, Verdict.MEETS),  # 0.824 / 0.254 = 3.24
        ("3/4", 4, Verdict.MEETS),  # 0.824 / 0.324 = 2.54
        ("1", 4, Verdict.MEETS),  # 1.049 / 0.324 = 3.24
        ("1", 3, Verdict.NOTE),  # 1.049 / 0.352 = 2.98
    ],
)
def test_jam_ratio(trade: str, of: int, verdict: Verdict) -> None:
    """Chapter 9 Table 1, informational note."""
    ratio, check = jam_ratio(Book("2020"), "route.1", "EMT", trade_size(trade), group(1, 3, of))
    assert worded(check) == verdict.value, decimal_of(ratio)
    assert shown(check) == ("route.1.jam_ratio", "", "", ["jam_ratio_low", "jam_ratio_high"])


def test_areas_rebuild_every_printed_count_but_two() -> None:
    """Over five hundred printed cells of Annex C check the three shares and the decimal at once.

    The printed, rounded areas miss two cells; unrounded ones would not.
    """
    book = Book("2020")
    rows = list(book.table("annex_c_counts").rows())
    missed = []
    for row in rows:
        of = given("route.1.conductors.1.size", row["size"])
        one = ConductorGroup(given("route.1.conductors.1.count", 1, ""), of, row["insulation"])
        trade = given("route.1.trade_size", row["trade_size"])
        counted = count_by_areas(book, "route.1", row["raceway"], trade, one)
        if counted.value != row["count"]:
            missed.append((row["raceway"], row["size"].name, row["trade_size"].name))
    assert len(rows) > 500
    assert missed == [("PVC-80", "14 AWG", "1"), ("PVC-80", "12 AWG", "1/2")]


def test_the_jam_range_has_its_lower_end_in_it() -> None:
    """3/0 AWG XHHW-2 in RMC 1-1/2: 1.624 in over 0.580 is 2.8 exactly; no table pair gives 3.2."""
    three = group(1, 3, "3/0", "XHHW-2")
    ratio, check = jam_ratio(Book("2020"), "route.1", "RMC", trade_size("1-1/2"), three)
    assert decimal_of(ratio) == Decimal("2.8")
    assert worded(check) == "note"
