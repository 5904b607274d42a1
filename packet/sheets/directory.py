"""Sheet J: the panel directory before and after."""

from __future__ import annotations

from collections.abc import Sequence

from packet import words
from packet.plans.panel import DirectoryCircuit, PanelPicture
from packet.sheets import views
from packet.showing import show

NO_NUMBER = "–"


def directory(picture: PanelPicture) -> views.Directory:
    """Return sheet J: odd spaces on the left, even on the right, as the door shows them."""
    return views.Directory(
        panel=show(picture.name),
        location=show(picture.location) if picture.location else "",
        fed_from=show(picture.fed_from)
        if picture.fed_from
        else words.word("panel.fed_from_meter").label,
        rating=show(picture.rating) if picture.rating else "",
        left=_column(picture, 1),
        right=_column(picture, 2),
        spaces=picture.spaces,
        devices=tuple(
            views.PanelDevice(c.spaces, show(c.rating), show(c.serves), c.half, c.new)
            for c in picture.circuits
        ),
        empty=words.word("panel.empty_space").label,
    )


def _column(picture: PanelPicture, first: int) -> tuple[views.DirectoryRow, ...]:
    """Return one column of the door; a panel with an odd number of spaces ends on the left."""
    spaces = range(first, first + 2 * -(-picture.spaces // 2), 2)
    after = picture.circuits
    before = [circuit for circuit in after if not circuit.new]
    absent = views.DirectoryCell(words.word("panel.no_such_space").label)
    return tuple(
        views.DirectoryRow(str(space), _cell(before, space), _cell(after, space))
        if space <= picture.spaces
        else views.DirectoryRow(NO_NUMBER, absent, absent)
        for space in spaces
    )


def _cell(circuits: Sequence[DirectoryCircuit], space: int) -> views.DirectoryCell | None:
    """Return the cell of one space; None where a device that starts above reaches over it.

    Spaces under each other that one device takes make one cell, with everything in them.
    """
    if not any(space in circuit.spaces for circuit in circuits):
        return views.DirectoryCell(words.word("panel.empty_space").label)
    if _joined(circuits, space - 2):
        return None
    last = space
    while _joined(circuits, last):
        last += 2
    held = [c for c in circuits if any(space <= s <= last and s % 2 == space % 2 for s in c.spaces)]
    return views.DirectoryCell(
        " / ".join(f"{show(c.rating)} {show(c.serves)}" for c in held),
        rows=(last - space) // 2 + 1,
        change="new" if any(c.new for c in held) else "",
    )


def _joined(circuits: Sequence[DirectoryCircuit], space: int) -> bool:
    """Say whether one device takes this space and the one below it."""
    return any({space, space + 2} <= set(circuit.spaces) for circuit in circuits)
