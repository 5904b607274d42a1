"""Every reading of a new outlet, dead and live, with its band."""

from __future__ import annotations

from decimal import Decimal
from itertools import product
from pathlib import Path
from typing import Any

import pytest
import yaml

from packet.codebook import EDITIONS, Book
from packet.findings import render_text
from packet.ledger import Verdict, decimal_of
from packet.rules.readings import (
    Outlet,
    Reading,
    fall_band,
    grounding_path_high,
    grounding_path_resistance,
    loaded_band,
    predicted_loaded_voltage,
    readings,
    voltage_band,
    within_band,
)
from packet.showing import show
from tests.rules.givens import given, not_redoable, shown, size
from tests.rules.installation import enters_ledger, examples, reworked

FACTS = examples("measured_facts")
TEXTS = yaml.safe_load(
    (Path(__file__).parents[2] / "templates" / "readings.yaml").read_text("utf-8")
)
BOOK = Book("2023")
DROP = given("circuit_drop", "2.4", "V")
CURRENT = given("charging_current", 40, "A")
OUTLET = Outlet(neutral=True, receptacle=True, gfci=True, service_panel=True)


def path(feet: Any = 60, of: str = "10", stranding: str = "stranded") -> Any:
    return grounding_path_resistance(
        BOOK,
        size("grounding_conductor_size", of),
        given("grounding_conductor_length", feet, "ft"),
        "copper",
        stranding,
    )


def by_id(outlet: Outlet = OUTLET) -> dict[str, Reading]:
    return {reading.id: reading for reading in readings(BOOK, outlet, path(), DROP)}


def answer(reading: Reading, value: Any, unit: str = "V") -> Verdict:
    measured = given("reading.1.current" if unit == "A" else "reading.1.value", value, unit)
    return within_band("reading", measured, reading.low, reading.high, ()).verdict


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("which", "key"), [("leg", "leg"), ("both", "both")])
def test_published_utility_limits(which: Any, key: str, edition: str) -> None:
    low, high = voltage_band(Book(edition), which)
    assert [decimal_of(low), decimal_of(high)] == FACTS["utility_limits"][key]


def test_the_technicians_band_is_wider_than_ours() -> None:
    """Contested: see the reason in the file of examples."""
    for which in ("leg", "both"):
        low, high = voltage_band(BOOK, which)  # type: ignore[arg-type]
        widest = FACTS["technician_band"][which]
        assert widest[0] < decimal_of(low) < decimal_of(high) < widest[1]


def test_published_three_voltages_agree_with_each_other_and_with_the_bands() -> None:
    told = {
        key: Decimal(FACTS["three_voltages"][key])
        for key in ("hot_to_neutral", "neutral_to_ground", "hot_to_ground")
    }
    assert told["hot_to_neutral"] + told["neutral_to_ground"] == told["hot_to_ground"]
    rows = by_id()
    assert answer(rows["live-l1-n"], told["hot_to_neutral"]) is Verdict.MEETS
    assert answer(rows["live-l1-g"], told["hot_to_ground"]) is Verdict.MEETS
    assert answer(rows["live-n-g"], told["neutral_to_ground"]) is Verdict.MEETS


def test_a_50_a_outlet_in_practice() -> None:
    """Common practice, no source: 123 V on each leg, 0 V neutral to ground, 246 V in all."""
    rows = by_id()
    told = {"l1-n": 123, "l2-n": 123, "l1-g": 123, "l2-g": 123, "n-g": 0, "l1-l2": 246}
    for pair, volts in told.items():
        assert answer(rows[f"live-{pair}"], volts) is Verdict.MEETS, pair


@pytest.mark.parametrize(
    ("id_", "unit", "inside", "outside"),
    [
        ("dead-l1-l2", "V", (0, 3), ("3.1", 120)),
        ("live-l1-l2", "V", (228, 252), ("227.9", "252.1", 0, 208)),
        ("live-l1-n", "V", (114, 126), ("113.9", "126.1", 240)),
        ("live-n-g", "V", (0, 2), ("2.1", 120)),
        ("leg-difference", "V", (0, 3), ("3.1",)),
        ("gfci-trips", "V", (0, 3), (240,)),
        ("loaded-l1-l2", "V", ("225.6", 252), ("225.5", "252.1")),
        ("voltage-fall", "V", (0, "7.2"), ("7.3",)),
        *(
            (f"meter-proof-{when}", "V", (114, 126), ("113.9", "126.1"))
            for when in ("before", "after")
        ),
        *(
            (path_id, "Ω", (0, "0.3744"), ("0.3745", 1))
            for path_id in ("grounding-path", "box-bond", "neutral-path")
        ),
    ],
)
def test_bands_at_their_ends(
    id_: str, unit: str, inside: tuple[Any, ...], outside: tuple[Any, ...]
) -> None:
    row = by_id()[id_]
    assert [answer(row, value, unit) for value in inside] == [Verdict.MEETS] * len(inside)
    assert [answer(row, value, unit) for value in outside] == [Verdict.FALLS_SHORT] * len(outside)


@pytest.mark.parametrize(
    ("ohms", "verdict"), [("0.9", Verdict.FALLS_SHORT), (1, Verdict.MEETS), (500, Verdict.MEETS)]
)
def test_conductors_that_must_not_touch(ohms: Any, verdict: Verdict) -> None:
    """1.0 MΩ: IEC 60364-6 Table 6A for circuits up to 500 V."""
    row = by_id()["apart-l1-g"]
    assert row.high is None
    measured = given("insulation_resistance", ohms, "MΩ")
    assert within_band("reading", measured, row.low, row.high, ()).verdict is verdict


def test_grounding_path_of_100_ft_of_10_awg() -> None:
    """Table 8 gives 1.21 Ω/kft solid: 0.121 Ω; the trade's handbook figure is about 0.12 Ω."""
    assert decimal_of(path(100, stranding="solid")) == Decimal("0.121")


def test_published_resistance_is_cooler_than_the_table() -> None:
    """10.4 x 60 / 10,380 is 0.060 Ω near 20 °C; the table, at 75 °C, gives 0.0744 Ω."""
    told = FACTS["grounding_resistance"]
    hot = path(told["loop_feet"])
    assert not_redoable([hot]) == []
    assert decimal_of(hot) == Decimal(told["at_75_degrees"])
    assert Decimal(told["ohms"]) < decimal_of(hot)


@pytest.mark.parametrize(
    ("feet", "high"), [(100, "0.424"), (500, "0.92"), (564, "0.99936"), (565, "1"), (1500, "1")]
)
def test_grounding_path_allows_for_leads_up_to_the_limit(feet: int, high: str) -> None:
    entry = grounding_path_high(BOOK, path(feet))
    assert decimal_of(entry) == Decimal(high)
    assert reworked([entry]) == []


def test_a_metal_raceway_path_has_the_general_limit_alone() -> None:
    assert decimal_of(grounding_path_high(BOOK, None)) == 1


def test_loaded_voltage_follows_from_the_drop() -> None:
    low, high = loaded_band(BOOK, DROP)
    assert (decimal_of(low), decimal_of(high)) == (Decimal("225.6"), 252)
    told = predicted_loaded_voltage(BOOK, given("no_load_voltage", 246, "V"), DROP)
    assert decimal_of(told) == Decimal("243.6")
    _, fall = fall_band(BOOK, DROP)
    assert decimal_of(fall) == Decimal("7.2")
    assert reworked([low, high, told, fall]) == []


def test_more_drop_never_raises_the_voltage_under_load() -> None:
    lows = [
        decimal_of(loaded_band(BOOK, given("circuit_drop", volts, "V"))[0]) for volts in range(13)
    ]
    assert lows == sorted(lows, reverse=True)


@pytest.mark.parametrize(
    "outlet", [Outlet(*flags) for flags in product((False, True), repeat=5)], ids=str
)
def test_every_outlet_gets_its_readings_in_words_and_in_order(outlet: Outlet) -> None:
    rows = readings(BOOK, outlet, path(), DROP)
    names = [row.id for row in rows]
    assert len(set(names)) == len(names)
    kinds = [row.kind for row in rows]
    assert kinds[0] == "proof"
    assert kinds.index("live") > max(place for place, kind in enumerate(kinds) if kind == "dead")
    proof = [place for place, row in enumerate(rows) if row.kind == "proof"]
    between = [row.id for row in rows[proof[0] + 1 : proof[1]]]
    pairs = ["l1-l2", "l1-n", "l2-n", "l1-g", "l2-g", "n-g"]
    wanted = [pair for pair in pairs if outlet.neutral or "n" not in pair]
    assert between == [f"dead-{pair}" for pair in pairs]  # the panel always has a neutral bar
    assert [name for name in names if name.startswith("apart-")] == [
        f"apart-{pair}" for pair in wanted
    ]
    # on wired terminals the clip goes on ground first, and from hot to hot last
    clipped = ["l1-g", "l2-g", "l1-n", "l2-n", "n-g", "l1-l2"]
    live = wanted if outlet.receptacle else [pair for pair in clipped if pair in wanted]
    assert [n for n in names if n.startswith("live-")] == [f"live-{pair}" for pair in live]
    assert ("gfci-trips" in names) is outlet.gfci
    assert ("neutral-path" in names) is outlet.neutral
    wires = ("l1", "l2", "n") if outlet.neutral else ("l1", "l2")
    assert [name for name in names if name.startswith("insulation")] == [
        f"insulation-{wire}-g" for wire in wires if outlet.insulation_test
    ]
    place = "outlet" if outlet.receptacle else "equipment"
    live = [row for row in rows if row.kind == "live" and row.probe_a != "load-display"]
    assert {probe.split("-")[0] for row in live for probe in (row.probe_a, row.probe_b)} == {place}
    ledger = enters_ledger([end for row in rows for end in (row.low, row.high, *row.facts)])
    for row in rows:
        assert TEXTS["readings"][row.id]
        for kind, key in (
            ("meters", row.meter),
            ("probes", row.probe_a),
            ("probes", row.probe_b),
            ("actions", row.action),
        ):
            assert render_text(TEXTS[kind][key], {"v": lambda name: show(ledger[name])})


def test_the_neutral_of_a_subpanel_is_followed_up_otherwise() -> None:
    service = by_id()["apart-n-g"].action
    sub = by_id(Outlet(True, True, True, service_panel=False))["apart-n-g"].action
    assert (service, sub) == ("not-isolated-neutral-service", "not-isolated-neutral-subpanel")


def test_without_a_known_drop_there_is_no_loaded_reading() -> None:
    names = [row.id for row in readings(BOOK, OUTLET, path(), None)]
    assert "loaded-l1-l2" not in names
    assert "voltage-fall" not in names


def test_the_current_is_read_between_the_voltage_and_its_fall() -> None:
    """The three belong to one moment; without the current the fall says little of a connection."""
    rows = readings(BOOK, OUTLET, path(), DROP, CURRENT)
    assert [row.id for row in rows][-3:] == ["loaded-l1-l2", "load-current", "voltage-fall"]
    row = rows[-2]
    assert (answer(row, 40, "A"), answer(row, "40.1", "A")) == (Verdict.MEETS, Verdict.FALLS_SHORT)


def test_no_text_is_left_over() -> None:
    every = [
        row
        for flags in product((False, True), repeat=5)
        for row in readings(BOOK, Outlet(*flags), path(), DROP, CURRENT)
    ]
    assert set(TEXTS["meters"]) == {row.meter for row in every}
    assert set(TEXTS["probes"]) == {p for row in every for p in (row.probe_a, row.probe_b)}
    assert set(TEXTS["actions"]) == {row.action for row in every}
    assert set(TEXTS["readings"]) == {row.id for row in every}


@pytest.mark.parametrize(
    ("low", "high", "volts", "verdict"),
    [
        (None, 3, 0, Verdict.MEETS),
        (None, 3, "3.1", Verdict.FALLS_SHORT),
        (3, None, "2.9", Verdict.FALLS_SHORT),
        (3, None, 500, Verdict.MEETS),
        (None, None, 0, Verdict.MEETS),
    ],
)
def test_a_band_may_be_open_at_either_end(
    low: int | None, high: int | None, volts: Any, verdict: Verdict
) -> None:
    least, most = (
        None if end is None else given(f"leg_voltage_{name}", end, "V")
        for name, end in (("low", low), ("high", high))
    )
    check = within_band("reading", given("reading.1.value", volts, "V"), least, most, ())
    assert check.verdict is verdict
    ends = [end.name for end in (least, most) if end]
    assert shown(check) == ("reading.1.value", "", "", ends)


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(("flags", "least"), [((), "1"), ((False,), "1"), ((True,), "0.5")])
def test_the_insulation_test_is_held_to_the_limit_that_the_job_takes(
    edition: str, flags: tuple[bool, ...], least: str
) -> None:
    """1.0 MΩ: IEC 60364-6 Table 6A; 0.5 MΩ before, BS 7671:2001 Table 71A, from memory."""
    outlet = Outlet(True, True, True, True, True, *flags)
    rows = [row for row in readings(Book(edition), outlet, path(), DROP) if "insul" in row.id]
    assert len(rows) == 3
    for row in rows:
        assert row.low is not None
        assert decimal_of(row.low) == Decimal(least)
        assert row.high is None


def test_the_insulation_test_is_left_out_unless_it_is_asked_for() -> None:
    outlet = Outlet(neutral=True, receptacle=True, gfci=True, service_panel=True)
    assert not [row for row in readings(BOOK, outlet, path(), DROP) if row.meter == "insulation"]


def test_a_circuit_of_one_hot_conductor_has_no_second_leg() -> None:
    """By hand: L1, neutral and ground make three pairs; the panel is proved dead on all six."""
    outlet = Outlet(neutral=True, receptacle=True, gfci=True, service_panel=True, hots=1)
    taken = [one.id for one in readings(Book("2023"), outlet, None, None)]
    assert [one for one in taken if one.startswith("apart")] == [
        "apart-l1-n",
        "apart-l1-g",
        "apart-n-g",
    ]
    assert [one for one in taken if one.startswith("live")] == [
        "live-l1-n",
        "live-l1-g",
        "live-n-g",
    ]
    assert len([one for one in taken if one.startswith("dead")]) == 6
    assert "leg-difference" not in taken
