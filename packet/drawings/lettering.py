"""Lettering of the pictures: its width read from the font file itself, and its line breaks.

Lengths are millimetres on paper. Kerning is left out: in this face it only draws letters
together, so a measured width is never below the printed one (a test compares both).
"""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from packet.resources import font_file

TEXT_SIZE = 4.3
"""Capitals are 0.698 of it: 3.0 mm."""
SMALL_SIZE = 3.6
"""10.2 points: no lettering is smaller."""
LINE = 5.2
"""From base line to base line."""
CAPITAL, DESCENT = 0.698, 0.23
"""Height above and depth below the base line, in em."""

CUT = "\u2026"
"""Stands where a label was cut; the full text is in the table below the picture."""

_WEIGHTS = {False: 400, True: 700}


def text_width(text: str, size: float = TEXT_SIZE, *, bold: bool = True) -> float:
    """Return the width of `text` set on one line."""
    face = _face(bold)
    return size * sum(face.advances.get(ord(sign), face.widest) for sign in text)


def wrapped(
    text: str, width: float, *, bold: bool = False, lines: int | None = None
) -> list[str]:
    """Break `text` at spaces into lines no wider than `width`; a longer word is broken too.

    With `lines`, what is beyond is left out and the last line ends with :data:`CUT`.
    """
    found: list[str] = []
    for word in text.split(" "):
        if found and text_width(f"{found[-1]} {word}", bold=bold) <= width:
            found[-1] += f" {word}"
            continue
        piece = ""
        for sign in word:
            if piece and text_width(piece + sign, bold=bold) > width:
                found.append(piece)
                piece = ""
            piece += sign
        found.append(piece)
    if lines is None or len(found) <= lines:
        return found
    last = found[lines - 1]
    while last and text_width(last + CUT, bold=bold) > width:
        last = last[:-1]
    return [*found[: lines - 1], last.rstrip() + CUT]


class _Face(NamedTuple):
    """Advances in em by code point; `widest` stands for a sign that the face lacks."""

    advances: dict[int, float]
    widest: float


@cache
def _face(bold: bool) -> _Face:
    """Read the advances of one weight out of the variable font, its variations applied."""
    from fontTools.ttLib import TTFont
    from fontTools.varLib.models import normalizeLocation, piecewiseLinearMap
    from fontTools.varLib.varStore import VarStoreInstancer

    font = TTFont(font_file("sans"), lazy=True)
    axes = {a.axisTag: (a.minValue, a.defaultValue, a.maxValue) for a in font["fvar"].axes}
    place = normalizeLocation({"wght": _WEIGHTS[bold], "wdth": 100}, axes)
    curves = font["avar"].segments if "avar" in font else {}
    place = {tag: piecewiseLinearMap(value, curves.get(tag, {-1: -1, 0: 0, 1: 1})) for tag, value in place.items()}
    changes = font["HVAR"].table
    store = VarStoreInstancer(changes.VarStore, font["fvar"].axes, place)
    em, widths = font["head"].unitsPerEm, font["hmtx"]
    order = font.getReverseGlyphMap()

    def advance(glyph: str) -> float:
        by_name = changes.AdvWidthMap.mapping if changes.AdvWidthMap else None
        index = by_name[glyph] if by_name else order[glyph]
        return float(widths[glyph][0] + store[index]) / em

    advances = {code: advance(glyph) for code, glyph in font.getBestCmap().items()}
    return _Face(advances, max(advances.values()))
