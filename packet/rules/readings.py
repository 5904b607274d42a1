"""Every reading of a new 240 V outlet: dead tests, live tests, and the band of each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal

from packet.codebook import Book
from packet.ledger import Check, Citation, Entry, Verdict, computed

Kind = Literal["proof", "dead", "live"]

LEGS = ("l1", "l2")


@dataclass(frozen=True)
class Reading:
    """One line of the test form.

    Parameters
    ----------
    id : str
        Kebab key; the text of its action when outside stands under it.
    kind : str
        ``proof`` (of the meter), ``dead`` or ``live``.
    meter : str
        Key of the meter function.
    probe_a, probe_b : str
        Keys of the probe places.
    low, high : Entry, optional
        The band; no `low` is none, no `high` is an open circuit or any greater value.
    action : str
        Key of what to do outside the band.
    facts : tuple of Entry
        Further entries that the words of the reading mention.
    """

    id: str
    kind: Kind
    meter: str
    probe_a: str
    probe_b: str
    low: Entry | None
    high: Entry | None
    action: str
    facts: tuple[Entry, ...] = ()


@dataclass(frozen=True)
class Outlet:
    """What the readings depend on.

    Parameters
    ----------
    neutral : bool
        Whether the outlet has a neutral.
    receptacle : bool
        A receptacle; else the conductors end in the equipment.
    gfci : bool
        Whether the circuit has GFCI protection.
    service_panel : bool
        Whether neutral and ground are joined in the panel of the circuit.
    insulation_test : bool
        Whether the optional insulation test is planned.
    earlier_insulation_limit : bool
        Whether it is held to the earlier, lower limit.
    hots : int
        Hot conductors of the circuit, one or two.
    metal_box : bool
        Whether the circuit has a metal box, whose bond is read.
    """

    neutral: bool
    receptacle: bool
    gfci: bool
    service_panel: bool
    insulation_test: bool = False
    earlier_insulation_limit: bool = False
    hots: int = 2
    metal_box: bool = True

    @property
    def legs(self) -> tuple[str, ...]:
        """The hot conductors."""
        return LEGS[: self.hots]


def readings(
    book: Book,
    outlet: Outlet,
    path_resistance: Entry | None,
    drop: Entry | None,
    current: Entry | None = None,
) -> tuple[Reading, ...]:
    """Return all readings of the outlet, in the order they are taken.

    Parameters
    ----------
    path_resistance : Entry, optional
        Predicted, from :func:`grounding_path_resistance`; None where a metal raceway is
        the path. [Ω]
    drop : Entry, optional
        Voltage drop of the circuit at its load; None leaves out the loaded readings. [V]
    current : Entry, optional
        Largest current of the load; None leaves out the reading of it. [A]

    Rule
    ----
    voltage_limits, absence_of_voltage_limit, grounding_path_limit, isolation_resistance,
    insulation_resistance, leg_difference_limit, neutral_to_ground_limit
    """
    return (
        *_proof(book, "before"),
        *absence_of_voltage(book, outlet),
        *_proof(book, "after"),
        *_isolation(book, outlet),
        *_continuity(book, outlet, path_resistance),
        *_live(book, outlet),
        *(_loaded(book, drop, current) if drop is not None else ()),
    )


def grounding_path_resistance(
    book: Book, size: Entry, length: Entry, material: str, stranding: str
) -> Entry:
    """Return the resistance of the equipment grounding conductor, one way, at 75 °C [Ω].

    A cold reading is lower; the table is the upper end.

    Parameters
    ----------
    size : Entry
        Equipment grounding conductor.
    length : Entry
        From the panel to the outlet. [ft]
    material : str
        ``copper`` or ``aluminum``.
    stranding : str
        ``solid`` or ``stranded``.

    Rule
    ----
    conductor_resistance
    """
    table = book.table("conductor_resistance")
    row = table.row(size=size.value, stranding=stranding)
    return computed(
        "grounding_path_resistance",
        "r * L / k",
        table.cite,
        r=table.entry("grounding_conductor_resistance", material, row),
        L=length,
        k=book.figure("feet_per_kilofoot"),
    )


def grounding_path_high(book: Book, path_resistance: Entry | None) -> Entry:
    """Return the highest reading that shows a sound grounding path [Ω].

    Parameters
    ----------
    path_resistance : Entry, optional
        Predicted; the general limit stands alone where it is unknown. [Ω]
    """
    limit = book.figure("grounding_path_limit")
    if path_resistance is None:
        return computed("grounding_path_high", "R_max", limit.cite, R_max=limit)
    leads = book.figure("test_lead_allowance")
    return computed(
        "grounding_path_high",
        "smaller(R + R_t, R_max)",
        leads.cite,
        R=path_resistance,
        R_t=leads,
        R_max=limit,
    )


def voltage_band(book: Book, nominal: Literal["leg", "both"]) -> tuple[Entry, Entry]:
    """Return lowest and highest voltage of range A at the service [V].

    `nominal` is one leg to neutral, or both legs.
    """
    figure = book.figure("nominal_voltage_to_ground" if nominal == "leg" else "nominal_voltage")
    name = "leg_voltage" if nominal == "leg" else "both_legs_voltage"
    table = book.table("voltage_limits")
    row = table.row(range="A", point="service", nominal=figure.value)
    return table.entry(f"{name}_low", "lowest", row), table.entry(f"{name}_high", "highest", row)


def loaded_band(book: Book, drop: Entry) -> tuple[Entry, Entry]:
    """Return lowest and highest voltage at the equipment while it draws its load [V].

    Below the band without load by the drop of this circuit.
    """
    low, high = voltage_band(book, "both")
    cite = book.cite("loaded_voltage")
    return (
        computed("loaded_voltage_low", "V - V_d", cite, V=low, V_d=drop),
        computed("loaded_voltage_high", "V", cite, V=high),
    )


def fall_band(book: Book, drop: Entry) -> tuple[Entry, Entry]:
    """Return how far the voltage may fall from no load to load, at the outlet [V].

    The drop of this circuit, and an allowance for the service and the utility's side.
    """
    upstream = book.figure("upstream_drop_allowance")
    volts = book.figure("nominal_voltage")
    high = computed(
        "voltage_fall_high", "V_d + u * V", upstream.cite, V_d=drop, u=upstream, V=volts
    )
    return book.figure("no_voltage"), high


def least_insulation_resistance(book: Book, *, earlier: bool) -> Entry:
    """Return the least insulation resistance, by the present limit or by an earlier one [MΩ].

    Rule
    ----
    insulation_resistance, earlier_insulation_resistance
    """
    return book.figure("earlier_insulation_resistance" if earlier else "insulation_resistance")


def predicted_loaded_voltage(book: Book, no_load: Entry, drop: Entry) -> Entry:
    """Return the voltage to expect under load, from the reading without load [V]."""
    cite = book.cite("loaded_voltage")
    return computed("predicted_loaded_voltage", "V - V_d", cite, V=no_load, V_d=drop)


def within_band(
    name: str,
    reading: Entry,
    low: Entry | None,
    high: Entry | None,
    cite: tuple[Citation, ...],
) -> Check:
    """Judge a reading against its band; both ends belong to the band."""
    above = low is None or reading.value >= low.value
    below = high is None or reading.value <= high.value
    verdict = Verdict.MEETS if above and below else Verdict.FALLS_SHORT
    facts = tuple(end for end in (low, high) if end is not None)
    return Check(name, verdict, cite, left=reading, facts=facts)


def absence_of_voltage(book: Book, outlet: Outlet) -> Iterator[Reading]:
    """Yield the six pairs of the panel that must read dead.

    The panel has a neutral bar whether or not the new circuit uses it.
    """
    low, high = book.figure("no_voltage"), book.figure("absence_of_voltage_limit")
    for a, b in _pairs(replace(outlet, neutral=True, hots=len(LEGS))):
        yield Reading(
            f"dead-{a}-{b}", "dead", "volts", f"work-{a}", f"work-{b}", low, high, "not-dead"
        )


def _proof(book: Book, when: str) -> Iterator[Reading]:
    low, high = voltage_band(book, "leg")
    yield Reading(
        f"meter-proof-{when}",
        "proof",
        "volts",
        "known-source-hot",
        "known-source-neutral",
        low,
        high,
        f"meter-proof-{when}",
    )


def _continuity(book: Book, outlet: Outlet, path_resistance: Entry | None) -> Iterator[Reading]:
    low, high = book.figure("no_resistance"), grounding_path_high(book, path_resistance)
    yield Reading(
        "grounding-path", "dead", "ohms", "outlet-g", "panel-g", low, high, "grounding-path"
    )
    if outlet.metal_box:
        yield Reading("box-bond", "dead", "ohms", "outlet-g", "outlet-box", low, high, "box-bond")
    if outlet.neutral:
        yield Reading(
            "neutral-path", "dead", "ohms", "outlet-n", "panel-n", low, high, "neutral-path"
        )


def _isolation(book: Book, outlet: Outlet) -> Iterator[Reading]:
    apart = book.figure("isolation_resistance")
    for a, b in _pairs(outlet):
        neutral = (a, b) == ("n", "g")
        kind = "service" if outlet.service_panel else "subpanel"
        action = f"not-isolated-neutral-{kind}" if neutral else "not-isolated"
        yield Reading(
            f"apart-{a}-{b}", "dead", "ohms", f"outlet-{a}", f"outlet-{b}", apart, None, action
        )
    if outlet.insulation_test:
        least = least_insulation_resistance(book, earlier=outlet.earlier_insulation_limit)
        for a in (*outlet.legs, "n") if outlet.neutral else outlet.legs:
            yield Reading(
                f"insulation-{a}-g",
                "dead",
                "insulation",
                f"panel-loose-{a}",
                "panel-g",
                least,
                None,
                "insulation",
                (book.figure("insulation_test_voltage"),),
            )


CLIPPED = (
    ("l1", "g"),
    ("l2", "g"),
    ("l1", "n"),
    ("l2", "n"),
    ("n", "g"),
    ("l1", "l2"),
)
"""Order of the live readings at the terminals of wired equipment."""


def _live(book: Book, outlet: Outlet) -> Iterator[Reading]:
    both, leg = voltage_band(book, "both"), voltage_band(book, "leg")
    place = "outlet" if outlet.receptacle else "equipment"
    # clips are set on ground before a hot terminal, and from hot to hot last
    pairs = list(_pairs(outlet))
    if not outlet.receptacle:
        pairs.sort(key=CLIPPED.index)
    for a, b in pairs:
        if (a, b) == ("l1", "l2"):
            low, high, action = *both, "both-legs"
        elif (a, b) == ("n", "g"):
            low, high = book.figure("no_voltage"), book.figure("neutral_to_ground_limit")
            action = "neutral-to-ground"
        else:
            low, high, action = *leg, f"leg-to-{'neutral' if b == 'n' else 'ground'}"
        yield Reading(
            f"live-{a}-{b}", "live", "volts", f"{place}-{a}", f"{place}-{b}", low, high, action
        )
    if outlet.hots > 1:
        yield Reading(
            "leg-difference",
            "live",
            "subtract",
            f"{place}-l1",
            f"{place}-l2",
            book.figure("no_voltage"),
            book.figure("leg_difference_limit"),
            "leg-difference",
        )
    if outlet.gfci:
        yield Reading(
            "gfci-trips",
            "live",
            "volts-tripped",
            f"{place}-l1",
            f"{place}-l2" if outlet.hots > 1 else f"{place}-n",
            book.figure("no_voltage"),
            book.figure("absence_of_voltage_limit"),
            "gfci-trips",
        )


def _loaded(book: Book, drop: Entry, current: Entry | None) -> Iterator[Reading]:
    low, high = loaded_band(book, drop)
    yield Reading(
        "loaded-l1-l2", "live", "display", "load-display", "none", low, high, "loaded-voltage"
    )
    if current is not None:
        yield Reading(
            "load-current",
            "live",
            "display-current",
            "load-display-current",
            "none",
            None,
            current,
            "load-current",
        )
    low, high = fall_band(book, drop)
    yield Reading(
        "voltage-fall", "live", "subtract", "load-display", "none", low, high, "voltage-fall"
    )


def _pairs(outlet: Outlet) -> Iterator[tuple[str, str]]:
    if outlet.hots > 1:
        yield "l1", "l2"
    if outlet.neutral:
        yield from ((leg, "n") for leg in outlet.legs)
    yield from ((leg, "g") for leg in outlet.legs)
    if outlet.neutral:
        yield "n", "g"
