"""What stands where in a picture, read back from its path data, and what meets what.

Nothing here asks the layout where it meant to put things: lines are taken from the path
data as a renderer would, arcs by points on them.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from functools import cache
from itertools import combinations
from typing import NamedTuple

from fontTools.ttLib import TTFont

from packet.drawings.paper import Drawing, Path, Text
from packet.resources import font_file

Box = tuple[float, float, float, float]
Segment = tuple[float, float, float, float]

PAPERS = {"letter": (215.9 - 25.0, 279.4 - 25.0), "a4": (210.0 - 25.0, 297.0 - 25.0)}
"""Room from the left and top margins of 25 mm to the edge of the paper."""
EDGE = 6.4
"""What a printer cannot reach."""
LIVE_WIDTH, LIVE_HEIGHT = 172.0, 239.0
"""The live area on both papers."""
SMALLEST_TYPE, THINNEST_LINE = 10 / 72 * 25.4, 0.25
LARGE_PAPERS = {"letter": (279.4 - 25.0, 215.9 - 27.0), "a4": (297.0 - 25.0, 210.0 - 27.0)}
"""Room of large print, on a page that lies on its side, below a top margin of 27 mm."""
LARGE_LIVE_HEIGHT, LARGE_SMALLEST_TYPE = 164.0, 15 / 72 * 25.4
NUMBER = re.compile(r"-?\d*\.?\d+(?:e-?\d+)?")


def segments(path: Path) -> list[Segment]:
    """Return the strokes of a path as straight pieces on the drawing."""
    found: list[Segment] = []
    x = y = x0 = y0 = 0.0
    for letter, rest in re.findall(r"([MLHVAZ])([^MLHVAZ]*)", path.d):
        numbers = [float(number) for number in NUMBER.findall(rest)]
        points: list[tuple[float, float]] = []
        match letter:
            case "M":
                x, y = x0, y0 = numbers[0], numbers[1]
            case "L":
                points = [(numbers[0], numbers[1])]
            case "H":
                points = [(numbers[0], y)]
            case "V":
                points = [(x, numbers[0])]
            case "A":
                points = list(_arc((x, y), numbers))
            case "Z":
                points = [(x0, y0)]
        for to_x, to_y in points:
            found.append((x + path.x, y + path.y, to_x + path.x, to_y + path.y))
            x, y = to_x, to_y
    return found


def _arc(start: tuple[float, float], numbers: list[float]) -> Iterator[tuple[float, float]]:
    """Yield points on a half circle or less (SVG 2, appendix B.2.4, equal radii)."""
    radius, _, _, large, sweep, x2, y2 = numbers
    x1, y1 = start
    half = math.dist(start, (x2, y2)) / 2
    assert not large
    assert half <= radius + 1e-6
    height = math.sqrt(max(radius**2 - half**2, 0.0))
    sign = 1 if sweep else -1
    cx = (x1 + x2) / 2 - sign * height * (y2 - y1) / (2 * half)
    cy = (y1 + y2) / 2 + sign * height * (x2 - x1) / (2 * half)
    first = math.atan2(y1 - cy, x1 - cx)
    turn = (math.atan2(y2 - cy, x2 - cx) - first) % (sign * 2 * math.pi)
    for step in range(1, 17):
        angle = first + turn * step / 16
        yield cx + radius * math.cos(angle), cy + radius * math.sin(angle)


def meets(segment: Segment, box: Box, clear: float) -> bool:
    """Say whether a line comes closer to a box than `clear` (Liang and Barsky's clipping)."""
    left, top, right, bottom = (
        box[0] - clear,
        box[1] - clear,
        box[2] + clear,
        box[3] + clear,
    )
    x1, y1, x2, y2 = segment
    enter, leave = 0.0, 1.0
    for start, step, low, high in ((x1, x2 - x1, left, right), (y1, y2 - y1, top, bottom)):
        if abs(step) < 1e-9:
            if not low < start < high:
                return False
            continue
        ends = sorted(((low - start) / step, (high - start) / step))
        enter, leave = max(enter, ends[0]), min(leave, ends[1])
    return enter < leave


def overlap(one: Box, other: Box) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


@cache
def _descends() -> frozenset[str]:
    """Return the signs with ink below the base line, as the outlines of the font tell."""
    with TTFont(font_file("sans")) as font:
        em, shapes = font["head"].unitsPerEm, font["glyf"]
        return frozenset(
            chr(code)
            for code, glyph in font.getBestCmap().items()
            if getattr(shapes[glyph], "yMin", 0) < -0.03 * em
        )


def ink(text: Text) -> Box:
    """Return the box of the lettering, down to where its signs have ink."""
    left, top, right, bottom = text.box
    return left, top, right, bottom if _descends() & set(text.text) else text.y


def _visible(strokes: list[_Stroke], box: Box) -> Iterator[_Stroke]:
    """Yield the lines that can be seen around a box: not those under a white shape."""
    first = 0
    for number, stroke in enumerate(strokes):
        around = stroke.around
        hides = stroke.white and around[0] < box[0] and around[1] < box[1]
        if hides and box[2] < around[2] and box[3] < around[3]:
            first = number
    yield from strokes[first:]


def faults(drawing: Drawing, *, clear: float = 0.3) -> list[str]:
    """Return everything wrong with a picture: overlaps, bounds, type, lines."""
    inks = [(ink(text), text.text) for text in drawing.texts]
    strokes = [_stroke(path) for path in drawing.paths]
    found = [
        f"`{one}` meets `{other}`"
        for (box, one), (beside, other) in combinations(inks, 2)
        if overlap(box, beside)
    ]
    for box, text in inks:
        found += [
            f"a line meets `{text}` at {piece}"
            for stroke in _visible(strokes, box)
            if overlap(stroke.around, _wider(box, 1.0))
            for piece in stroke.pieces
            if meets(piece, box, clear + stroke.width / 2)
        ]
    found += _out_of_bounds(drawing, strokes)
    smallest = LARGE_SMALLEST_TYPE if drawing.enlarged > 1 else SMALLEST_TYPE
    found += [
        f"`{text.text}` is set in {text.size} mm"
        for text in drawing.texts
        if text.size * drawing.enlarged < smallest
    ]
    found += [f"a line of {path.width} mm" for path in drawing.paths if path.width < THINNEST_LINE]
    return found


def _wider(box: Box, by: float) -> Box:
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


class _Stroke(NamedTuple):
    """A path: its pieces, the box around them, its width, whether it hides what is below."""

    pieces: list[Segment]
    around: Box
    width: float
    white: bool


def _stroke(path: Path) -> _Stroke:
    pieces = segments(path)
    xs = [x for x1, _, x2, _ in pieces for x in (x1, x2)]
    ys = [y for _, y1, _, y2 in pieces for y in (y1, y2)]
    box = (min(xs), min(ys), max(xs), max(ys))
    return _Stroke(pieces, box, path.width, path.fill == "#fff")


def _out_of_bounds(drawing: Drawing, strokes: list[_Stroke]) -> Iterator[str]:
    wide, high = drawing.on_paper
    large = drawing.enlarged > 1
    live, papers = (LARGE_LIVE_HEIGHT, LARGE_PAPERS) if large else (LIVE_HEIGHT, PAPERS)
    if high > live - 12.0:
        yield f"{high} mm are taller than a page under its heading"
    for room_x, room_y in papers.values():
        if room_x - EDGE < wide or room_y - EDGE < high:
            yield "the picture does not fit the paper"
    boxes = [(text.box, text.text) for text in drawing.texts]
    boxes += [(stroke.around, "a line") for stroke in strokes]
    for (left, top, right, bottom), name in boxes:
        if left < 0 or top < 0 or right > LIVE_WIDTH or bottom > drawing.height:
            yield f"{name} leaves the picture at {left:.1f}, {top:.1f}, {right:.1f}, {bottom:.1f}"


def lettering(drawing: Drawing) -> str:
    """Return all lettering, without blanks."""
    return "".join(text.text for text in drawing.texts).replace(" ", "")
