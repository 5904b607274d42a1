"""Sheet J: the panel directory before and after."""

from __future__ import annotations

from collections.abc import Sequence

from packet import words
from packet.plans.panel import DirectoryCircuit, PanelPicture
from packet.sheets import views
from packet.showing import show


def directory(picture: PanelPicture) -> views.Directory:
    """Return sheet J: odd spaces on the left, even on the right, as the door shows them."""
    height = -(-picture.spaces // 2)
    return views.Directory(
        panel=show(picture.name),
        location=show(picture.location) if picture.location else "",
        fed_from=show(picture.fed_from)
        if picture.fed_from
        else words.word("panel.fed_from_meter").label,
        rating=show(picture.rating) if picture.rating else "",
        left=_column(picture.circuits, range(1, 2 * height + 1, 2)),
        right=_column(picture.circuits, range(2, 2 * height + 1, 2)),
    )


def _column(circuits: Sequence[DirectoryCircuit], spaces: range) -> tuple[views.DirectoryRow, ...]:
    rows = []
    for space in spaces:
        before = [c for c in circuits if space in c.spaces and not c.new]
        after = [c for c in circuits if space in c.spaces]
        rows.append(views.DirectoryRow(str(space), _cell(before, space), _cell(after, space)))
    return tuple(rows)


def _cell(circuits: Sequence[DirectoryCircuit], space: int) -> views.DirectoryCell | None:
    """Return the cell of one space; None where a device that starts above reaches over it."""
    if not circuits:
        return views.DirectoryCell(words.word("panel.empty_space").label)
    if space != min(circuits[0].spaces):
        return None
    return views.DirectoryCell(
        " / ".join(f"{show(c.rating)} {show(c.serves)}" for c in circuits),
        rows=len(circuits[0].spaces),
        change="new" if any(c.new for c in circuits) else "",
    )
