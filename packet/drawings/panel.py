"""The spaces of a panel before and after the work, side by side, as the door shows them.

Odd spaces stand left, even ones right. A breaker is a frame over its spaces, the two
circuits of a tandem breaker halves of one space; a space with a tandem breaker is twice as
high. What is new has a heavy frame and its word. A tall panel is drawn in pieces, cut where
no breaker is.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import pairwise

from packet.drawings.lettering import CAPITAL, TEXT_SIZE, text_width
from packet.drawings.paper import REGULAR, THICK, THIN, WIDTH, Drawing, Room, Text
from packet.sheets.views import PanelDevice

ROW, TANDEM_ROW = 6.2, 11.2
"""Height of a space; that of one with two circuits."""

_HALF = 84.0
"""Width of one panel with the numbers beside it."""
_NUMBERS = 7.4
_BUS = 2.0
_BODY = (_HALF - 2 * _NUMBERS - _BUS) / 2
_HEAD = 8.0
_INSET, _MARGIN = 0.6, 1.4

_Key = tuple[int, str]
"""A space with ``upper`` or ``lower`` of it."""


def panel_spaces(
    spaces: int,
    devices: tuple[PanelDevice, ...],
    words: Mapping[str, str],
    room: Room = REGULAR,
) -> list[Drawing]:
    """Draw all spaces of a panel, before on the left and after on the right.

    Parameters
    ----------
    spaces : int
    devices : tuple of PanelDevice
    words : mapping
        ``before``, ``after``, ``new`` and ``empty``.
    room : Room
        Two pieces stand on one page with their headings, or one above the table.
    """
    tandem = {-(-space // 2) for one in devices if one.half for space in one.spaces}
    rows = range(1, -(-spaces // 2) + 1)
    heights = {row: TANDEM_ROW if row in tandem else ROW for row in rows}
    tied = {-(-space // 2) for one in devices for space in one.spaces if space + 2 in one.spaces}
    return [
        _Piece(piece, heights, spaces, words, room).drawn(devices)
        for piece in _pieces(heights, tied, room.piece)
    ]


def _pieces(heights: Mapping[int, float], tied: set[int], tallest: float) -> Iterator[list[int]]:
    """Yield rows that stand together: cut below a row that no device ties to the next."""
    total = sum(heights.values())
    target = total / -(-total // tallest)
    piece: list[int] = []
    for row, height in heights.items():
        tall = sum(heights[one] for one in piece)
        free = bool(piece) and piece[-1] not in tied
        if piece and (tall + height > tallest or (free and tall + height / 2 > target)):
            yield piece
            piece = []
        piece.append(row)
    yield piece


class _Piece:
    """Some rows of both panels."""

    def __init__(
        self,
        rows: list[int],
        heights: Mapping[int, float],
        spaces: int,
        words: Mapping[str, str],
        room: Room,
    ) -> None:
        self.words = words
        self.spaces = spaces
        self.tops: dict[int, float] = {}
        y = _HEAD
        for row in rows:
            self.tops[row] = y
            y += heights[row]
        self.heights = heights
        self.placed = Drawing(y + 1.0, enlarged=room.enlarged)
        self.bottom = y

    def drawn(self, devices: tuple[PanelDevice, ...]) -> Drawing:
        """Return both panels."""
        before = tuple(one for one in devices if not one.new)
        self._panel(0.5, self.words["before"], before)
        self._panel(WIDTH - _HALF - 0.5, self.words["after"], devices)
        return self.placed

    def _panel(self, left: float, title: str, devices: tuple[PanelDevice, ...]) -> None:
        self.placed.lettering(left + _NUMBERS, 0.6, [title], bold=True)
        self.placed.frame(
            left + _NUMBERS - _INSET,
            _HEAD - _INSET,
            left + _HALF - _NUMBERS + _INSET,
            self.bottom + _INSET,
            width=THIN,
        )
        taken = {space for one in devices for space in one.spaces}
        for row, top in self.tops.items():
            for space in (2 * row - 1, 2 * row):
                if space <= self.spaces:
                    self._number(left, space, top + self.heights[row] / 2)
                    if space not in taken:
                        self._empty(left, space, top + self.heights[row] / 2)
        for device in devices:
            self._device(left, device)

    def _body_left(self, left: float, space: int) -> float:
        return left + _NUMBERS + (0.0 if space % 2 else _BODY + _BUS)

    def _number(self, left: float, space: int, middle: float) -> None:
        text = str(space)
        width = text_width(text, bold=False)
        x = left + _NUMBERS - 1.6 - width if space % 2 else left + _HALF - _NUMBERS + 1.6
        self.placed.texts.append(Text(x, middle + CAPITAL * TEXT_SIZE / 2, text))

    def _empty(self, left: float, space: int, middle: float) -> None:
        x = self._body_left(left, space) + _MARGIN
        self.placed.texts.append(Text(x, middle + CAPITAL * TEXT_SIZE / 2, self.words["empty"]))

    def _device(self, left: float, device: PanelDevice) -> None:
        """Draw a device: one frame for spaces under each other, else several that name them."""
        runs = list(_runs(device))
        for run in runs:
            ends = [
                self._ends(space, device.half) for space in run if self._row(space) in self.tops
            ]
            if not ends:
                continue
            top, bottom = ends[0][0] + _INSET, ends[-1][1] - _INSET
            x = self._body_left(left, run[0]) + _INSET
            right = x + _BODY - 2 * _INSET
            width = THICK if device.new else THIN
            self.placed.frame(x, top, right, bottom, width=width)
            others = [space for other in runs if other is not run for space in other]
            text = self._label(device, others[0] if others else None)
            base = (top + bottom) / 2 + CAPITAL * TEXT_SIZE / 2
            self.placed.texts.append(Text(x + _MARGIN, base, text, device.new))

    def _label(self, device: PanelDevice, other: int | None) -> str:
        """Return the rating, with the word for what is new and one further space if it fits."""
        text = f"{self.words['new']} {device.rating}" if device.new else device.rating
        longer = f"{text} + {other}"
        fits = text_width(longer, bold=device.new) <= _BODY - 2 * _INSET - 2 * _MARGIN
        return longer if other is not None and fits else text

    def _row(self, space: int) -> int:
        return -(-space // 2)

    def _ends(self, space: int, half: str) -> tuple[float, float]:
        row = self._row(space)
        top, height = self.tops[row], self.heights[row]
        middle = top + height / 2
        return (
            middle if half == "lower" else top,
            middle if half == "upper" else top + height,
        )


def _runs(device: PanelDevice) -> Iterator[list[int]]:
    """Yield the spaces of a device that make one frame: under each other, and not halves."""
    for side in (1, 0):
        spaces = sorted(space for space in device.spaces if space % 2 == side)
        run = spaces[:1]
        for space, following in pairwise(spaces):
            if following == space + 2 and not device.half:
                run.append(following)
            else:
                yield run
                run = [following]
        if run:
            yield run
