"""Where everything on the one-line diagram goes.

One trunk runs from the utility down. Labels stand in a column right of it, things outside
an enclosure in a column left of it; each column is filled from the top and never goes back
up, so no label can meet another. Lengths are millimetres on paper; the template
``one_line_drawing.html`` turns the places into an SVG.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field

from packet.sheets.views import SideSymbol, State, Symbol

WIDTH = 172.0
TALLEST = 222.0
"""A drawing may fill a page of its own, under the heading."""

TRUNK = 68.0
LEFT_EDGE, RIGHT_EDGE = 52.0, WIDTH - 0.5
"""Sides of an enclosure."""

TEXT_SIZE = 4.3
"""Capitals are 0.698 of it: 3.0 mm."""

_LINE = 5.2
_HALF_CAPITAL = 1.5
_NUMBER_RADIUS = 3.6
_LABEL_NUMBER, _LABEL_TEXT = 84.0, 90.0
_LEFT_NUMBER, _LEFT_TEXT = 4.5, 10.0
_LEFT_MARK = 34.0
_RIGHT_WIDTH = RIGHT_EDGE - 2.0 - _LABEL_TEXT
_LEFT_WIDTH = LEFT_EDGE - 2.0 - _LEFT_TEXT
_GAPS = (9.0, 6.0, 3.6)
_COMFORTABLE = 115.0
"""Above this the rows move closer, to leave room for the table on the same page."""

HEIGHTS = {
    "utility": 12.0,
    "meter": 12.0,
    "breaker": 12.0,
    "switch": 12.0,
    "bus": 4.0,
    "box": 8.0,
    "receptacle": 12.0,
    "fixed": 10.0,
    "electrode": 10.0,
    "bonding": 4.0,
    "loads": 4.0,
}
"""Height of each symbol's drawing, port to port."""


@dataclass(frozen=True)
class Line:
    """A conductor from point to point."""

    x1: float
    y1: float
    x2: float
    y2: float
    state: State


@dataclass(frozen=True)
class Mark:
    """A symbol; (x, y) is its upper port."""

    kind: str
    x: float
    y: float
    state: State


@dataclass(frozen=True)
class Text:
    """One line of lettering; (x, y) is the start of its base line."""

    x: float
    y: float
    text: str
    bold: bool


@dataclass(frozen=True)
class Number:
    """An item number in a circle; (x, y) is the centre, `base` the base line of the number."""

    x: float
    y: float
    base: float
    text: str


@dataclass(frozen=True)
class Outline:
    """The outline of an enclosure, from `top` down."""

    top: float
    height: float


@dataclass
class Drawing:
    """Everything to draw, in millimetres."""

    height: float = 0.0
    lines: list[Line] = field(default_factory=list)
    marks: list[Mark] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    numbers: list[Number] = field(default_factory=list)
    outlines: list[Outline] = field(default_factory=list)


class TallerThanPage(ValueError):
    """The diagram has more items or longer labels than one page takes."""


def drawing(symbols: tuple[Symbol, ...], state_words: Mapping[State, str]) -> Drawing:
    """Place all `symbols`; `state_words` says how new, existing and removed things are marked.

    Raises
    ------
    TallerThanPage
        When the diagram does not fit a page.
    """
    placed = Drawing()
    for gap in _GAPS:
        placed = _Column(state_words, gap).fill(symbols)
        if placed.height <= _COMFORTABLE:
            break
    if placed.height > TALLEST:
        raise TallerThanPage(f"a one-line diagram of {len(symbols)} items does not fit a page")
    return placed


def text_width(text: str, size: float = TEXT_SIZE) -> float:
    """Return a width that `text` does not exceed in the bold face, in the unit of `size`."""
    return size * sum(_advance(sign) for sign in text)


_ADVANCES = (
    (0.34, " \u00a0'’ijl,.!:;[]()"),
    (0.41, "tfr{}|-³²·"),
    (0.47, "I/\\°"),
    (0.56, 'sczyvg?L_xJ"“”'),
    (1.0, "MWmw%@→½—"),
)
"""Widths in em that the bold face does not exceed; capitals and the rest are below."""

_WIDER = {"ď": 0.73, "ľ": 0.41, "ĝ": 0.64}
"""Accented letters that are wider than the plain ones; the others are as wide."""


def _advance(sign: str) -> float:
    if sign in _WIDER:
        return _WIDER[sign]
    sign = unicodedata.normalize("NFD", sign)[0]
    for width, signs in _ADVANCES:
        if sign in signs:
            return width
    return 0.73 if sign.isupper() or sign == "&" else 0.64


def wrapped(text: str, width: float) -> list[str]:
    """Break `text` at spaces into lines no wider than `width`; a longer word is cut."""
    lines: list[str] = []
    for word in text.split(" "):
        if lines and text_width(f"{lines[-1]} {word}") <= width:
            lines[-1] += f" {word}"
            continue
        piece = ""
        for sign in word:
            if piece and text_width(piece + sign) > width:
                lines.append(piece)
                piece = ""
            piece += sign
        lines.append(piece)
    return lines


class _Column:
    """Fills one drawing from the top; `y` and `left_y` only grow."""

    def __init__(self, state_words: Mapping[State, str], gap: float) -> None:
        self.words = state_words
        self.gap = gap
        self.y = 1.0
        self.left_y = 1.0
        self.port: float | None = None
        self.placed = Drawing()

    def fill(self, symbols: tuple[Symbol, ...]) -> Drawing:
        enclosure, top = "", 0.0
        for symbol in symbols:
            if symbol.enclosure != enclosure:
                self._close(enclosure, top)
                enclosure, top = symbol.enclosure, self._open(symbol.enclosure)
            self._run(symbol)
            self._symbol(symbol)
            for side in symbol.sides:
                self._side(side, symbol.state)
        self._close(enclosure, top)
        self.placed.height = max(self.y, self.left_y) + 1.0
        return self.placed

    def _open(self, name: str) -> float:
        """Start an outline with its name beside the trunk; return its top."""
        if not name:
            return 0.0
        self.y += 3.0
        top = self.y
        self.y += 1.0
        self.y = self._lettering(_LABEL_TEXT, self.y, wrapped(name, _RIGHT_WIDTH), bold=False)
        return top

    def _close(self, name: str, top: float) -> None:
        if name:
            self.y += 2.0
            self.placed.outlines.append(Outline(top, self.y - top))

    def _run(self, symbol: Symbol) -> None:
        """Letter what leads down to the symbol, beside its line."""
        if symbol.run:
            self.y += 2.0
            self.y = self._lettering(
                _LABEL_TEXT, self.y, wrapped(symbol.run, _RIGHT_WIDTH), bold=False
            )
            self.y += 2.0
        elif self.port is not None:
            self.y += self.gap

    def _symbol(self, symbol: Symbol) -> None:
        tall = HEIGHTS[symbol.kind]
        row = max(tall, self._label_height(symbol, _RIGHT_WIDTH))
        middle = self.y + row / 2
        top = middle - tall / 2
        if self.port is not None:
            self.placed.lines.append(Line(TRUNK, self.port, TRUNK, top, symbol.state))
        self.placed.marks.append(Mark(symbol.kind, TRUNK, top, symbol.state))
        self._label(symbol, _LABEL_NUMBER, _LABEL_TEXT, middle, _RIGHT_WIDTH)
        self.port = middle + tall / 2
        self.y += row

    def _side(self, side: SideSymbol, trunk: State) -> None:
        """Branch off the trunk: to the right in a row of its own, or to the left column."""
        self.y += self.gap / 2
        if side.inside:
            row = max(HEIGHTS[side.kind], self._label_height(side, _RIGHT_WIDTH))
            middle = self.y + row / 2
            self._label(side, _LABEL_NUMBER, _LABEL_TEXT, middle, _RIGHT_WIDTH)
            mark = Mark(side.kind, TRUNK, middle, side.state)
            self.y += row
        else:
            middle = max(self.y, self.left_y) + 1.0
            self.placed.lines.append(Line(_LEFT_MARK, middle, TRUNK, middle, side.state))
            mark = Mark(side.kind, _LEFT_MARK, middle, side.state)
            self.left_y = middle + HEIGHTS[side.kind] + 2.0
            height = max(self._label_height(side, _LEFT_WIDTH), 2 * _NUMBER_RADIUS)
            self._label(side, _LEFT_NUMBER, _LEFT_TEXT, self.left_y + height / 2, _LEFT_WIDTH)
            self.left_y += height + 3.0
            self.y = middle
        if self.port is not None:
            self.placed.lines.append(Line(TRUNK, self.port, TRUNK, middle, trunk))
        self.placed.marks.append(mark)
        self.port = middle

    def _label(
        self, item: Symbol | SideSymbol, number_x: float, x: float, middle: float, width: float
    ) -> None:
        name, rating = self._label_lines(item, width)
        top = middle - (len(name) + len(rating)) * _LINE / 2
        below = self._lettering(x, top, name, bold=True)
        self._lettering(x, below, rating, bold=False)
        self.placed.numbers.append(Number(number_x, middle, middle + _HALF_CAPITAL, item.number))

    def _label_lines(self, item: Symbol | SideSymbol, width: float) -> tuple[list[str], list[str]]:
        name = wrapped(f"{item.name} ({self.words[item.state]})", width)
        return name, wrapped(item.rating, width) if item.rating else []

    def _label_height(self, item: Symbol | SideSymbol, width: float) -> float:
        name, rating = self._label_lines(item, width)
        return max((len(name) + len(rating)) * _LINE, 2 * _NUMBER_RADIUS)

    def _lettering(self, x: float, top: float, lines: list[str], *, bold: bool) -> float:
        """Place lines of text under each other; return where the next one may start."""
        for number, text in enumerate(lines):
            base = top + number * _LINE + 0.76 * _LINE
            self.placed.texts.append(Text(x, base, text, bold))
        return top + len(lines) * _LINE
