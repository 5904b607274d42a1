"""Tightening torque of each terminal, and what to expect where a part has no marking."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packet.codebook import Book
from packet.ledger import Check, Entry, Verdict, computed

SCREW_COLUMNS = {
    "slot_narrow": "general_torque_narrow_slot",
    "slot_wide": "general_torque_wide_slot",
    "split_bolt": "general_torque_split_bolt",
    "other": "general_torque_hexagonal",
}
"""Head of a screw, No. 10 and larger -> ledger name of its general value."""

HEADS_OF_DRIVE = {
    "slotted": ("slot_narrow", "slot_wide"),
    "hex head": ("other",),
}
"""Drive of a screw, as it is seen -> heads of the general table that it may be."""

RECESSED = frozenset({"hex socket", "square"})
"""Drives whose general value follows from the width of the recess."""

LIKELY = ("slot_narrow", "slot_wide", "other")
"""Heads a terminal of a breaker, bar or receptacle may have, when nobody looked yet."""


@dataclass(frozen=True)
class Screw:
    """What is seen of a screw without a marking; None where nobody has looked.

    Parameters
    ----------
    drive : str, optional
        ``slotted``, ``cross``, ``square``, ``hex socket`` or ``hex head``.
    recess_width : Entry, optional
        Across the flats of a recess, as a trade size.
    slot_length : str, optional
        Of a screw smaller than No. 10, as the table prints it, in inches.
    slot_is_wide : bool
        Whether that slot is of the wider column.
    """

    drive: str | None = None
    recess_width: Entry | None = None
    slot_length: str | None = None
    slot_is_wide: bool = False


@dataclass(frozen=True)
class TerminalTorque:
    """One terminal: what it must be tightened to, in three units, and its check.

    The three values are None until the label has been read. `general` holds what the
    general table gives for screws without a marking, one entry for each head that may be there.
    """

    value: Entry | None
    metric: Entry | None
    feet: Entry | None
    general: tuple[Entry, ...]
    check: Check


def terminal_torque(
    book: Book,
    at: str,
    size: Entry,
    marked: Entry | None,
    screw: Screw | None = None,
) -> TerminalTorque:
    """Return the torque of one terminal as marked; without a marking, ask.

    The general table never stands in for a marking: its values are shown beside the
    blank only, as what to expect.

    Parameters
    ----------
    at : str
        Ledger place of the terminal, such as ``terminal.3``.
    size : Entry
        Conductor in the terminal.
    marked : Entry, optional
        Read off the part or its instructions. [lbf·in, lbf·ft or N·m]
    screw : Screw, optional
        What is seen of it; all likely heads when nobody looked.

    Rule
    ----
    terminal_tightening, torque_screw
    """
    cite = book.cite("terminal_tightening")
    general = torque_by_screw(book, at, size, screw or Screw())
    name = f"{at}.tightened_as_marked"
    if marked is None:
        ask = Check(name, Verdict.ASK, (cite,), facts=(size, *general))
        return TerminalTorque(None, None, None, general, ask)
    value, metric, feet = (
        computed(f"{at}.{unit}", "T", cite, T=marked)
        for unit in ("torque", "torque_metric", "torque_feet")
    )
    meets = Check(name, Verdict.MEETS, (cite,), left=value, facts=(size, metric, feet))
    return TerminalTorque(value, metric, feet, general, meets)


def setting_band(book: Book, at: str, required: Entry) -> tuple[Entry, Entry]:
    """Return the lowest and the highest setting that count as the required torque [lbf·in].

    A tool cannot be told nearer than it may be off.

    Parameters
    ----------
    at : str
        Ledger place of the terminal.
    required : Entry
        Marked on the part or given in its instructions.

    Rule
    ----
    terminal_tightening, torque_tool_tolerance
    """
    share = book.figure("torque_tool_tolerance")
    cite = (book.cite("terminal_tightening"), *share.cite)
    return (
        computed(f"{at}.set_torque_low", "T * (1 - t)", cite, T=required, t=share),
        computed(f"{at}.set_torque_high", "T * (1 + t)", cite, T=required, t=share),
    )


def torque_by_screw(book: Book, at: str, size: Entry, screw: Screw) -> tuple[Entry, ...]:
    """Return the general values that a screw may have, by what is seen of it [lbf·in].

    None for a recess whose width nobody has measured.

    Rule
    ----
    torque_screw, torque_small_screw, torque_socket
    """
    if screw.slot_length is not None:
        small = small_screw_torque(book, at, screw.slot_length, wide=screw.slot_is_wide)
        return (small,) if small is not None else ()
    if screw.drive in RECESSED:
        recess = screw.recess_width
        return (socket_torque(book, at, recess),) if recess is not None else ()
    heads = HEADS_OF_DRIVE.get(screw.drive or "", LIKELY)
    return general_torque(book, at, size, heads)


def general_torque(book: Book, at: str, size: Entry, heads: Sequence[str]) -> tuple[Entry, ...]:
    """Return the general values for screws No. 10 and larger that hold `size` [lbf·in].

    Heads that the table does not have for the size are left out.

    Raises
    ------
    LookupError
        For a conductor larger than the table goes.
    """
    table = book.table("torque_screw")
    for row in table.rows():
        if row["smallest"] <= size.value <= row["largest"]:
            return tuple(
                table.entry(f"{at}.{SCREW_COLUMNS[head]}", head, row)
                for head in heads
                if row[head] is not None
            )
    raise LookupError(f"{table.cite.section} has no row for {size.value.name}")


def small_screw_torque(book: Book, at: str, slot_length: str, *, wide: bool) -> Entry | None:
    """Return the general value for a slotted screw smaller than No. 10 [lbf·in].

    None where the table has no screw with so long and so narrow a slot.

    Parameters
    ----------
    slot_length : str
        As the table prints it, in inches, such as ``3/16``.
    wide : bool
        Whether the slot is of the wider column.
    """
    table = book.table("torque_small_screw")
    row = table.row(slot_length=slot_length)
    column = "wide" if wide else "narrow"
    if row[column] is None:
        return None
    return table.entry(f"{at}.general_torque_small_screw", column, row)


def socket_torque(book: Book, at: str, across_flats: Entry) -> Entry:
    """Return the general value for a screw with a recessed hexagon or square [lbf·in].

    `across_flats` is the width of the recess, a fraction of an inch as a trade size.
    """
    table = book.table("torque_socket")
    row = table.row(across_flats=across_flats.value)
    return table.entry(f"{at}.general_torque_socket", "torque", row)


def tool_range(terminals: Sequence[TerminalTorque], book: Book) -> tuple[Entry, Entry] | None:
    """Return the lowest and highest torque that the tool must be able to be set to.

    None where no terminal has a value yet. [lbf·in]
    """
    values = {
        f"T{number}": terminal.value
        for number, terminal in enumerate(terminals, 1)
        if terminal.value is not None
    }
    if not values:
        return None
    cite = book.cite("tightening_tool")
    listed = ", ".join(values)
    if len(values) == 1:
        low, high = listed, listed
    else:
        low, high = f"smaller({listed})", f"larger({listed})"
    return (
        computed("lowest_torque", low, cite, **values),
        computed("highest_torque", high, cite, **values),
    )


def tightening_tool(book: Book) -> Entry:
    """Return what the edition lets a terminal be tightened with, in its own words."""
    return book.figure("tightening_tool")
