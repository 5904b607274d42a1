"""What to buy: lengths with slack and waste, pieces, prices, hours."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
import yaml

from packet.codebook import Book
from packet.findings import render_text
from packet.ledger import Entry, decimal_of
from packet.rules.materials import (
    Fitting,
    Need,
    Offer,
    Run,
    bill_of_materials,
    box_needs,
    conductor_length,
    end_needs,
    own_hours,
    run_needs,
    size_key,
    whole_pieces,
    work_hours,
)
from packet.showing import show
from tests.rules.givens import given, size, trade_size
from tests.rules.installation import enters_ledger, reworked

BOOK = Book("2023")
FACE = given("circuit.configuration", "14-50")
TEXTS = yaml.safe_load(
    (Path(__file__).parents[2] / "templates" / "materials.yaml").read_text("utf-8")
)
WASTE = given("waste", 10, "%")


def run(method: str = "NM-B", feet: Any = 38, *, number: int = 1, **more: Any) -> Run:
    trade = more.pop("trade", None)
    supports = more.pop("supports", 9)
    return Run(
        number,
        method,
        [given(f"route.{number}.length", feet, "ft")],
        [given(f"route.{number}.support_count", supports, "")] if supports else [],
        size("conductor_size", more.pop("of", "6")),
        size("grounding_conductor_size", "10"),
        trade_size=trade_size(trade) if trade else None,
        **more,
    )


def needed(needs: Any) -> dict[str, Decimal]:
    found: dict[str, Decimal] = {}
    for need in needs:
        found[need.id] = found.get(need.id, Decimal()) + decimal_of(need.needed)
    return found


def test_cable_for_a_route_inside() -> None:
    """38 ft, 6 ft for the panel and 1 ft for the box, and a tenth more: 49.5 ft."""
    assert needed(run_needs(BOOK, run(), WASTE)) == {
        "nm-b-6-3-cable": Decimal("49.5"),
        "nm-b-6-3-connector": 2,
        "nm-b-6-3-staple": 9,
    }
    two = run(neutral=False)
    assert "nm-b-6-2-cable" in needed(run_needs(BOOK, two, WASTE))


def test_aluminum_has_a_line_and_a_price_of_its_own() -> None:
    """Under one name the price of copper would be taken for aluminum, which costs a third."""
    cable = needed(run_needs(BOOK, run("SER", of="4", material="aluminum"), WASTE))
    assert set(cable) == {"ser-4-3-aluminum-cable", "ser-4-3-connector", "ser-4-3-staple"}
    wires = needed(run_needs(BOOK, run("EMT", of="4", trade="1", material="aluminum"), WASTE))
    colors = ("black", "red", "white")
    wanted = {f"4-thhn-{color}-aluminum-wire" for color in colors}
    assert {name for name in wires if "wire" in name} == {*wanted, "10-thhn-green-aluminum-wire"}


def test_the_second_of_two_runs_starts_at_a_box() -> None:
    from_box = conductor_length(BOOK, "run.2", run(feet=20, number=2, from_panel=False), WASTE)
    assert decimal_of(from_box) == Decimal("24.2")
    assert reworked([from_box]) == []


def test_tubing_with_bends_and_bodies() -> None:
    planned = run(
        "EMT",
        38,
        trade="3/4",
        supports=5,
        neutral=False,
        elbows=given("run.1.elbows", 2, ""),
        conduit_bodies=given("run.1.conduit_bodies", 1, ""),
    )
    assert needed(run_needs(BOOK, planned, WASTE)) == {
        "emt-3-4-stick": 5,  # 41.8 ft of sticks of 10 ft
        "emt-3-4-coupling": 6,  # five sticks and two bends in line have six joints
        "emt-3-4-connector": 4,  # both ends, and both sides of the body
        "3-4-locknut": 2,
        "emt-3-4-conduit-body": 1,
        "emt-3-4-elbow": 2,
        "emt-3-4-strap": 5,
        "mounting-screw": 5,
        "6-thhn-black-wire": Decimal("49.5"),
        "6-thhn-red-wire": Decimal("49.5"),
        "10-thhn-green-wire": Decimal("49.5"),
    }


def test_plastic_conduit_in_a_trench() -> None:
    planned = run(
        "PVC-80",
        60,
        trade="1-1/4",
        supports=0,
        buried_length=given("run.1.buried_length", 40, "ft"),
        expansion_fittings=given("route.1.expansion_fittings", 1, ""),
    )
    found = needed(run_needs(BOOK, planned, WASTE))
    assert found["warning-tape"] == 44
    assert found["pvc-80-1-1-4-expansion-fitting"] == 1
    assert found["solvent-cement"] == 1
    assert found["pvc-80-1-1-4-stick"] == 7
    assert found["6-thhn-white-wire"] == Decimal("73.7")
    assert "pvc-80-1-1-4-strap" not in found


@pytest.mark.parametrize(
    ("method", "of", "bushings"),
    [("EMT", "6", None), ("EMT", "4", 2), ("EMT", "3", 2), ("RMC", "6", 2)],
)
def test_bushings_from_4_awg_on_and_on_threaded_conduit(
    method: str, of: str, bushings: int | None
) -> None:
    found = needed(run_needs(BOOK, run(method, trade="1", of=of), WASTE))
    assert found.get("1-bushing") == bushings


@pytest.mark.parametrize("method", ["FMC", "LFMC", "LFNC-B", "ENT"])
def test_flexible_raceway_is_bought_by_length(method: str) -> None:
    found = needed(run_needs(BOOK, run(method, 5, trade="3/4"), WASTE))
    key = method.lower()
    assert found[f"{key}-3-4-coil"] == Decimal("5.5")
    assert f"{key}-3-4-stick" not in found
    assert f"{key}-3-4-coupling" not in found


@pytest.mark.parametrize(
    ("method", "glued"),
    [("PVC-40", True), ("PVC-80", True), ("EMT", False), ("RMC", False), ("ENT", False)],
)
def test_only_plastic_conduit_is_glued(method: str, glued: bool) -> None:
    found = needed(run_needs(BOOK, run(method, 5, trade="3/4"), WASTE))
    assert ("solvent-cement" in found) is glued


def test_a_raceway_without_a_trade_size_is_refused() -> None:
    with pytest.raises(ValueError, match="trade size"):
        list(run_needs(BOOK, run("EMT"), WASTE))


@pytest.mark.parametrize("method", ["NM-B", "EMT", "PVC-40", "LFNC-B"])
def test_a_longer_route_never_needs_less(method: str) -> None:
    trade = None if method == "NM-B" else "3/4"
    before: dict[str, Decimal] = {}
    for feet in range(1, 160, 3):
        found = needed(run_needs(BOOK, run(method, feet, trade=trade), WASTE))
        assert all(found[key] >= number for key, number in before.items()), feet
        before = found


def test_a_metal_outlet_box_with_its_parts() -> None:
    box = Fitting(1, "outlet-metal-box", True, True, "outlet-cover")
    found = needed(box_needs(BOOK, box))
    assert found == {
        "outlet-metal-box": 1,
        "device-ring": 1,
        "outlet-cover": 1,
        "mounting-screw": 2,
        "box-bonding-screw": 1,
        "grounding-pigtail": 1,
        "ground-connector": 1,
    }
    with_device = needed(box_needs(BOOK, replace(box, device=True)))
    assert with_device == found | {"grounding-pigtail": 2}
    plastic = Fitting(2, "junction-nonmetallic-box", False, False, "blank-cover", True, 4)
    found = needed(box_needs(BOOK, plastic))
    assert found["wire-connector"] == 4
    assert found.keys().isdisjoint({"box-bonding-screw", "ground-connector"})


def test_the_two_ends() -> None:
    rating = given("overcurrent_rating", 50, "A")
    found = needed(end_needs(BOOK, FACE, rating, "gfci"))
    assert found == {
        "50-2-pole-gfci-breaker": 1,
        "14-50-receptacle": 1,
        "circuit-label": 2,
        "knockout-plug": 1,
    }
    holes = given("ends.firestop_holes", 7, "")
    wired = needed(end_needs(BOOK, None, rating, "standard", holes))
    assert wired == {
        "50-2-pole-standard-breaker": 1,
        "circuit-label": 2,
        "knockout-plug": 1,
        "firestop-sealant": 2,
    }
    closed = needed(end_needs(BOOK, None, rating, "standard", closes_wall=True))
    assert closed.keys() - wired.keys() == {"wall-repair"}


@pytest.mark.parametrize(
    ("pulls", "stock", "counts"),
    [
        (["49.5"], [25, 50, 100], (0, 1, 0)),
        ([50], [25, 50, 100], (0, 1, 0)),
        (["50.1"], [25, 50, 100], (0, 0, 1)),  # one unbroken piece, never 25 and 50
        ([60, 40], [25, 50, 100], (0, 0, 1)),  # both out of one coil
        ([60, "40.1"], [25, 50, 100], (0, 1, 1)),
        ([20, 20, 20], [25, 50], (3, 0)),
        (["100.1"], [25, 50, 100], None),
        ([9], [], None),
        ([65, 50, 30, 25, 25], [100], (2,)),  # the 30 out of the left-over of 35, not of 50
        ([60, 40, 40], [100], (2,)),
        ([60, 40, 40, 60], [100], (2,)),
    ],
)
def test_every_pull_is_one_unbroken_piece(
    pulls: list[Any], stock: list[int], counts: tuple[int, ...] | None
) -> None:
    """Two short coils for one long pull would mean a splice inside a wall."""
    found = whole_pieces([Decimal(str(one)) for one in pulls], [Decimal(one) for one in stock])
    assert found == counts


def bill(offers: dict[str, Offer], tax: Entry | None = None) -> Any:
    needs = [
        *run_needs(BOOK, run(), WASTE),
        *box_needs(BOOK, Fitting(1, "outlet-metal-box", True, False, "outlet-cover")),
        *box_needs(BOOK, Fitting(2, "junction-metal-box", True, False, "blank-cover")),
    ]
    return bill_of_materials(BOOK, needs, offers, tax)


def feet(number: int, value: int) -> Entry:
    return given(f"material.1.stock.{number}.length", value, "ft")


def test_a_bill_adds_like_materials_and_keeps_unknown_prices_open() -> None:
    cable = Offer(
        given("material.1.price_per_foot", "4.15", "USD/ft"), stock=(feet(1, 25), feet(2, 40))
    )
    staples = Offer(given("material.3.price", "6.50", "USD"), given("material.3.pack", 4, ""))
    listed = bill({"nm-b-6-3-cable": cable, "nm-b-6-3-staple": staples}, given("sales_tax", 6, "%"))
    lines = {line.id: line for line in listed.lines}
    assert decimal_of(lines["nm-b-6-3-cable"].bought) == 50  # no coil holds it: from the reel
    assert decimal_of(lines["nm-b-6-3-cable"].cost) == Decimal("207.50")
    assert decimal_of(lines["nm-b-6-3-staple"].bought) == 3  # packs of 4 for 9
    assert decimal_of(lines["nm-b-6-3-staple"].cost) == Decimal("19.50")
    assert decimal_of(lines["mounting-screw"].needed) == 4  # two boxes
    assert lines["outlet-metal-box"].price is None
    assert lines["outlet-metal-box"].cost is None
    assert not listed.complete
    assert decimal_of(listed.subtotal) == Decimal("227.00")
    assert decimal_of(listed.tax) == Decimal("13.62")
    assert decimal_of(listed.total) == Decimal("240.62")
    entries = [listed.subtotal, listed.tax, listed.total]
    entries += [entry for line in listed.lines for entry in (line.needed, line.bought)]
    assert reworked(entries) == []
    assert [line.needed.name for line in listed.lines[:2]] == [
        "material.1.length_needed",
        "material.2.count_needed",
    ]
    ledger = enters_ledger(entries)
    assert show(ledger["bill.total"]) == "$\u00a0240.62"


def test_cable_by_the_foot_is_bought_in_whole_feet() -> None:
    cable = Offer(given("material.1.price_per_foot", "4.00", "USD/ft"))
    line = bill({"nm-b-6-3-cable": cable}).lines[0]
    assert decimal_of(line.bought) == 50
    assert decimal_of(line.cost) == 200


def test_a_price_by_the_foot_of_what_is_counted_gives_no_cost() -> None:
    box = Offer(given("material.4.price_per_foot", "4.00", "USD/ft"))
    listed = bill({"outlet-metal-box": box})
    line = next(line for line in listed.lines if line.id == "outlet-metal-box")
    assert (line.price, line.cost) == (box.price, None)
    assert not listed.complete


def test_a_price_for_a_whole_coil() -> None:
    coil = Offer(given("material.1.price", "190", "USD"), stock=(feet(1, 60),))
    line = bill({"nm-b-6-3-cable": coil}).lines[0]
    assert decimal_of(line.bought) == 60
    assert decimal_of(line.cost) == 190
    ((count, length),) = line.pieces
    assert (decimal_of(count), count.name) == (1, "material.1.pieces.1.count")
    assert length is coil.stock[0]
    two = Offer(given("material.1.price_per_foot", 4, "USD/ft"), stock=(feet(1, 30), feet(2, 50)))
    line = bill({"nm-b-6-3-cable": two}).lines[0]
    assert [(decimal_of(count), length) for count, length in line.pieces] == [(1, two.stock[1])]
    short = Offer(given("material.1.price", "190", "USD"), stock=(feet(1, 30),))
    assert bill({"nm-b-6-3-cable": short}).lines[0].cost is None
    unclear = Offer(given("material.1.price", "190", "USD"), stock=(feet(1, 30), feet(2, 50)))
    assert bill({"nm-b-6-3-cable": unclear}).lines[0].cost is None


def test_a_bill_without_tax_and_a_complete_one() -> None:
    every = {line.id: Offer(given("material.9.price", 1, "USD")) for line in bill({}).lines}
    every["nm-b-6-3-cable"] = Offer(given("material.1.price_per_foot", 1, "USD/ft"))
    listed = bill(every)
    assert listed.complete
    assert listed.tax is None
    assert listed.total.value == listed.subtotal.value


@pytest.mark.parametrize(
    "method",
    ["NM-B", "UF-B", "SER", "MC", "EMT", "PVC-40", "PVC-80", "RMC", "FMC", "LFMC", "LFNC-B", "ENT"],
)
@pytest.mark.parametrize("charging", [True, False])
def test_every_material_has_its_words(method: str, *, charging: bool) -> None:
    trade = None if method in {"NM-B", "UF-B", "SER", "MC"} else "1"
    planned = run(
        method,
        trade=trade,
        of="4",
        elbows=given("run.1.elbows", 1, ""),
        conduit_bodies=given("run.1.conduit_bodies", 1, ""),
        expansion_fittings=given("route.1.expansion_fittings", 1, ""),
        plates=[given("route.1.plate_count", 3, "")],
        buried_length=given("run.1.buried_length", 9, "ft"),
    )
    rating = given("overcurrent_rating", 60, "A")
    needs: list[Need] = [
        *run_needs(BOOK, planned, WASTE),
        *box_needs(BOOK, Fitting(1, "outlet-metal-box", True, True, "outlet-cover", True, 4)),
        *box_needs(BOOK, Fitting(2, "outlet-nonmetallic-box", False, False, "outlet-cover")),
        *end_needs(
            BOOK,
            given("circuit.configuration", "14-50"),
            rating,
            "gfci",
            given("ends.firestop_holes", 1, ""),
        ),
        *end_needs(BOOK, None, rating, "standard", closes_wall=True),
    ]
    for need in needs:
        words = TEXTS[need.kind]
        shown = {
            "facts": [show(fact) for fact in need.facts],
            "boxes": [("18 in³", "Outlet box"), ("30 in³", "Pull box")],
            "fact": lambda _: charging,
        }
        assert all(render_text(words[key], shown) for key in ("name", "marks", "swap"))
        assert words["trip"] in {"home center", "supply house"}


@pytest.mark.parametrize(
    ("value", "key"),
    [
        (size("conductor_size", "6").value, "6"),
        (size("conductor_size", "2/0").value, "2-0"),
        (size("conductor_size", "250").value, "250-kcmil"),
        (trade_size("1-1/4").value, "1-1-4"),
    ],
)
def test_keys_of_sizes(value: Any, key: str) -> None:
    assert size_key(value) == key


def test_hours() -> None:
    """Usual hours are common practice, no source: the sums alone are tested."""
    hours = work_hours(
        BOOK,
        given("work.cable_length", 40, "ft"),
        given("work.raceway_length", 20, "ft"),
        given("work.trench_length", 0, "ft"),
        given("work.boxes", 1, ""),
    )
    assert decimal_of(hours) == Decimal("1.5") + 1 + 1 + 4 * Decimal("0.25") + 2 * Decimal("0.75")
    dug = work_hours(
        BOOK,
        given("work.cable_length", 40, "ft"),
        given("work.raceway_length", 20, "ft"),
        given("work.trench_length", 30, "ft"),
        given("work.boxes", 1, ""),
    )
    more_boxes = work_hours(
        BOOK,
        given("work.cable_length", 40, "ft"),
        given("work.raceway_length", 20, "ft"),
        given("work.trench_length", 0, "ft"),
        given("work.boxes", 4, ""),
    )
    assert decimal_of(more_boxes) - decimal_of(hours) == 3 * decimal_of(
        BOOK.figure("hours_per_box")
    )
    each = decimal_of(BOOK.figure("hours_trench_stretch"))
    assert each > 0
    assert decimal_of(dug) - decimal_of(hours) == 3 * each
    slow = own_hours(BOOK, hours, given("hours_factor", "1.5", ""))
    assert decimal_of(slow) == Decimal("9.0")
    assert reworked([hours, slow]) == []


# --- raceways that meet another raceway, and parts that are not needed ----------------------------


def test_a_raceway_that_goes_on_as_another_has_one_end_at_a_box() -> None:
    """40 ft of EMT from a box, joined to the next raceway, then 25 ft more to the next box."""
    onward = run("EMT", 40, trade="3/4", of="4", supports=0, joined_after=True)
    found = needed(run_needs(BOOK, onward, WASTE))
    assert found["emt-3-4-stick"] == 5
    assert found["emt-3-4-coupling"] == 5  # four joints of five sticks, and the one to the next
    assert (found["emt-3-4-connector"], found["3-4-locknut"], found["3-4-bushing"]) == (1, 1, 1)
    assert found["4-thhn-white-wire"] == Decimal("51.7")


def test_a_raceway_between_two_others_has_neither_connectors_nor_wires_of_its_own() -> None:
    between = run("EMT", 40, trade="3/4", of="4", supports=0, joined_before=True, joined_after=True)
    assert needed(run_needs(BOOK, between, WASTE)) == {"emt-3-4-stick": 5, "emt-3-4-coupling": 5}


def test_wires_that_are_pulled_through_are_bought_with_the_pull_they_belong_to() -> None:
    through = run("EMT", 40, trade="3/4", of="4", supports=0, pulled_through=True)
    assert not [key for key in needed(run_needs(BOOK, through, WASTE)) if key.endswith("-wire")]
    own = run("EMT", 40, trade="3/4", of="4", supports=0)
    assert [key for key in needed(run_needs(BOOK, own, WASTE)) if key.endswith("-wire")]


def test_a_glued_conduit_body_takes_no_connectors() -> None:
    body = given("run.1.conduit_bodies", 2, "")
    plastic = run("PVC-80", 9, trade="1", supports=0, joined_after=True, conduit_bodies=body)
    found = needed(run_needs(BOOK, plastic, WASTE))
    assert found["pvc-80-1-connector"] == 1
    assert found["pvc-80-1-conduit-body"] == 2


def test_conductors_through_several_raceways_are_one_piece() -> None:
    ways = [given("route.1.length", 40, "ft"), given("route.2.length", 25, "ft")]
    through = run("EMT", 40, trade="3/4", joined_after=True, pull_lengths=ways)
    length = conductor_length(BOOK, "run.1", through, WASTE)
    assert decimal_of(length) == Decimal("79.2")  # (40 + 25 + 6 + 1) and a tenth more
    assert [symbol for symbol, _ in length.inputs] == ["L1", "L2", "s1", "s2", "w"]


def test_what_comes_to_nothing_is_not_on_the_list() -> None:
    none = {
        name: given(f"run.1.{name}", 0, "")
        for name in ("elbows", "conduit_bodies", "expansion_fittings")
    }
    bare = run(
        "EMT",
        9,
        trade="3/4",
        supports=0,
        neutral=False,
        plates=[given("route.1.plate_count", 0, "")],
        **none,
    )
    straps = [given("route.1.support_count", 0, "")]
    for planned in (bare, replace(bare, supports=straps)):
        assert set(needed(run_needs(BOOK, planned, WASTE))) == {
            "emt-3-4-stick",
            "emt-3-4-connector",
            "3-4-locknut",
            "6-thhn-black-wire",
            "6-thhn-red-wire",
            "10-thhn-green-wire",
        }
    rating = given("overcurrent_rating", 50, "A")
    holes = given("ends.firestop_holes", 0, "")
    assert "firestop-sealant" not in needed(end_needs(BOOK, None, rating, "gfci", holes))


def test_plates_and_a_cable_without_staples() -> None:
    plates = [given("route.1.plate_count", 3, ""), given("route.2.plate_count", 2, "")]
    found = needed(run_needs(BOOK, run(supports=0, plates=plates), WASTE))
    assert found["steel-plate"] == 5
    assert "nm-b-6-3-staple" not in found


def test_a_line_carries_its_offer_and_its_words() -> None:
    lead = given("material.1.lead_time", 4, "d")
    shop = given("material.1.shop", "supply house")
    cable = Offer(lead_time=lead, shop=shop)
    line = bill({"nm-b-6-3-cable": cable}).lines[0]
    assert (line.lead_time, line.shop, line.kind) == (lead, shop, "nm-b-cable")
    assert [fact.name for fact in line.facts] == [
        "conductor_size",
        "run.1.insulated_conductors",
        "grounding_conductor_size",
        "wire_voltage_marking",
    ]


def test_a_box_takes_its_cover_screws_and_connectors_once() -> None:
    plastic = Fitting(2, "junction-nonmetallic-box", False, False, "blank-cover", True, 4)
    assert next(need.kind for need in box_needs(BOOK, plastic)) == "nonmetallic-box"
    metal = Fitting(1, "junction-metal-box", True, False, "blank-cover")
    assert next(need.kind for need in box_needs(BOOK, metal)) == "metal-box"
    assert metal.conductors == 0
    assert needed(box_needs(BOOK, plastic)) == {
        "junction-nonmetallic-box": 1,
        "blank-cover": 1,
        "mounting-screw": 2,
        "wire-connector": 4,
    }
    unspliced = Fitting(2, "junction-nonmetallic-box", False, False, "blank-cover")
    assert needed(box_needs(BOOK, unspliced)).keys() == {
        "junction-nonmetallic-box",
        "blank-cover",
        "mounting-screw",
    }
    spliced = Fitting(1, "junction-metal-box", True, False, "blank-cover", True, 4)
    assert "ground-connector" not in needed(box_needs(BOOK, spliced))
    assert needed(box_needs(BOOK, metal))["ground-connector"] == 1


@pytest.mark.parametrize(
    ("of", "kind"),
    [
        (None, "wire-connector"),
        ("6", "wire-connector"),
        ("4", "splicing-block"),
        ("3", "splicing-block"),
    ],
)
def test_wires_from_4_awg_on_are_spliced_in_blocks(of: str | None, kind: str) -> None:
    """Common practice, no source: twist-on connectors end below the sizes of a pull box."""
    wire = None if of is None else size("conductor_size", of)
    box = Fitting(1, "junction-metal-box", True, False, "blank-cover", True, 4, wire)
    (need,) = [one for one in box_needs(BOOK, box) if one.kind == kind]
    assert decimal_of(need.needed) == 4
    assert need.facts == ((wire,) if wire else ())


def test_pieces_of_two_lengths_add_up_and_parts_of_pieces_are_bought_whole() -> None:
    """A pull of 49.5 ft out of 50 ft, and two of 24.2 ft out of 25 ft each."""
    needs = [
        *run_needs(BOOK, run(), WASTE),
        *run_needs(BOOK, run(feet=20, number=2, from_panel=False), WASTE),
        *run_needs(BOOK, run(feet=20, number=3, from_panel=False), WASTE),
    ]
    coils = Offer(given("material.1.price_per_foot", 4, "USD/ft"), stock=(feet(1, 25), feet(2, 50)))
    listed = bill_of_materials(BOOK, needs, {"nm-b-6-3-cable": coils}, None)
    line = listed.lines[0]
    assert [decimal_of(count) for count, _ in line.pieces] == [2, 1]
    assert decimal_of(line.bought) == 100
    assert reworked([line.bought]) == []
    part = Need("solvent-cement", "solvent-cement", given("run.1.cement", "1.5", ""))
    assert decimal_of(bill_of_materials(BOOK, [part], {}, None).lines[0].bought) == 2


@pytest.mark.parametrize("key", ["disconnect-switch", "wet-disconnect-switch"])
def test_a_switch_comes_in_its_own_enclosure(key: str) -> None:
    least = given("fitting.3.least_switch_rating", 30, "A")
    switch = Fitting(3, key, metal=False, ring=False, cover="", switch=least)
    assert needed(box_needs(BOOK, switch)) == {key: 1, "mounting-screw": 2}
    first = next(box_needs(BOOK, switch))
    assert (first.kind, first.facts) == (key, (least,))


@pytest.mark.parametrize(
    ("method", "connector", "coupling", "bent_by_fittings"),
    [
        ("EMT", "raceway-connector", "coupling", True),
        ("PVC-40", "fitted-connector", "fitted-coupling", True),
        ("RMC", "fitted-connector", "fitted-coupling", True),
        ("FMC", "fitted-connector", None, False),
        ("ENT", "fitted-connector", None, False),
        ("LFMC", "liquidtight-connector", None, False),
        ("LFNC-B", "liquidtight-connector", None, False),
    ],
)
def test_fittings_are_those_of_the_raceway(
    method: str, connector: str, coupling: str | None, bent_by_fittings: bool
) -> None:
    """Listed fittings of the raceway's own (350.6, 356.6); flexible raceways bend by hand."""
    one = replace(run(method, 40, trade="3/4"), elbows=given("run.1.elbows", 1, ""))
    needs = {need.id: need.kind for need in run_needs(BOOK, one, WASTE)}
    key = f"{method.lower()}-3-4"
    assert needs[f"{key}-connector"] == connector
    assert needs.get(f"{key}-coupling") == coupling
    assert (f"{key}-elbow" in needs) is bent_by_fittings
