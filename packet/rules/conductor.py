"""Circuit conductors: what they must carry, and the smallest size that meets every test."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from packet.codebook import Book
from packet.ledger import Check, Citation, Entry, Verdict, chosen, compare, computed, decimal_of
from packet.quantities import ConductorSize
from packet.rules.ampacity import (
    CABLES,
    ConductorConditions,
    PartAmpacity,
    ambient_within_table,
    insulation_marked,
    many_cables,
    part_ampacity,
    seal_known,
    termination_temperature,
    unmarked_terminal_matters,
)
from packet.rules.overcurrent import small_conductor_protected


@dataclass(frozen=True)
class CircuitDemand:
    """What the circuit asks of its conductors.

    Parameters
    ----------
    load : Entry
        Load without any factor. [A]
    minimum_ampacity : Entry
        Smallest ampacity before correction. [A]
    overcurrent_rating : Entry
        Rating of the device that protects the conductors. [A]
    several_receptacles : Entry
        True where the circuit feeds several receptacles for portable loads.
    device_limit : callable, optional
        For equipment whose own article says how large the device of its conductors may be:
        from code book, ledger name and usable ampacity to that rating. Left out, conductors
        are protected at their ampacity.
    small_conductors_free : bool
        Whether the limits for small conductors do not hold for it.
    """

    load: Entry
    minimum_ampacity: Entry
    overcurrent_rating: Entry
    several_receptacles: Entry
    device_limit: Callable[[Book, str, Entry], Entry] | None = None
    small_conductors_free: bool = False


@dataclass(frozen=True)
class SizedConductor:
    """The conductor of the circuit: its size, the smallest that meets, and every test.

    `size` is the given size, or else the selected one. `parts` is empty where no ampacity
    can be worked out: a check then says why.
    """

    size: Entry | None
    selected: Entry | None
    termination: Entry
    parts: tuple[PartAmpacity, ...]
    checks: tuple[Check, ...]


def circuit_load(book: Book, continuous: Entry, noncontinuous: Entry) -> Entry:
    """Load of the circuit without any factor [A].

    Rule
    ----
    conductor_carries_load
    """
    return computed(
        "circuit_load",
        "I_c + I_n",
        book.cite("conductor_carries_load"),
        I_c=continuous,
        I_n=noncontinuous,
    )


def minimum_conductor_ampacity(book: Book, continuous: Entry, noncontinuous: Entry) -> Entry:
    """Smallest ampacity the conductors may have before correction and adjustment [A].

    Rule
    ----
    continuous_load_factor, conductor_carries_continuous_load
    """
    return computed(
        "minimum_conductor_ampacity",
        "k_c * I_c + I_n",
        book.cite("conductor_carries_continuous_load"),
        k_c=book.figure("continuous_load_factor"),
        I_c=continuous,
        I_n=noncontinuous,
    )


def part_checks(
    book: Book,
    part: PartAmpacity,
    demand: CircuitDemand,
    remedy: Entry | None = None,
    otherwise: Verdict = Verdict.FALLS_SHORT,
) -> tuple[Check, ...]:
    """Judge one part of the route: continuous load, load after correction, protection.

    Parameters
    ----------
    remedy : Entry, optional
        Size that would meet.
    otherwise : Verdict
        How a test ends that does not hold.

    Rule
    ----
    conductor_carries_continuous_load, conductor_carries_load,
    conductor_protected_at_its_ampacity, next_size_up_limit
    """
    named = f"route.{part.number}."
    cite: tuple[Citation, ...] = (
        book.cite("conductor_protected_at_its_ampacity"),
        book.cite("next_size_up_limit"),
    )
    limit = part.overcurrent_limit
    if demand.device_limit is not None:
        limit = demand.device_limit(book, limit.name, part.usable_ampacity)
        cite = limit.cite
    return (
        compare(
            named + "conductor_carries_continuous_load",
            part.uncorrected_ampacity,
            ">=",
            demand.minimum_ampacity,
            book.cite("conductor_carries_continuous_load"),
            remedy=remedy,
            otherwise=otherwise,
        ),
        compare(
            named + "conductor_carries_load",
            part.usable_ampacity,
            ">=",
            demand.load,
            book.cite("conductor_carries_load"),
            remedy=remedy,
            otherwise=otherwise,
        ),
        compare(
            named + "conductor_protected",
            demand.overcurrent_rating,
            "<=",
            limit,
            cite,
            remedy=remedy,
            otherwise=otherwise,
            facts=(part.usable_ampacity,),
        ),
    )


def selected_conductor(
    book: Book,
    route: Sequence[ConductorConditions],
    material: Entry,
    termination: Entry,
    demand: CircuitDemand,
    name: str = "selected_conductor",
) -> Entry | None:
    """Smallest size that meets every test in every part of the route.

    Parameters
    ----------
    material : Entry
        `copper` or `aluminum`.
    termination : Entry
        Temperature by which the terminals take the conductors. [degC]
    name : str
        Ledger name of the result.

    Returns
    -------
    Entry or None
        A conductor size; None where no listed size meets.

    Rule
    ----
    conductor_ampacity, conductor_carries_continuous_load, conductor_carries_load,
    next_size_up_limit, small_conductor_limit
    """
    limits = {
        "I_min": demand.minimum_ampacity,
        "I_L": demand.load,
        "I_B": demand.overcurrent_rating,
    }
    for size in conductor_sizes(book, material):
        cite = book.table("conductor_ampacity").cite
        candidate = chosen(name, size, cite, **limits, material=material, t_e=termination)
        if _meets(book, route, candidate, material, termination, demand):
            return candidate
    return None


def uncorrected_conductor(
    book: Book,
    route: Sequence[ConductorConditions],
    material: Entry,
    termination: Entry,
    demand: CircuitDemand,
) -> Entry | None:
    """Smallest size if the route needed no correction for heat and no adjustment.

    Rule
    ----
    table_ambient, table_current_carrying
    """
    ordinary = [
        replace(
            part,
            ambient=book.figure("table_ambient"),
            current_carrying=book.figure("table_current_carrying"),
            above_roof=None,
        )
        for part in route
    ]
    return selected_conductor(
        book, ordinary, material, termination, demand, "uncorrected_conductor"
    )


def sized_conductor(
    book: Book,
    route: Sequence[ConductorConditions],
    material: Entry,
    marks: Sequence[Entry | None],
    demand: CircuitDemand,
    size: Entry | None = None,
) -> SizedConductor:
    """Choose the conductor of the circuit, or check the given one, over the whole route.

    A test that only an unmarked terminal makes fall short is asked, not failed: the mark
    may be there, unread.

    Parameters
    ----------
    material : Entry
        `copper` or `aluminum`.
    marks : sequence of Entry or None
        Temperature marked at each terminal of the hot conductors; None where unmarked. [degC]
    size : Entry, optional
        Given size; left out: the smallest that meets is used.

    Rule
    ----
    conductor_ampacity, termination_rating_limit, conductor_carries_continuous_load,
    conductor_carries_load, next_size_up_limit, small_conductor_limit
    """
    rating = demand.overcurrent_rating
    termination = termination_temperature(book, rating, marks)
    checks = [insulation_marked(book, part) for part in route if part.method.value not in CABLES]
    if _all_meet(checks):
        checks += [ambient_within_table(book, part) for part in route]
    if not _all_meet(checks):
        return SizedConductor(size, None, termination, (), tuple(checks))
    selected = selected_conductor(book, route, material, termination, demand)
    used = size or selected
    if used is None or used.value not in conductor_sizes(book, material):
        missing = _not_listed(book, material, demand, size, selected)
        return SizedConductor(size, selected, termination, (), (*checks, missing))
    parts = tuple(
        part_ampacity(book, part, used, material, termination, demand.several_receptacles)
        for part in route
    )
    otherwise = Verdict.FALLS_SHORT
    if unmarked_terminal_matters(book, rating, marks):
        read = [mark for mark in marks if mark] or [book.figure("highest_termination_temperature")]
        marked = termination_temperature(book, rating, read)
        if _meets(book, route, used, material, marked, demand):
            otherwise = Verdict.ASK
    checks += [seal_known(book, part) for part in route if many_cables(book, part)]
    for part in parts:
        checks += part_checks(book, part, demand, selected, otherwise)
    if not demand.small_conductors_free:
        small = small_conductor_protected(book, rating, used, material, selected)
        checks += [small] if small else []
    return SizedConductor(used, selected, termination, parts, tuple(checks))


def dwelling_supply_ampacity(book: Book, rating: Entry) -> Entry:
    """Smallest ampacity of conductors that carry the whole load of a dwelling [A].

    Parameters
    ----------
    rating : Entry
        Rating of the service or of the main feeder. [A]

    Rule
    ----
    dwelling_supply_share
    """
    return computed(
        "dwelling_supply_ampacity",
        "s * I_r",
        book.cite("dwelling_supply_share"),
        s=book.figure("dwelling_supply_share"),
        I_r=rating,
    )


def dwelling_supply_conductor(book: Book, rating: Entry, material: Entry) -> Entry:
    """Smallest service or main feeder conductor that carries the whole load of a dwelling.

    Without correction or adjustment, at terminals for the higher temperature.

    Raises
    ------
    LookupError
        When no listed size is that large.

    Rule
    ----
    dwelling_supply_share, conductor_ampacity
    """
    needed = dwelling_supply_ampacity(book, rating)
    column = f"{material.value}_{decimal_of(book.figure('highest_termination_temperature')):f}"
    table = book.table("conductor_ampacity")
    for row in table.rows():
        if row[column] is not None and row[column] >= needed.value:
            cite = (
                book.cite("dwelling_supply_share"),
                table.entry("dwelling_supply_ampacity", column, row).cite[0],
            )
            return chosen("dwelling_supply_conductor", row["size"], cite, I_min=needed)
    raise LookupError(f"no listed conductor carries {needed.value}")


def dwelling_supply_rule_applies(book: Book, rating: Entry, whole: Entry | None) -> Check:
    """Check that the share for conductors of a whole dwelling may be used.

    Parameters
    ----------
    rating : Entry
        Rating of the service or feeder. [A]
    whole : Entry, optional
        True where it carries the whole load of the dwelling; left out: not known.

    Rule
    ----
    dwelling_supply_share, dwelling_supply_smallest_rating, dwelling_supply_largest_rating
    """
    smallest = book.figure("dwelling_supply_smallest_rating")
    largest = book.figure("dwelling_supply_largest_rating")
    fits = whole is not None and whole.value and smallest.value <= rating.value <= largest.value
    short = Verdict.ASK if whole is None else Verdict.FALLS_SHORT
    return Check(
        "dwelling_supply_rule_applies",
        Verdict.MEETS if fits else short,
        (book.cite("dwelling_supply_share"),),
        left=rating,
        facts=(smallest, largest, *filter(None, [whole])),
    )


def conductor_sizes(book: Book, material: Entry) -> Iterator[ConductorSize]:
    """Yield the sizes that the ampacity table lists in this metal, smallest first.

    Rule
    ----
    conductor_ampacity
    """
    column = f"{material.value}_{decimal_of(book.figure('highest_termination_temperature')):f}"
    rows = book.table("conductor_ampacity").rows()
    return (row["size"] for row in rows if row[column] is not None)


def _meets(
    book: Book,
    route: Sequence[ConductorConditions],
    size: Entry,
    material: Entry,
    termination: Entry,
    demand: CircuitDemand,
) -> bool:
    if not demand.small_conductors_free:
        small = small_conductor_protected(book, demand.overcurrent_rating, size, material, None)
        if small is not None and small.verdict is not Verdict.MEETS:
            return False
    several = demand.several_receptacles
    return all(
        check.verdict is Verdict.MEETS
        for part in route
        for check in part_checks(
            book, part_ampacity(book, part, size, material, termination, several), demand
        )
    )


def _not_listed(
    book: Book,
    material: Entry,
    demand: CircuitDemand,
    size: Entry | None,
    selected: Entry | None,
) -> Check:
    table = book.table("conductor_ampacity")
    cite = (table.cite,)
    needs = (material, demand.minimum_ampacity, demand.load, demand.overcurrent_rating)
    if size is None:
        parallel = book.figure("least_parallel_conductor")
        largest = chosen("largest_conductor", list(conductor_sizes(book, material))[-1], table.cite)
        return Check(
            "conductor_available",
            Verdict.FALLS_SHORT,
            (*cite, *parallel.cite),
            facts=(*needs, largest, parallel),
        )
    return Check(
        "conductor_size_listed",
        Verdict.FALLS_SHORT,
        cite,
        left=size,
        remedy=selected,
        facts=needs,
    )


def _all_meet(checks: Sequence[Check]) -> bool:
    return all(check.verdict is Verdict.MEETS for check in checks)
