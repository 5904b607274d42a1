"""Supports and their count, bends of cables and raceways, and protection in framing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from packet.codebook import Book
from packet.ledger import Check, Entry, Verdict, compare, computed


@dataclass(frozen=True)
class Supports:
    """How one route part is secured.

    `within` is None where the method has no distance from the box of its own.
    """

    within: Entry | None
    spacing: Entry
    count: Entry


def supports(
    book: Book,
    at: str,
    method: str,
    length: Entry,
    trade_size: Entry | None = None,
    conductor: Entry | None = None,
) -> Supports:
    """Return the spacing of the supports of a route part, and how many it takes.

    The first and the last stand at the distance allowed from the boxes, the rest at
    the spacing.

    Parameters
    ----------
    method : str
        Method word, such as ``NM-B``.
    length : Entry
        Length between the two boxes or terminations. [ft]
    trade_size, conductor : Entry, optional
        Needed where the spacing depends on them.

    Raises
    ------
    LookupError
        For a method that is not supported at a spacing, or a size beyond the table.

    Rule
    ----
    supports
    """
    table = book.table("supports")
    row = _row(table.where(method=method), trade_size, conductor)
    if row is None:
        raise LookupError(f"{table.cite.section} has no row for {method}")
    spacing = table.entry(f"{at}.support_spacing", "spacing", row)
    name = f"{at}.support_count"
    if row.get("within") is None:
        count = computed(
            name, "round_up(larger(L / s - 2, 0)) + 1", spacing.cite, L=length, s=spacing
        )
        return Supports(None, spacing, count)
    within = table.entry(f"{at}.support_within", "within", row)
    in_feet = computed(f"{at}.support_within_feet", "w", within.cite, w=within)
    count = computed(
        name,
        "round_up(larger((L - 2 * w) / s, 0)) + 1",
        spacing.cite,
        L=length,
        w=in_feet,
        s=spacing,
    )
    return Supports(within, spacing, count)


def support_spacing_given(at: str, given: Entry, need: Supports) -> Check:
    """Judge a planned distance between supports [ft]."""
    name = f"{at}.supports_close_enough"
    return compare(name, given, "<=", need.spacing, need.spacing.cite, remedy=need.spacing)


def cable_bend_radius(
    book: Book, at: str, method: str, diameter: Entry, sheath: str | None = None
) -> Entry:
    """Return the smallest inner radius of a cable bend [in].

    Parameters
    ----------
    diameter : Entry
        Of the cable; of a flat cable bent on its edge, the wider side. [in]
    sheath : str, optional
        Kind of metal sheath, for MC.

    Rule
    ----
    cable_bend_radius
    """
    table = book.table("cable_bend_radius")
    times = table.entry(f"{at}.bend_times", "times", table.row(method=method, sheath=sheath))
    return computed(f"{at}.bend_radius", "k * d", times.cite, k=times, d=diameter)


def raceway_bend_radius(book: Book, at: str, trade_size: Entry, *, one_shot: bool = True) -> Entry:
    """Return the smallest center-line radius of a field bend in a raceway [in].

    `one_shot` is a one-shot or full-shoe bender; other tools need the wider bend.
    """
    table = book.table("conduit_bend_radius")
    column = "one_shot" if one_shot else "other"
    return table.entry(f"{at}.bend_radius", column, table.row(trade_size=trade_size.value))


def bend_wide_enough(at: str, planned: Entry, least: Entry) -> Check:
    """Judge the radius of a planned bend against the smallest allowed [in]."""
    name = f"{at}.bend_wide_enough"
    return compare(name, planned, ">=", least, least.cite, remedy=least)


def framing_protected(
    book: Book, at: str, method: str, edge_distance: Entry | None, item: str = "bored hole"
) -> Check:
    """Judge how far wiring stays from the face of a framing member; plates where nearer.

    Parameters
    ----------
    edge_distance : Entry, optional
        From the edge of the hole to the nearest face of the member. [in]
    item : str
        ``bored hole``, ``notch`` or ``parallel run``.

    Rule
    ----
    framing_protection, methods_without_plates
    """
    name = f"{at}.clear_of_nails"
    table = book.table("framing_protection")
    exempt = book.figure("methods_without_plates")
    need = table.entry(f"{at}.nail_distance", "distance", table.row(item=item))
    plate = table.entry(f"{at}.plate_thickness", "distance", table.row(item="steel plate"))
    if method in words_of(exempt):
        return Check(name, Verdict.MEETS, exempt.cite, right=need, facts=(exempt, plate))
    if edge_distance is None:
        return Check(name, Verdict.ASK, need.cite, right=need, facts=(plate,))
    return compare(
        name, edge_distance, ">=", need, need.cite, otherwise=Verdict.NOTE, facts=(plate,)
    )


def plate_count(book: Book, at: str, protected: Check, members: Entry, sides: Entry) -> Entry:
    """Return how many steel plates the framing members of a route part take.

    Parameters
    ----------
    protected : Check
        The answer of :func:`framing_protected`.
    members : Entry
        Framing members the wiring passes through.
    sides : Entry
        Faces of each member that are too near: 1, or 2 in thin walls.
    """
    cite = book.table("framing_protection").cite
    name = f"{at}.plate_count"
    if protected.verdict is Verdict.MEETS:
        return computed(name, "0", cite)
    return computed(name, "n * f", cite, n=members, f=sides)


def cable_in_garage(book: Book, at: str, method: str, lowest: Entry | None) -> Check:
    """Judge exposed cable in a garage below the height to which it is usually covered.

    Parameters
    ----------
    lowest : Entry, optional
        Lowest point of the exposed cable above the floor. [ft]

    Rule
    ----
    cable_exposed_to_damage, garage_cable_protected_to
    """
    name = f"{at}.cable_out_of_harms_way"
    cite = book.cite("cable_exposed_to_damage")
    cables = book.figure("cables_open_to_damage")
    height = book.figure("garage_cable_protected_to")
    if method not in words_of(cables):
        return Check(name, Verdict.MEETS, (cite,), right=height, facts=(cables,))
    if lowest is None:
        return Check(name, Verdict.ASK, (cite,), right=height, facts=(cables,))
    return compare(name, lowest, ">=", height, cite, otherwise=Verdict.ASK, facts=(cables,))


def words_of(entry: Entry) -> tuple[str, ...]:
    """Return the words of a figure that lists several."""
    return tuple(word.strip() for word in str(entry.value).split(","))


def _row(rows: Any, trade_size: Entry | None, conductor: Entry | None) -> Mapping[str, Any] | None:
    for row in rows:
        reaches = row.get("up_to") is None or (
            trade_size is not None and trade_size.value <= row["up_to"]
        )
        carries = row.get("up_to_conductor") is None or (
            conductor is not None and conductor.value <= row["up_to_conductor"]
        )
        if reaches and carries:
            found: Mapping[str, Any] = row
            return found
    return None
