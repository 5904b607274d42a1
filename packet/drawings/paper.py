"""What a picture is made of: lines and lettering at places in millimetres on paper.

The template ``drawing.html`` turns a :class:`Drawing` into an SVG as it stands; nothing is
placed there.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from packet.drawings.lettering import CAPITAL, DESCENT, LINE, TEXT_SIZE, text_width

WIDTH = 172.0
"""Live width of a page on both papers."""
TALLEST = 218.0
"""A picture may fill a page of its own, under the heading and a line or two of words."""

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
    """A picture of `height`, as wide as the page."""

    height: float = 0.0
    paths: list[Path] = field(default_factory=list)
    texts: list[Text] = field(default_factory=list)

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
