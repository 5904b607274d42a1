"""Boxes hold what goes into them, with enough conductor left free."""

from __future__ import annotations

from collections import Counter
from decimal import Decimal
from typing import Any

import pytest

from packet.codebook import EDITIONS, Book
from packet.ledger import Check, Verdict, decimal_of
from packet.quantities import TradeSize
from packet.rules.box import (
    BoxConductors,
    BoxContents,
    angle_pull_length,
    box_fill,
    box_holds_contents,
    box_suits_wet_place,
    box_volume,
    free_conductor_length,
    free_conductor_long_enough,
    grounds_volume,
    metal_box_bonded,
    pull_box_long_enough,
    raceway_entries_apart,
    raceway_spacing,
    sized_by_raceways,
    smallest_listed_box,
    straight_pull_length,
)
from tests.rules.givens import given, shown, size, worded
from tests.rules.installation import (
    conductors,
    device,
    enters_ledger,
    examples,
    grounds,
    ids,
    outlet_contents,
    reworked,
)


def published_contents(case: dict[str, Any]) -> BoxContents:
    """Return the contents of a published box: cables written as `12/2`, or loose conductors."""
    insulated: Counter[str] = Counter()
    cables = [cable.split("/") for cable in case.get("cables", ())]
    for gauge, count in cables:
        insulated[gauge] += int(count)
    if "fixture_conductors" in case:
        gauge = str(case.get("fixture_size", cables[0][0]))
        insulated[gauge] += case["fixture_conductors"]
    loose = case.get("conductors") or [[count, gauge] for gauge, count in insulated.items()]
    # a lower gauge number is a larger wire
    bare = case.get("grounds") or [len(cables), min((one for one, _ in cables), key=int)]
    return BoxContents(
        tuple(conductors(number, *one) for number, one in enumerate(loose, 1)),
        grounds(*bare),
        tuple(device(1, of, number) for number, of in enumerate(case["devices"], 1)),
        case["clamps"],
        given("box.1.fittings", case["fittings"], "") if "fittings" in case else None,
    )


@pytest.mark.parametrize(
    ("case", "edition"),
    [(case, edition) for case in examples("box_fill") for edition in case["editions"]],
    ids=lambda one: one if isinstance(one, str) else ids(one),
)
def test_published_box_fills(case: dict[str, Any], edition: str) -> None:
    assert case["source"]
    assert case["confirmed"].startswith(("FOUND", "PARTLY", "MEMORY"))
    assert ("why" in case) is bool(case.get("contested"))
    book = Book(edition)
    fill = box_fill(book, "box.1", published_contents(case))
    assert decimal_of(fill) == Decimal(case["volume"])
    assert reworked([fill]) == []
    if "marked" in case:
        marked = given("box.1.marked_volume", case["marked"], "in**3")
        fits = box_holds_contents(book, "box.1", fill, marked).verdict is Verdict.MEETS
        assert fits is case["fits"]
    if "box" in case:
        box = smallest_listed_box(
            book, "box.1.smallest_listed_box", fill, None, tuple(case["kinds"])
        )
        assert box is not None
        assert box.value == case["box"]


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("case", examples("box_counts"), ids=ids)
def test_published_counts_of_one_size(case: dict[str, Any], edition: str) -> None:
    assert case["source"]
    assert case["confirmed"].startswith(("FOUND", "PARTLY", "MEMORY"))
    book = Book(edition)
    if "marked" in case:
        volume = case["marked"]
    else:
        kind, dimensions = case["box"]
        volume = book.table("box_volume").row(kind=kind, size=dimensions)["volume"].magnitude
    marked = given("box.1.marked_volume", volume, "in**3")
    for extra, verdict in ((0, Verdict.MEETS), (1, Verdict.FALLS_SHORT)):
        like = BoxContents((conductors(1, case["count"] + extra, case["size"]),))
        fill = box_fill(book, "box.1", like)
        assert box_holds_contents(book, "box.1", fill, marked).verdict is verdict


@pytest.mark.parametrize("edition", EDITIONS)
def test_printed_counts_of_the_box_table_follow_from_volume_and_allowance(edition: str) -> None:
    """Table 314.16(A) prints counts beside volumes: an outside check on both tables."""
    book = Book(edition)
    for row in book.table("box_volume").rows():
        volume = given("box.1.marked_volume", row["volume"].magnitude, "in**3")
        for gauge in (18, 16, 14, 12, 10, 8, 6):
            count = int(row[f"count_{gauge}"].magnitude)
            fill = box_fill(book, "box.1", BoxContents((conductors(1, count, gauge),)))
            more = box_fill(book, "box.1", BoxContents((conductors(1, count + 1, gauge),)))
            assert fill.value <= volume.value < more.value, (row["kind"], row["size"], gauge)


@pytest.mark.parametrize(
    ("edition", "count", "allowances"),
    [
        *[("2017", count, "1") for count in (1, 4, 5, 8)],
        *[
            (edition, count, allowances)
            for edition in ("2020", "2023", "2026")
            for count, allowances in ((1, "1"), (4, "1"), (5, "1.25"), (6, "1.5"), (8, "2"))
        ],
    ],
)
def test_grounds_by_edition(edition: str, count: int, allowances: str) -> None:
    """One allowance for all in 2017; from 2020 a quarter for each over four.

    Electrical Contractor magazine, box fill calculations part VIII (2017); Mike Holt
    forum thread 2568132 quoting the 2020 text.
    """
    volume = grounds_volume(Book(edition), "box.1", grounds(count, 10))
    assert decimal_of(volume) == Decimal(allowances) * Decimal("2.50")


def test_terminal_block_counts_from_2023() -> None:
    """EC&M code quiz, Dec 2023."""
    block = (size("box.1.blocks.1.size", "10"),)
    contents = BoxContents((conductors(1, 3, 10),), terminal_blocks=block)
    volumes = {
        edition: decimal_of(box_fill(Book(edition), "box.1", contents)) for edition in EDITIONS
    }
    assert volumes == {
        "2017": Decimal("7.50"),
        "2020": Decimal("7.50"),
        "2023": Decimal("10.00"),
        "2026": Decimal("10.00"),
    }


def test_outlet_of_50_a_needs_more_than_a_deep_4_in_square_box() -> None:
    """Three 6 AWG (15), a 10 AWG ground (2.5) and a device on two gangs (4 x 5 = 20): 37.5 in³."""
    book = Book("2023")
    fill = box_fill(book, "box.1", outlet_contents())
    assert decimal_of(fill) == Decimal("37.50")
    marked = given("box.1.marked_volume", "30.3", "in**3")
    short = box_holds_contents(book, "box.1", fill, marked)
    assert short.verdict is Verdict.FALLS_SHORT
    assert short.remedy is not None
    assert short.remedy.value == "4-11/16 x 2-1/8 (square)"
    enters_ledger([fill], [short])


@pytest.mark.parametrize(
    ("ring", "verdict"),
    [("7.1", Verdict.FALLS_SHORT), ("7.2", Verdict.MEETS), ("7.5", Verdict.MEETS)],
)
def test_a_marked_ring_adds_its_volume(ring: str, verdict: Verdict) -> None:
    book = Book("2020")
    fill = box_fill(book, "box.1", outlet_contents())
    box = given("box.1.marked_volume", "30.3", "in**3")
    added = given("box.1.ring_volume", ring, "in**3")
    assert box_holds_contents(book, "box.1", fill, box, added).verdict is verdict
    assert decimal_of(box_volume(book, "box.1", box, None)) == Decimal("30.3")


def test_an_unmarked_box_is_asked_about() -> None:
    book = Book("2023")
    fill = box_fill(book, "box.1", outlet_contents())
    check = box_holds_contents(book, "box.1", fill, None)
    assert worded(check) == "ask"
    assert shown(check) == ("", "box.1.fill_volume", "", ["box.1.smallest_listed_box"])
    vast = box_fill(book, "box.1", BoxContents((conductors(1, 40, 6),)))
    check = box_holds_contents(book, "box.1", vast, None)
    assert shown(check) == ("", "box.1.fill_volume", "", [])


def test_a_device_counts_for_each_gang_and_clamps_once() -> None:
    book = Book("2020")
    one = box_fill(book, "box.1", outlet_contents(gangs=1))
    two = box_fill(book, "box.1", outlet_contents(gangs=2))
    assert decimal_of(two) - decimal_of(one) == Decimal(10)
    plain = BoxContents((conductors(1, 4, 12),), grounds(2, 12))
    clamped = BoxContents((conductors(1, 4, 12),), grounds(2, 12), internal_clamps=True)
    difference = decimal_of(box_fill(book, "box.1", clamped)) - decimal_of(
        box_fill(book, "box.1", plain)
    )
    assert difference == Decimal("2.25")


def test_clamps_count_at_the_largest_conductor_even_if_it_is_the_ground() -> None:
    small = BoxConductors(
        given("box.1.conductors.1.count", 2, ""), size("box.1.conductors.1.size", "12")
    )
    contents = BoxContents((small,), grounds(1, 10), internal_clamps=True)
    fill = box_fill(Book("2020"), "box.1", contents)
    assert decimal_of(fill) == Decimal("4.50") + Decimal("2.50") + Decimal("2.50")


def test_a_box_without_conductors_or_with_large_ones_is_no_box_fill() -> None:
    with pytest.raises(ValueError, match="no conductors"):
        box_fill(Book("2020"), "box.1", BoxContents(()))
    with pytest.raises(LookupError, match="no row for size 4"):
        box_fill(Book("2020"), "box.1", BoxContents((conductors(1, 3, 4),)))


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_larger_box_never_gets_a_worse_verdict(edition: str) -> None:
    book = Book(edition)
    volumes = sorted({row["volume"].magnitude for row in book.table("box_volume").rows()})
    for count in range(1, 9):
        for gauge in (14, 12, 10, 8, 6):
            contents = BoxContents(
                (conductors(1, count, gauge),), grounds(count, gauge), (device(1, gauge),)
            )
            fill = box_fill(book, "box.1", contents)
            holds = [
                box_holds_contents(
                    book, "box.1", fill, given("box.1.marked_volume", volume, "in**3")
                ).verdict
                is Verdict.MEETS
                for volume in volumes
            ]
            assert holds == sorted(holds)


def test_the_remedy_holds_and_nothing_smaller_does() -> None:
    book = Book("2023")
    rows = list(book.table("box_volume").rows())
    for count in range(1, 20):
        fill = box_fill(book, "box.1", BoxContents((conductors(1, count, 10),)))
        box = smallest_listed_box(book, "box.1.smallest_listed_box", fill)
        fitting = [row["volume"] for row in rows if row["volume"] >= fill.value]
        if box is None:
            assert not fitting
        else:
            assert dict(box.inputs)["volume"].value == min(fitting)


FREE = examples("measured_facts")["free_conductor"]["free"]


@pytest.mark.parametrize(
    ("depth", "opening", "needed"),
    [
        (None, None, FREE),
        ("2.125", "3.5", FREE),
        (3, "3.5", FREE),
        ("3.5", "3.5", "6.5"),
        (4, "7.9", 7),
        (4, 8, FREE),
        (4, None, 7),
    ],
)
def test_free_conductor_needed(depth: Any, opening: Any, needed: Any) -> None:
    need = free_conductor_length(
        Book("2023"),
        "box.1",
        None if depth is None else given("box.1.depth", depth, "in"),
        None if opening is None else given("box.1.opening", opening, "in"),
    )
    assert decimal_of(need) == Decimal(str(needed))
    assert reworked([need]) == []


@pytest.mark.parametrize(
    ("left", "verdict"), [("5.9", "falls short"), (6, "meets"), (8, "meets"), (None, "ask")]
)
def test_free_conductor_left(left: Any, verdict: str) -> None:
    """6 in free at a 50 A outlet: common practice, no source; and 300.14."""
    need = free_conductor_length(Book("2020"), "box.1", None, None)
    measured = None if left is None else given("box.1.free_length_left", left, "in")
    check = free_conductor_long_enough("box.1", measured, need)
    assert worded(check) == verdict
    assert check.right == need


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("case", examples("pull_box"), ids=ids)
def test_published_pull_boxes(case: dict[str, Any], edition: str) -> None:
    assert case["source"]
    assert case["confirmed"].startswith(("FOUND", "PARTLY", "MEMORY"))
    book = Book(edition)
    sizes = [
        given(f"box.1.raceways.{number}.size", TradeSize(text))
        for number, text in enumerate(case.get("straight") or case["angle"], 1)
    ]
    if "straight" in case:
        length = straight_pull_length(book, "box.1", sizes)
    else:
        length = angle_pull_length(book, "box.1", sizes)
        if "spacing" in case:
            assert decimal_of(raceway_spacing(book, "box.1", sizes[0])) == case["spacing"]
    assert decimal_of(length) == case["length"]
    assert reworked([length]) == []

    def judged(inches: str) -> Check:
        return pull_box_long_enough("box.1", given("box.1.inside_length", inches, "in"), length)

    assert judged(str(case["length"] - Decimal("0.1"))).verdict is Verdict.FALLS_SHORT
    assert judged(str(case["length"])).verdict is Verdict.MEETS
    assert worded(judged("1")) == "falls short"
    unknown = pull_box_long_enough("box.1", None, length)
    assert worded(unknown) == "ask"
    assert unknown.right == length


@pytest.mark.parametrize(
    ("apart", "verdict"),
    [("8.9", "falls short"), ("9", "meets"), ("9.1", "meets"), (None, "ask")],
)
def test_entries_of_one_pull_stand_apart(apart: str | None, verdict: str) -> None:
    """314.28(A)(2): six times the trade size, 9 in for 1 1/2."""
    raceway = given("box.1.raceways.1.size", TradeSize.parse("1 1/2"))
    need = raceway_spacing(Book("2023"), "box.1", raceway)
    left = None if apart is None else given("box.1.entry_spacing", apart, "in")
    check = raceway_entries_apart("box.1", left, need)
    assert worded(check) == verdict
    sides = ("box.1.entry_spacing" if left else "", "box.1.raceway_spacing")
    remedy = "box.1.raceway_spacing" if verdict == "falls short" else ""
    assert shown(check) == (*sides, remedy, [])


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("listed", "verdict"), [(True, "meets"), (False, "falls short"), (None, "ask")]
)
def test_a_box_in_a_wet_place_is_listed_for_it(
    edition: str, listed: bool | None, verdict: str
) -> None:
    """314.15."""
    wet = given("circuit.weather", "wet")
    check = box_suits_wet_place(Book(edition), "box.1", wet, listed=listed)
    assert worded(check) == verdict
    assert shown(check) == ("", "", "", ["circuit.weather"])


@pytest.mark.parametrize(("of", "by_raceways"), [("6", False), ("4", True), ("3", True)])
def test_large_conductors_make_a_pull_box(of: str, by_raceways: bool) -> None:
    """314.28(A): from 4 AWG on."""
    large = size("box.1.conductors.1.size", of)
    assert sized_by_raceways(Book("2023"), large) is by_raceways
    assert sized_by_raceways(Book("2023"), size("conductor_size", "8"), large) is by_raceways


@pytest.mark.parametrize(
    ("jumper", "verdict"), [("12", "falls short"), ("10", "meets"), ("8", "meets")]
)
def test_jumper_to_a_metal_box_on_a_50_a_circuit(jumper: str, verdict: str) -> None:
    """10 AWG to the metal box of a 50 A outlet: common practice, no source; and Table 250.122."""
    book = Book("2023")
    table = book.table("equipment_grounding")
    row = next(row for row in table.rows() if row["device_up_to"].magnitude >= 50)
    need = table.entry("box_bonding_jumper", "copper", row)
    planned = size("box.1.bonding_jumper", jumper)
    assert worded(metal_box_bonded(book, "box.1", planned, need)) == verdict


@pytest.mark.parametrize(
    ("ring", "box"), [("7.1", "4-11/16 x 2-1/8 (square)"), ("7.2", "4 x 2-1/8 (square)")]
)
def test_the_remedy_counts_the_ring_that_is_there(ring: str, box: str) -> None:
    """37.5 in³ less 7.2 leaves 30.3, which is the 4 x 2-1/8 box of Table 314.16(A)."""
    book = Book("2023")
    fill = box_fill(book, "box.1", outlet_contents())
    added = given("box.1.ring_volume", ring, "in**3")
    found = smallest_listed_box(book, "box.1.smallest_listed_box", fill, added, ("square",))
    assert found is not None
    assert found.value == box
    assert dict(found.inputs)["ring"] is added


def test_the_remedy_is_a_box_of_the_kind_that_is_there() -> None:
    """12 in³: the smallest box of Table 314.16(A) is an octagon of 12.5, the smallest square 18."""
    book = Book("2023")
    fill = box_fill(book, "box.1", BoxContents((conductors(1, 6, 14),)))
    marked = given("box.1.marked_volume", 10, "in**3")
    square = box_holds_contents(book, "box.1", fill, marked)
    assert square.remedy is not None
    assert square.remedy.value == "4 x 1-1/4 (square)"
    octagon = box_holds_contents(book, "box.1", fill, marked, None, ("round or octagonal",))
    assert octagon.remedy is not None
    assert octagon.remedy.value == "4 x 1-1/4 (round or octagonal)"


def test_the_things_in_a_box_are_counted_from_one() -> None:
    book = Book("2023")
    block = (size("box.1.blocks.1.size", "10"),)
    contents = BoxContents(
        (conductors(1, 3, 10), conductors(2, 2, 12)),
        devices=(device(1, 10), device(2, 10, 2)),
        terminal_blocks=block,
    )
    assert [part.name for _, part in box_fill(book, "box.1", contents).inputs] == [
        "box.1.conductors.1.volume",
        "box.1.conductors.2.volume",
        "box.1.devices.1.volume",
        "box.1.devices.2.volume",
        "box.1.blocks.1.volume",
    ]
