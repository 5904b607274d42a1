"""Where everything on the one-line diagram goes.

One trunk runs from the utility down. Labels stand in a column right of it, things outside
an enclosure in a column left of it; each column is filled from the top and never goes back
up, so no label can meet another. A label has few lines at most and a part of the diagram is
closed before it grows taller than a page, so that any number of items fits on paper.
"""

from __future__ import annotations

from collections.abc import Mapping
from copy import copy
from dataclasses import dataclass, replace
from math import hypot
from typing import NamedTuple, TypedDict

from packet.drawings.lettering import (
    CAPITAL,
    LINE,
    SPARE,
    TEXT_SIZE,
    text_width,
    wrapped,
)
from packet.drawings.paper import (
    ENCLOSURE,
    REGULAR,
    REMOVED,
    THICK,
    THIN,
    WIDTH,
    Drawing,
    Path,
    Room,
    Text,
)
from packet.drawings.symbols import SHAPES, Shape
from packet.sheets.views import SideSymbol, State, Symbol

TRUNK = 68.0
LEFT_EDGE, RIGHT_EDGE = 52.0, WIDTH - 0.5
"""Sides of an enclosure."""


class Lines(NamedTuple):
    """Most lines of each kind of label; the table below the diagram has the full text."""

    name: int
    rating: int
    run: int
    enclosure: int


USUAL, FEWER = Lines(3, 2, 3, 2), Lines(2, 1, 2, 1)
"""Lines are fewer where one item would else be taller than the page."""

_NUMBER_RADIUS = 3.8
_LABEL_NUMBER, _LABEL_TEXT = 84.0, 90.0
_LEFT_NUMBER, _LEFT_TEXT = 4.5, 10.0
_LEFT_MARK = 34.0
_RIGHT_WIDTH = RIGHT_EDGE - SPARE - _LABEL_TEXT
_LEFT_WIDTH = LEFT_EDGE - SPARE - _LEFT_TEXT
_WIDE_GAPS, _LEAST_GAP = (9.0, 6.0, 3.6), 2.4
_FOOT, _GOES_ON = 2.0, 9.0
"""Room for the foot of an enclosure, and for the arrow to the next part."""
_ARROW = "M0 0V7M-1.8 4.4L0 7.4L1.8 4.4"


@dataclass(frozen=True)
class Part:
    """What stands on one page: a drawing, and the symbols on it for the text beside it."""

    drawing: Drawing
    symbols: tuple[Symbol, ...]


def one_line(
    symbols: tuple[Symbol, ...], words: Mapping[str, str], room: Room = REGULAR
) -> list[Part]:
    """Place all `symbols`, on as many pages as they need.

    Parameters
    ----------
    symbols : tuple of Symbol
    words : mapping
        How each state is marked, by state; under ``before`` and ``after`` what stands beside
        the arrows from and to another part.
    room : Room
        Above what is comfortable the rows move closer, to leave room for what stands below the
        drawing; parts are made alike in height, but not lower than the least.
    """
    parts = _Layout(symbols, words, room, USUAL).parts()
    if any(part.drawing.height > room.tallest for part in parts):
        return _Layout(symbols, words, room, FEWER).parts()
    return parts


@dataclass(frozen=True)
class _Layout:
    """What a diagram is laid out from, whatever its gaps and its parts."""

    symbols: tuple[Symbol, ...]
    words: Mapping[str, str]
    room: Room
    lines: Lines

    def parts(self) -> list[Part]:
        """Choose the gap between rows, and where to part the diagram."""
        room = self.room
        for gap in _WIDE_GAPS:
            parts = _parts(self, gap, room.tallest)
            if len(parts) == 1 and parts[0].drawing.height <= room.comfortable:
                return parts
        parts = _parts(self, _LEAST_GAP, room.tallest)
        if len(parts) > 1:
            for limit in range(room.least, int(room.tallest), 10):
                alike = _parts(self, _LEAST_GAP, limit)
                if len(alike) == len(parts):
                    return alike
        return parts


def _parts(layout: _Layout, gap: float, limit: float) -> list[Part]:
    """Fill parts up to `limit`; a symbol that is taller alone has a part of its own."""
    parts: list[Part] = []
    column = _Column(layout, gap)
    held: list[Symbol] = []
    for number, symbol in enumerate(layout.symbols, 1):
        longer = column.longer_by(symbol)
        below = _FOOT if number == len(layout.symbols) else _FOOT + _GOES_ON
        if held and longer.height + below > limit:
            parts.append(Part(column.closed(goes_on=True), tuple(held)))
            longer = _Column(layout, gap, comes_from=True).longer_by(symbol)
            held = []
        column = longer
        held.append(symbol)
    parts.append(Part(column.closed(), tuple(held)))
    return parts


class _Column:
    """Fills one drawing from the top; `y` and `left_y` only grow."""

    def __init__(self, layout: _Layout, gap: float, *, comes_from: bool = False) -> None:
        self.words = layout.words
        self.lines = layout.lines
        self.small = layout.room.small
        self.gap = gap
        self.y = 1.0
        self.left_y = 1.0
        self.port: float | None = None
        self.enclosure = ""
        self.top = 0.0
        self.state: State = "existing"
        self.placed = Drawing(enlarged=layout.room.enlarged)
        if comes_from:
            self._arrow("before")

    @property
    def height(self) -> float:
        return max(self.y, self.left_y) + 1.0

    def longer_by(self, symbol: Symbol) -> _Column:
        """Return a column with one more symbol, and leave this one as it is."""
        longer = copy(self)
        longer.placed = replace(
            self.placed, paths=list(self.placed.paths), texts=list(self.placed.texts)
        )
        longer._add(symbol)
        return longer

    def _add(self, symbol: Symbol) -> None:
        """Place one symbol with everything that belongs to it."""
        if symbol.enclosure != self.enclosure:
            self._close()
            self._run(symbol)
            self._open(symbol.enclosure)
        else:
            self._run(symbol)
        self.state = symbol.state
        if not symbol.run and self.port is not None:
            self.y += self.gap
        self._symbol(symbol)
        for side in symbol.sides:
            self._side(side)

    def closed(self, *, goes_on: bool = False) -> Drawing:
        """Return the drawing with its last enclosure shut."""
        self._close()
        if goes_on:
            self.y += 1.0
            self._arrow("after")
        self.placed.height = self.height
        return self.placed

    def _arrow(self, word: str) -> None:
        start = self.y if self.port is None else self.port
        if self.port is not None:
            self.placed.line(TRUNK, start, TRUNK, self.y, **_pen(self.state))
        self.placed.paths.append(Path(_ARROW, TRUNK, self.y, **_pen(self.state)))
        self.placed.lettering(_LABEL_TEXT, self.y + 1.0, wrapped(self.words[word], _RIGHT_WIDTH))
        self.port = self.y + 7.0
        self.y += 8.0

    def _open(self, name: str) -> None:
        """Start an outline with its name beside the trunk."""
        self.enclosure = name
        if not name:
            return
        self.y += 3.0
        self.top = self.y
        self.y += 1.0
        lines = wrapped(name, _RIGHT_WIDTH, lines=self.lines.enclosure)
        self.y = self.placed.lettering(_LABEL_TEXT, self.y, lines) + 1.0

    def _close(self) -> None:
        if self.enclosure:
            self.y += _FOOT
            self.placed.frame(LEFT_EDGE, self.top, RIGHT_EDGE, self.y, width=THIN, dashes=ENCLOSURE)
            self.enclosure = ""

    def _run(self, symbol: Symbol) -> None:
        """Letter what leads down to the symbol, beside its line."""
        if symbol.run:
            lines = wrapped(symbol.run, _RIGHT_WIDTH, lines=self.lines.run)
            self.y = self.placed.lettering(_LABEL_TEXT, self.y + 2.0, lines) + 2.0

    def _symbol(self, symbol: Symbol) -> None:
        tall = SHAPES[symbol.kind].height
        row = max(tall, self._label_height(symbol, _RIGHT_WIDTH))
        middle = self.y + row / 2
        top = middle - tall / 2
        if self.port is not None:
            self.placed.line(TRUNK, self.port, TRUNK, top, **_pen(symbol.state))
        self._mark(symbol, TRUNK, top)
        self._label(symbol, _LABEL_NUMBER, _LABEL_TEXT, middle, _RIGHT_WIDTH)
        self.port = middle + tall / 2
        self.y += row

    def _side(self, side: SideSymbol) -> None:
        """Branch off the trunk: to the right in a row of its own, or to the left column."""
        self.y += self.gap / 2
        tall = SHAPES[side.kind].height
        if side.inside:
            row = max(tall, self._label_height(side, _RIGHT_WIDTH))
            middle = self.y + row / 2
            self._label(side, _LABEL_NUMBER, _LABEL_TEXT, middle, _RIGHT_WIDTH)
            x = TRUNK
            self.y += row
        else:
            middle = max(self.y, self.left_y) + 1.0
            self.placed.line(_LEFT_MARK, middle, TRUNK, middle, **_pen(side.state))
            x = _LEFT_MARK
            self.left_y = middle + tall + 2.0
            row = self._label_height(side, _LEFT_WIDTH)
            self._label(side, _LEFT_NUMBER, _LEFT_TEXT, self.left_y + row / 2, _LEFT_WIDTH)
            self.left_y += row + 3.0
            self.y = middle
        if self.port is not None:
            self.placed.line(TRUNK, self.port, TRUNK, middle, **_pen(self.state))
        self._mark(side, x, middle)
        self.port = middle

    def _mark(self, item: Symbol | SideSymbol, x: float, y: float) -> None:
        shape, pen = SHAPES[item.kind], _pen(item.state)
        self.placed.paths.append(Path(shape.d, x, y, **pen))
        if shape.solid:
            self.placed.paths.append(Path(shape.solid, x, y, THIN, fill="#000"))
        if item.state == "remove":
            self.placed.paths.append(
                Path(_strokes_across(shape, item.letters, self.small), x, y, THIN)
            )
        if item.letters and shape.letters:
            letters_x, letters_y = shape.letters
            base = y + letters_y + CAPITAL * self.small / 2
            self.placed.texts.append(
                Text(x + letters_x, base, item.letters, True, self.small, centred=True)
            )

    def _label(
        self, item: Symbol | SideSymbol, number_x: float, x: float, middle: float, width: float
    ) -> None:
        name, rating = self._label_lines(item, width)
        top = middle - (len(name) + len(rating)) * LINE / 2
        below = self.placed.lettering(x, top, name, bold=True)
        self.placed.lettering(x, below, rating)
        size = self.small if len(item.number) > 2 else TEXT_SIZE
        half = text_width(item.number, size, bold=False) / 2
        base = middle + CAPITAL * size / 2
        radius = max(_NUMBER_RADIUS, hypot(half + 0.5, base - middle + 0.5))
        self.placed.circle(number_x, middle, radius)
        self.placed.texts.append(Text(number_x, base, item.number, size=size, centred=True))

    def _label_lines(self, item: Symbol | SideSymbol, width: float) -> tuple[list[str], list[str]]:
        """Return the name with its state, and the rating; a name that is cut keeps its state."""
        state = f"({self.words[item.state]})"
        name = wrapped(f"{item.name} {state}", width, bold=True)
        if len(name) > self.lines.name:
            name = [*wrapped(item.name, width, bold=True, lines=self.lines.name - 1), state]
        rating = wrapped(item.rating, width, lines=self.lines.rating) if item.rating else []
        return name, rating

    def _label_height(self, item: Symbol | SideSymbol, width: float) -> float:
        name, rating = self._label_lines(item, width)
        return max((len(name) + len(rating)) * LINE, 2 * _NUMBER_RADIUS)


class _Pen(TypedDict):
    width: float
    dashes: str


def _pen(state: State) -> _Pen:
    """Return how the lines of a thing in this state are drawn."""
    return _Pen(
        width=THICK if state == "new" else THIN, dashes=REMOVED if state == "remove" else ""
    )


def _strokes_across(shape: Shape, letters: str, size: float) -> str:
    """Return the two strokes of a thing to remove, one on each side of its letters."""
    x, y = shape.letters or (0.0, shape.height / 2)
    inner = text_width(letters, size) / 2 + 0.7 if shape.letters else 2.0
    outer = max(inner + 1.5, 5.0)
    left = f"M{x - outer:g} {y + 1.5:g}L{x - inner:g} {y - 1.5:g}"
    return f"{left}M{x + inner:g} {y + 1.5:g}L{x + outer:g} {y - 1.5:g}"
