"""What could be built instead: rows by hand, limits from both sides, who beats whom."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from functools import cache
from itertools import product
from pathlib import Path
from typing import Any

import pytest
import yaml

from packet.codebook import Book
from packet.findings import finding
from packet.jobfile import load_job
from packet.jobfile.change import changed, holds
from packet.jobfile.check import check
from packet.jobfile.read import read
from packet.ledger import Verdict
from packet.plans.branch_circuit import plan
from packet.plans.choices import choices
from packet.plans.options import Comparison, Figures, Option, Shown, Worked, beats, compare_options
from packet.showing import show

JOB = Path(__file__).parents[2] / "jobs" / "garage-receptacle.yaml"
TEXT = JOB.read_text("utf-8")
NARROW = (
    ("    - {nameplate_current: 48 A, connection: hardwired}\n", ""),
    ("  methods:\n", ""),
    ("    - {method: EMT, insulation: THHN/THWN-2, bends: 180 deg}\n", ""),
    ("    - {method: PVC-40, insulation: THHN/THWN-2, bends: 180 deg}\n", ""),
    ("materials: [copper, aluminum]", "materials: [copper]"),
    ("load_methods: [standard, optional]", "load_methods: [optional]"),
)
"""Three places, two settings, two ways to have it done: small enough to go through by hand."""

ONE_PLACE = (
    ("first: 2 ft\n", "first: 6 ft\n"),
    ("last: 10 ft\n", "last: 6 ft\n"),
    ("  electrician:\n    name: Odile Farrow\n    hourly_rate: 94 USD\n    hours_factor: 1\n", ""),
)
OWN_CHARGER = (
    "    - {nameplate_current: 40 A, setting: 24 A}\n",
    "    - {nameplate_current: 40 A}\n",
)

Changes = tuple[tuple[str, str], ...]


def changed_text(changes: Changes) -> str:
    text = TEXT
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


def compared(folder: Path, *changes: tuple[str, str]) -> Comparison:
    file = folder / "job.yaml"
    file.write_text(changed_text(changes), "utf-8")
    made = compare_options(read(file))
    assert made is not None
    return made


@cache
def narrow(tmp: Path) -> Comparison:
    return compared(tmp, *NARROW)


@pytest.fixture(scope="module")
def few(tmp_path_factory: pytest.TempPathFactory) -> Comparison:
    return narrow(tmp_path_factory.mktemp("options"))


def told(one: Worked) -> tuple[str, ...]:
    entries = (one.cost, one.hours, one.charging_hours, one.drop, one.spare)
    return tuple(show(entry).replace("\u00a0", " ") if entry else "" for entry in entries)


def count(made: Comparison, name: str) -> int:
    return int(made.ledger[f"options.{name}"].value.magnitude)


# ---------------------------------------------------------------------------- three rows by hand

COIL_50, COIL_125 = Decimal(50), Decimal(125)

AT_BUILDING_SUPPLY = sum(
    map(Decimal, ("6.45", "5.60", "3.25", "2.85", "14.75", "1.15", "24.50"))
) + sum(n * Decimal(price) for n, price in ((2, "1.60"), (2, "5.20"), (8, "0.85")))
"""Cover, screws, bonding screw, connector, sealant, knockout plug, wall repair; two pigtails, two
labels, eight steel plates."""

AT_SUPPLY_HOUSE = sum(map(Decimal, ("9.85", "7.30", "78.20")))
"""Box, ring, receptacle."""

CENT = Decimal("0.01")


def money(amount: Decimal) -> str:
    return f"$ {amount.quantize(CENT)}"


def with_tax(cost: Decimal) -> Decimal:
    """5.75 % of each trip, to the cent."""
    return cost + (cost * Decimal("0.0575")).quantize(CENT)


def house(charger: int) -> Decimal:
    """Return the load by the optional method, 220.82, in amperes; `charger` is in volt-amperes.

    1960 ft2 at 3 VA, two kitchen circuits and one laundry circuit of 1500 VA; range 11,600,
    dryer 5,400, water heater 4,500, dishwasher 1,300, disposer 780, blower 6.2 A at 120 V. The
    first 10 kVA count whole, the rest at 40 %; the air conditioner is 19.5 A at 240 V. The
    charger counts in full, with a quarter more as a continuous load.
    """
    general = 1960 * 3 + 3 * 1500 + 11_600 + 5_400 + 4_500 + 1_300 + 780 + Decimal("6.2") * 120
    return (10_000 + (general - 10_000) * Decimal("0.4") + 4_680 + charger * Decimal("1.25")) / 240


def test_the_job_as_it_stands_by_hand(few: Comparison) -> None:
    """6 AWG copper, 0.491 ohms for a thousand feet (Chapter 9 Table 8), 40 ft one way at 40 A.

    The cable: (29 + 11 + 6 + 1) ft and 8 % are 50.76 ft, a coil of 125 ft at 4.15. Work:
    panel 1.5 h, tests 1 h, one box 1 h, four stretches of 0.25 h, at a pace of 1.6.
    """
    assert (29 + 11 + 6 + 1) * Decimal("1.08") == Decimal("50.76") > COIL_50
    cable = COIL_125 * Decimal("4.15") + 2 * Decimal("2.10") + Decimal("8.90")
    cost = with_tax(cable + AT_BUILDING_SUPPLY) + with_tax(AT_SUPPLY_HOUSE + Decimal("131.40"))
    assert (Decimal("1.5") + 1 + 1 + 4 * Decimal("0.25")) * Decimal("1.6") == Decimal("7.2")
    assert 45 * Decimal("0.31") / Decimal("9.6") == Decimal("1.453125")  # kWh by kW, up to 1.5
    assert 2 * 40 * Decimal("0.000491") * 40 == Decimal("1.5712")  # volts, of 240 V 0.6547 %
    assert money(cost) == "$ 885.71"
    assert 200 - house(9_600) == Decimal("47.66")
    assert told(few.own.worked) == ("$ 885.71", "7.2 h", "1.5 h", "0.66 %", "47.66 A")
    assert few.own.worked.option.changes == {}


def test_the_cheapest_option_by_hand(few: Comparison) -> None:
    """24 A on 10 AWG, 1.21 ohms for a thousand feet (Chapter 9 Table 8), 36 ft one way.

    At 2 ft the wire is 4 ft shorter: (29 + 7 + 6 + 1) ft and 8 % are 46.44 ft, a coil of 50 ft
    at 2.05. The cord: 46 in down, 13 ft along, 4 ft out, 33 in up.
    """
    assert (29 + 7 + 6 + 1) * Decimal("1.08") == Decimal("46.44") < COIL_50
    cable = COIL_50 * Decimal("2.05") + 2 * Decimal("1.70") + Decimal("7.40")
    cost = with_tax(cable + AT_BUILDING_SUPPLY) + with_tax(AT_SUPPLY_HOUSE + Decimal("118.60"))
    assert (Decimal("3.5") + 36 * Decimal("0.025")) * Decimal("1.6") == Decimal("7.04")
    assert Decimal("13.95") / Decimal("5.76") < Decimal("2.43")  # hours, up to 2.5
    assert 2 * 36 * Decimal("0.00121") * 24 == Decimal("2.09088")  # volts, of 240 V 0.8712 %
    assert money(cost) == "$ 429.55"
    assert 200 - house(5_760) == Decimal("67.66")
    first = few.kept[0].worked
    assert told(first) == ("$ 429.55", "7.1 h", "2.5 h", "0.88 %", "67.66 A")
    assert Decimal(46 + 13 * 12 + 4 * 12 + 33) / 12 < Decimal("23.59")
    assert show(first.ledger["option.cord_needed"]) == "23.6\u00a0ft"
    assert show(first.ledger["option.cord"]) == "24\u00a0ft"


def test_the_option_by_an_electrician_by_hand(few: Comparison) -> None:
    """40 A at 2 ft: a coil of 50 ft at 4.15, and 4.4 h charged as 4.5 h at 94."""
    cable = COIL_50 * Decimal("4.15") + 2 * Decimal("2.10") + Decimal("8.90")
    cost = with_tax(cable + AT_BUILDING_SUPPLY) + with_tax(AT_SUPPLY_HOUSE + Decimal("131.40"))
    assert money(cost) == "$ 556.56"
    assert money(cost + Decimal("4.5") * 94) == "$ 979.56"
    assert 2 * 36 * Decimal("0.000491") * 40 / 240 < Decimal("0.0059")  # 0.589 %, up to 0.59
    last = few.kept[-1].worked
    assert told(last) == ("$ 979.56", "4.4 h", "1.5 h", "0.59 %", "47.66 A")
    assert last.ledger["people.work_by"].value == "licensed electrician"


def test_every_combination_is_tried_once(few: Comparison) -> None:
    """Three places, two settings and two ways to have it done."""
    assert count(few, "tried") == 3 * 2 * 2
    assert count(few, "fall_short") == 0
    assert count(few, "beaten") + count(few, "kept") == 12
    assert len(few.kept) == count(few, "kept") == 4
    job = load_job(JOB)
    assert job.options is not None
    sizes = [len(one) for one in choices(Book("2023"), job, job.options)]
    assert sizes == [3, 3, 3, 2, 2, 2]


def test_what_is_left_out_is_tried_whole(tmp_path: Path) -> None:
    """Every usual current, both metals and all four load calculations, where none is named."""
    text = changed_text(NARROW).replace("  materials: [copper]\n  load_methods: [optional]\n", "")
    file = tmp_path / "job.yaml"
    file.write_text(text.replace(f"  chargers:\n{OWN_CHARGER[0]}", ""), "utf-8")
    job = load_job(file)
    assert job.options is not None
    tried = choices(Book("2023"), job, job.options)
    assert [len(one) for one in tried] == [3, 10, 1, 2, 4, 2]
    nameplates = [one.changes.get("circuit.equipment.nameplate_current") for one in tried[1]]
    assert nameplates == [None, *(f"{n} A" for n in (6, 8, 10, 12, 16, 20, 24, 32, 48))]


# --------------------------------------------------------------------- both sides of limits

WIRED = (
    (
        "connection: receptacle\n  configuration: 14-50\n  receptacle_grade: industrial\n",
        "connection: hardwired\n",
    ),
    ("nameplate_current: 40 A       #", "nameplate_current: 48 A       #"),
    ("    fastened: no\n", "    fastened: yes\n"),
    ("at: receptacle hot", "at: equipment line"),
    ("at: receptacle neutral", "at: splicing connector"),
    ("at: receptacle ground", "at: equipment ground"),
    ("  material: copper\n", "  material: copper\n  conductor: 6 AWG\n"),
)
EMT = "  materials: [copper]\n  methods: [{method: EMT, insulation: THHN/THWN-2, bends: 180 deg}]\n"


def of_kind(made: Comparison, kind: str) -> list[Any]:
    return [one for one in made.by_choice if one.choice.kind == kind]


def test_48_amperes_on_6_awg_fall_short_in_cable_and_fit_in_tubing(tmp_path: Path) -> None:
    """Table 310.16: 6 AWG copper carries 55 A at 60 °C, all that 334.80 allows NM-B, and 65 at 75.

    48 A continuous need 60 A.
    """
    made = compared(
        tmp_path,
        *NARROW[:4],
        *NARROW[5:],
        *ONE_PLACE,
        (OWN_CHARGER[0], OWN_CHARGER[1].replace("40", "48")),
        *WIRED,
        ("  materials: [copper, aluminum]\n", EMT),
    )
    assert made.own.worked.option.verdict is Verdict.FALLS_SHORT
    assert any("ampacity" in name or "carries" in name for name in made.own.worked.option.short)
    cable, tubing = of_kind(made, "method")
    assert cable.best is None
    assert tubing.best is not None
    assert tubing.best.worked.ledger["conductor_size"].value.name == "6 AWG"
    assert tubing.best.worked.option.verdict is not Verdict.FALLS_SHORT


@pytest.mark.parametrize("marked", ["copper", "copper and aluminum"])
def test_aluminum_hangs_on_the_marks_of_the_terminals(tmp_path: Path, marked: str) -> None:
    """110.14(A): a terminal takes the metals that it is marked for."""
    ground = (
        "torque: 42 lbf-in, temperature: 75 degC, wire_range: {smallest: 12 AWG, largest: 6 AWG}"
    )
    bar = ground.replace("42 lbf", "25 lbf").replace("12 AWG", "14 AWG")
    wide = ground.replace("largest: 6 AWG", "largest: 4 AWG")
    made = compared(
        tmp_path,
        *NARROW[:4],
        *NARROW[5:],
        *ONE_PLACE,
        OWN_CHARGER,
        (f"{ground}, marked_for: copper,", f"{wide}, marked_for: {marked},"),
        (bar, bar.replace("largest: 6 AWG", "largest: 4 AWG")),
    )
    copper, aluminum = of_kind(made, "material")
    assert copper.best is not None
    if marked == "copper":
        assert aluminum.best is None
        assert aluminum.reason.check.name.endswith(".takes_metal")
    else:
        assert aluminum.best is not None
        assert aluminum.best.worked.ledger["conductor_size"].value.name == "4 AWG"
        assert any("4-3-aluminum-cable" in line.id for line in bill(aluminum.best.worked))


def bill(one: Worked) -> Sequence[Any]:
    assert one.plan.shopping is not None
    return one.plan.shopping.bill.lines


SMALL_SERVICE = (
    ("service:\n  rating: 200 A", "service:\n  rating: 125 A"),
    ("  main_rating: 200 A\n  bus_rating: 200 A", "  main_rating: 125 A\n  bus_rating: 125 A"),
)


def test_a_short_service_is_put_right_by_energy_management(tmp_path: Path) -> None:
    """220.82: 24,561.6 VA without the charger leave 22.66 A of 125 A; with a quarter more, 18 A.

    By hand: (125 * 240 - 24561.6) / 240 = 22.66, and 22.66 / 1.25 = 18.1, of which 18 A are
    allowed; 13.95 kWh at 4.32 kW take 3.23 h. The system costs 640.
    """
    price = ("  electrician:\n", "  management: {price: 640 USD}\n  electrician:\n")
    narrow_ones = (*NARROW, *ONE_PLACE[:2], OWN_CHARGER)
    made = compared(tmp_path, *narrow_ones, *SMALL_SERVICE, price)
    assert made.own.worked.option.verdict is Verdict.FALLS_SHORT
    assert "service_carries_load" in made.own.worked.option.short
    assert count(made, "tried") == 4  # each of the two by hand once more with the system
    best = made.kept[0].worked
    assert best.option.is_managed
    assert best.option.changes["service.energy_management.limit"] == "18 A"
    assert told(best) == ("$ 1,525.71", "7.2 h", "3.3 h", "0.66 %", told(best)[4])
    assert best.option.verdict is Verdict.MEETS


def test_a_system_without_a_price_makes_the_cost_unknown(tmp_path: Path) -> None:
    """An unknown price is not zero: the option would look cheaper than it can be."""
    made = compared(
        tmp_path,
        *NARROW[:5],
        *ONE_PLACE,
        OWN_CHARGER,
        *SMALL_SERVICE,
        ("load_methods: [standard, optional]\n", "load_methods: [optional]\n  management: {}\n"),
    )
    assert made.kept[0].worked.option.is_managed
    assert made.kept[0].worked.cost is None
    assert count(made, "without_cost") == count(made, "allowed") == 1


def test_no_management_where_none_is_offered(tmp_path: Path) -> None:
    made = compared(tmp_path, *NARROW, *ONE_PLACE, OWN_CHARGER, *SMALL_SERVICE)
    assert count(made, "tried") == count(made, "fall_short") == 1
    assert made.kept == ()


def test_the_last_inch_of_the_cord_decides(tmp_path: Path) -> None:
    """By hand: 24 ft less 46 in, 4 ft and 33 in are 161 in: 16 in from the corner
    reach 177 in, and 15 do not.
    """
    made = compared(
        tmp_path,
        *NARROW,
        ONE_PLACE[2],
        OWN_CHARGER,
        ("first: 2 ft\n", "first: 15 in\n"),
        ("last: 10 ft\n", "last: 16 in\n"),
        ("step: 4 ft\n", "step: 1 in\n"),
        ("now: 6 ft\n", "now: 16 in\n"),
        ("inlet_along: 15 ft\n", "inlet_along: 177 in\n"),
    )
    reaching, short = of_kind(made, "place")
    assert reaching.best is not None
    assert short.best is None
    assert short.reason.check.name == "cord_reaches_inlet"
    says = finding(short.reason.check, short.reason.ledger).says.replace("\u00a0", " ")
    assert says == "The inlet needs 24.1 ft of cord, and the longest that can be bought has 24 ft."
    eighteen, twenty, twenty_four = made.by_cord
    assert eighteen.best is twenty.best is None
    assert twenty_four.best is not None


# ------------------------------------------------------------------------- who beats whom


def option(*figures: Any, verdict: Verdict = Verdict.MEETS) -> Option:
    exact: Figures = tuple(None if one is None else Decimal(one) for one in figures)
    return Option((), {}, verdict, exact, ())


BASE = (500, 7, 2, 1, -40)


@pytest.mark.parametrize("place", range(5))
def test_one_better_figure_is_enough_and_one_worse_too_much(place: int) -> None:
    """In each figure, both ways; a larger spare capacity is a smaller figure."""
    better = [*BASE]
    better[place] -= 1
    assert beats(option(*better), option(*BASE))
    assert not beats(option(*BASE), option(*better))
    for other in set(range(5)) - {place}:
        mixed = [*better]
        mixed[other] += 1
        assert not beats(option(*mixed), option(*BASE))
        assert not beats(option(*BASE), option(*mixed))


def test_the_same_figures_beat_only_where_questions_are_open() -> None:
    assert not beats(option(*BASE), option(*BASE))
    assert beats(option(*BASE), option(*BASE, verdict=Verdict.ASK))
    assert not beats(option(*BASE, verdict=Verdict.ASK), option(*BASE))


def test_open_questions_beat_nothing_that_is_ready_and_shortfalls_beat_nothing() -> None:
    cheap = (1, 1, 1, 0, -90)
    assert not beats(option(*cheap, verdict=Verdict.ASK), option(*BASE))
    assert beats(option(*cheap, verdict=Verdict.ASK), option(*BASE, verdict=Verdict.ASK))
    for one, other in product(Verdict, repeat=2):
        if Verdict.FALLS_SHORT in (one, other):
            assert not beats(option(*cheap, verdict=one), option(*BASE, verdict=other))


@pytest.mark.parametrize("costs", [(None, 500), (500, None)])
def test_an_unknown_cost_neither_beats_nor_is_beaten(costs: Any) -> None:
    one, other = costs
    assert not beats(option(one, 1, 1, 0, -90), option(other, *BASE[1:]))


def test_two_unknown_costs_are_held_against_each_other_by_the_rest() -> None:
    assert beats(option(None, 1, 1, 0, -90), option(None, *BASE[1:]))
    assert not beats(option(None, *BASE[1:]), option(None, *BASE[1:]))


def test_each_beaten_option_names_one_that_beats_it(few: Comparison) -> None:
    shown: list[Shown] = [few.own, *(one.best for one in few.by_choice if one.best)]
    for one in shown:
        assert (one.kept is None) is (one.beaten_by is not None)
        if one.beaten_by is not None:
            assert beats(few.kept[one.beaten_by - 1].worked.option, one.worked.option)
    for one, other in product(few.kept, repeat=2):
        assert not beats(one.worked.option, other.worked.option)


def test_a_missing_price_is_said_and_strikes_nothing_out(tmp_path: Path) -> None:
    """Without the price of the smaller breaker, what it costs to set the charger lower is open."""
    gone = ("    - {item: 30-2-pole-gfci-breaker,", "    - {item: another-breaker,")
    made = compared(tmp_path, *NARROW, *ONE_PLACE, gone)
    own, lower = of_kind(made, "charger")
    assert lower.best.worked.cost is None
    assert lower.best.kept == 2
    assert (own.best.kept, own.best.worked.option.changes) == (1, {})
    assert count(made, "without_cost") == 1


# ------------------------------------------------------------------- keys of the job file


def applied(text: str, changes: Any) -> str:
    """Write the keys into the file as a person would, by a reader that is not ours."""
    data: Any = yaml.load(text, yaml.BaseLoader)  # noqa: S506 - text only
    gone: list[tuple[Any, Any]] = []
    for path, value in changes.items():
        *way, last = path.split(".")
        place = data
        for step in way:
            place = place[int(step) - 1] if isinstance(place, list) else place.setdefault(step, {})
        key = int(last) - 1 if isinstance(place, list) else last
        if value is None:
            gone.append((place, key))
        else:
            place[key] = str(value)
    for place, key in sorted(gone, key=lambda one: str(one[1]), reverse=True):
        del place[key]
    return yaml.safe_dump(data, sort_keys=False)


@pytest.mark.parametrize(
    "of",
    [
        {"route.2.length": "7 ft"},
        {"circuit.material": "aluminum", "people.work_by": "licensed electrician",
         "people.installer.name": "Odile Farrow"},
        {"circuit.connection": "hardwired", "circuit.configuration": None,
         "circuit.receptacle_grade": None, "terminals.4": None, "terminals.5": None,
         "terminals.6": None},
    ],
)  # fmt: skip
def test_typing_the_keys_makes_the_same_job(tmp_path: Path, of: Any) -> None:
    """Two ways of writing the same changes: into the nodes that were read, and into the text."""
    document = read(JOB)
    ours = plan(check(changed(document, of, document.top.span))).ledger
    file = tmp_path / "typed.yaml"
    file.write_text(applied(TEXT, of), "utf-8")
    typed = plan(load_job(file)).ledger
    assert {one.name: show(one) for one in ours} == {one.name: show(one) for one in typed}
    assert {n: c.verdict for n, c in ours.checks.items()} == {
        n: c.verdict for n, c in typed.checks.items()
    }


def test_the_printed_keys_of_an_option_give_its_figures(few: Comparison, tmp_path: Path) -> None:
    for number, one in enumerate((few.kept[0], few.kept[-1])):
        file = tmp_path / f"{number}.yaml"
        file.write_text(applied(changed_text(NARROW), one.worked.option.changes), "utf-8")
        made = compare_options(read(file))
        assert made is not None
        assert told(made.own.worked) == told(one.worked)
        assert show(made.own.worked.ledger["option.place"]) == "2\u00a0ft"


def test_a_change_leaves_the_document_as_it_was() -> None:
    document = read(JOB)
    before = document.top
    other = changed(document, {"circuit.material": None, "route.1.wet": "yes"}, before.span)
    assert document.top is before
    assert holds(document, "circuit.material")
    assert not holds(other, "circuit.material")
    assert not holds(document, "circuit.no.such.key")
    assert not holds(document, "route.3.length")
    assert check(other).route[0].wet is not None


def test_a_job_without_options_has_no_comparison(tmp_path: Path) -> None:
    file = tmp_path / "job.yaml"
    file.write_text(TEXT.partition("\noptions:")[0] + "\n", "utf-8")
    assert compare_options(read(file)) is None
