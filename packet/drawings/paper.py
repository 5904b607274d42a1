"""What a picture is made of: lines and lettering at places in millimetres.

They are millimetres on paper in regular print; in large print a picture is laid out in the same
measure for a lower page, and then enlarged as a whole. The template ``drawing.html`` turns a
:class:`Drawing` into an SVG as it stands; nothing is placed there.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from packet.drawings.lettering import CAPITAL, DESCENT, LINE, SMALL_SIZE, TEXT_SIZE, text_width

WIDTH = 172.0
"""Live width of a page on both papers, and what a picture is laid out for in either print."""


@dataclass(frozen=True)
class Room:
    """What one page has for a picture, in the picture's own millimetres.

    Nothing is taller than `tallest`: the page, less the heading and a line or two of words. A
    one-line diagram up to `comfortable` has wide rows and leaves room below; of more than one
    part, none is lower than `least`. The spaces of a panel fill `piece` at most.
    """

    tallest: float
    comfortable: float
    least: int
    piece: float
    enlarged: float = 1.0
    small: float = SMALL_SIZE


ROOMS = {
    "regular": Room(tallest=218.0, comfortable=165.0, least=120, piece=136.0),
    "large": Room(tallest=100.0, comfortable=100.0, least=60, piece=76.0, enlarged=1.4, small=3.85),
}
"""Print -> its room. In large print the least lettering is 3.85 x 1.4 mm, 15.3 points."""
REGULAR = ROOMS["regular"]

THIN, THICK = 0.3, 0.6
"""Widths of lines: existing and new."""
ENCLOSURE = "6 1.6 2.4 1.6"
"""Dashes and dots around an enclosure."""
REMOVED = "2.4 1.2"
"""Dashes of what is taken away."""


@dataclass(frozen=True)
class Path:
    """Strokes after each other: SVG path data (M, L, H, V, A, Z only), moved to (x, y)."""

    d: str
    x: float = 0.0
    y: float = 0.0
    width: float = THIN
    dashes: str = ""
    fill: str = "none"


@dataclass(frozen=True)
class Text:
    """One line of lettering; (x, y) is the start of its base line, or its middle."""

    x: float
    y: float
    text: str
    bold: bool = False
    size: float = TEXT_SIZE
    centred: bool = False

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of the lettering."""
        width = text_width(self.text, self.size, bold=self.bold)
        left = self.x - width / 2 if self.centred else self.x
        return left, self.y - CAPITAL * self.size, left + width, self.y + DESCENT * self.size


@dataclass
class Drawing:
    """A picture of `height`, as wide as the page, `enlarged` as a whole when it is printed."""

    height: float = 0.0
    paths: list[Path] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)
    enlarged: float = 1.0

    @property
    def on_paper(self) -> tuple[float, float]:
        """Width and height in millimetres on paper."""
        return WIDTH * self.enlarged, self.height * self.enlarged

    def line(
        self, x1: float, y1: float, x2: float, y2: float, width: float = THIN, dashes: str = ""
    ) -> None:
        """Draw one straight line."""
        self.paths.append(Path(f"M{x1:g} {y1:g}L{x2:g} {y2:g}", 0, 0, width, dashes))

    def frame(
        self,
        left: float,
        top: float,
        right: float,
        bottom: float,
        width: float = THIN,
        dashes: str = "",
    ) -> None:
        """Draw a rectangle."""
        corners = f"M{left:g} {top:g}H{right:g}V{bottom:g}H{left:g}Z"
        self.paths.append(Path(corners, 0, 0, width, dashes))

    def circle(self, x: float, y: float, radius: float, fill: str = "none") -> None:
        """Draw a thin circle around (x, y)."""
        self.paths.append(Path(circle(0, 0, radius), x, y, fill=fill))

    def lettering(self, x: float, top: float, lines: list[str], *, bold: bool = False) -> float:
        """Set lines of text under each other; return where the next one may start."""
        for number, text in enumerate(lines):
            base = top + number * LINE + (LINE + CAPITAL * TEXT_SIZE) / 2
            self.texts.append(Text(x, base, text, bold))
        return top + len(lines) * LINE


def circle(x: float, y: float, radius: float) -> str:
    """Return path data of a circle."""
    arc = f"A{radius:g} {radius:g} 0 0 1"
    return f"M{x - radius:g} {y:g}{arc} {x + radius:g} {y:g}{arc} {x - radius:g} {y:g}Z"
