"""What readings tell beyond their bands: a bad connection as a number, a fault by its pattern."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from packet.codebook import Book
from packet.ledger import Check, Citation, Entry, Verdict, compare, computed
from packet.rules.readings import voltage_band
from packet.rules.voltage_drop import EXACT_DROP, Load, Loop, reactive_factor

VOLTAGES = ("l1_l2", "l1_n", "l2_n", "l1_g", "l2_g", "n_g")
"""Pairs of an outlet, as the columns of the table of patterns name them."""


@dataclass(frozen=True)
class LoadTest:
    """The voltage of one outlet without and with its load.

    Parameters
    ----------
    no_load, loaded : Entry
        Between the two legs, at the outlet. [V]
    current : Entry
        While `loaded` was read. [A]
    no_load_step, loaded_step : Entry
        Last digit of each reading as it was written. [V]
    """

    no_load: Entry
    loaded: Entry
    current: Entry
    no_load_step: Entry
    loaded_step: Entry


@dataclass(frozen=True)
class Connection:
    """The resistance of a run by its readings, beside what its conductors explain.

    `excess` is what the circuit's own conductors leave unexplained, `power` the heat of it,
    `uncertainty` how far that heat may be off by the digits of the readings alone.
    """

    fall: Entry
    measured: Entry
    expected: Entry
    upstream: Entry
    highest: Entry
    excess: Entry
    power: Entry
    uncertainty: Entry
    checks: tuple[Check, ...]


@dataclass(frozen=True)
class FaultPattern:
    """A fault that explains the readings: its key, and who else tells of the pattern."""

    fault: str
    cite: Citation


def connection(book: Book, test: LoadTest, loop: Loop, planned: Load) -> Connection:
    """Return the resistance that a load test shows, and judge what nothing explains.

    What is left over the conductors of the circuit may lie in the service, up to the allowance
    of :func:`packet.rules.readings.fall_band`; more than both is outside. Within them, heat
    that has made a connection glow is a note: the readings cannot tell the two apart.

    Parameters
    ----------
    loop : Loop
        As predicted, out and back, warm. [Ω]
    planned : Load
        The load of the plan: what the allowance is a share of.

    Rule
    ----
    measured_resistance, loaded_voltage_arithmetic, upstream_drop_allowance,
    glowing_connection_power, reading_resolution
    """
    ohm = book.cite("measured_resistance")
    fall = voltage_fall(book, test.no_load, test.loaded)
    measured = computed("measured_loop_resistance", "V_f / I", ohm, V_f=fall, I=test.current)
    drop = computed(
        "expected_drop",
        EXACT_DROP,
        book.cite("loaded_voltage_arithmetic"),
        V=test.no_load,
        I=test.current,
        R=loop.resistance,
        X=loop.reactance,
        pf=planned.power_factor,
        s=reactive_factor(book, planned.power_factor),
    )
    expected = computed("expected_loop_resistance", "V_d / I", ohm, V_d=drop, I=test.current)
    allowance = book.figure("upstream_drop_allowance")
    upstream = computed(
        "upstream_resistance",
        "u * V / I",
        allowance.cite,
        u=allowance,
        V=planned.voltage,
        I=planned.current,
    )
    highest = computed(
        "highest_loop_resistance", "R_e + R_u", allowance.cite, R_e=expected, R_u=upstream
    )
    excess = computed(
        "excess_resistance",
        "larger(R - R_e, R_0)",
        ohm,
        R=measured,
        R_e=expected,
        R_0=book.figure("no_resistance"),
    )
    power = computed("excess_power", "I ** 2 * R_x", ohm, I=test.current, R_x=excess)
    uncertainty = computed(
        "power_uncertainty",
        "I * (V_a + V_b) / 2",
        book.cite("reading_resolution"),
        I=test.current,
        V_a=test.no_load_step,
        V_b=test.loaded_step,
    )
    glow = book.figure("glowing_connection_power")
    return Connection(
        fall,
        measured,
        expected,
        upstream,
        highest,
        excess,
        power,
        uncertainty,
        (
            compare("run_resistance_is_explained", measured, "<=", highest, allowance.cite),
            compare("excess_heat_is_small", power, "<=", glow, glow.cite, otherwise=Verdict.NOTE),
        ),
    )


def voltage_fall(book: Book, no_load: Entry, loaded: Entry) -> Entry:
    """Return how far the voltage of an outlet falls under its load [V]."""
    cite = book.cite("measured_resistance")
    return computed("voltage_fall", "V_0 - V_1", cite, V_0=no_load, V_1=loaded)


def leg_difference(book: Book, one: Entry, other: Entry) -> Entry:
    """Return how far the two legs to ground lie apart [V]."""
    cite = book.cite("measured_resistance")
    return computed(
        "leg_difference", "larger(V_1, V_2) - smaller(V_1, V_2)", cite, V_1=one, V_2=other
    )


def kind_of_voltage(book: Book, pair: str, reading: Entry) -> str:
    """Return what a voltage without load looks like: none, low, leg, high, both or over.

    Parameters
    ----------
    pair : str
        One of :data:`VOLTAGES`; neutral to ground has a limit of its own.
    reading : Entry
        [V]

    Rule
    ----
    voltage_limits, absence_of_voltage_limit, neutral_to_ground_limit
    """
    dead = "neutral_to_ground_limit" if pair == "n_g" else "absence_of_voltage_limit"
    volts = reading.value
    if volts <= book.figure(dead).value:
        return "none"
    for below, kind, (low, high) in (
        ("low", "leg", voltage_band(book, "leg")),
        ("high", "both", voltage_band(book, "both")),
    ):
        if volts < low.value:
            return below
        if volts <= high.value:
            return kind
    return "over"


def fault_patterns(book: Book, kinds: Mapping[str, str]) -> Iterator[FaultPattern]:
    """Yield each fault that explains what was read, once, in the order of the table.

    Parameters
    ----------
    kinds : mapping
        Column of the table -> kind of the reading; a reading that was not taken is left out,
        and no pattern that asks for it is found.

    Rule
    ----
    fault_patterns
    """
    table = book.table("fault_patterns")
    named: set[str] = set()
    for row in table.rows():
        asked = {
            column: cell
            for column, cell in row.items()
            if isinstance(cell, tuple) and column in table.columns
        }
        fits = all(kinds.get(column) in cell for column, cell in asked.items())
        if fits and row["fault"] not in named:
            named.add(row["fault"])
            yield FaultPattern(row["fault"], table.entry("outlet_fault", "fault", row).cite[0])
