"""Lettering of the pictures: its width read from the font file itself, and its line breaks.

Lengths are millimetres on paper. Kerning is left out: it draws a line of words together, and
sets few pairs apart, for which every column of lettering has :data:`SPARE` beside it.
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

SPARE = 2.4
"""Free beside each column of lettering."""

CUT = "\u2026"
"""Stands where a label was cut; the full text is in the table below the picture."""

_WEIGHTS = {False: 400, True: 700}
_STRAIGHT = {-1: -1, 0: 0, 1: 1}


def text_width(text: str, size: float = TEXT_SIZE, *, bold: bool = True) -> float:
    """Return the width of `text` set on one line."""
    face = _face(bold)
    return size * sum(face.advances.get(ord(sign), face.widest) for sign in text)


def wrapped(text: str, width: float, *, bold: bool = False, lines: int | None = None) -> list[str]:
    """Break `text` at spaces into lines no wider than `width`; a longer word is broken too.

    With `lines`, what is beyond is left out and the last line ends with :data:`CUT`.
    """
    found: list[str] = []
    used = 0.0
    blank = text_width(" ", bold=bold)
    for word in text.split(" "):
        wide = text_width(word, bold=bold)
        if found and used + blank + wide <= width:
            found[-1] += f" {word}"
            used += blank + wide
            continue
        found.append("")
        used = 0.0
        for sign in word:
            step = text_width(sign, bold=bold)
            if found[-1] and used + step > width:
                found.append("")
                used = 0.0
            found[-1] += sign
            used += step
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

    with TTFont(font_file("sans"), lazy=True) as font:
        axes = {a.axisTag: (a.minValue, a.defaultValue, a.maxValue) for a in font["fvar"].axes}
        place = normalizeLocation({"wght": _WEIGHTS[bold], "wdth": 100}, axes)
        bends = font["avar"].segments if "avar" in font else {}
        place = {
            tag: piecewiseLinearMap(value, bends.get(tag) or _STRAIGHT)
            for tag, value in place.items()
        }
        changes = font["HVAR"].table
        store = VarStoreInstancer(changes.VarStore, font["fvar"].axes, place)
        by_name = changes.AdvWidthMap.mapping if changes.AdvWidthMap else font.getReverseGlyphMap()
        em, widths = font["head"].unitsPerEm, font["hmtx"].metrics
        advances = {
            code: (widths[glyph][0] + store[by_name[glyph]]) / em
            for code, glyph in font.getBestCmap().items()
        }
    return _Face(advances, max(advances.values()))
