"""Readings as evidence: a planted bad connection comes back as a number, a fault by its name.

The loaded voltages come from power-grid-model, the readings at a faulty outlet from node
equations that numpy solves; neither knows our rules.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import combinations
from typing import Any

import numpy as np
import pytest
from power_grid_model import LoadGenType

from packet.codebook import EDITIONS, Book
from packet.findings import finding
from packet.ledger import Verdict, decimal_of
from packet.rules.evidence import (
    VOLTAGES,
    LoadTest,
    connection,
    fault_patterns,
    kind_of_voltage,
    leg_difference,
)
from packet.rules.torque import setting_band
from packet.rules.voltage_drop import Load, Loop
from packet.showing import show
from tests.rules.givens import given, not_redoable
from tests.rules.installation import enters_ledger
from tests.rules.test_against_power_flow import WITHIN, flow

BOOK = Book("2023")
VOLTS = 240


def loop(ohms: str = "0.0392", reactance: str = "0.0041") -> Loop:
    return Loop(given("loop_resistance", ohms, "Ω"), given("loop_reactance", reactance, "Ω"))


def shown_by(
    loaded: Any,
    *,
    no_load: Any = VOLTS,
    amperes: Any = 40,
    factor: Any = 1,
    step: str = "0.1",
    of: Loop | None = None,
    book: Book = BOOK,
) -> Any:
    test = LoadTest(
        given("reading.1.value", no_load, "V"),
        given("reading.2.value", loaded, "V"),
        given("reading.3.current", amperes, "A"),
        given("no_load_step", step, "V"),
        given("loaded_step", step, "V"),
    )
    planned = Load(
        given("nominal_voltage", VOLTS, "V"),
        given("planned_load_current", 40, "A"),
        given("circuit.power_factor", factor, ""),
    )
    return connection(book, test, of or loop(), planned)


# --------------------------------------------------------------------- a connection as a number


@pytest.mark.parametrize("amperes", [16, 24, 40, 48])
@pytest.mark.parametrize("planted", ["0", "0.005", "0.022", "0.1"])
def test_a_planted_resistance_is_found_by_the_power_flow(planted: str, amperes: int) -> None:
    """power-grid-model gives the volts at the load with the bad connection in the run."""
    sound = loop()
    bad = replace(
        sound,
        resistance=given("loop_resistance", decimal_of(sound.resistance) + Decimal(planted), "Ω"),
    )
    volts = flow(bad, amperes, 1, LoadGenType.const_current)
    found = shown_by(str(volts), amperes=amperes)
    ohms = WITHIN / amperes + 1e-6
    assert float(decimal_of(found.excess)) == pytest.approx(float(planted), abs=ohms)
    heat = amperes**2 * float(planted)
    assert float(decimal_of(found.power)) == pytest.approx(heat, abs=amperes**2 * ohms)


@pytest.mark.parametrize("factor", ["1", "0.95", "0.85"])
def test_the_drop_to_expect_is_that_of_the_power_flow(factor: str) -> None:
    """power-grid-model, at a current and a voltage that are not those of the plan."""
    of = loop("0.25", "0.03")
    theirs = VOLTS - flow(of, 31, float(factor), LoadGenType.const_current)
    found = shown_by("230", amperes=31, factor=factor, of=of)
    drop = dict(found.expected.inputs)["V_d"]
    assert float(decimal_of(drop)) == pytest.approx(theirs, abs=WITHIN)


def test_a_sound_run_shows_no_excess_and_never_less_than_none() -> None:
    """By hand: 240 V less 40 A times 0.0392 ohm is 238.432 V; a cold run drops less."""
    for volts in ("238.5", "240", "240.4"):
        found = shown_by(volts)
        assert decimal_of(found.excess) == 0
        assert [check.verdict for check in found.checks] == [Verdict.MEETS] * 2


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("loaded", "explained", "small"),
    [
        # by hand: 40 A x 0.0392 ohm is 1.568 V; 35 W are 0.021875 ohm, or 0.875 V more
        ("237.5570", Verdict.MEETS, Verdict.MEETS),
        ("237.5568", Verdict.MEETS, Verdict.NOTE),
        # and 2 % of 240 V, 4.8 V, more than the run are left to the service
        ("233.6320", Verdict.MEETS, Verdict.NOTE),
        ("233.6318", Verdict.FALLS_SHORT, Verdict.NOTE),
    ],
)
def test_both_sides_of_the_two_limits(
    edition: str, loaded: str, explained: Verdict, small: Verdict
) -> None:
    """Heat: NBSIR 76-1011, 35 W in a glowing connection; allowance: common practice, no source."""
    found = shown_by(loaded, of=loop("0.0392", "0"), book=Book(edition))
    assert [check.verdict for check in found.checks] == [explained, small]


def test_a_smaller_current_does_not_hide_a_bad_connection() -> None:
    """By hand: at 16 A, 0.2 ohm too much lose 3.2 V, which a band for 40 A lets pass."""
    loaded = Decimal(VOLTS) - 16 * (Decimal("0.0392") + Decimal("0.2"))
    found = shown_by(loaded, amperes=16, of=loop("0.0392", "0"))
    assert decimal_of(found.fall) < 5
    assert decimal_of(found.excess) == Decimal("0.2")
    assert found.checks[0].verdict is Verdict.FALLS_SHORT


def test_whole_volts_cannot_show_less_than_their_last_digit() -> None:
    """By hand: two readings off by half a volt each are 1 V, and 40 A make 40 W of it."""
    assert decimal_of(shown_by("238", step="1").uncertainty) == 40
    assert decimal_of(shown_by("238.4").uncertainty) == 4


def test_every_formula_can_be_redone_from_what_is_shown() -> None:
    found = shown_by("236.2")
    assert decimal_of(found.upstream) == Decimal("0.12")  # 2 % of 240 V, over 40 A
    entries = [found.fall, found.measured, found.uncertainty]
    assert list(not_redoable(entries)) == []


def test_the_legs_are_as_far_apart_as_their_readings() -> None:
    """By hand, 121.8 V and 119.4 V; common practice, no source, to compare the two."""
    one, other = given("reading.1.value", "119.4", "V"), given("reading.2.value", "121.8", "V")
    for pair in ((one, other), (other, one)):
        assert decimal_of(leg_difference(BOOK, *pair)) == Decimal("2.4")


# ---------------------------------------------------------------------------------- torque


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_setting_counts_within_what_the_tool_may_be_off(edition: str) -> None:
    """ISO 6789, 4 %: 45 lbf·in is 43.2 to 46.8 by hand, as our own pages round it 43 to 47."""
    required = given("terminal.1.torque", 45, "lbf_in")
    low, high = setting_band(Book(edition), "terminal.1", required)
    assert (decimal_of(low), decimal_of(high)) == (Decimal("43.2"), Decimal("46.8"))
    assert (show(low), show(high)) == ("43.2\u00a0lbf·in", "46.8\u00a0lbf·in")


# ------------------------------------------------------------------- a fault by its pattern


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize(
    ("pair", "volts", "kind"),
    [
        ("l1_g", "3", "none"),
        ("l1_g", "3.1", "low"),
        ("l1_g", "113.9", "low"),
        ("l1_g", "114", "leg"),
        ("l1_g", "126", "leg"),
        ("l1_g", "126.1", "high"),
        ("l1_l2", "227.9", "high"),
        ("l1_l2", "228", "both"),
        ("l1_l2", "252", "both"),
        ("l1_l2", "252.1", "over"),
        ("n_g", "2", "none"),
        ("n_g", "2.1", "low"),
    ],
)
def test_both_sides_of_each_kind_of_voltage(edition: str, pair: str, volts: str, kind: str) -> None:
    """ANSI C84.1 range A for the legs; 2 V and 3 V are common practice, no source."""
    assert kind_of_voltage(Book(edition), pair, given("reading.1.value", volts, "V")) == kind


@dataclass(frozen=True)
class Outlet:
    """An outlet with one thing wrong, as a network.

    `lands` tells which conductor of the panel each terminal is joined to, None an open one;
    `joined` are terminals that touch; `source` the volts at the panel's L1, L2, N and G.
    """

    lands: tuple[str | None, ...] = ("l1", "l2", "n", "g")
    joined: tuple[tuple[str, str], ...] = ()
    source: tuple[complex, ...] = (120, -120, 0, 0)


TERMINALS = ("l1", "l2", "n", "g")
CONDUCTOR = 0.02
TOUCH = 0.01
STRAY = 2 * np.pi * 60 * 0.5e-9
"""Siemens between two conductors of some 8 m of cable, about 60 pF a metre."""


def volts_read(outlet: Outlet, one: str, other: str, meter: float) -> float:
    """Return what a meter of so many ohms reads between two terminals, by node equations."""
    size = len(TERMINALS)
    matrix, right = np.zeros((size, size), complex), np.zeros(size, complex)

    def join(a: int, b: int, siemens: complex) -> None:
        matrix[a, a] += siemens
        matrix[b, b] += siemens
        matrix[a, b] -= siemens
        matrix[b, a] -= siemens

    for place, conductor in enumerate(outlet.lands):
        matrix[place, place] += 1e-12
        if conductor is not None:
            matrix[place, place] += 1 / CONDUCTOR
            right[place] += outlet.source[TERMINALS.index(conductor)] / CONDUCTOR
    for a, b in combinations(range(size), 2):
        join(a, b, 1j * STRAY)
    for a, b in (*outlet.joined, (one, other)):
        at = 1 / TOUCH if (a, b) in outlet.joined else 1 / meter
        join(TERMINALS.index(a), TERMINALS.index(b), at)
    nodes = np.linalg.solve(matrix, right)
    return float(abs(nodes[TERMINALS.index(one)] - nodes[TERMINALS.index(other)]))


def kinds_read(
    outlet: Outlet, meter: float, *, neutral: bool = True, hots: int = 2
) -> dict[str, str]:
    """Return the kinds of all readings: live pairs, the two paths, neutral to ground when loose.

    The paths are those of a subpanel, where no bond closes one through the other.
    """
    kinds = {} if hots > 1 else {"l1_l2": "absent"}
    pairs = VOLTAGES if neutral else ("l1_l2", "l1_g", "l2_g")
    for pair in (one for one in pairs if hots > 1 or "l2" not in one):
        volts = volts_read(outlet, *pair.split("_"), meter)
        kinds[pair] = kind_of_voltage(
            BOOK, pair, given("reading.1.value", str(round(volts, 3)), "V")
        )
    if neutral:
        touch = {frozenset(pair) for pair in outlet.joined} & {frozenset("ng")}
        kinds["apart_n_g"] = "joined" if touch else "apart"
        kinds["neutral_path"] = "sound" if outlet.lands[2] == "n" else "open"
    kinds["ground_path"] = "sound" if outlet.lands[3] == "g" else "open"
    return kinds


@dataclass(frozen=True)
class Planted:
    fault: str
    outlet: Outlet
    needs_neutral: bool = True


def loose_service(one: float, other: float) -> tuple[complex, ...]:
    """Return the volts of a panel whose service neutral is lost, by its loads in ohms on each leg.

    Neutral and ground are joined in the panel, so both move away from the middle.
    """
    middle = 240 * other / (one + other)
    return (middle, middle - 240, 0, 0)


PLANTED = {
    "main off": Planted("no-power", Outlet(source=(0, 0, 0, 0)), needs_neutral=False),
    "L1 open": Planted("open-leg", Outlet((None, "l2", "n", "g")), needs_neutral=False),
    "L2 open": Planted("open-leg", Outlet(("l1", None, "n", "g")), needs_neutral=False),
    "L1 open and grounded": Planted("open-leg", Outlet((None, "l2", "n", "g"), (("l1", "g"),))),
    "L2 open and grounded": Planted("open-leg", Outlet(("l1", None, "n", "g"), (("l2", "g"),))),
    "one leg twice": Planted("same-leg", Outlet(("l1", "l1", "n", "g")), needs_neutral=False),
    "L1 on neutral": Planted("leg-neutral-swapped", Outlet(("n", "l2", "l1", "g"))),
    "L2 on neutral": Planted("leg-neutral-swapped", Outlet(("l1", "n", "l2", "g"))),
    "L1 on ground": Planted(
        "leg-ground-swapped", Outlet(("g", "l2", "n", "l1")), needs_neutral=False
    ),
    "L2 on ground": Planted(
        "leg-ground-swapped", Outlet(("l1", "g", "n", "l2")), needs_neutral=False
    ),
    "service neutral, L1 light": Planted(
        "loose-service-neutral", Outlet(source=loose_service(30, 18)), needs_neutral=False
    ),
    "service neutral, L2 light": Planted(
        "loose-service-neutral", Outlet(source=loose_service(18, 30)), needs_neutral=False
    ),
    "neutral open": Planted("open-neutral", Outlet(("l1", "l2", None, "g"))),
    "ground open": Planted("open-ground", Outlet(("l1", "l2", "n", None))),
    "neutral on ground": Planted("neutral-ground-swapped", Outlet(("l1", "l2", "g", "n"))),
    "neutral touches ground": Planted("neutral-ground-joined", Outlet(joined=(("n", "g"),))),
    "bootleg": Planted("bootleg-ground", Outlet(("l1", "l2", "n", None), (("n", "g"),))),
    "current in the neutral": Planted("loaded-neutral", Outlet(source=(120, -120, 4, 0))),
    "two of three phases": Planted(
        "three-phase-supply",
        Outlet(source=(120, 120 * np.exp(2j * np.pi / 3), 0, 0)),
        needs_neutral=False,
    ),
    "supply low": Planted("supply-voltage", Outlet(source=(110, -110, 0, 0)), needs_neutral=False),
    "supply high": Planted("supply-voltage", Outlet(source=(128, -128, 0, 0)), needs_neutral=False),
}
ONE_HOT = {
    "breaker off": Planted("no-power", Outlet(source=(0, 0, 0, 0))),
    "hot open": Planted("no-power", Outlet((None, None, "n", "g"))),
    "hot on neutral": Planted("leg-neutral-swapped", Outlet(("n", None, "l1", "g"))),
    "hot on ground": Planted("leg-ground-swapped", Outlet(("g", None, "n", "l1"))),
    "neutral open": Planted("open-neutral", Outlet(("l1", None, None, "g"))),
    "ground open": Planted("open-ground", Outlet(("l1", None, "n", None))),
    "neutral on ground": Planted("neutral-ground-swapped", Outlet(("l1", None, "g", "n"))),
    "neutral touches ground": Planted(
        "neutral-ground-joined", Outlet(("l1", None, "n", "g"), (("n", "g"),))
    ),
    "current in the neutral": Planted(
        "loaded-neutral", Outlet(("l1", None, "n", "g"), source=(120, 0, 4, 0))
    ),
    "supply low": Planted("supply-voltage", Outlet(("l1", None, "n", "g"), source=(110, 0, 0, 0))),
    "supply high": Planted("supply-voltage", Outlet(("l1", None, "n", "g"), source=(128, 0, 0, 0))),
}
"""Faults of a circuit with one hot conductor: nothing lands on L2, and nobody reads there."""

METERS = {"high": 10e6, "low": 3e3}


def named(kinds: dict[str, str]) -> list[str]:
    return [pattern.fault for pattern in fault_patterns(BOOK, kinds)]


@pytest.mark.parametrize("meter", METERS)
@pytest.mark.parametrize("planted", PLANTED)
def test_a_planted_fault_is_named_whatever_the_meter(planted: str, meter: str) -> None:
    """Node equations by numpy, with a meter of 10 megohms and with one of 3 kilohms."""
    fault = PLANTED[planted]
    assert fault.fault in named(kinds_read(fault.outlet, METERS[meter]))
    if not fault.needs_neutral:
        assert fault.fault in named(kinds_read(fault.outlet, METERS[meter], neutral=False))


@pytest.mark.parametrize("planted", ONE_HOT)
def test_a_fault_of_a_circuit_with_one_hot_is_named_and_no_other(planted: str) -> None:
    """Node equations by numpy, with a meter of 3 kilohms."""
    fault = ONE_HOT[planted]
    found = named(kinds_read(fault.outlet, METERS["low"], hots=1))
    beside = {"hot on neutral": {"open-neutral"}, "hot on ground": {"open-ground"}}
    assert fault.fault in found
    assert set(found) <= {fault.fault} | beside.get(planted, set())


def test_a_sound_circuit_with_one_hot_has_no_fault() -> None:
    """Node equations by numpy."""
    for meter in METERS.values():
        assert named(kinds_read(Outlet(("l1", None, "n", "g")), meter, hots=1)) == []


@pytest.mark.parametrize("meter", METERS)
@pytest.mark.parametrize("neutral", [True, False])
def test_a_sound_outlet_has_no_fault(meter: str, neutral: bool) -> None:
    """Node equations by numpy; every voltage of the band, on either end."""
    for volts in (114.1, 120, 125.9):
        sound = Outlet(source=(volts, -volts, 0, 0))
        assert named(kinds_read(sound, METERS[meter], neutral=neutral)) == []


ALSO = {
    "L1 on ground": {"open-ground"},
    "L2 on ground": {"open-ground"},
    "bootleg": {"open-ground", "neutral-ground-joined"},
}
"""What else is true of a planted fault: a ground terminal that a leg lands on has no ground."""

NOT_TOLD_APART = {"L1 on neutral": {"open-neutral"}, "L2 on neutral": {"open-neutral"}}
"""A second fault that the same readings would have: the neutral's path is open there too."""


@pytest.mark.parametrize("planted", PLANTED)
def test_no_other_fault_is_named_beside_the_one_that_is_there(planted: str) -> None:
    """Node equations by numpy: a wrong name sends the reader to the wrong end of the cable."""
    fault = PLANTED[planted]
    found = set(named(kinds_read(fault.outlet, METERS["low"])))
    assert found <= {fault.fault} | ALSO.get(planted, set()) | NOT_TOLD_APART.get(planted, set())


def test_a_reading_that_was_not_taken_names_nothing() -> None:
    """Common practice, no source: no answer is not the answer none."""
    assert named({}) == []
    kinds = kinds_read(PLANTED["L1 open"].outlet, METERS["high"])
    for left_out in ("l1_l2", "l1_g", "l2_g"):
        fewer = {column: kind for column, kind in kinds.items() if column != left_out}
        assert "open-leg" not in named(fewer)


def test_every_pattern_names_its_row() -> None:
    (found,) = fault_patterns(BOOK, {"apart_n_g": "joined"})
    assert found.fault == "neutral-ground-joined"
    assert "neutral and ground joined" in found.cite.at
    assert "EC&M" in found.cite.confirmed


def faults_of(rows: Iterable[dict[str, Any]]) -> set[str]:
    return {str(row["fault"]) for row in rows}


def test_every_fault_of_the_table_was_planted() -> None:
    assert faults_of(BOOK.table("fault_patterns").rows()) == {one.fault for one in PLANTED.values()}


@pytest.mark.parametrize("loaded", ["239", "237", "230"])
def test_the_answers_in_words(loaded: str) -> None:
    """Common practice, no source: a number of ohms is said with what it means."""
    for check in shown_by(loaded).checks:
        found = finding(check, enters_ledger([], [check]))
        assert found.asks.endswith("?")
        assert found.says.endswith(".")
        assert show(check.left) in found.says
        assert show(check.right) in found.says
