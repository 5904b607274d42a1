"""Box fill, the box that would hold it, free conductor at the box, and pull boxes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from packet.codebook import Book
from packet.ledger import Check, Entry, Kind, Verdict, chosen, compare, computed, total
from packet.quantities import quantity


@dataclass(frozen=True)
class BoxConductors:
    """Conductors of one size in a box: how many, and their size."""

    count: Entry
    size: Entry


@dataclass(frozen=True)
class Device:
    """A receptacle or switch on its yoke.

    Parameters
    ----------
    gangs : Entry
        Gangs it needs for mounting; a 50 A receptacle takes two.
    size : Entry
        Largest conductor connected to it.
    """

    gangs: Entry
    size: Entry


@dataclass(frozen=True)
class BoxContents:
    """Everything that counts toward the fill of one box.

    Parameters
    ----------
    conductors : sequence of BoxConductors
        Insulated conductors that enter and end or are spliced, by size; those that
        pass straight through count once too, pigtails not at all.
    grounds : BoxConductors, optional
        Equipment grounding conductors and bonding jumpers; `size` is the largest.
    internal_clamps : bool
        Whether cable clamps stand inside the box.
    fittings : Entry, optional
        Kinds of luminaire studs and hickeys.
    terminal_blocks : sequence of Entry
        Largest conductor on each terminal block.
    """

    conductors: Sequence[BoxConductors]
    grounds: BoxConductors | None = None
    devices: Sequence[Device] = ()
    internal_clamps: bool = False
    fittings: Entry | None = None
    terminal_blocks: Sequence[Entry] = ()


def box_fill(book: Book, at: str, contents: BoxContents) -> Entry:
    """Return the volume that the contents of a box need [in³].

    Parameters
    ----------
    at : str
        Ledger place of the box, such as ``box.1``.

    Raises
    ------
    LookupError
        For a conductor larger than 6 AWG: such a box is sized by its raceways.
    ValueError
        For a box without conductors.

    Rule
    ----
    box_allowance, device_allowances_per_gang, clamp_allowances, grounds_allowances,
    further_ground_allowance, terminal_block_allowances
    """
    if not contents.conductors:
        raise ValueError(f"no conductors in {at}")
    parts = [
        computed(
            f"{at}.conductors.{number}.volume",
            "n * v",
            book.cite("conductor_fill"),
            n=group.count,
            v=_allowance(book, f"{at}.conductors.{number}.allowance", group.size),
        )
        for number, group in enumerate(contents.conductors, 1)
    ]
    parts += [
        computed(
            f"{at}.devices.{number}.volume",
            "g * k * v",
            book.cite("device_allowances_per_gang"),
            g=device.gangs,
            k=book.figure("device_allowances_per_gang"),
            v=_allowance(book, f"{at}.devices.{number}.allowance", device.size),
        )
        for number, device in enumerate(contents.devices, 1)
    ]
    largest = _allowance(book, f"{at}.largest_allowance", _largest(contents))
    if contents.internal_clamps:
        clamps = book.figure("clamp_allowances")
        parts.append(computed(f"{at}.clamps_volume", "k * v", clamps.cite, k=clamps, v=largest))
    if contents.fittings is not None:
        cite = book.cite("support_fitting_fill")
        parts.append(
            computed(f"{at}.fittings_volume", "n * v", cite, n=contents.fittings, v=largest)
        )
    if contents.grounds is not None:
        parts.append(grounds_volume(book, at, contents.grounds))
    if book.has("terminal_block_allowances"):
        block = book.figure("terminal_block_allowances")
        parts += [
            computed(
                f"{at}.blocks.{number}.volume",
                "k * v",
                block.cite,
                k=block,
                v=_allowance(book, f"{at}.blocks.{number}.allowance", size),
            )
            for number, size in enumerate(contents.terminal_blocks, 1)
        ]
    return total(f"{at}.fill_volume", book.cite("conductor_fill"), "V", parts)


def grounds_volume(book: Book, at: str, grounds: BoxConductors) -> Entry:
    """Return the volume of all equipment grounding conductors together [in³].

    Where the edition counts those above a number, each adds a part of an allowance.
    """
    base = book.figure("grounds_allowances")
    allowance = _allowance(book, f"{at}.grounds_allowance", grounds.size)
    name, cite = f"{at}.grounds_volume", base.cite
    if not book.has("further_ground_allowance"):
        return computed(name, "k * v", cite, k=base, v=allowance)
    return computed(
        name,
        "(k + q * larger(n - f, 0)) * v",
        cite,
        k=base,
        q=book.figure("further_ground_allowance"),
        n=grounds.count,
        f=book.figure("grounds_counted_together"),
        v=allowance,
    )


def box_volume(book: Book, at: str, marked: Entry, ring: Entry | None) -> Entry:
    """Return the volume of a box with its ring or extension, as marked [in³].

    A ring without a mark adds nothing: pass None.
    """
    cite = book.cite("marked_volume_counts")
    if ring is None:
        return computed(f"{at}.volume", "b", cite, b=marked)
    return computed(f"{at}.volume", "b + r", cite, b=marked, r=ring)


def box_holds_contents(
    book: Book,
    at: str,
    fill: Entry,
    marked: Entry | None,
    ring: Entry | None = None,
    kinds: tuple[str, ...] = ("square",),
) -> Check:
    """Judge the volume of a box against its fill; ask when no volume is marked or given.

    Parameters
    ----------
    fill : Entry
        What the contents need. [in³]
    marked, ring : Entry, optional
        Volume marked on the box and on its ring or cover. [in³]
    kinds : tuple of str
        Kinds of listed box that would do as a remedy.

    Rule
    ----
    box_volume, marked_volume_counts
    """
    name = f"{at}.volume_holds_contents"
    remedy = smallest_listed_box(book, f"{at}.smallest_listed_box", fill, ring, kinds)
    if marked is None:
        facts = (remedy,) if remedy else ()
        return Check(
            name, Verdict.ASK, (book.cite("marked_volume_counts"),), right=fill, facts=facts
        )
    return compare(
        name,
        box_volume(book, at, marked, ring),
        ">=",
        fill,
        book.cite("conductor_fill"),
        remedy=remedy,
    )


def smallest_listed_box(
    book: Book, name: str, fill: Entry, ring: Entry | None = None, kinds: tuple[str, ...] = ()
) -> Entry | None:
    """Return the smallest standard box, with the given ring, that holds `fill`; or None.

    Its value names the box by size; `kinds` limits the choice, all kinds when empty.
    """
    table = book.table("box_volume")
    rows = [row for row in table.rows() if not kinds or row["kind"] in kinds]
    added = quantity(0, "in**3") if ring is None else ring.value
    for row in sorted(rows, key=lambda row: row["volume"]):
        if row["volume"] + added >= fill.value:
            text = f"{row['size']} ({row['kind']})"
            limits = {"fill": fill, "volume": table.entry(f"{name}_volume", "volume", row)}
            return chosen(name, text, table.cite, **limits, **({"ring": ring} if ring else {}))
    return None


def free_conductor_length(book: Book, at: str, depth: Entry | None, opening: Entry | None) -> Entry:
    """Return the free conductor to leave at a box, from where it enters [in].

    Parameters
    ----------
    depth : Entry, optional
        From the face of the box to where conductors enter. [in]
    opening : Entry, optional
        Smallest side of the box opening; unknown counts as small. [in]

    Rule
    ----
    free_length_at_box, free_length_beyond_face, small_box_opening
    """
    free = book.figure("free_length_at_box")
    name = f"{at}.free_length"
    large = opening is not None and opening.value >= book.figure("small_box_opening").value
    if depth is None or large:
        return computed(name, "f", free.cite, f=free)
    beyond = book.figure("free_length_beyond_face")
    return computed(name, "larger(f, d + b)", free.cite, f=free, d=depth, b=beyond)


def free_conductor_long_enough(at: str, left_free: Entry | None, need: Entry) -> Check:
    """Judge the conductor left free at a box; ask when it has not been measured."""
    name = f"{at}.free_conductor_long_enough"
    if left_free is None:
        return Check(name, Verdict.ASK, need.cite, right=need)
    return compare(name, left_free, ">=", need, need.cite, remedy=need)


def sized_by_raceways(book: Book, *sizes: Entry) -> bool:
    """Say whether one of the conductors makes a box a pull box, sized by its raceways."""
    least = book.figure("pull_box_conductor").value
    return any(bool(size.value >= least) for size in sizes)


def straight_pull_length(book: Book, at: str, raceways: Sequence[Entry]) -> Entry:
    """Return the length of a box for a straight pull, from its largest raceway [in]."""
    times = book.figure("straight_pull_times")
    largest = _nominal(book, f"{at}.raceways.1.nominal", max(raceways, key=_size))
    return computed(f"{at}.straight_pull_length", "k * d", times.cite, k=times, d=largest)


def angle_pull_length(book: Book, at: str, raceways: Sequence[Entry]) -> Entry:
    """Return the distance to the opposite wall for an angle or U pull or a splice [in].

    `raceways` are those that enter one wall in one row.
    """
    times = book.figure("angle_pull_times")
    ordered = sorted(raceways, key=_size, reverse=True)
    nominal = {
        f"d{number}": _nominal(book, f"{at}.raceways.{number}.nominal", size)
        for number, size in enumerate(ordered, 1)
    }
    others = "".join(f" + {symbol}" for symbol in list(nominal)[1:])
    return computed(f"{at}.angle_pull_length", f"k * d1{others}", times.cite, k=times, **nominal)


def raceway_spacing(book: Book, at: str, raceway: Entry) -> Entry:
    """Return the distance between raceway entries that hold the same conductors [in]."""
    times = book.figure("angle_pull_times")
    nominal = _nominal(book, f"{at}.raceways.1.nominal", raceway)
    return computed(f"{at}.raceway_spacing", "k * d", times.cite, k=times, d=nominal)


def pull_box_long_enough(at: str, given: Entry | None, need: Entry, side: str = "length") -> Check:
    """Judge one inside dimension of a pull box; ask when it is not given.

    `side` is ``length``, ``width`` or ``height``.
    """
    name = f"{at}.pull_box_{side}_enough"
    if given is None:
        return Check(name, Verdict.ASK, need.cite, right=need)
    return compare(name, given, ">=", need, need.cite, remedy=need)


def raceway_entries_apart(at: str, given: Entry | None, need: Entry) -> Check:
    """Judge the distance between the entries of one pull; ask when it is not given."""
    name = f"{at}.raceway_entries_apart"
    if given is None:
        return Check(name, Verdict.ASK, need.cite, right=need)
    return compare(name, given, ">=", need, need.cite, remedy=need)


def box_suits_wet_place(book: Book, at: str, wet: Entry, *, listed: bool | None) -> Check:
    """Judge a box in a wet place, which is listed for it.

    Parameters
    ----------
    wet : Entry
        What says that the place is wet.
    listed : bool or None
        Whether it is marked for wet places; None where nobody has looked.

    Rule
    ----
    box_in_wet_place
    """
    verdict = {True: Verdict.MEETS, False: Verdict.FALLS_SHORT, None: Verdict.ASK}[listed]
    cite = (book.cite("box_in_wet_place"),)
    return Check(f"{at}.box_suits_wet_place", verdict, cite, facts=(wet,))


def metal_box_bonded(book: Book, at: str, jumper: Entry, need: Entry) -> Check:
    """Judge the conductor that joins a metal box to the equipment grounding conductors."""
    cite = book.cite("metal_box_bonding")
    return compare(f"{at}.metal_box_bonded", jumper, ">=", need, cite, remedy=need)


def _allowance(book: Book, name: str, size: Entry) -> Entry:
    table = book.table("box_allowance")
    return table.entry(name, "volume", table.row(size=size.value))


def _largest(contents: BoxContents) -> Entry:
    sizes = [group.size for group in contents.conductors]
    if contents.grounds is not None:
        sizes.append(contents.grounds.size)
    return max(sizes, key=_size)


def _size(entry: Entry) -> Any:
    return entry.value


def _nominal(book: Book, name: str, size: Entry) -> Entry:
    inches = size.value.inches
    value = quantity(Decimal(inches.numerator) / inches.denominator, "in")
    cite = book.cite("nominal_trade_size")
    return Entry(name, value, Kind.CHOSEN, (cite,), inputs=(("size", size),))
