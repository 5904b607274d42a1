"""Load calculations: every limit from below, at and above it, and in each edition that differs.

Whole published calculations stand in tests/worked_examples; here the rules are taken one by one.
Rules after: International Residential Code E3704; Mike Holt forum threads 2585012 (appliances and
chargers of 2023), 2580262 (optional pool), 2573421 and 2577480 (existing dwelling), 2584661 (range
notes); symmetryace.com (text of 220.87); EC&M, top 25 changes to the 2026 NEC.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from itertools import product
from typing import Any

import pytest

from packet import words
from packet.codebook import EDITIONS, Book
from packet.findings import finding
from packet.ledger import Entry, Ledger, Verdict
from packet.quantities import magnitude
from packet.rules.load import (
    DwellingLoads,
    Load,
    MeasuredDemand,
    Readings,
    Space,
    calculate,
    existing_worksheet,
    heating_and_cooling_settled,
    measured_demand_counts,
    neutral_load,
    optional_worksheet,
    remedies,
    standard_worksheet,
)
from packet.rules.load.cooking import Appliance, cooking_demand
from packet.rules.load.dwelling import counted_area, nameplate_is_usual, needed_rating
from packet.rules.load.service import room_for_charging
from tests.rules.givens import all_behind, given, shown
from tests.rules.houses import (
    charger,
    entered,
    house,
    load,
    management,
    number,
    sheet_of,
    supply,
    va,
)

D = Decimal
BEFORE_2026 = ("2017", "2020", "2023")

RANGE = load(1, "range", "12 kW")
DRYER = load(2, "dryer", "5.5 kW")
HEATER = load(3, "water heater", "4.5 kW")
AIR = load(4, "air conditioning", "18 A", volts=240)
HEAT = load(5, "central heat", "10 kW")
FULL_HOUSE = (RANGE, DRYER, HEATER, AIR, HEAT)


def line(ledger_or_sheet: Any, name: str) -> Entry:
    """Return one entry of a worksheet, however deep it stands."""

    def walk(entry: Entry) -> Iterator[Entry]:
        yield entry
        for _, source in entry.inputs:
            yield from walk(source)

    return next(
        entry for one in ledger_or_sheet.lines for entry in walk(one.entry) if entry.name == name
    )


def standard(edition: str, *loads: Load, **more: Any) -> Any:
    book = Book(edition)
    return standard_worksheet(book, house(*loads, **more), supply(book))


def optional(edition: str, *loads: Load, **more: Any) -> Any:
    book = Book(edition)
    return optional_worksheet(book, house(*loads, **more), supply(book), Readings())


# --- the head of each method --------------------------------------------------------------------


@pytest.mark.parametrize(
    ("edition", "expected"), [("2017", 4500), ("2020", 4500), ("2023", 4500), ("2026", 3000)]
)
def test_lighting_by_the_square_foot(edition: str, expected: int) -> None:
    """3 VA until 2023 (NEC Annex D1(a)), 2 VA in 2026 (EC&M, top 25 changes)."""
    assert va(line(standard(edition), "dwelling.lighting_load")) == expected


@pytest.mark.parametrize(
    ("kitchen", "laundry", "expected"), [(1, 0, 4500), (2, 1, 4500), (3, 1, 6000), (2, 2, 6000)]
)
def test_a_whole_dwelling_counts_at_least_its_required_circuits(
    kitchen: int, laundry: int, expected: int
) -> None:
    sheet = standard("2023", kitchen=kitchen, laundry=laundry)
    circuits = ("dwelling.small_appliance_load", "dwelling.laundry_load")
    assert sum(va(line(sheet, name)) for name in circuits) == expected


@pytest.mark.parametrize(
    ("area", "demand"),
    [
        (D(1), D(3000) + D("0.35") * (3 + 1500)),
        (D(38500), D(3000) + D("0.35") * 117000),
        (D(38501), D(3000) + D("0.35") * 117000 + D("0.25") * 3),
    ],
)
def test_the_demand_table_at_its_steps(area: Decimal, demand: Decimal) -> None:
    """3000 VA in full, 35 % up to 120 000 VA, then 25 % (load worksheet: 3000, 117 000, 25 %)."""
    assert va(line(standard("2017", area=area), "load.standard.general_demand")) == demand


def test_exactly_3000_va_stays_in_the_first_step() -> None:
    book = Book("2023")
    part = supply(book, carries_whole_dwelling=False)
    for area, expected in ((999, 2997), (1000, 3000), (1001, D("3001.05"))):
        sheet = standard_worksheet(book, house(area=area, kitchen=0, laundry=0), part)
        assert va(line(sheet, "load.standard.general_demand")) == expected


@pytest.mark.parametrize(
    ("edition", "adaptable", "area"),
    [
        ("2017", True, 1500),
        ("2020", True, 1500),
        ("2023", True, 1920),
        ("2026", True, 1920),
        ("2023", False, 1500),
        ("2023", None, 1920),
    ],
)
def test_a_garage_counts_from_2023_where_adaptable(
    edition: str, adaptable: bool | None, area: int
) -> None:
    """Electrical Contractor magazine on the 2023 changes; one nobody has judged counts."""
    garage = Space(given("dwelling.garage_area", 420, "ft**2"), adaptable)
    assert number(counted_area(Book(edition), house(garage=garage)), "ft**2") == area


@pytest.mark.parametrize(("adaptable", "area"), [(True, 2110), (False, 1500), (None, 2110)])
@pytest.mark.parametrize("edition", EDITIONS)
def test_unfinished_space_counts_where_adaptable_in_every_edition(
    edition: str, adaptable: bool | None, area: int
) -> None:
    cellar = Space(given("dwelling.unfinished_area", 610, "ft**2"), adaptable)
    assert number(counted_area(Book(edition), house(unfinished=cellar)), "ft**2") == area


def test_a_load_in_amperes_needs_a_voltage() -> None:
    with pytest.raises(ValueError, match="no voltage"):
        load(1, "air conditioning", "18 A").each(Book("2023"))


# --- standard: appliances -----------------------------------------------------------------------


@pytest.mark.parametrize(("many", "demand"), [(3, 3000), (4, 3000), (5, 3750)])
@pytest.mark.parametrize("edition", EDITIONS)
def test_four_fastened_appliances_count_at_75_percent(edition: str, many: int, demand: int) -> None:
    """220.53: three at 1000 VA in full; four and five at 75 %."""
    ones = [load(n, "dishwasher", "1000 VA") for n in range(1, many + 1)]
    assert va(line(standard(edition, *ones), "load.standard.fastened_demand")) == demand


@pytest.mark.parametrize(
    ("edition", "watts", "demand"),
    [
        ("2017", 499, (3000 + 499) * D("0.75")),
        ("2020", 499, 3499),
        ("2023", 499, 3499),
        ("2023", 500, 3500 * D("0.75")),
        ("2023", 501, 3501 * D("0.75")),
        ("2026", 499, 3499),
    ],
)
def test_a_small_appliance_is_not_one_of_the_four(
    edition: str, watts: int, demand: Decimal
) -> None:
    """500 W or more, Mike Holt forum thread 2585012 for 2023; in 2020 as the safe side."""
    ones = [load(n, "dishwasher", "1000 VA") for n in (1, 2, 3)]
    small = load(4, "other appliance", f"{watts} W", fastened=True)
    sheet = standard(edition, *ones, small)
    assert va(line(sheet, "load.standard.fastened_demand")) == demand


def test_a_fifth_small_appliance_counts_in_full_beside_the_four() -> None:
    ones = [load(n, "dishwasher", "1000 VA") for n in (1, 2, 3, 4)]
    sheet = standard("2023", *ones, load(5, "disposer", "400 VA"))
    assert va(line(sheet, "load.standard.fastened_demand")) == 3000 + 400


@pytest.mark.parametrize("kind", ["range", "dryer", "central heat", "vehicle charger", "welder"])
@pytest.mark.parametrize("edition", EDITIONS)
def test_what_is_never_one_of_the_four(edition: str, kind: str) -> None:
    """Excluded by 220.53; chargers by name from 2023 on, and on the safe side before."""
    ones = [load(n, "dishwasher", "1000 VA") for n in (1, 2, 3)]
    sheet = standard(edition, *ones, load(4, kind, "9000 VA"))
    assert va(line(sheet, "load.standard.fastened_demand")) == 3000


@pytest.mark.parametrize(("fastened", "counts"), [(True, True), (False, False), (None, False)])
def test_a_microwave_is_one_of_the_four_only_where_it_is_fastened(
    fastened: bool | None, counts: bool
) -> None:
    ones = [load(n, "dishwasher", "1000 VA") for n in (1, 2, 3)]
    oven = load(4, "microwave", "1000 VA", fastened=fastened)
    sheet = standard("2023", *ones, oven)
    assert va(line(sheet, "load.standard.fastened_demand")) == 3000
    assert ("load.standard.other" in {one.entry.name for one in sheet.lines}) is not counts


@pytest.mark.parametrize(("rating", "demand"), [(4999, 5000), (5000, 5000), (5001, 5001)])
def test_a_dryer_counts_5000_va_at_least(rating: int, demand: int) -> None:
    sheet = standard("2023", load(1, "dryer", f"{rating} VA"))
    assert va(line(sheet, "load.standard.dryer_demand")) == demand


@pytest.mark.parametrize(
    ("many", "percent"),
    [(4, 100), (5, 85), (11, 47), (12, 46), (23, 35), (24, D("34.5")), (43, 25)],
)
def test_many_dryers(many: int, percent: Any) -> None:
    """Table 220.54; 12 to 23: 47 less the number beyond 11 (International Residential Code)."""
    sheet = standard("2023", load(1, "dryer", "6000 VA", count=many))
    assert va(line(sheet, "load.standard.dryer_demand")) == 6000 * many * D(percent) / 100


def demand_of(edition: str, *ratings: tuple[Any, int]) -> Decimal:
    ones = tuple(
        Appliance(
            given(f"dwelling.load.{n}.rating", rating, "kW"),
            given(f"dwelling.load.{n}.count", count, ""),
        )
        for n, (rating, count) in enumerate(ratings, 1)
    )
    return va(cooking_demand(Book(edition), ones)) / 1000


@pytest.mark.parametrize(
    ("rating", "demand"),
    [
        ("1.75", "1.75"),  # too small for the table: in full
        ("1.76", "1.408"),  # column A, 80 %
        ("3.49", "2.792"),
        ("3.5", "2.8"),  # column B, 80 %
        ("8.75", "7"),
        ("8.76", "8"),  # column C
        ("12", "8"),
        ("12.49", "8"),  # less than a major fraction
        ("12.5", "8.4"),
        ("13.49", "8.4"),
        ("13.5", "8.8"),
        ("27", "14"),
        ("27.1", "27.1"),  # beyond the notes: in full
    ],
)
def test_one_cooking_appliance_at_every_limit_of_the_table(rating: str, demand: str) -> None:
    """Table 220.55 and its Notes 1 and 3, Mike Holt forum thread 2584661."""
    assert demand_of("2023", (rating, 1)) == D(demand)


def test_column_a_is_chosen_before_column_c_only_where_it_gives_less() -> None:
    assert demand_of("2023", (3, 1), (8, 1)) == D("0.8") * 3 + D("0.8") * 8
    assert demand_of("2023", ("3.5", 2)) == D("4.55")  # column B, 65 %, not column A, 75 %
    assert demand_of("2023", ("3.4", 2)) == D("5.1")
    assert demand_of("2023", (8, 3)) == D("0.55") * 24  # 13.2 kW against column C, 14 kW
    assert demand_of("2023", (D("8.75"), 5)) == D("0.45") * D("43.75")  # 19.69 against 20 kW
    assert demand_of("2023", (8, 1), (14, 1)) == D("11.55")  # (12 + 14) / 2 = 13: 11 kW + 5 %
    assert demand_of("2023", (2, 1), (14, 1)) == D("1.6") + D("8.8")


def test_appliances_of_one_column_are_added_up() -> None:
    assert demand_of("2023", (4, 1), (5, 1)) == D("0.65") * 9
    assert demand_of("2023", (2, 1), (3, 1)) == D("0.75") * 5
    assert demand_of("2023", (1, 1), ("1.5", 2)) == 4  # too small for the table: in full


@pytest.mark.parametrize(
    ("many", "demand"), [(25, 40), (26, 41), (40, 55), (41, "55.75"), (60, 70), (61, "70.75")]
)
def test_many_ranges(many: int, demand: Any) -> None:
    """Column C from 26 on: 15 kW and 1 kW for each, 25 kW and 3/4 kW for each above 40."""
    assert demand_of("2023", (12, many)) == D(demand)


@pytest.mark.parametrize(("rating", "formula"), [(9, "C"), (12, "C"), ("12.1", "C * (1 + p * x)")])
def test_the_increase_is_reckoned_only_above_12_kw(rating: Any, formula: str) -> None:
    rating = given("dwelling.load.1.rating", rating, "kW")
    one = Appliance(rating, given("dwelling.load.1.count", 1, ""))
    ((_, demand),) = cooking_demand(Book("2023"), (one,)).inputs
    assert demand.formula == formula


def test_unequal_ranges_are_averaged_with_twelve_for_the_smaller() -> None:
    """Note 2: 9, 13 and 15 kW average (12 + 13 + 15) / 3 = 13.33, one step over 12: 14 kW + 5 %."""
    assert demand_of("2023", (9, 1), (13, 1), (15, 1)) == D("14.7")


# --- standard: heating, cooling, motors, chargers -----------------------------------------------


@pytest.mark.parametrize(
    ("together", "expected"), [(None, 10000), (False, 10000), (True, 10000 + 4320)]
)
def test_heating_or_cooling_unless_they_run_together(together: bool | None, expected: int) -> None:
    sheet = standard("2017", AIR, HEAT, heating_and_cooling_together=together)
    assert va(line(sheet, "load.standard.comfort")) == expected


@pytest.mark.parametrize(
    ("with_compressor", "expected"), [(True, 14800), (None, 14800), (False, 10000)]
)
def test_strips_and_compressor(with_compressor: bool | None, expected: int) -> None:
    """Both, unless the strips are locked out while the compressor runs (note to Annex D2(c))."""
    pump, strips = load(1, "heat pump", "20 A", volts=240), load(2, "supplemental heat", "10 kW")
    sheet = standard("2023", pump, strips, supplemental_heat_with_compressor=with_compressor)
    assert va(line(sheet, "load.standard.comfort")) == expected


@pytest.mark.parametrize(
    ("edition", "addition"), [("2017", 225), ("2020", 1080), ("2023", 1080), ("2026", 1080)]
)
def test_the_largest_motor(edition: str, addition: int) -> None:
    """In 2017 the air conditioner left out as the smaller brings no motor; from 2020 it does."""
    sheet = standard(edition, AIR, HEAT, load(6, "disposer", "900 VA"))
    assert va(line(sheet, "load.standard.motor_addition")) == addition


@pytest.mark.parametrize("edition", EDITIONS)
def test_cooling_that_is_the_larger_brings_its_motor_in_every_edition(edition: str) -> None:
    sheet = standard(edition, AIR, load(5, "central heat", "3 kW"), load(6, "disposer", "900 VA"))
    assert va(line(sheet, "load.standard.motor_addition")) == 1080


@pytest.mark.parametrize(
    ("edition", "amperes", "expected"),
    [
        *((edition, 29, 6960) for edition in ("2017", "2020", "2026")),
        ("2023", 29, 7200),
        ("2023", 30, 7200),
        ("2023", 31, 7440),
        *((edition, 48, 11520) for edition in EDITIONS),
    ],
)
def test_a_charger_counts_7200_va_at_least_in_2023(
    edition: str, amperes: int, expected: int
) -> None:
    """220.57 of 2023: expertce.com; Mike Holt forum thread 2585012. 2026 from memory."""
    sheet = standard(edition, charger(1, amperes))
    assert va(sheet.new_load) == expected


@pytest.mark.parametrize(
    ("current", "expected"), [(199, 199), (200, 200), (201, D("200.7")), (300, 270)]
)
def test_the_neutral_counts_at_70_percent_above_200_amperes(current: int, expected: Any) -> None:
    """220.61(B); the other loads of the house make up the current."""
    book = Book("2017")
    head = D(3000) + D("0.35") * 6000
    rest = load(1, "other appliance", f"{current * 240 - head} VA", volts=120)
    lines = neutral_load(book, house(rest), supply(book))
    assert number(lines[-1].entry, "A") == expected


@pytest.mark.parametrize(
    ("kind", "volts", "on_neutral"),
    [
        ("water heater", None, False),
        ("water heater", 240, False),
        ("water heater", 120, True),
        ("vehicle charger", 240, False),
        ("spa", None, True),
        ("spa", 240, False),
        ("other appliance", 208, False),
        ("air conditioning", 230, False),
        ("air conditioning", 115, True),
        ("spa", 179, True),
        ("spa", 180, False),  # no such voltage: half way between a leg and both
    ],
)
def test_what_uses_the_neutral(kind: str, volts: int | None, on_neutral: bool) -> None:
    book = Book("2023")
    with_load = neutral_load(book, house(load(1, kind, "2000 VA", volts=volts)), supply(book))
    without = neutral_load(book, house(), supply(book))
    difference = number(with_load[-1].entry, "A") - number(without[-1].entry, "A")
    assert (difference > 0) is on_neutral


# --- optional -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("edition", "area", "demand"),
    [
        ("2023", 1833, 9999),
        ("2023", D(5500) / 3, 10000),
        ("2023", 1834, D("10000.8")),
        ("2020", 2000, D("10200")),
        ("2017", 2000, D("10200")),
        ("2026", 1749, 7998),
        ("2026", 1750, 8000),
        ("2026", 1751, D("8000.8")),
    ],
)
def test_the_pool_at_its_first_part(edition: str, area: Any, demand: Any) -> None:
    """10 kVA (JADE Learning), 8 kVA in 2026 (EC&M, top 25 changes); 40 % of the rest."""
    assert round(va(line(optional(edition, area=area), "load.optional.demand")), 9) == demand


@pytest.mark.parametrize(("many", "share"), [(3, "0.65"), (4, "0.40"), (5, "0.40")])
def test_room_heaters_by_the_number_of_their_controls(many: int, share: str) -> None:
    """Four or more: 40 % (NEC Annex D2(a))."""
    sheet = optional("2023", load(1, "room heater", "1.5 kW", count=many))
    assert va(line(sheet, "load.optional.room_heaters")) == 1500 * many * D(share)


def test_only_the_largest_selection_counts_and_never_a_sum() -> None:
    sheet = optional("2023", AIR, HEAT, load(6, "heat pump", "20 A", volts=240))
    assert va(line(sheet, "load.optional.comfort")) == max(4320, 6500, 4800)


@pytest.mark.parametrize(("together", "expected"), [(None, 11300), (True, 11300), (False, 6500)])
def test_a_heat_pump_locked_out_by_its_strips(together: bool | None, expected: int) -> None:
    """Footnote of NEC Annex D2(c): the compressor need not be added to strips that lock it out."""
    pump, strips = load(1, "heat pump", "20 A", volts=240), load(2, "supplemental heat", "10 kW")
    sheet = optional("2023", pump, strips, supplemental_heat_with_compressor=together)
    assert va(line(sheet, "load.optional.comfort")) == expected


# --- readings that differ -----------------------------------------------------------------------

SIDES = [
    Readings(a, b, continuous_share_added=c)  # type: ignore[arg-type]
    for a, b, c in product(("full", "pool"), ("full", "pool"), (True, False))
]
HOUSES = [
    house(*FULL_HOUSE, charger(6, 40)),
    house(HEATER, AIR, HEAT, charger(6, 16), area=400),
    house(charger(6, 6), area=300),
    house(load(1, "central heat", "17 kW"), charger(6, 6), area=300),
    house(load(1, "room heater", "1500 W", count=4), AIR, charger(6, 48)),
]


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("dwelling", HOUSES)
@pytest.mark.parametrize("sides", SIDES)
def test_the_other_total_is_what_the_other_reading_gives(
    edition: str, dwelling: DwellingLoads, sides: Readings
) -> None:
    """The short formula on the page against the whole calculation on the other side."""
    book = Book(edition)
    served = supply(book)
    for worksheet in (optional_worksheet, existing_worksheet):
        sheet = worksheet(book, dwelling, served, sides)
        if sheet is None:
            assert edition == "2026"
            continue
        for point in sheet.disputed:
            turned = turn(sides, point.name)
            flipped = worksheet(book, dwelling, served, turned)
            assert flipped is not None
            assert va(point.other_total) == va(flipped.total)
            assert number(point.other_amperes, "A") == number(flipped.deciding, "A")


FIELDS = {
    "charger": "charger",
    "comfort": "existing_heating_and_cooling",
    "fastened_charger": "fastened_charger",
    "continuous_share": "continuous_share_added",
}


def turn(sides: Readings, point: str) -> Readings:
    """Return the sides with one point on the other side."""
    field = FIELDS[point]
    now = getattr(sides, field)
    opposite = {"full": "pool", "pool": "full", True: False, False: True}
    return replace(sides, **{field: opposite[now]})


@pytest.mark.parametrize("edition", BEFORE_2026)
def test_the_reading_taken_is_named_and_its_other_side_is_told(edition: str) -> None:
    book = Book(edition)
    sheet = existing_worksheet(book, HOUSES[0], supply(book), Readings())
    assert sheet is not None
    assert [(one.name, one.taken.value) for one in sheet.disputed] == [
        ("charger", "counted in full"),
        ("comfort", "counted in full"),
        ("continuous_share", "added"),
    ]


def test_in_2026_the_charger_is_settled_outside_the_pool() -> None:
    book = Book("2026")
    sheets = [optional_worksheet(book, HOUSES[0], supply(book), sides) for sides in SIDES]
    assert len({va(sheet.total) for sheet in sheets}) == 1
    assert all([one.name for one in sheet.disputed] == ["continuous_share"] for sheet in sheets)


@pytest.mark.parametrize("edition", BEFORE_2026)
@pytest.mark.parametrize("dwelling", HOUSES)
def test_counting_a_charger_in_full_is_the_safe_side(edition: str, dwelling: DwellingLoads) -> None:
    book = Book(edition)
    for worksheet in (optional_worksheet, existing_worksheet):
        full = worksheet(book, dwelling, supply(book), Readings(charger="full"))
        pool = worksheet(book, dwelling, supply(book), Readings(charger="pool"))
        assert full is not None
        assert pool is not None
        assert va(full.total) >= va(pool.total)


@pytest.mark.parametrize(
    ("rating", "by_full", "by_pool", "agreed"),
    [
        ("62.4", Verdict.MEETS, Verdict.MEETS, Verdict.MEETS),
        ("62.5", Verdict.NOTE, Verdict.ASK, Verdict.NOTE),
        ("86.4", Verdict.NOTE, Verdict.ASK, Verdict.NOTE),
        ("86.5", Verdict.MEETS, Verdict.MEETS, Verdict.MEETS),
    ],
)
def test_a_reading_that_turns_the_verdict_is_told(
    rating: str, by_full: Verdict, by_pool: Verdict, agreed: Verdict
) -> None:
    """20 760 VA in full is 86.5 A, 15 000 VA in the pool is 62.5 A: between them it is turned.

    On the safe side the shortfall stands and the other reading is a note; on the other side
    the office must agree first.
    """
    book = Book("2023")
    dwelling = house(HEATER, charger(6, 40), area=2300)
    method = given("circuit.load_method", "existing")
    for sides, verdict in (
        (Readings(continuous_share_added=False), by_full),
        (Readings("pool", continuous_share_added=False), by_pool),
        (Readings("pool", continuous_share_added=False, agreed=True), agreed),
    ):
        checks = calculate(book, dwelling, supply(book, rating), method, sides).checks
        found = {one.name: one.verdict for one in checks}
        assert found["charger_reading_does_not_decide"] is verdict


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("worksheet", [optional_worksheet, existing_worksheet])
@pytest.mark.parametrize("amperes", [16, 30, 48])
def test_the_pool_methods_count_a_charger_at_its_nameplate_in_every_edition(
    edition: str, worksheet: Any, amperes: int
) -> None:
    """220.57 with its least load stands in Part III: Mike Holt forum threads 2580262, 2588979."""
    book = Book(edition)
    sheet = worksheet(book, house(charger(6, amperes)), supply(book), Readings())
    if sheet is None:
        assert edition == "2026"
        return
    assert va(sheet.new_load) == amperes * 240


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("others", "among"),
    [(2, 4500 + 4500 + 9600), (3, D("0.75") * (3 * 4500 + 9600)), (4, D("0.75") * 27600)],
)
def test_a_fastened_charger_among_the_fastened_appliances(
    edition: str, others: int, among: Any
) -> None:
    """220.53 is silent before 2023: with three others the charger is the fourth, at 75 percent.

    From 2023 on it is never one of them, whatever the reading (Mike Holt forum thread 2585012).
    """
    book = Book(edition)
    rest = [load(n, "water heater", "4.5 kW") for n in range(1, others + 1)]
    car = replace(charger(9, 40), fastened=True)
    apart = house(*rest, car)
    settled = edition in ("2023", "2026")
    on_side = {}
    for side in ("full", "pool"):
        readings = Readings(fastened_charger=side)  # type: ignore[arg-type]
        sheet = standard_worksheet(book, apart, supply(book), readings)
        on_side[side] = sheet
        assert ("fastened_charger" in {one.name for one in sheet.disputed}) is not settled
    full, pool = on_side["full"], on_side["pool"]
    share = D("0.75") if others >= 4 else 1
    expected = share * others * 4500 + 9600
    assert va(pool.total) - va(full.total) == (0 if settled else D(among) - expected)
    for sheet in on_side.values():
        for point in sheet.disputed:
            if point.name == "fastened_charger":
                other = pool if sheet is full else full
                assert va(point.other_total) == va(other.total)


@pytest.mark.parametrize("edition", ["2017", "2020"])
def test_a_charger_that_is_not_fastened_is_no_fastened_appliance(edition: str) -> None:
    book = Book(edition)
    rest = [load(n, "water heater", "4.5 kW") for n in range(1, 5)]
    for fastened in (False, None):
        car = replace(charger(9, 40), fastened=fastened)
        sheets = [
            standard_worksheet(book, house(*rest, car), supply(book), Readings(fastened_charger=s))
            for s in ("full", "pool")  # type: ignore[arg-type]
        ]
        assert va(sheets[0].total) == va(sheets[1].total)
        assert not {"fastened_charger"} & {p.name for sheet in sheets for p in sheet.disputed}


def fastened(number: int, amperes: int = 40, *, new: bool = True) -> Load:
    return replace(charger(number, amperes, new=new), fastened=True)


@pytest.mark.parametrize("added", [True, False])
@pytest.mark.parametrize(("others", "together"), [(0, 9600), (2, 18600), (3, "17325"), (4, 20700)])
def test_the_lines_of_a_fastened_charger_on_either_side(
    added: bool, others: int, together: Any
) -> None:
    """Among the appliances it is named before their demand, apart it is named after it."""
    book = Book("2020")
    rest = [load(n, "water heater", "4.5 kW") for n in range(1, others + 1)]
    dwelling = house(*rest, fastened(8), charger(9, 16, new=False))
    apart, among = (
        standard_worksheet(
            book,
            dwelling,
            supply(book),
            Readings(fastened_charger=side, continuous_share_added=added),  # type: ignore[arg-type]
        )
        for side in ("full", "pool")
    )
    general = "= load.standard.general_demand"
    total_line, movable, other_car = (
        "= load.standard.total",
        "vehicle charger 9600",
        "vehicle charger 3840",
    )
    demand = "= load.standard.fastened_demand"
    assert printed(apart) == [
        *HEAD,
        general,
        *([demand] if others else []),
        movable,
        other_car,
        total_line,
    ]
    assert printed(among) == [
        *HEAD,
        movable,
        general,
        f"{demand}_with_charger",
        other_car,
        total_line,
    ]
    assert va(among.lines[5].entry) == D(together)
    for sheet, other, side in ((apart, among, "apart"), (among, apart, "among")):
        (point, share) = sheet.disputed
        assert point.name == "fastened_charger"
        assert point.taken.value == words.word(f"load.reading.{side}").label
        assert va(point.other_total) == va(other.total)
        assert number(point.other_amperes, "A") == number(other.deciding, "A")
        assert share.name == "continuous_share"
        assert [va(one) for one in sheet.chargers] == [9600, 3840]
        assert va(sheet.new_load) == 9600
    assert apart.pool is None
    assert (among.pool is not None) is (others >= 3)
    if among.pool is not None:
        assert va(among.pool.load) == others * 4500 + 9600
        assert va(among.pool.demand) == D(together)
        assert (va(among.pool.first), among.pool.rest.value) == (0, D("0.75"))
    old = house(*rest, fastened(8, new=False), charger(9, 16))
    sheet = standard_worksheet(book, old, supply(book), Readings(fastened_charger="pool"))
    assert sheet.pool is None
    assert va(sheet.new_load) == 3840


@pytest.mark.parametrize("others", [0, 1, 2, 4])
def test_two_fastened_chargers_change_sides_together(others: int) -> None:
    book = Book("2017")
    rest = [load(n, "water heater", "4.5 kW") for n in range(1, others + 1)]
    dwelling = house(*rest, fastened(8), fastened(9, 16, new=False))
    apart, among = (
        standard_worksheet(book, dwelling, supply(book), Readings(fastened_charger=side))
        for side in ("full", "pool")  # type: ignore[arg-type]
    )
    assert (va(apart.total) == va(among.total)) is (others < 2)
    formulas = []
    for sheet, other in ((apart, among), (among, apart)):
        point = sheet.disputed[0]
        assert va(point.other_total) == va(other.total)
        assert number(point.other_amperes, "A") == number(other.deciding, "A")
        formulas.append(point.other_total.formula)
    own = (" - F", " + F") if others else ("", "")
    assert formulas == [f"W - (E1 + E2) + G{own[0]}", f"W - G + E1 + E2{own[1]}"]


@pytest.mark.parametrize("added", [True, False])
@pytest.mark.parametrize("others", [2, 3, 5])
def test_what_is_left_for_a_charger_among_the_appliances(added: bool, others: int) -> None:
    """A charger of just that current loads the supply to the last ampere."""
    book = Book("2017")
    rest = [load(n, "water heater", "3 kW") for n in range(1, others + 1)]
    sides = Readings(fastened_charger="pool", continuous_share_added=added)
    method, served = given("circuit.load_method", "standard"), supply(book)
    answer = calculate(book, house(*rest, fastened(9)), served, method, sides)
    assert answer.room_for_charging is not None
    room = round(number(answer.room_for_charging, "A"), 20)
    car = replace(charger(9, room), fastened=True)
    full = calculate(book, house(*rest, car), served, method, sides)
    assert abs(number(full.worksheet.deciding, "A") - 100) < D("1e-15")


# --- existing dwelling --------------------------------------------------------------------------


@pytest.mark.parametrize("edition", BEFORE_2026)
def test_new_heating_counts_in_full_whatever_the_reading(edition: str) -> None:
    """220.83(B): the larger of heating and cooling at 100 %, the rest at 8 kVA and 40 %."""
    book = Book(edition)
    new_pump = load(6, "heat pump", "30 A", volts=240, new=True)
    dwelling = house(RANGE, AIR, new_pump)
    for sides in SIDES:
        sheet = existing_worksheet(book, dwelling, supply(book), sides)
        assert sheet is not None
        rest = 8000 + D("0.4") * (4500 + 4500 + 12000 - 8000)
        assert va(sheet.total) == rest + 4320 + 7200
        assert "(B)" in sheet.total.cite[0].section


def test_the_shares_of_2026_are_not_known_so_the_method_is_asked_for() -> None:
    book = Book("2026")
    method = given("circuit.load_method", "existing")
    answer = calculate(book, HOUSES[0], supply(book, 200), method)
    (check,) = [one for one in answer.checks if one.name == "load_method_applies"]
    assert check.verdict is Verdict.ASK
    assert "existing" not in answer.qualifying
    assert answer.method.value != "existing"


# --- measured demand ----------------------------------------------------------------------------


def measured(
    peak: str = "60",
    record: Any = "utility year",
    days: int = 365,
    minutes: int = 15,
    *,
    solar: bool | None = False,
    season: bool | None = True,
    occupied: bool | None = True,
) -> MeasuredDemand:
    return MeasuredDemand(
        given("dwelling.measured_demand.peak", peak, "A"),
        record,
        given("dwelling.measured_demand.days", days, "d"),
        given("dwelling.measured_demand.interval", minutes, "min"),
        solar,
        season,
        occupied,
    )


@pytest.mark.parametrize(
    ("record", "wrong", "verdict"),
    [
        (measured(days=364), "measured_record_is_long_enough", Verdict.FALLS_SHORT),
        (measured(days=365), None, None),
        (measured(days=366), None, None),
        (
            measured(record="recording", days=29),
            "measured_record_is_long_enough",
            Verdict.FALLS_SHORT,
        ),
        (measured(record="recording", days=30), None, None),
        (measured(minutes=14), None, None),
        (measured(minutes=16), "measured_record_is_fine_enough", Verdict.ASK),
        (measured(minutes=60), "measured_record_is_fine_enough", Verdict.ASK),
        (measured(solar=True), "measured_record_has_no_other_source", Verdict.FALLS_SHORT),
        (measured(solar=None), "measured_record_has_no_other_source", Verdict.ASK),
        (measured(season=False), None, None),
        (
            measured(record="recording", days=40, season=False),
            "measured_record_holds_season",
            Verdict.FALLS_SHORT,
        ),
        (
            measured(record="recording", days=40, season=None),
            "measured_record_holds_season",
            Verdict.ASK,
        ),
        (
            measured(record="recording", days=40, occupied=None),
            "measured_record_was_lived_in",
            Verdict.ASK,
        ),
        (
            measured(record="recording", days=40, occupied=False),
            "measured_record_was_lived_in",
            Verdict.FALLS_SHORT,
        ),
    ],
)
def test_the_conditions_of_a_record(
    record: MeasuredDemand, wrong: str | None, verdict: Verdict | None
) -> None:
    """After the text of 220.87 on symmetryace.com."""
    checks = measured_demand_counts(Book("2023"), record, Readings())
    failing = {one.name: one.verdict for one in checks if one.verdict is not Verdict.MEETS}
    assert failing == ({} if wrong is None else {wrong: verdict})
    length = checks[0]
    least = length.right.name if length.right else ""
    assert (
        least == f"{'recording' if record.record == 'recording' else 'utility_record'}_least_days"
    )
    assert (length.remedy is not None) is (length.verdict is Verdict.FALLS_SHORT)


def test_solar_bars_a_year_of_data_only_on_the_safe_reading() -> None:
    lax = Readings(solar_bars_year_record=False)
    for record, expected in (("utility year", Verdict.NOTE), ("recording", Verdict.FALLS_SHORT)):
        checks = measured_demand_counts(Book("2023"), measured(record=record, solar=True), lax)
        found = {one.name: one.verdict for one in checks}
        assert found["measured_record_has_no_other_source"] is expected
    plain = measured_demand_counts(Book("2023"), measured(solar=False), lax)
    assert plain[2].verdict is Verdict.MEETS


@pytest.mark.parametrize(
    ("peak", "verdict"),
    [("47.9", Verdict.MEETS), ("48", Verdict.MEETS), ("48.1", Verdict.FALLS_SHORT)],
)
@pytest.mark.parametrize("edition", EDITIONS)
def test_125_percent_of_the_peak_and_the_new_load(
    edition: str, peak: str, verdict: Verdict
) -> None:
    """1.25 x 48 A + 40 A = 100 A."""
    book = Book(edition)
    method = given("circuit.load_method", "measured")
    dwelling = house(*FULL_HOUSE, charger(6, 40), measured=measured(peak))
    answer = calculate(book, dwelling, supply(book), method)
    assert answer.method.value == "measured"
    assert answer.worksheet.check.verdict is verdict


def test_only_a_charger_among_the_new_loads_is_continuous_and_the_one_to_be_set() -> None:
    """220.87 counts every new load; the share and the room are those of vehicle charging."""
    book = Book("2023")
    pump = load(5, "heat pump", "4.8 kW", new=True)
    both, alone = (
        sheet_of(calculate(book, house(*loads, measured=measured("30")), supply(book)), "measured")
        for loads in ((pump, charger(6, 40)), (pump,))
    )
    assert number(both.amperes, "A") == D("37.5") + 20 + 40
    assert number(both.deciding, "A") == D("37.5") + 20 + 50
    assert va(both.new_load) == 9600
    assert number(alone.deciding, "A") == D("57.5")
    assert (alone.with_share, alone.new_load, alone.chargers) == (None, None, ())


def test_a_measured_power_counts_as_it_is() -> None:
    book = Book("2023")
    record = replace(measured(), peak=given("dwelling.measured_demand.peak_power", "11.52", "kVA"))
    dwelling = house(charger(6, 40), measured=record)
    sheet = sheet_of(calculate(book, dwelling, supply(book)), "measured")
    assert number(sheet.amperes, "A") == 100


# --- which method -------------------------------------------------------------------------------


@pytest.mark.parametrize(("rating", "qualifies"), [(99, False), (100, True), (101, True)])
def test_the_optional_method_needs_100_amperes(rating: int, qualifies: bool) -> None:
    answer = calculate(Book("2023"), HOUSES[0], supply(Book("2023"), rating))
    assert ("optional" in answer.qualifying) is qualifies


@pytest.mark.parametrize("whole", [False, None])
def test_a_part_of_the_house_has_the_standard_method_only(whole: bool | None) -> None:
    """Mike Holt forum thread 2580262: a feeder to a part is no case for the optional method."""
    answer = calculate(Book("2023"), HOUSES[0], supply(Book("2023"), carries_whole_dwelling=whole))
    assert answer.qualifying == ("standard",)
    assert answer.method.value == "standard"


def test_a_new_dwelling_has_no_existing_or_measured_method() -> None:
    book = Book("2023")
    dwelling = replace(HOUSES[0], measured=measured())
    answer = calculate(book, dwelling, supply(book, 200, existing=False))
    assert answer.qualifying == ("standard", "optional")


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("dwelling", HOUSES)
def test_left_out_the_smallest_lawful_load_is_taken(edition: str, dwelling: DwellingLoads) -> None:
    book = Book(edition)
    answer = calculate(book, dwelling, supply(book, 200))
    lawful = [sheet for sheet in answer.worksheets if sheet.method in answer.qualifying]
    assert va(answer.worksheet.total) == min(va(sheet.total) for sheet in lawful)
    assert {symbol for symbol, _ in answer.method.inputs} == set(answer.qualifying)


def test_a_given_method_is_used_although_another_gives_less() -> None:
    book = Book("2023")
    answer = calculate(book, HOUSES[0], supply(book, 200), given("circuit.load_method", "standard"))
    assert answer.worksheet.method == "standard"
    assert answer.checks[0].verdict is Verdict.MEETS


@pytest.mark.parametrize(
    ("method", "rating", "record", "expected"),
    [
        ("optional", 90, None, Verdict.FALLS_SHORT),
        ("measured", 100, None, Verdict.FALLS_SHORT),
        ("measured", 100, measured(days=100), Verdict.FALLS_SHORT),
        ("measured", 100, measured(minutes=60), Verdict.ASK),
        ("measured", 100, measured(), Verdict.MEETS),
    ],
)
def test_a_given_method_must_apply(
    method: str, rating: int, record: MeasuredDemand | None, expected: Verdict
) -> None:
    book = Book("2023")
    dwelling = replace(HOUSES[0], measured=record)
    answer = calculate(book, dwelling, supply(book, rating), given("circuit.load_method", method))
    check = answer.checks[0]
    assert check.verdict is expected
    if expected is Verdict.FALLS_SHORT:
        assert answer.method.value != method
        assert check.remedy is not None
        assert check.remedy.value == answer.method.value
    else:
        assert answer.method.value == method


@pytest.mark.parametrize(
    ("extra", "verdict"),
    [("0", Verdict.MEETS), ("0.01", Verdict.FALLS_SHORT), ("96", Verdict.FALLS_SHORT)],
)
def test_the_load_is_compared_unrounded(extra: str, verdict: Verdict) -> None:
    """100.4 A is shown as 100 A in whole amperes and still is more than 100 A."""
    book = Book("2017")
    rest = D(24000) - D(5100) + D(extra)
    sheet = standard_worksheet(book, house(load(1, "spa", f"{rest} VA")), supply(book))
    assert sheet.check.verdict is verdict
    assert number(sheet.whole_amperes, "A") == 100


@pytest.mark.parametrize(
    ("adaptable", "rating", "expected"),
    [(None, 91, Verdict.ASK), (None, 200, Verdict.NOTE), (True, 91, None), (False, 91, None)],
)
def test_a_doubtful_garage_is_asked_for_only_where_it_decides(
    adaptable: bool | None, rating: int, expected: Verdict | None
) -> None:
    """21 600 VA without, 22 104 VA with 420 ft2 of garage: 90 A and 92.1 A."""
    book = Book("2023")
    garage = Space(given("dwelling.garage_area", 420, "ft**2"), adaptable)
    method = given("circuit.load_method", "standard")
    dwelling = house(load(1, "spa", "16500 VA"), garage=garage)
    checks = {
        one.name: one.verdict
        for one in calculate(book, dwelling, supply(book, rating), method).checks
    }
    assert checks.get("counted_area_is_settled") is expected


# --- what is left -------------------------------------------------------------------------------


def with_charger(dwelling: DwellingLoads, amperes: Decimal) -> DwellingLoads:
    rest = tuple(one for one in dwelling.loads if not one.new)
    return replace(dwelling, loads=(*rest, charger(6, amperes)))


ALL_WAYS = [
    (edition, method, sides, rating)
    for edition, method, sides, rating in product(
        EDITIONS, ("standard", "optional", "existing", "measured"), SIDES, (100, 200)
    )
    if not (method == "existing" and edition == "2026")
    and (method in ("optional", "existing") or sides in (SIDES[0], SIDES[1]))
]


@pytest.mark.parametrize(("edition", "method", "sides", "rating"), ALL_WAYS)
@pytest.mark.parametrize("dwelling", HOUSES)
def test_the_headroom_loads_the_supply_exactly(
    edition: str, method: str, sides: Readings, rating: int, dwelling: DwellingLoads
) -> None:
    """The method turned round, and done again with what came out."""
    book = Book(edition)
    served, chosen = supply(book, rating), given("circuit.load_method", method)
    dwelling = replace(dwelling, measured=measured("30"))
    answer = calculate(book, dwelling, served, chosen, sides)
    assert answer.room_for_charging is not None
    room = number(answer.room_for_charging, "A")
    least = answer.worksheet.least_new_load
    if room <= 0 or (least is not None and room * 240 < va(least)):
        assert answer.largest_continuous_current is not None
        assert number(answer.largest_continuous_current, "A") == 0
        assert answer.fitting_settings == ()
        return
    again = calculate(book, with_charger(dwelling, round(room, 20)), served, chosen, sides)
    assert abs(number(again.worksheet.deciding, "A") - rating) < D("1e-18")
    more = calculate(
        book, with_charger(dwelling, round(room, 20) + D("0.001")), served, chosen, sides
    )
    assert not more.worksheet.carries


@pytest.mark.parametrize(
    ("rest", "added", "fits"),
    [
        ("16800", False, 24),
        ("16801", False, None),
        ("14400", False, 40),
        ("14401", False, 32),
        # a quarter of the charger on top: 24 000 - 1.25 * 7200 and 24 000 - 1.25 * 9600
        ("15000", True, 24),
        ("15001", True, None),
        ("12000", True, 40),
        ("12001", True, 32),
    ],
)
def test_settings_that_fit_and_the_least_load_of_2023(
    rest: str, added: bool, fits: int | None
) -> None:
    """24 000 VA less 7200 VA leaves 16 800 VA: one more, and no charger fits in 2023."""
    book = Book("2023")
    spa = load(1, "spa", f"{D(rest) - 5100} VA")
    answer = calculate(
        book,
        house(spa, charger(2, 48)),
        supply(book),
        given("circuit.load_method", "standard"),
        Readings(continuous_share_added=added),
    )
    assert answer.largest_continuous_current is not None
    largest = number(answer.largest_continuous_current, "A")
    if fits is None:
        assert largest == 0
        assert answer.fitting_settings == ()
    else:
        assert max(number(one, "A") for one in answer.fitting_settings) == fits
        assert all(number(one, "A") <= largest for one in answer.fitting_settings)


@pytest.mark.parametrize(
    ("answers", "verdict", "counted"),
    [
        ((True, True, True), Verdict.MEETS, 24 * 240),
        ((None, True, True), Verdict.ASK, 48 * 240),
        ((True, False, True), Verdict.NOTE, 48 * 240),
        ((True, True, None), Verdict.ASK, 48 * 240),
        ((False, None, None), Verdict.NOTE, 48 * 240),
    ],
)
def test_energy_management_counts_only_where_all_is_known(
    answers: tuple[bool | None, ...], verdict: Verdict, counted: int
) -> None:
    book = Book("2023")
    served = supply(book, 200, management=management(24, *answers))
    answer = calculate(book, house(charger(6, 48)), served)
    checks = {one.name: one for one in answer.checks}
    check = checks["energy_management_counts"]
    assert check.verdict is verdict
    assert shown(check) == ("service.management_limit", "", "", [])
    assert all(va(sheet.new_load) == counted for sheet in answer.worksheets)


def test_a_limit_above_the_charger_changes_nothing() -> None:
    book = Book("2023")
    served = supply(book, 200, management=management(60))
    assert va(calculate(book, house(charger(6, 48)), served).worksheet.new_load) == 48 * 240


SHARE = "service_carries_continuous_share"
OTHER_SHARE = "continuous_share_reading_does_not_decide"


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("rating", "carries", "other", "asked"),
    [
        ("64.9", Verdict.FALLS_SHORT, Verdict.MEETS, Verdict.MEETS),
        ("65", Verdict.FALLS_SHORT, Verdict.NOTE, Verdict.ASK),
        ("74.9", Verdict.FALLS_SHORT, Verdict.NOTE, Verdict.ASK),
        ("75", Verdict.MEETS, Verdict.MEETS, Verdict.MEETS),
        ("75.1", Verdict.MEETS, Verdict.MEETS, Verdict.MEETS),
    ],
)
def test_the_continuous_share_is_added_unless_the_job_says_otherwise(
    edition: str, rating: str, carries: Verdict, other: Verdict, asked: Verdict
) -> None:
    """25 A of rest and a 40 A charger are 65 A; with a quarter of the 40 A on top, 75 A."""
    book = Book(edition)
    dwelling = house(load(1, "spa", "2475 VA"), charger(2, 40), area=0)
    method = given("circuit.load_method", "standard")
    answer = calculate(book, dwelling, supply(book, rating), method)
    found = {one.name: one.verdict for one in answer.checks}
    assert number(answer.worksheet.amperes, "A") == 65
    assert number(answer.worksheet.deciding, "A") == 75
    assert (found[SHARE], found[OTHER_SHARE]) == (carries, other)
    sides = Readings(continuous_share_added=False)
    answer = calculate(book, dwelling, supply(book, rating), method, sides)
    found = {one.name: one.verdict for one in answer.checks}
    assert number(answer.worksheet.deciding, "A") == 65
    assert SHARE not in found
    assert found[OTHER_SHARE] is asked


def test_the_share_is_that_of_every_charger_in_the_house() -> None:
    """A charger that is there already is as continuous as the new one."""
    book = Book("2017")
    dwelling = house(replace(charger(1, 16), new=False), charger(2, 40), area=0)
    sheet = standard_worksheet(book, dwelling, supply(book))
    assert number(sheet.deciding, "A") - number(sheet.amperes, "A") == 14
    assert sheet.deciding.formula == "(S + (k - 1) * (E1 + E2)) / V"


def test_what_would_put_a_full_service_right() -> None:
    book = Book("2023")
    served = supply(book)
    answer = calculate(book, HOUSES[0], served)
    assert not answer.worksheet.carries
    right = remedies(book, answer, served)
    assert right.method is None
    assert right.service is not None
    assert number(right.service, "A") >= number(answer.worksheet.deciding, "A")
    assert right.measured_peak is not None
    # recalculate: at this peak the measured method carries it exactly
    peak = str(round(number(right.measured_peak, "A"), 20))
    dwelling = replace(HOUSES[0], measured=measured(peak))
    again = calculate(book, dwelling, served, given("circuit.load_method", "measured"))
    assert abs(number(again.worksheet.deciding, "A") - 100) < D("1e-18")


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("added", "spa", "dryer"), [(False, "4 kW", "3 kW"), (True, "100 VA", "500 VA")]
)
def test_the_remedies_hold_when_taken(edition: str, added: bool, spa: str, dryer: str) -> None:
    """A smaller setting, a managed limit and a larger service each make the check meet."""
    book = Book(edition)
    served = supply(book)
    dwelling = house(load(1, "spa", spa), load(2, "dryer", dryer), charger(6, 48))
    method = given("circuit.load_method", "standard")
    sides = Readings(continuous_share_added=added)
    answer = calculate(book, dwelling, served, method, sides)
    right = remedies(book, answer, served)
    assert not answer.worksheet.carries
    assert right.method is not None
    other = calculate(
        book, dwelling, served, given("circuit.load_method", right.method.value), sides
    )
    assert other.worksheet.carries
    assert right.setting is not None
    smaller = with_charger(dwelling, number(right.setting, "A"))
    assert calculate(book, smaller, served, method, sides).worksheet.carries
    assert right.management_limit is not None
    held = supply(book, management=management(number(right.management_limit, "A")))
    assert calculate(book, dwelling, held, method, sides).worksheet.carries
    assert right.service is not None
    larger = supply(book, number(right.service, "A"))
    assert calculate(book, dwelling, larger, method, sides).worksheet.carries


# --- sweeps -------------------------------------------------------------------------------------


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("sides", [SIDES[0], SIDES[-1]])
def test_more_load_never_gives_a_smaller_total(edition: str, sides: Readings) -> None:
    """Every load larger by itself, and the house larger; four appliances stay four throughout."""
    book = Book(edition)
    served = supply(book)
    kinds = {
        "range": "12 kW",
        "wall oven": "4 kW",
        "dryer": "5 kW",
        "water heater": "4.5 kW",
        "dishwasher": "1.2 kW",
        "other appliance": "2 kW",
        "motor": "1 kW",
        "air conditioning": "5 kW",
        "heat pump": "4 kW",
        "supplemental heat": "5 kW",
        "central heat": "3 kW",
        "room heater": "1 kW",
        "vehicle charger": "7 kW",
        "spa": "6 kW",
        "welder": "5 kW",
    }
    for grown in (*kinds, None):
        before: dict[str, Decimal] = {}
        for step in (0, 1, 3):
            loads = [
                load(
                    n,
                    kind,
                    f"{D(rating.split()[0]) * (1 + (kind == grown) * D(step) / 4)} kW",
                    new=kind == "vehicle charger",
                )
                for n, (kind, rating) in enumerate(kinds.items(), 1)
            ]
            area = 1500 + (200 * step if grown is None else 0)
            answer = calculate(book, house(*loads, area=area), served, None, sides)
            now = {sheet.method: va(sheet.total) for sheet in answer.worksheets}
            assert all(now[method] >= before.get(method, D(0)) for method in now), grown
            before = now


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("dwelling", HOUSES)
def test_every_printed_formula_gives_its_value_again(edition: str, dwelling: DwellingLoads) -> None:
    book = Book(edition)
    served = supply(book, 125)
    full = replace(dwelling, measured=measured("33.3"))
    answer = calculate(book, full, served)
    right = remedies(book, answer, served)
    more = [entry for entry in vars(right).values() if entry is not None]
    more += [one.entry for one in neutral_load(book, full, served)]
    ledger = entered(answer, more)
    assert [entry.name for entry in ledger if entry.formula and not same(entry)] == []


def same(entry: Entry) -> bool:
    """Do the formula again with bare decimals in the units that are printed."""
    names = {
        "larger": max,
        "smaller": min,
        "round_down": lambda x: x // 1,
        "round_half_up": half_up,
    }
    numbers = {symbol: bare(source) for symbol, source in entry.inputs}
    code = compile(ast.parse(entry.formula, mode="eval"), entry.name, "eval")
    result = D(eval(code, {"__builtins__": {}, **names}, numbers))  # noqa: S307 - our own text
    return abs(result - bare(entry)) <= D("1e-18")


def half_up(value: Decimal) -> Decimal:
    return (value + D("0.5")) // 1


def bare(entry: Entry) -> Decimal:
    """A percent is a hundredth and a kilovolt-ampere a thousand, as on a pocket calculator."""
    unit = words.word(entry.name).unit
    if unit in ("kW", "kVA", "W"):
        unit = "VA"
    return magnitude(entry.value, "dimensionless" if unit in ("", "%") else unit)


@pytest.mark.parametrize("edition", EDITIONS)
def test_every_check_has_its_words(edition: str) -> None:
    book = Book(edition)
    garage = Space(given("dwelling.garage_area", 420, "ft**2"), None)
    records = [
        measured(days=100, minutes=60, solar=None),
        measured(record="recording", solar=True, season=None, occupied=None),
        measured(record="recording", days=20, season=False, occupied=False),
        None,
    ]
    held = [
        None,
        management(20),
        management(20, None, True, True),
        management(20, False, True, True),
    ]
    said = set()
    methods = (None, "standard", "optional", "existing", "measured")
    for (rating, method), record in product(product((62, 90, 200), methods), records):
        limit = held[(rating + records.index(record)) % len(held)]
        served = supply(book, rating, management=limit)
        dwelling = replace(HOUSES[0], measured=record, garage=garage)
        chosen = None if method is None else given("circuit.load_method", method)
        ledger = entered(calculate(book, dwelling, served, chosen))
        for check in ledger.checks.values():
            words_of = finding(check, ledger)
            assert words_of.says
            assert check.verdict is not Verdict.ASK or words_of.who
            said.add(check.name)
    assert {"service_carries_load", "load_method_applies", "energy_management_counts"} <= said


def test_two_calculations_never_quarrel_in_one_ledger() -> None:
    """All four worksheets share their first lines."""
    book = Book("2023")
    ledger = entered(calculate(book, replace(HOUSES[0], measured=measured()), supply(book)))
    assert isinstance(ledger, Ledger)
    assert {
        f"load.{method}.total" for method in ("standard", "optional", "existing", "measured")
    } <= set(ledger.entries)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("kind", "rating", "verdict"),
    [
        ("dryer", "499 VA", Verdict.ASK),
        ("dryer", "500 VA", Verdict.MEETS),
        ("dryer", "8 kW", Verdict.MEETS),
        ("dryer", "8001 VA", Verdict.ASK),
        ("motor", "1 VA", None),
    ],
)
def test_a_nameplate_that_its_kind_does_not_have_is_asked_about(
    edition: str, kind: str, rating: str, verdict: Verdict | None
) -> None:
    """Common practice, no source; each of several counts by itself."""
    check = nameplate_is_usual(Book(edition), load(1, kind, rating, count=30))
    assert (check and check.verdict) is verdict
    if check is not None:
        at = "dwelling.load.1"
        facts = [f"{at}.usual_least", f"{at}.usual_most", f"{at}.name"]
        assert check.name == f"{at}.nameplate_is_usual"
        assert shown(check) == (f"{at}.each", "", "", facts)


def test_every_nameplate_of_a_house_is_looked_at() -> None:
    book = Book("2023")
    loads = (load(1, "dryer", "5 VA"), load(2, "motor", "5 VA"), load(3, "spa", "9 kW"))
    found = {one.name: one.verdict for one in calculate(book, house(*loads), supply(book)).checks}
    looked_at = {name: verdict for name, verdict in found.items() if name.endswith("is_usual")}
    assert looked_at == {
        "dwelling.load.1.nameplate_is_usual": Verdict.ASK,
        "dwelling.load.3.nameplate_is_usual": Verdict.MEETS,
    }


# --- the lines of each worksheet ----------------------------------------------------------------

HEAD = ["dwelling.lighting_load", "dwelling.small_appliance_load", "dwelling.laundry_load"]
OTHERS = ["water heater 4500"]
CHARGERS = ["vehicle charger 9600"]
COMFORTS = ["air conditioning 4320", "central heat 10000"]


def printed(sheet: Any) -> list[str]:
    """Return a worksheet's lines: a load by its own name, a subtotal with its equals sign."""
    return [
        f"{one.name.value} {va(one.entry):f}".replace(".0", "")
        if one.name
        else f"{'= ' if one.subtotal else ''}{one.entry.name}"
        for one in sheet.lines
    ]


def sum_up(method: str) -> list[str]:
    return [f"= load.{method}.pool", f"= load.{method}.demand"]


def points(sheet: Any) -> list[tuple[str, Any, Decimal]]:
    """Return what is disputed: the point, the side taken and the total on the other side."""
    return [(one.name, one.taken.value, va(one.other_total)) for one in sheet.disputed]


def share_side(sides: Readings) -> str:
    side = "with_share" if sides.continuous_share_added else "without_share"
    return words.word(f"load.reading.{side}").label


@pytest.mark.parametrize("sides", SIDES)
def test_the_optional_worksheet_line_by_line(sides: Readings) -> None:
    book = Book("2023")
    sheet = optional_worksheet(book, house(HEATER, AIR, HEAT, charger(6, 40)), supply(book), sides)
    pooled = sides.charger == "pool"
    assert printed(sheet) == [
        *HEAD,
        *OTHERS,
        *(CHARGERS if pooled else []),
        *sum_up("optional"),
        "load.optional.cooling",
        "load.optional.central_heat",
        "= load.optional.comfort",
        *([] if pooled else CHARGERS),
        "= load.optional.total",
    ]
    whole, other = (21740, 27500) if pooled else (27500, 21740)
    assert va(sheet.total) == whole
    assert points(sheet) == [
        ("charger", words.word(f"load.reading.{sides.charger}").label, other),
        ("continuous_share", share_side(sides), whole),
    ]
    assert (sheet.pool is not None) is pooled
    assert va(sheet.new_load) == 9600
    assert sheet.check.verdict is (Verdict.MEETS if pooled else Verdict.FALLS_SHORT)
    # 21 740 VA are 90.6 A of 100 A, with a quarter of the charger on top 100.6 A
    assert sheet.carries is (pooled and not sides.continuous_share_added)
    assert [va(one) for one in sheet.chargers] == [9600]


@pytest.mark.parametrize("sides", SIDES)
def test_the_existing_worksheet_line_by_line(sides: Readings) -> None:
    book = Book("2023")
    dwelling = house(HEATER, AIR, HEAT, charger(6, 40))
    sheet = existing_worksheet(book, dwelling, supply(book), sides)
    assert sheet is not None
    charger_in = sides.charger == "pool"
    comfort_in = sides.existing_heating_and_cooling == "pool"
    assert printed(sheet) == [
        *HEAD,
        *OTHERS,
        *(CHARGERS if charger_in else []),
        *(COMFORTS if comfort_in else []),
        *sum_up("existing"),
        *([] if comfort_in else [*COMFORTS, "= load.existing.comfort"]),
        *([] if charger_in else CHARGERS),
        "= load.existing.total",
    ]
    totals = {(0, 0): 29800, (0, 1): 25528, (1, 0): 24040, (1, 1): 19768}
    assert va(sheet.total) == totals[charger_in, comfort_in]
    labels = {False: "counted in full", True: words.word("load.reading.pool").label}
    assert points(sheet) == [
        ("charger", labels[charger_in], totals[not charger_in, comfort_in]),
        ("comfort", labels[comfort_in], totals[charger_in, not comfort_in]),
        ("continuous_share", share_side(sides), totals[charger_in, comfort_in]),
    ]
    assert [va(one) for one in sheet.chargers] == [9600]
    assert (sheet.pool is not None) is charger_in
    assert va(sheet.new_load) == 9600
    assert sheet.check.cite[1] == book.cite("existing_method")


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("method", ["standard", "measured"])
def test_the_other_side_of_the_continuous_share(edition: str, method: str) -> None:
    """Each side tells the amperes of the other; a house without chargers has no such point."""
    book = Book(edition)
    dwelling = house(HEATER, charger(6, 40), charger(7, 16, new=False), measured=measured())
    on_sides = [
        sheet_of(calculate(book, dwelling, supply(book), None, replace(SIDES[0], **side)), method)
        for side in ({"continuous_share_added": True}, {"continuous_share_added": False})
    ]
    # the measured peak holds what is there already
    chargers = [9600] if method == "measured" else [9600, 7200 if edition == "2023" else 3840]
    for sheet, other in (on_sides, on_sides[::-1]):
        (point,) = [one for one in sheet.disputed if one.name == "continuous_share"]
        assert number(point.other_amperes, "A") == number(other.deciding, "A")
        assert va(point.other_total) == va(other.total)
        assert sorted(va(one) for one in sheet.chargers) == sorted(chargers)
    more = number(on_sides[0].deciding, "A") - number(on_sides[1].deciding, "A")
    assert abs(more * 240 - D("0.25") * sum(chargers)) < D("1e-15")
    plain = calculate(book, house(HEATER, measured=measured()), supply(book))
    sheet = sheet_of(plain, method)
    assert (sheet.disputed, sheet.with_share, sheet.chargers) == ((), None, ())


def test_without_charger_heating_or_cooling_nothing_is_in_dispute() -> None:
    book = Book("2023")
    for sides in SIDES:
        sheet = existing_worksheet(book, house(HEATER), supply(book), sides)
        assert sheet is not None
        assert printed(sheet) == [*HEAD, *OTHERS, *sum_up("existing"), "= load.existing.total"]
        assert (sheet.disputed, sheet.chargers, sheet.new_load) == ((), (), None)
        assert sheet.with_share is None
        plain = optional_worksheet(book, house(HEATER), supply(book), sides)
        assert printed(plain) == [*HEAD, *OTHERS, *sum_up("optional"), "= load.optional.total"]
        assert (plain.disputed, plain.chargers, plain.new_load) == ((), (), None)
        assert plain.with_share is None


def test_new_heating_is_not_in_dispute_but_the_charger_is() -> None:
    book = Book("2023")
    new_pump = load(7, "heat pump", "30 A", volts=240, new=True)
    for sides in SIDES:
        sheet = existing_worksheet(book, house(new_pump, charger(6, 40)), supply(book), sides)
        assert sheet is not None
        assert [one.name for one in sheet.disputed] == ["charger", "continuous_share"]
        assert sheet.disputed[0].taken.name == "load.existing.charger_reading"
        assert "heat pump 7200" in printed(sheet)
        assert "= load.existing.comfort" in printed(sheet)


@pytest.mark.parametrize(
    ("loads", "comfort"),
    [
        ((AIR,), 4320),
        ((HEAT,), 10000),
        ((AIR, HEAT), 10000),
        ((load(1, "heat pump", "2 kW"), load(2, "supplemental heat", "9 kW")), 11000),
        ((load(1, "room heater", "1 kW", count=2), load(2, "central heat", "3 kW"), AIR), 5000),
        ((load(1, "heat pump", "6 kW"), load(2, "air conditioning", "5 kW")), 11000),
    ],
)
def test_the_existing_method_takes_all_cooling_or_all_heating(
    loads: tuple[Load, ...], comfort: int
) -> None:
    book = Book("2023")
    sheet = existing_worksheet(book, house(*loads), supply(book), Readings())
    assert sheet is not None
    found = line(sheet, "load.existing.comfort")
    assert va(found) == comfort
    assert found.formula == ("S1" if len(loads) == 1 else "larger(H, K)")


def test_the_standard_and_the_measured_worksheet_line_by_line() -> None:
    book = Book("2023")
    dwelling = house(RANGE, DRYER, HEATER, AIR, HEAT, load(7, "spa", "2 kW"), charger(6, 40))
    assert printed(standard_worksheet(book, dwelling, supply(book))) == [
        *HEAD,
        *(
            f"= load.standard.{part}"
            for part in ("general_demand", "cooking_demand", "dryer_demand", "fastened_demand")
        ),
        *(f"= load.standard.{part}" for part in ("other", "comfort", "motor_addition")),
        *CHARGERS,
        "= load.standard.total",
    ]
    known = replace(dwelling, measured=measured())
    sheet = sheet_of(calculate(book, known, supply(book)), "measured")
    ends = ("load.measured.peak", "= load.measured.demand")
    assert printed(sheet) == [*ends, *CHARGERS, "= load.measured.total"]
    assert va(sheet.new_load) == 9600


def test_a_charger_that_is_there_already_is_not_the_new_one_and_not_managed() -> None:
    book = Book("2023")
    dwelling = house(charger(5, 40, new=False), charger(6, 48), measured=measured())
    answer = calculate(book, dwelling, supply(book, 200, management=management(35)))
    for sheet in answer.worksheets:
        assert va(sheet.new_load) == 35 * 240
        old = [one for one in printed(sheet) if one == "vehicle charger 9600"]
        assert len(old) == (sheet.method != "measured")


@pytest.mark.parametrize(
    ("amperes", "whole"), [("100.4", 100), ("100.5", 101), ("100.6", 101), (100, 100)]
)
def test_whole_amperes_are_rounded_at_the_half(amperes: Any, whole: int) -> None:
    """0.5 and more counts as one: 220.5(B)."""
    rest = D(amperes) * 240 - D(5100)
    sheet = standard("2017", load(1, "spa", f"{rest} VA"))
    assert number(sheet.amperes, "A") == D(amperes)
    assert number(sheet.whole_amperes, "A") == whole
    held = D(amperes) <= 100
    assert sheet.check.verdict is (Verdict.MEETS if held else Verdict.FALLS_SHORT)
    assert sheet.carries is held
    assert shown(sheet.check) == (
        "load.standard.current",
        "service.rating",
        "" if held else "load.service_needed",
        [],
    )


@pytest.mark.parametrize(
    ("amperes", "needed"), [(99, 100), (100, 100), ("100.01", 110), (6000, 6000), (6001, None)]
)
def test_the_service_that_would_carry_it_is_the_next_standard_rating(
    amperes: Any, needed: int | None
) -> None:
    found = needed_rating(Book("2023"), given("load.standard.current", amperes, "A"))
    assert (found and number(found, "A")) == needed


@pytest.mark.parametrize(
    ("kind", "fastened", "counts"),
    [
        *((kind, None, True) for kind in ("water heater", "dishwasher", "disposer")),
        *((kind, False, True) for kind in ("water heater", "dishwasher", "disposer")),
        *((kind, True, True) for kind in ("microwave", "other appliance")),
        *((kind, False, False) for kind in ("microwave", "other appliance")),
        *((kind, True, False) for kind in ("range", "dryer", "welder", "heat pump", "spa")),
    ],
)
def test_which_kinds_are_appliances_fastened_in_place(
    kind: str, fastened: bool | None, counts: bool
) -> None:
    assert load(1, kind, "1 kW", fastened=fastened).is_fastened is counts


@pytest.mark.parametrize("kind", ["range", "wall oven", "cooktop"])
def test_each_kind_of_cooking_appliance_goes_by_the_cooking_table(kind: str) -> None:
    sheet = standard("2023", load(1, kind, "8 kW"))
    assert va(line(sheet, "load.standard.cooking_demand")) == 6400
    assert va(sheet.total) == 5100 + 6400


@pytest.mark.parametrize("kind", ["motor", "disposer", "air conditioning", "heat pump"])
def test_each_kind_with_a_motor_may_be_the_largest(kind: str) -> None:
    sheet = standard("2023", load(1, kind, "1 kW"))
    assert va(line(sheet, "load.standard.motor_addition")) == 250


@pytest.mark.parametrize(
    ("kind", "on_neutral"),
    [
        *(
            (kind, False)
            for kind in (
                *("air conditioning", "heat pump", "supplemental heat", "central heat"),
                *("room heater", "vehicle charger", "water heater", "welder"),
            )
        ),
        *((kind, True) for kind in ("spa", "dishwasher", "disposer", "motor")),
    ],
)
def test_which_kinds_use_no_neutral_where_nobody_says(kind: str, on_neutral: bool) -> None:
    book = Book("2023")
    with_load = neutral_load(book, house(load(1, kind, "2000 VA")), supply(book))
    without = neutral_load(book, house(), supply(book))
    difference = number(with_load[-1].entry, "A") - number(without[-1].entry, "A")
    assert (difference > 0) is on_neutral


@pytest.mark.parametrize(
    ("edition", "space", "asked"),
    [
        *((edition, "unfinished", True) for edition in EDITIONS),
        *((edition, "garage", edition in ("2023", "2026")) for edition in EDITIONS),
    ],
)
def test_a_space_that_nobody_judged_is_asked_about_where_it_would_count(
    edition: str, space: str, asked: bool
) -> None:
    book = Book(edition)
    area = given(f"dwelling.{space}_area", 420, "ft**2")
    dwelling = house(**{space: Space(area, None)})
    answer = calculate(book, dwelling, supply(book, 200), given("circuit.load_method", "standard"))
    checks = {one.name: one for one in answer.checks}
    assert ("counted_area_is_settled" in checks) is asked
    if asked:
        assert shown(checks["counted_area_is_settled"]) == ("", "", "", [area.name])
    judged = house(**{space: Space(area, True)})
    assert "counted_area_is_settled" not in {
        one.name for one in calculate(book, judged, supply(book, 200)).checks
    }
    doubtful = neutral_load(book, dwelling, supply(book))[0].entry
    assert (va(doubtful) > va(neutral_load(book, house(), supply(book))[0].entry)) is asked


def test_every_method_counts_the_required_circuits_of_a_whole_dwelling() -> None:
    book = Book("2023")
    bare = house(kitchen=0, laundry=0)
    sheets = [optional_worksheet(book, bare, supply(book), Readings())]
    sheets += [one for one in [existing_worksheet(book, bare, supply(book), Readings())] if one]
    for sheet in sheets:
        assert va(line(sheet, "dwelling.small_appliance_load")) == 3000
        assert va(line(sheet, "dwelling.laundry_load")) == 1500
    assert va(neutral_load(book, bare, supply(book))[0].entry) == 5100
    part = supply(book, carries_whole_dwelling=False)
    assert va(neutral_load(book, bare, part)[0].entry) == 3000 + D("0.35") * 1500


def test_what_is_left_out_of_a_load_and_a_supply_is_the_usual_case() -> None:
    plain = Load(
        1,
        "range",
        given("dwelling.load.1.name", "range"),
        given("dwelling.load.1.rating", 8, "kW"),
        given("dwelling.load.1.count", 1, ""),
    )
    assert (plain.new, plain.fastened, plain.volts) == (False, None, None)
    assert not plain.is_fastened
    book = Book("2023")
    served = supply(book)
    assert (served.existing, served.carries_whole_dwelling) == (True, True)
    assert Readings().solar_bars_year_record


def test_exact_and_whole_amperes_of_every_method_keep_their_places() -> None:
    book = Book("2023")
    answer = calculate(book, replace(HOUSES[0], measured=measured()), supply(book))
    for sheet in answer.worksheets:
        assert sheet.amperes.name == f"load.{sheet.method}.current"
        assert sheet.whole_amperes.name == f"load.{sheet.method}.whole_current"
        assert sheet.total.name == f"load.{sheet.method}.total"
    assert len(answer.worksheets) == 4


def test_electric_heat_without_its_heat_pump_counts_at_its_share() -> None:
    """65 % of electric space heating, 220.82(C)(4)."""
    sheet = optional("2023", load(1, "supplemental heat", "10 kW"))
    assert va(line(sheet, "load.optional.comfort")) == 6500
    assert printed(sheet)[-3:-1] == [
        "load.optional.heat_pump_and_strips",
        "= load.optional.comfort",
    ]


@pytest.mark.parametrize(("doubtful", "lighting"), [(True, 5760), (False, 4500), (None, 5760)])
def test_each_worksheet_counts_a_doubtful_space_only_when_told_to(
    doubtful: bool | None, lighting: int
) -> None:
    book = Book("2023")
    dwelling = house(garage=Space(given("dwelling.garage_area", 420, "ft**2"), None))
    more = {} if doubtful is None else {"doubtful": doubtful}
    sheets = [
        standard_worksheet(book, dwelling, supply(book), **more),
        optional_worksheet(book, dwelling, supply(book), Readings(), **more),
        existing_worksheet(book, dwelling, supply(book), Readings(), **more),
    ]
    assert [va(line(sheet, "dwelling.lighting_load")) for sheet in sheets] == [lighting] * 3


# --- a given method, and what is told beside the answer -------------------------------------------

SHORT_AND_ASKED = measured(days=100, minutes=60)
WHOLE_UNKNOWN, PART, NEW = (
    {"carries_whole_dwelling": None},
    {"carries_whole_dwelling": False},
    {"existing": False},
)


@pytest.mark.parametrize(
    ("method", "supplied", "record", "before_2026", "in_2026"),
    [
        ("standard", PART, None, Verdict.MEETS, Verdict.MEETS),
        ("standard", NEW, None, Verdict.MEETS, Verdict.MEETS),
        ("standard", {}, measured(), Verdict.MEETS, Verdict.MEETS),
        ("optional", {}, None, Verdict.MEETS, Verdict.MEETS),
        ("optional", NEW, None, Verdict.MEETS, Verdict.MEETS),
        ("optional", PART, None, Verdict.FALLS_SHORT, Verdict.FALLS_SHORT),
        ("optional", WHOLE_UNKNOWN, None, Verdict.ASK, Verdict.ASK),
        ("optional", {**WHOLE_UNKNOWN, **NEW}, None, Verdict.ASK, Verdict.ASK),
        ("existing", {}, None, Verdict.MEETS, Verdict.ASK),
        ("existing", NEW, None, Verdict.FALLS_SHORT, Verdict.FALLS_SHORT),
        ("existing", PART, None, Verdict.FALLS_SHORT, Verdict.FALLS_SHORT),
        ("existing", WHOLE_UNKNOWN, None, Verdict.ASK, Verdict.ASK),
        ("existing", {**WHOLE_UNKNOWN, **NEW}, None, Verdict.FALLS_SHORT, Verdict.FALLS_SHORT),
        ("measured", {}, measured(), Verdict.MEETS, Verdict.MEETS),
        ("measured", {}, measured(solar=None), Verdict.ASK, Verdict.ASK),
        ("measured", {}, SHORT_AND_ASKED, Verdict.FALLS_SHORT, Verdict.FALLS_SHORT),
        ("measured", {}, None, Verdict.FALLS_SHORT, Verdict.FALLS_SHORT),
        ("measured", NEW, measured(minutes=60), Verdict.FALLS_SHORT, Verdict.FALLS_SHORT),
        ("measured", PART, measured(minutes=60), Verdict.FALLS_SHORT, Verdict.FALLS_SHORT),
        ("measured", WHOLE_UNKNOWN, measured(), Verdict.ASK, Verdict.ASK),
    ],
)
@pytest.mark.parametrize("edition", EDITIONS)
def test_where_each_method_may_be_used(
    edition: str,
    method: str,
    supplied: dict[str, Any],
    record: MeasuredDemand | None,
    before_2026: Verdict,
    in_2026: Verdict,
) -> None:
    """The existing and the measured method rest on a dwelling that is there (220.83, 220.87)."""
    book = Book(edition)
    dwelling = replace(HOUSES[0], measured=record)
    wanted = given("circuit.load_method", method)
    answer = calculate(book, dwelling, supply(book, 100, **supplied), wanted)
    verdict = in_2026 if edition == "2026" else before_2026
    check = answer.checks[0]
    assert check.verdict is verdict
    remedy = "load.method_that_applies" if verdict is Verdict.FALLS_SHORT else ""
    facts = ["load.method", "service.rating"]
    assert shown(check) == ("circuit.load_method", "", remedy, facts)
    assert finding(check, entered(answer)).says
    computable = {sheet.method for sheet in answer.worksheets}
    used = method if verdict is not Verdict.FALLS_SHORT and method in computable else None
    lawful = [sheet for sheet in answer.worksheets if sheet.method in answer.qualifying]
    smallest = min(lawful, key=lambda sheet: va(sheet.total))
    assert answer.method.value == (used or smallest.method)
    assert [symbol for symbol, _ in answer.method.inputs] == ["given", *answer.qualifying]
    named = {one.name for one in answer.checks}
    assert ("measured_record_is_long_enough" in named) is (used == "measured")


@pytest.mark.parametrize(
    ("added", "rest", "left", "room", "managed", "setting", "service"),
    [
        (False, 10000, "58.3333", "58.3333", 58, 48, None),
        (False, 22559, "6.0042", "6.0042", 6, 6, 150),
        (False, 22560, "6", "6", 6, 6, 150),
        (False, 22561, "5.9958", "5.9958", None, None, 150),
        (False, "23999.5", "0.0021", "0.0021", None, None, 150),
        (False, 24000, "0", "0", None, None, 150),
        (False, 24240, "-1", "-1", None, None, 150),
        # with a quarter of the charger on top, 1.25 times its current must find room
        (True, 9600, "60", "48", 48, 48, None),
        (True, 9601, "59.9958", "47.9967", 47, 40, 110),
        (True, 22199, "7.5042", "6.0033", 6, 6, 175),
        (True, 22200, "7.5", "6", 6, 6, 175),
        (True, 22201, "7.4958", "5.9967", None, None, 175),
        (True, 24000, "0", "0", None, None, 175),
        (True, 24240, "-1", "-0.8", None, None, 175),
    ],
)
def test_what_is_left_beside_the_rest_of_the_house(
    added: bool,
    rest: Any,
    left: str,
    room: str,
    managed: int | None,
    setting: int | None,
    service: int | None,
) -> None:
    """24 000 VA less the rest, over 240 V; 6 A is the least a charger can be set to (J1772)."""
    book = Book("2017")
    served = supply(book)
    dwelling = house(load(1, "spa", f"{D(rest) - 5100} VA"), charger(2, 48))
    method, sides = given("circuit.load_method", "standard"), Readings(continuous_share_added=added)
    answer = calculate(book, dwelling, served, method, sides)
    assert answer.headroom is not None
    assert round(number(answer.headroom, "A"), 4) == D(left)
    assert answer.room_for_charging is not None
    assert round(number(answer.room_for_charging, "A"), 4) == D(room)
    right = remedies(book, answer, served)
    assert (right.management_limit and number(right.management_limit, "A")) == managed
    assert (right.setting and number(right.setting, "A")) == setting
    assert (right.service and number(right.service, "A")) == service
    assert right.measured_peak is not None
    # what 100 A leave beside 48 A or 60 A, over 1.25
    assert number(right.measured_peak, "A") == D("32" if added else "41.6")
    if setting is not None:
        names = [one.name for one in answer.fitting_settings]
        assert names == [f"charging_setting.{n}.current" for n in range(1, len(names) + 1)]
    largest = answer.largest_continuous_current
    assert largest is not None
    assert number(largest, "A") == max(number(answer.room_for_charging, "A"), 0)


@pytest.mark.parametrize(
    ("added", "nothing_left", "little_left"), [(False, "48", "48.01"), (True, "60", "60.01")]
)
def test_a_measured_peak_is_a_remedy_only_where_the_method_may_come(
    added: bool, nothing_left: str, little_left: str
) -> None:
    book, sides = Book("2023"), Readings(continuous_share_added=added)
    dwelling = house(load(1, "spa", "9 kW"), charger(2, 48))
    peaks = {
        "plain": (dwelling, {}),
        "new": (dwelling, NEW),
        "part": (dwelling, PART),
        "unknown": (dwelling, WHOLE_UNKNOWN),
        "measured already": (replace(dwelling, measured=measured()), {}),
        "no charger": (house(load(1, "spa", "9 kW")), {}),
    }
    method = given("circuit.load_method", "standard")
    found = {}
    for name, (loads, more) in peaks.items():
        served = supply(book, **more)
        answer = calculate(book, loads, served, method, sides)
        found[name] = remedies(book, answer, served).measured_peak
    assert {name for name, peak in found.items() if peak is not None} == {"plain"}
    for amperes, there in ((nothing_left, False), (little_left, True)):
        served = supply(book, amperes)
        answer = calculate(book, dwelling, served, method, sides)
        assert (remedies(book, answer, served).measured_peak is not None) is there


@pytest.mark.parametrize(("added", "rating"), [(False, 100), (True, 110)])
def test_the_method_that_carries_is_the_smallest_lawful_other_one(added: bool, rating: int) -> None:
    """100 A are 24 000 VA: the standard load is 24 200, the optional 23 000, the existing 21 800.

    With a quarter of the charger, 2400 VA, on top the same stands at 110 A, 26 400 VA.
    """
    book, sides = Book("2017"), Readings(continuous_share_added=added)
    dwelling = house(load(1, "spa", "9.5 kW"), charger(2, 40))
    served = supply(book, rating)
    standard_way = given("circuit.load_method", "standard")
    answer = calculate(book, dwelling, served, standard_way, sides)
    other = remedies(book, answer, served).method
    assert other is not None
    assert other.value == "existing"
    assert [va(one.total) for one in answer.worksheets] == [24200, 23000, 21800]
    share = 2400 if added else 0
    assert round(number(dict(other.inputs)["I"], "A") * 240, 9) == 21800 + share
    new = supply(book, rating, existing=False)
    answer = calculate(book, dwelling, new, standard_way, sides)
    other = remedies(book, answer, new).method
    assert other is not None
    assert other.value == "optional"
    best = calculate(book, dwelling, served, None, sides)
    assert best.method.value == "existing"
    other = remedies(book, best, served).method
    assert other is not None
    assert other.value == "optional"
    tiny = supply(book, 20)
    full = calculate(book, dwelling, tiny, standard_way, sides)
    assert remedies(book, full, tiny).method is None


def test_the_checks_of_a_calculation_show_what_they_compare() -> None:
    book = Book("2023")
    answer = calculate(book, HOUSES[0], supply(book, 200), given("circuit.load_method", "existing"))
    found = {one.name: shown(one) for one in answer.checks}
    stem = "load.existing"
    assert found["service_carries_load"] == (f"{stem}.current", "service.rating", "", [])
    for dispute, other in (
        ("charger", f"{stem}.charger_other_total"),
        ("comfort", f"{stem}.comfort_other_total"),
        ("continuous_share", f"{stem}.total"),
    ):
        assert found[f"{dispute}_reading_does_not_decide"] == (
            f"{stem}.{dispute}_other_current",
            "service.rating",
            "",
            [f"{stem}.{dispute}_reading", other],
        )
    share = (f"{stem}.current_with_continuous_share", "service.rating", "", [])
    assert found["service_carries_continuous_share"] == share
    short = calculate(book, HOUSES[0], supply(book, 50), given("circuit.load_method", "existing"))
    found = {one.name: shown(one) for one in short.checks}
    assert found["service_carries_load"][2] == "load.service_needed"
    assert found["service_carries_continuous_share"] == (*share[:2], "load.service_needed", [])
    plain = calculate(book, house(HEATER), supply(book, 200))
    assert "service_carries_continuous_share" not in {one.name for one in plain.checks}
    assert (plain.headroom, plain.largest_continuous_current, plain.fitting_settings) == (
        None,
        None,
        (),
    )


@pytest.mark.parametrize(
    ("method", "spa", "rating", "verdict"),
    [
        ("optional", 38500, 105, Verdict.ASK),
        ("optional", 38500, 107, Verdict.NOTE),
        ("existing", 42000, 106, Verdict.ASK),
        ("existing", 42000, 108, Verdict.NOTE),
    ],
)
def test_a_doubtful_garage_is_weighed_by_the_method_in_use(
    method: str, spa: int, rating: int, verdict: Verdict
) -> None:
    """420 ft2 add 504 VA, 2.1 A, to 25 000 VA (104.2 A) and to 25 200 VA (105 A)."""
    book = Book("2023")
    garage = Space(given("dwelling.garage_area", 420, "ft**2"), None)
    dwelling = house(load(1, "spa", f"{spa} VA"), garage=garage)
    answer = calculate(book, dwelling, supply(book, rating), given("circuit.load_method", method))
    checks = {one.name: one.verdict for one in answer.checks}
    assert checks["counted_area_is_settled"] is verdict


def test_a_measured_load_that_is_taken_of_itself_shows_its_conditions() -> None:
    book = Book("2023")
    dwelling = replace(HOUSES[0], measured=measured("30"))
    answer = calculate(book, dwelling, supply(book, 200))
    assert answer.method.value == "measured"
    assert [one.name for one in answer.checks[:3]] == [
        "measured_record_is_long_enough",
        "measured_record_is_fine_enough",
        "measured_record_has_no_other_source",
    ]
    solar = replace(HOUSES[0], measured=measured("30", solar=True))
    lax = Readings(solar_bars_year_record=False)
    noted = calculate(book, solar, supply(book, 200), None, lax)
    assert "measured" in noted.qualifying
    assert "measured" not in calculate(book, solar, supply(book, 200)).qualifying


@pytest.mark.parametrize(
    ("record", "follows"), [(measured("30"), True), (measured("30", days=100), False)]
)
def test_a_measured_load_that_is_asked_for_shows_its_conditions_where_it_is_used(
    record: MeasuredDemand, follows: bool
) -> None:
    book = Book("2023")
    dwelling = replace(HOUSES[0], measured=record)
    way = given("circuit.load_method", "measured")
    answer = calculate(book, dwelling, supply(book, 200), way)
    names = [one.name for one in answer.checks]
    assert names[0] == "load_method_applies"
    assert (answer.worksheet.method == "measured") is follows
    conditions = [
        "measured_record_is_long_enough",
        "measured_record_is_fine_enough",
        "measured_record_has_no_other_source",
    ]
    assert (names[1:4] == conditions) is follows
    assert bool(set(conditions) & set(names)) is follows


def test_only_what_nobody_judged_is_asked_about_and_not_of_a_measured_load() -> None:
    book = Book("2023")
    garage = Space(given("dwelling.garage_area", 420, "ft**2"), False)
    cellar = Space(given("dwelling.unfinished_area", 610, "ft**2"), None)
    dwelling = house(garage=garage, unfinished=cellar, measured=measured("30"))
    standard_way = given("circuit.load_method", "standard")
    checks = {
        one.name: one for one in calculate(book, dwelling, supply(book, 200), standard_way).checks
    }
    facts = ["dwelling.unfinished_area"]
    assert shown(checks["counted_area_is_settled"]) == ("", "", "", facts)
    by_record = calculate(
        book, dwelling, supply(book, 200), given("circuit.load_method", "measured")
    )
    assert "counted_area_is_settled" not in {one.name for one in by_record.checks}


@pytest.mark.parametrize("edition", BEFORE_2026)
@pytest.mark.parametrize(
    ("method", "side", "others", "formula"),
    [
        ("standard", "full", [load(1, "spa", "9 kW")], "(I - "),
        ("optional", "full", [load(1, "spa", "9 kW")], "(I - "),
        # 24 000 VA less 14 000 VA of cooling leave 10 000 VA of pool in full
        ("optional", "pool", [load(1, "air conditioning", "14 kW")], "(G - (P - E)"),
        ("optional", "pool", [load(1, "spa", "11 kW")], "(G - t"),
        ("existing", "pool", [load(1, "air conditioning", "16.5 kW")], "(G - (P - E)"),
        ("existing", "pool", [load(1, "spa", "9 kW")], "(G - t"),
    ],
)
def test_the_room_for_a_charger_leaves_the_share_of_the_others_too(
    edition: str, method: str, side: Any, others: list[Load], formula: str
) -> None:
    """Beside a charger of 6 A: at just the room the supply is loaded to the last ampere."""
    book = Book(edition)
    served, way, sides = supply(book), given("circuit.load_method", method), Readings(charger=side)
    rest = [*others, charger(8, 6, new=False)]
    answer = calculate(book, house(*rest, charger(9, 40), area=300), served, way, sides)
    assert answer.room_for_charging is not None
    assert answer.room_for_charging.formula.startswith(formula)
    room = round(number(answer.room_for_charging, "A"), 20)
    assert room > 0
    for amperes, carries in ((room - D("0.01"), True), (room + D("0.01"), False)):
        if method == "standard" and edition == "2023" and amperes < 30:
            continue  # there it counts 7200 VA all the same
        dwelling = house(*rest, charger(9, round(amperes, 20)), area=300)
        assert calculate(book, dwelling, served, way, sides).worksheet.carries is carries
    twice = [one.name for one in all_behind([answer.room_for_charging])]
    assert "load.other_chargers" in twice


def test_a_worksheet_without_a_new_load_has_no_room_for_it() -> None:
    book = Book("2023")
    sheet = standard_worksheet(book, house(charger(8, 6, new=False)), supply(book))
    with pytest.raises(ValueError, match="without a new load"):
        room_for_charging(book, sheet, supply(book), given("load.headroom", 5, "A"))


@pytest.mark.parametrize(
    ("other", "area", "room"),
    [
        (load(1, "spa", "11 kW"), 1500, D(45000 - 20000) / 240),
        (load(1, "air conditioning", "14 kW"), 300, D(10000 - 5400) / 240),
        (load(1, "air conditioning", "13999 W"), 300, D("10002.5") / 240 - D(5400) / 240),
        (load(1, "air conditioning", "18 kW"), 300, D(6000 - 5400) / 240),
        (load(1, "air conditioning", "18 kW"), 1500, D(6000 - 9000) / 240),
    ],
)
def test_what_is_left_for_a_charger_in_the_pool(other: Load, area: int, room: Decimal) -> None:
    """100 A carry 24 000 VA; 10 000 VA of the pool count in full, what is above them at 40 %.

    Without heating and cooling the pool may be 10 000 + 14 000 / 0.40 = 45 000 VA; beside
    18 000 VA of cooling 6000 VA.
    """
    book = Book("2023")
    method = given("circuit.load_method", "optional")
    loads = house(other, charger(2, 40), area=area)
    answer = calculate(book, loads, supply(book), method, Readings(charger="pool"))
    assert answer.headroom is not None
    assert abs(number(answer.headroom, "A") - room) < D("1e-18")
    above_the_first_part = room > D(10000 - 5400) / 240
    assert answer.headroom.formula.startswith("(t + ") is above_the_first_part


@pytest.mark.parametrize(
    ("area", "steps"),
    [
        (999, ["f * (S - o)"]),
        (1000, ["f * (S - o)"]),
        (1001, ["f * (u - o)", "f * (S - o)"]),
        (40000, ["f * (u - o)", "f * (S - o)"]),
        (40001, ["f * (u - o)", "f * (u - o)", "f * (S - o)"]),
    ],
)
def test_only_the_steps_that_are_reached_are_printed(area: int, steps: list[str]) -> None:
    """3000 and 120 000 VA are the ends of the first two rows of the demand table."""
    book = Book("2023")
    part = supply(book, carries_whole_dwelling=False)
    sheet = standard_worksheet(book, house(area=area, kitchen=0, laundry=0), part)
    demand = line(sheet, "load.standard.general_demand")
    assert [step.formula for _, step in demand.inputs] == steps
    assert [step.name for _, step in demand.inputs] == [
        f"load.standard.step.{number}.demand" for number in range(1, len(steps) + 1)
    ]


def test_a_house_without_a_class_of_loads_has_no_line_for_it() -> None:
    sheet = standard("2023")
    assert printed(sheet) == [*HEAD, "= load.standard.general_demand", "= load.standard.total"]
    names = [one.entry.name for one in neutral_load(Book("2023"), house(), supply(Book("2023")))]
    assert names == [
        "load.standard.general_demand",
        "load.neutral.connected",
        "load.neutral.current",
    ]


@pytest.mark.parametrize(
    ("loads", "comfort", "formula"),
    [
        ((AIR,), 4320, "S1"),
        ((HEAT,), 10000, "H"),
        ((AIR, HEAT), 10000, "larger(H, K)"),
        ((AIR, load(5, "central heat", "3 kW")), 4320, "larger(H, K)"),
        ((load(1, "heat pump", "5 kW"),), 5000, "larger(H, K)"),
        ((load(1, "heat pump", "5 kW"), AIR), 9320, "larger(H, K)"),
        ((load(1, "room heater", "5 kW", count=2), HEAT), 20000, "H"),
        ((load(1, "supplemental heat", "5 kW"),), 5000, "H"),
    ],
)
def test_heating_and_cooling_of_the_standard_method(
    loads: tuple[Load, ...], comfort: int, formula: str
) -> None:
    """The larger of the two at 100 %, 220.51 and 220.60; a heat pump heats and cools."""
    found = line(standard("2023", *loads), "load.standard.comfort")
    assert va(found) == comfort
    assert found.formula == formula


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("kinds", "both"),
    [
        (("air conditioning",), False),
        (("central heat",), False),
        (("heat pump", "supplemental heat"), False),
        ((), False),
        *(
            (("air conditioning", kind), True)
            for kind in ("heat pump", "supplemental heat", "central heat", "room heater")
        ),
        (("air conditioning", "dryer"), False),
    ],
)
def test_whether_heating_and_cooling_run_together_is_asked_where_there_are_both(
    edition: str, kinds: tuple[str, ...], both: bool
) -> None:
    """220.60: the smaller is left out only where they do not run at the same time."""
    loads = [load(n, kind, "5 kW") for n, kind in enumerate(kinds, 1)]
    for together in (None, True, False):
        dwelling = house(*loads, heating_and_cooling_together=together)
        check = heating_and_cooling_settled(Book(edition), dwelling)
        assert (check is not None) is (both and together is None)
        assert check is None or check.verdict is Verdict.ASK


def test_a_heat_pump_alone_is_a_selection_of_the_optional_method() -> None:
    sheet = optional("2023", load(1, "heat pump", "20 A", volts=240))
    assert va(line(sheet, "load.optional.comfort")) == 4800


@pytest.mark.parametrize(("watts", "addition"), [(4319, 1080), (4320, 1080), (4321, None)])
def test_in_2017_cooling_as_large_as_heating_still_brings_its_motor(
    watts: int, addition: int | None
) -> None:
    sheet = standard("2017", AIR, load(5, "central heat", f"{watts} W"))
    motor = [one.entry for one in sheet.lines if one.entry.name == "load.standard.motor_addition"]
    assert [va(one) for one in motor] == ([] if addition is None else [addition])


def test_the_share_for_four_appliances_is_printed_apart_from_the_small_ones() -> None:
    ones = [load(n, "dishwasher", "1000 VA", volts=240) for n in (1, 2, 3, 4)]
    small = load(5, "disposer", "400 VA", volts=120)
    found = line(standard("2023", *ones, small), "load.standard.fastened_demand")
    assert found.formula == "f * (S1 + S2 + S3 + S4) + T1"
    book = Book("2023")
    lines = neutral_load(book, house(*ones, small), supply(book))
    entries = {one.entry.name: one.entry for one in lines}
    assert va(entries["load.neutral.fastened_demand"]) == 400  # the four use no neutral
    on_legs = [load(n, "dishwasher", "1000 VA", volts=120) for n in (1, 2, 3, 4)]
    lines = neutral_load(book, house(*on_legs), supply(book))
    entries = {one.entry.name: one.entry for one in lines}
    assert va(entries["load.neutral.fastened_demand"]) == 3000


@pytest.mark.parametrize(("amperes", "each"), [(40, 9600), (20, 7200)])
def test_two_chargers_count_twice(amperes: int, each: int) -> None:
    two = load(1, "vehicle charger", f"{amperes} A", count=2, volts=240, new=True)
    assert va(standard("2023", two).new_load) == 2 * each
    assert va(standard("2017", two).new_load) == 2 * 240 * amperes


@pytest.mark.parametrize(
    ("loads", "comfort"),
    [
        ((load(1, "heat pump", "12 kW"), load(2, "supplemental heat", "10 kW")), 12000),
        ((load(1, "heat pump", "9 kW"), load(2, "supplemental heat", "10 kW")), 10000),
        ((load(2, "supplemental heat", "10 kW"),), 10000),
        ((load(1, "heat pump", "9 kW"), load(2, "central heat", "2 kW")), 11000),
        (
            (
                load(1, "heat pump", "12 kW"),
                load(2, "supplemental heat", "10 kW"),
                load(3, "room heater", "2 kW"),
            ),
            14000,
        ),
        (
            (
                load(1, "heat pump", "9 kW"),
                load(2, "supplemental heat", "10 kW"),
                load(3, "room heater", "2 kW"),
            ),
            12000,
        ),
    ],
)
def test_strips_that_are_locked_out_count_or_the_compressor_does(
    loads: tuple[Load, ...], comfort: int
) -> None:
    sheet = standard("2023", *loads, supplemental_heat_with_compressor=False)
    found = line(sheet, "load.standard.comfort")
    assert va(found) == comfort
    names = {entry.name for one in found.inputs for entry in walked(one[1])}
    both = {"heat pump", "supplemental heat"} <= {one.kind for one in loads}
    assert ("load.standard.pump_or_strips" in names) is both


def walked(entry: Entry) -> Iterator[Entry]:
    yield entry
    for _, source in entry.inputs:
        yield from walked(source)


def test_the_lines_of_the_neutral() -> None:
    """What is for 120 V: an appliance, a window unit with its motor, another load."""
    book = Book("2023")
    loads = house(
        RANGE,
        DRYER,
        load(4, "dishwasher", "1200 VA", volts=120),
        load(5, "air conditioning", "10 A", volts=120),
        load(6, "spa", "900 VA", volts=120),
        HEATER,
    )
    lines = neutral_load(book, loads, supply(book))
    assert [(one.entry.name, number(one.entry, "VA")) for one in lines[:-1]] == [
        ("load.standard.general_demand", 5100),
        ("load.neutral.cooking", 5600),
        ("load.neutral.dryers", D("0.7") * 5500),
        ("load.neutral.fastened_demand", 1200),
        ("load.neutral.other", 900),
        ("load.neutral.comfort", 1200),
        ("load.neutral.motor_addition", 300),
        ("load.neutral.connected", 18150),
    ]
    assert [one.subtotal for one in lines] == [False] * 7 + [True, True]
    assert number(lines[-1].entry, "A") == D("75.625")


@pytest.mark.parametrize(("current", "formula"), [(200, "I"), (201, "l + f * (I - l)")])
def test_the_reduction_of_the_neutral_is_printed_only_where_there_is_one(
    current: int, formula: str
) -> None:
    book = Book("2017")
    rest = load(1, "other appliance", f"{current * 240 - 5100} VA", volts=120)
    assert neutral_load(book, house(rest), supply(book))[-1].entry.formula == formula


@pytest.mark.parametrize(("area", "formula"), [(1750, "S"), (1751, "t + (S - t) * r")])
def test_a_pool_within_its_first_part_is_printed_without_the_share(area: int, formula: str) -> None:
    demand = line(optional("2026", area=area), "load.optional.demand")
    assert demand.formula == formula


@pytest.mark.parametrize(
    ("watts", "formula"),
    [(4600, "W - D - F + (P + S)"), (4601, "W - D - F + t + (P + S - t) * r")],
)
def test_the_other_reading_uses_the_share_only_above_the_first_part(
    watts: int, formula: str
) -> None:
    """5400 VA of head and the charger are 10 000 VA, the first part, or one more."""
    sheet = optional("2023", load(1, "vehicle charger", f"{watts} VA"), area=300)
    assert {one.name: one.other_total.formula for one in sheet.disputed}["charger"] == formula
