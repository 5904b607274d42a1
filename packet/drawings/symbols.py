"""Graphic symbols of the one-line diagram, each drawn from its upper port at (0, 0) down.

After IEEE 315 (ANSI Y32.2): source of alternating current, instrument in a circle with its
letters, circuit breaker, disconnect switch, bus, ground, terminals. The outlet is that of
ANSI Y32.9: a circle with one bar for a single receptacle. Shapes from memory of the
standards' descriptions; their plates were not at hand. Boxes with letters stand for
equipment that neither standard draws, as IEEE 315 allows.
"""

from __future__ import annotations

from dataclasses import dataclass

from packet.drawings.paper import circle


@dataclass(frozen=True)
class Shape:
    """Path data of one symbol; `solid` parts are filled.

    It reaches `height` down from its port; letters, if it has any, stand around `letters`.
    """

    d: str
    height: float
    solid: str = ""
    letters: tuple[float, float] | None = None


_ROUND = circle(0, 6, 6)

SHAPES = {
    "utility": Shape(f"{_ROUND}M-4 6A2 2 0 0 1 0 6A2 2 0 0 0 4 6", 12),
    "meter": Shape(_ROUND, 12, letters=(0, 6)),
    "breaker": Shape("M0 0V2M0 10V12M0 2A4 4 0 0 1 0 10", 12),
    "switch": Shape(
        "M0 0V1.8M0 12V10.2M0 9.4L4.6 1.6", 12, circle(0, 2.2, 0.8) + circle(0, 9.8, 0.8)
    ),
    "bus": Shape("M0 0V1.2M-10 1.2H10V2.8H-10ZM0 2.8V4", 4),
    "box": Shape("M-4 0H4V8H-4Z", 8),
    "receptacle": Shape(f"{_ROUND}M0 0V12", 12),
    "fixed": Shape("M-8 0H8V10H-8Z", 10, letters=(0, 5)),
    "electrode": Shape("M0 0V5M-5 5H5M-3 7H3M-1 9H1", 10),
    "bonding": Shape("M0 0H8.4", 2, circle(2.5, 0, 0.9) + circle(8.4, 0, 0.9)),
    "apart": Shape(f"M0 0H2.6{circle(3.4, 0, 0.8)}{circle(7.6, 0, 0.8)}M8.4 0H10.4", 2),
    "loads": Shape("M0 0H9.6M7 -2L10 0L7 2", 4),
    "manager": Shape(f"{circle(0, 0, 2)}M2 0H3.2M3.2 -3.4H10.2V3.4H3.2Z", 7, letters=(6.7, 0)),
}
"""Kind of symbol -> its shape; `bonding` and those below it stand beside the trunk."""
