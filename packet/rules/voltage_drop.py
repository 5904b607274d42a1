"""Voltage drop along the route, by the circuit's own arithmetic and by the handbook's."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packet.codebook import Book
from packet.ledger import Check, Entry, Verdict, chosen, compare, computed, total
from packet.rules.conductor import conductor_sizes

STEEL = {"EMT", "RMC", "FMC", "LFMC", "MC"}
"""Methods with iron around the conductors; what may be iron counts as iron."""

SOLID_WHEN_SMALL = {"NM-B", "UF-B"}
"""Cables whose small conductors are solid; pulled conductors are taken as stranded."""

EXACT_DROP = "V - sqrt(V ** 2 - (I * (X * pf - R * s)) ** 2) + I * (R * pf + X * s)"
"""Drop along a run at a constant current I, from the voltage V at its source."""


@dataclass(frozen=True)
class RunPart:
    """A length of conductor in one wiring method.

    Parameters
    ----------
    at : str
        Ledger place of its values, such as ``route.2`` or ``feeder``.
    method : Entry
        Cable or raceway.
    length : Entry
        One way. [ft]
    """

    at: str
    method: Entry
    length: Entry


@dataclass(frozen=True)
class Loop:
    """Resistance and reactance out and back [Ω]."""

    resistance: Entry
    reactance: Entry


@dataclass(frozen=True)
class Load:
    """The load at the end of the run.

    Parameters
    ----------
    voltage : Entry
        Voltage at the source. [V]
    current : Entry
        [A]
    power_factor : Entry
        Lagging, at the load; a plain number.
    """

    voltage: Entry
    current: Entry
    power_factor: Entry


@dataclass(frozen=True)
class VoltageDrop:
    """Drop at the outlet for a constant current, and what is left there."""

    loop: Loop
    drop: Entry
    approximate: Entry
    share: Entry
    outlet_voltage: Entry


def direct_current_resistance(
    book: Book, name: str, method: Entry, size: Entry, material: Entry
) -> Entry:
    """Direct-current resistance of one conductor at the table's temperature [Ω/kft].

    Rule
    ----
    conductor_resistance, largest_solid_conductor
    """
    small = size.value <= book.figure("largest_solid_conductor").value
    solid = method.value in SOLID_WHEN_SMALL and small
    table = book.table("conductor_resistance")
    row = table.row(size=size.value, stranding="solid" if solid else "stranded")
    return table.entry(name, material.value, row)


def conductor_resistance(book: Book, part: RunPart, size: Entry, material: Entry) -> Entry:
    """Resistance of one conductor by the thousand feet, warm from its load [Ω/kft].

    Inside iron the larger of the direct-current figure and the rounded figure for a steel
    raceway is taken: alternating current never meets less than direct current does.

    Rule
    ----
    conductor_resistance, conductor_impedance
    """
    if part.method.value not in STEEL:
        name = f"{part.at}.conductor_resistance"
        return direct_current_resistance(book, name, part.method, size, material)
    name = f"{part.at}.dc_resistance"
    direct = direct_current_resistance(book, name, part.method, size, material)
    impedance = book.table("conductor_impedance")
    steel = impedance.entry(
        f"{part.at}.steel_resistance",
        f"{material.value}_steel",
        impedance.row(size=size.value),
    )
    cite = (*direct.cite, *steel.cite)
    return computed(
        f"{part.at}.conductor_resistance", "larger(r_d, r_s)", cite, r_d=direct, r_s=steel
    )


def conductor_reactance(book: Book, part: RunPart, size: Entry) -> Entry:
    """Reactance of one conductor by the thousand feet [Ω/kft].

    Rule
    ----
    conductor_impedance
    """
    table = book.table("conductor_impedance")
    around = "steel" if part.method.value in STEEL else "nonmagnetic"
    return table.entry(
        f"{part.at}.conductor_reactance", f"reactance_{around}", table.row(size=size.value)
    )


def part_loop(book: Book, part: RunPart, size: Entry, material: Entry) -> Loop:
    """Resistance and reactance of one part, out and back [Ω].

    Rule
    ----
    voltage_drop_arithmetic, conductor_resistance, conductor_impedance
    """
    cite = book.cite("voltage_drop_arithmetic")
    kilofoot = book.figure("feet_per_kilofoot")
    return Loop(
        computed(
            f"{part.at}.loop_resistance",
            "2 * L * r / k",
            cite,
            L=part.length,
            r=conductor_resistance(book, part, size, material),
            k=kilofoot,
        ),
        computed(
            f"{part.at}.loop_reactance",
            "2 * L * x / k",
            cite,
            L=part.length,
            x=conductor_reactance(book, part, size),
            k=kilofoot,
        ),
    )


def route_loop(book: Book, route: Sequence[RunPart], size: Entry, material: Entry) -> Loop:
    """Resistance and reactance of the whole route, out and back, its parts in series [Ω].

    Rule
    ----
    voltage_drop_arithmetic
    """
    loops = [part_loop(book, part, size, material) for part in route]
    cite = book.cite("voltage_drop_arithmetic")
    return Loop(
        total("loop_resistance", cite, "R_", [loop.resistance for loop in loops]),
        total("loop_reactance", cite, "X_", [loop.reactance for loop in loops]),
    )


def reactive_factor(book: Book, power_factor: Entry) -> Entry:
    """Reactive factor of a load: the sine that belongs to its power factor.

    Rule
    ----
    loaded_voltage_arithmetic
    """
    return computed(
        "reactive_factor",
        "sqrt(1 - pf ** 2)",
        book.cite("loaded_voltage_arithmetic"),
        pf=power_factor,
    )


def voltage_drop(book: Book, load: Load, loop: Loop) -> VoltageDrop:
    """Drop at the outlet for a load of constant current; the percent is of the source voltage.

    Rule
    ----
    loaded_voltage_arithmetic, voltage_drop_arithmetic
    """
    cite = book.cite("loaded_voltage_arithmetic")
    inputs = {
        "V": load.voltage,
        "I": load.current,
        "R": loop.resistance,
        "X": loop.reactance,
        "pf": load.power_factor,
        "s": reactive_factor(book, load.power_factor),
    }
    drop = computed(
        "voltage_drop",
        EXACT_DROP,
        cite,
        **inputs,
    )
    short = {symbol: entry for symbol, entry in inputs.items() if symbol != "V"}
    arithmetic = book.cite("voltage_drop_arithmetic")
    return VoltageDrop(
        loop,
        drop,
        computed("approximate_voltage_drop", "I * (R * pf + X * s)", arithmetic, **short),
        computed("voltage_drop_share", "V_d / V", cite, V_d=drop, V=load.voltage),
        computed("outlet_voltage", "V - V_d", cite, V=load.voltage, V_d=drop),
    )


def voltage_drop_checks(
    book: Book,
    drop: VoltageDrop,
    feeder_share: Entry | None = None,
    remedy: Entry | None = None,
) -> tuple[Check, ...]:
    """Check the drop against what the informational notes advise; at worst this is a note.

    Parameters
    ----------
    feeder_share : Entry, optional
        Drop in the feeder ahead of the circuit. [%]
    remedy : Entry, optional
        Size that would be within.

    Rule
    ----
    branch_voltage_drop_advice, total_voltage_drop_advice
    """
    branch = book.figure("branch_voltage_drop_advice")
    checks = [
        compare(
            "voltage_drop_within_advice",
            drop.share,
            "<=",
            branch,
            branch.cite,
            otherwise=Verdict.NOTE,
            remedy=remedy,
        )
    ]
    if feeder_share is not None:
        both = book.figure("total_voltage_drop_advice")
        share = computed(
            "total_voltage_drop_share", "p_f + p_b", both.cite, p_f=feeder_share, p_b=drop.share
        )
        checks.append(
            compare(
                "total_voltage_drop_within_advice",
                share,
                "<=",
                both,
                both.cite,
                otherwise=Verdict.NOTE,
            )
        )
    return tuple(checks)


def conductor_for_voltage_drop(
    book: Book, route: Sequence[RunPart], size: Entry, material: Entry, load: Load
) -> Entry | None:
    """Smallest conductor, from the one in use up, whose drop is within the advice.

    Returns
    -------
    conductor_for_voltage_drop : Entry or None
        None where no listed size is within.

    Rule
    ----
    branch_voltage_drop_advice
    """
    advice = book.figure("branch_voltage_drop_advice")
    listed = {row["size"] for row in book.table("conductor_resistance").rows()}
    for larger in conductor_sizes(book, material):
        if larger < size.value or larger not in listed:
            continue
        candidate = chosen(
            "conductor_for_voltage_drop", larger, advice.cite, p_max=advice, I=load.current
        )
        drop = voltage_drop(book, load, route_loop(book, route, candidate, material))
        if drop.share.value <= advice.value:
            return candidate
    return None


def constant_power_voltage(book: Book, load: Load, loop: Loop) -> Entry:
    """Voltage at a load that draws the same power whatever the voltage.

    The larger root of the quadratic in the square of the voltage.

    Parameters
    ----------
    load : Load
        Its current is the one at the source's voltage.

    Rule
    ----
    loaded_voltage_arithmetic
    """
    cite = book.cite("loaded_voltage_arithmetic")
    power = computed("rated_apparent_power", "V * I", cite, V=load.voltage, I=load.current)
    middle = "V ** 2 / 2 - S * (pf * R + s * X)"
    return computed(
        "constant_power_voltage",
        f"sqrt({middle} + sqrt(({middle}) ** 2 - S ** 2 * (R ** 2 + X ** 2)))",
        cite,
        V=load.voltage,
        S=power,
        pf=load.power_factor,
        s=reactive_factor(book, load.power_factor),
        R=loop.resistance,
        X=loop.reactance,
    )


def constant_impedance_voltage(book: Book, load: Load, loop: Loop) -> Entry:
    """Voltage at a load of constant impedance, such as a heater: run and load divide it.

    Parameters
    ----------
    load : Load
        Its current is the one at the source's voltage.

    Rule
    ----
    loaded_voltage_arithmetic
    """
    cite = book.cite("loaded_voltage_arithmetic")
    impedance = computed("rated_impedance", "V / I", cite, V=load.voltage, I=load.current)
    return computed(
        "constant_impedance_voltage",
        "V * Z / sqrt((Z * pf + R) ** 2 + (Z * s + X) ** 2)",
        cite,
        V=load.voltage,
        Z=impedance,
        pf=load.power_factor,
        s=reactive_factor(book, load.power_factor),
        R=loop.resistance,
        X=loop.reactance,
    )


def loaded_leg_voltage(
    book: Book,
    source: Entry,
    current: Entry,
    other_current: Entry,
    hot_resistance: Entry,
    neutral_resistance: Entry,
) -> Entry:
    """Voltage from one hot conductor to neutral under load, on a three-wire run.

    The loads are taken without reactance.

    Parameters
    ----------
    source : Entry
        From the hot conductor to neutral at the source. [V]
    current, other_current : Entry
        In this hot conductor and in the other. [A]
    hot_resistance, neutral_resistance : Entry
        Of one conductor, one way. [Ω]

    Rule
    ----
    loaded_voltage_arithmetic
    """
    return computed(
        "loaded_leg_voltage",
        "V - I_1 * R - (I_1 - I_2) * R_n",
        book.cite("loaded_voltage_arithmetic"),
        V=source,
        I_1=current,
        I_2=other_current,
        R=hot_resistance,
        R_n=neutral_resistance,
    )
