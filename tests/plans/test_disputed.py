"""Where books or offices read the code differently, a job takes a side, and both are told.

The points are those on which the sources of the code book differ: heating and cooling of
220.83(A) (Mike Holt forum thread 2577480), vehicle charging in the optional pool (threads
2580262, 2585012; Building Code Forum thread 31070), the exception of 250.122(B) (EC&M, April
2022), the insulation limit (IEC 60364-6 against the earlier British table), and the adjustable
charger of 2017.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from packet.ledger import Entry, Verdict
from packet.plans.branch_circuit import Plan
from packet.quantities import magnitude
from packet.sheets.load import load_worksheet
from tests.plans.test_answers import edited

MEETS, SHORT, ASK, NOTE = Verdict.MEETS, Verdict.FALLS_SHORT, Verdict.ASK, Verdict.NOTE
HEAD = "utility:\n  name: Veldane Rural Power Cooperative\n"
Edit = tuple[str, str]


def taking(*lines: str) -> Edit:
    """Return the change that puts sides of disputed points into a job file."""
    text = "".join(f"  {line}\n" for line in lines)
    return HEAD, f"readings_of_the_code:\n{text}{HEAD}"


Make = Callable[..., Plan]


@pytest.fixture
def make(tmp_path: Path) -> Make:
    return lambda name, *changes: edited(tmp_path, name, *changes)


def whole(entry: Entry, unit: str = "VA") -> Any:
    return magnitude(entry.value, unit)


def method(plan: Plan, name: str) -> Any:
    return next(sheet for sheet in plan.load.worksheets if sheet.method == name)


@pytest.mark.parametrize(
    ("key", "word", "worksheet", "point"),
    [
        ("vehicle_charger", "at the reduced share", "optional", "charger"),
        ("vehicle_charger", "at the reduced share", "existing", "charger"),
        ("existing_heating_and_cooling", "at the reduced share", "existing", "comfort"),
        ("continuous_share", "not added", "standard", "continuous_share"),
    ],
)
def test_a_side_taken_gives_what_the_safe_side_said_it_would(
    make: Make, key: str, word: str, worksheet: str, point: str
) -> None:
    """The other amperes on one packet are the amperes of the other packet, both ways."""
    safe, other = make("garage-receptacle"), make("garage-receptacle", taking(f"{key}: {word}"))
    ours, theirs = method(safe, worksheet), method(other, worksheet)
    of = {one.name: one for one in ours.disputed}[point]
    back = {one.name: one for one in theirs.disputed}[point]
    assert of.taken.value != back.taken.value
    assert whole(of.other_amperes, "A") == whole(theirs.deciding, "A")
    assert whole(back.other_amperes, "A") == whole(ours.deciding, "A")
    assert whole(ours.deciding, "A") > whole(theirs.deciding, "A")


def test_a_missing_choice_is_the_safe_side_and_no_fault(make: Make) -> None:
    plain = make("garage-receptacle")
    spoken = make(
        "garage-receptacle",
        taking(
            "vehicle_charger: in full",
            "existing_heating_and_cooling: in full",
            "continuous_share: added",
            "solar_and_a_year_of_data: barred",
            "enlarged_grounding_conductor: grows with the conductors",
        ),
    )
    assert [whole(one.deciding, "A") for one in plain.load.worksheets] == [
        whole(one.deciding, "A") for one in spoken.load.worksheets
    ]


def test_a_fastened_charger_among_the_appliances_is_a_side_in_2017_only_to_2020(
    make: Make,
) -> None:
    """The exclusion of 220.53 came in 2023."""
    side = taking("fastened_charger: among the appliances")
    fast = ("    fastened: no\n", "    fastened: yes\n")
    for edition, differs in (("2017", True), ("2020", True), ("2023", False)):
        to = ("code_edition: 2023", f"code_edition: {edition}")
        safe = method(make("garage-receptacle", to, fast), "standard")
        other = method(make("garage-receptacle", to, fast, side), "standard")
        assert (whole(safe.deciding, "A") > whole(other.deciding, "A")) is differs


FULL = "service:\n  rating: 200 A"


@pytest.mark.parametrize(
    ("sides", "verdict"),
    [
        ((), NOTE),
        (("vehicle_charger: at the reduced share",), ASK),
        (("vehicle_charger: at the reduced share", "agreed_with: plan reviewer"), NOTE),
    ],
)
def test_a_verdict_that_hangs_on_a_reading_is_told(
    make: Make, sides: tuple[str, ...], verdict: Verdict
) -> None:
    """A service between the two sides: short on the safe one, open on the other until agreed."""
    sheet = method(make("garage-receptacle"), "optional")
    point = next(one for one in sheet.disputed if one.name == "charger")
    middle = (whole(sheet.deciding, "A") + whole(point.other_amperes, "A")) / 2
    service = (FULL, f"service:\n  rating: {round(middle, 1)} A")
    main = ("main_rating: 200 A", "main_rating: 400 A")
    bus = ("bus_rating: 200 A", "bus_rating: 400 A")
    plan = make("garage-receptacle", service, main, bus, *([taking(*sides)] if sides else []))
    assert plan.ledger.checks["charger_reading_does_not_decide"].verdict is verdict
    carries = plan.ledger.checks["service_carries_continuous_share"].verdict
    assert carries is (MEETS if sides else SHORT)


def test_sheet_k_prints_the_side_taken_and_what_the_other_gives(make: Make) -> None:
    page = load_worksheet(make("garage-receptacle"))
    optional = next(one for one in page.methods if one.governs)
    said = {one.point: one for one in optional.readings}
    charging = said["vehicle charging"]
    assert charging.taken == "counted in full"
    assert charging.source == "220.82"
    assert charging.other.endswith("A")
    assert charging.fits is True
    assert said["continuous share of vehicle charging"].taken == "added"
    assert page.readings == ()
    other = load_worksheet(
        make(
            "garage-receptacle", taking("vehicle_charger: at the reduced share", "agreed_with: Ada")
        )
    )
    again = {one.point: one for one in next(m for m in other.methods if m.governs).readings}
    assert again["vehicle charging"].taken == "counted at the reduced share"
    assert again["vehicle charging"].other == optional.used
    assert other.agreed_with == "Ada"


SETTING: Edit = (
    "    nameplate_current: 40 A ",
    "    setting: {current: 24 A, access: restricted, on_label: yes}\n    nameplate_current: 40 A ",
)


@pytest.mark.parametrize(
    ("edition", "sides", "amperes", "verdict", "other"),
    [
        ("2017", (), 40, NOTE, "24 A"),
        ("2017", ("adjustable_charger: setting counts",), 24, ASK, "40 A"),
        ("2017", ("adjustable_charger: setting counts", "agreed_with: Ada"), 24, MEETS, "40 A"),
        ("2023", (), 24, MEETS, None),
    ],
)
def test_an_adjustable_charger_in_2017(
    make: Make, edition: str, sides: tuple[str, ...], amperes: int, verdict: Verdict, other: str
) -> None:
    plan = make(
        "garage-receptacle",
        ("code_edition: 2023", f"code_edition: {edition}"),
        SETTING,
        *([taking(*sides)] if sides else []),
    )
    assert whole(plan.ledger["charging_current"], "A") == amperes
    assert plan.ledger.checks["setting_may_size_circuit"].verdict is verdict
    rows = [one.other for one in load_worksheet(plan).readings]
    assert rows == ([] if other is None else [other.replace(" ", "\u00a0")])


@pytest.mark.parametrize(
    ("edition", "sides", "given", "verdict"),
    [
        ("2017", (), "10 AWG", SHORT),
        ("2017", ("enlarged_grounding_conductor: by a qualified person",), "10 AWG", SHORT),
        ("2023", (), "10 AWG", SHORT),
        ("2023", (), "8 AWG", SHORT),
        ("2023", (), "6 AWG", MEETS),
        ("2023", ("enlarged_grounding_conductor: by a qualified person",), "10 AWG", ASK),
        (
            "2023",
            ("enlarged_grounding_conductor: by a qualified person", "agreed_with: Ada"),
            "10 AWG",
            NOTE,
        ),
    ],
)
def test_the_grounding_conductor_of_enlarged_conductors(
    make: Make, edition: str, sides: tuple[str, ...], given: str, verdict: Verdict
) -> None:
    """4 AWG where 6 AWG would do: 10 380 cmil times 41 740 over 26 240 is a hair over 8 AWG."""
    larger = (
        "  material: copper\n  load_method",
        f"  conductor: 4 AWG\n  equipment_grounding: {given}\n  material: copper\n  load_method",
    )
    plan = make(
        "garage-receptacle",
        ("code_edition: 2023", f"code_edition: {edition}"),
        larger,
        *([taking(*sides)] if sides else []),
    )
    assert plan.ledger.checks["equipment_grounding_enlarged"].verdict is verdict
    rows = [one.other for one in load_worksheet(plan).readings]
    person = any("qualified" in side for side in sides)
    expected = [] if edition == "2017" else ["6 AWG" if person else "10 AWG"]
    assert rows == [text.replace(" ", "\u00a0") for text in expected]


@pytest.mark.parametrize(
    ("sides", "limit", "other"),
    [((), "1", "0.5"), (("insulation_resistance: earlier limit",), "0.5", "1")],
)
def test_the_limit_of_the_insulation_test(
    make: Make, sides: tuple[str, ...], limit: str, other: str
) -> None:
    plan = make(
        "garage-receptacle",
        ("  load_method: optional", "  insulation_test: yes\n  load_method: optional"),
        *([taking(*sides)] if sides else []),
    )
    assert plan.installed is not None
    bands = {one.id: one.low for one in plan.installed.readings if one.meter == "insulation"}
    assert set(bands) == {"insulation-l1-g", "insulation-l2-g", "insulation-n-g"}
    assert all(str(whole(low, "MΩ")) == limit for low in bands.values() if low)
    assert [one.other for one in load_worksheet(plan).readings] == [f"{other}\u00a0MΩ"]


def test_without_an_insulation_test_none_is_printed(make: Make) -> None:
    plan = make("garage-receptacle")
    assert plan.installed is not None
    assert not [one for one in plan.installed.readings if one.meter == "insulation"]


def test_solar_and_a_year_of_data(make: Make) -> None:
    """220.87: the exception stands after the whole section, and some read it of recordings only."""
    solar = ("solar_or_peak_shaving: no", "solar_or_peak_shaving: yes")
    used = ("load_method: optional", "load_method: measured")
    name = "utility:\n  name: Fallowmere Municipal Light\n"
    side = (name, f"readings_of_the_code:\n  solar_and_a_year_of_data: allowed\n{name}")
    barred = make("driveway-pedestal", solar, used)
    assert barred.ledger.checks["load_method_applies"].verdict is SHORT
    allowed = make("driveway-pedestal", solar, used, side)
    assert allowed.ledger.checks["load_method_applies"].verdict is MEETS
    assert allowed.ledger.checks["measured_record_has_no_other_source"].verdict is NOTE
