"""Checks on printed pages; each returns the faults it found, in words, and an empty list if none.

Text and operators are read from the PDF, places from the layout tree, ink from a raster.
Measures are those of the page design: 10 pt type, 0.25 mm lines, black and white, 16 mm of
clip, 6.4 mm of unprintable edge.
"""

from __future__ import annotations

import io
import math
import re
import subprocess
import tempfile
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import combinations
from pathlib import Path
from typing import Any

import weasyprint
from pypdf import PdfReader
from pypdf.generic import ContentStream
from weasyprint.formatting_structure import boxes

from packet import render
from packet.language import said
from packet.sheets.views import SheetSet

MM = 72 / 25.4
"""Points in a millimetre."""
PX = 96 / 25.4
"""Layout units in a millimetre."""

SMALLEST_TYPE = 10.0
SMALLEST_LARGE_TYPE = 15.0
THINNEST_LINE = 0.25
CLIP, EDGE = 16.0, 6.4
FONTS = {"Packet-Sans", "Packet-Sans-Bold", "Packet-Mono", "Packet-Mono-Bold"}
WHOLE = {"step", "guard", "hazard", "gate", "calc", "blank", "question", "result", "drawing"}
"""Classes of parts that stand on one page; so does each row of a table and each word explained."""


@dataclass(frozen=True)
class Printed:
    """One set on one paper, laid out and printed."""

    document: Any
    content: bytes

    @cached_property
    def reader(self) -> PdfReader:
        return PdfReader(io.BytesIO(self.content))

    @cached_property
    def texts(self) -> list[str]:
        return [page.extract_text() for page in self.reader.pages]

    @cached_property
    def placed(self) -> list[Placed]:
        """Every box of the layout tree."""
        return list(_placed(self.document))

    @cached_property
    def marks(self) -> list[Mark]:
        """Everything the PDF draws."""
        return list(_all_marks(self.reader))


@lru_cache(maxsize=24)
def printed(sheets: SheetSet, paper: str, print_size: str = "regular") -> Printed:
    """Lay out and print one set on one paper."""
    document = render.layout(sheets, paper, print_size)
    return Printed(document, render.write(document))


def printed_html(html: str, *, fetcher: Any = None) -> Printed:
    """Print any HTML; for showing that a check catches what it should."""
    document = weasyprint.HTML(
        string=html, base_url="packet:", url_fetcher=fetcher or render.PackageFiles()
    ).render()
    return Printed(document, document.write_pdf())


def every_fault(
    pages: Printed, sheets: SheetSet, smallest_type: float = SMALLEST_TYPE
) -> list[str]:
    """Run every check that one print allows."""
    return [
        *page_numbers(pages),
        *stamps(pages, sheets.frame.stamp),
        *endings(pages, sheets.letters),
        *left_over_signs(pages),
        *overflow(pages),
        *margin_collisions(pages),
        *splits(pages),
        *orphan_headings(pages),
        *lonely_endings(pages),
        *hazards_out_of_place(pages),
        *steps_without_standing_panel(pages),
        *narrow_blanks(pages),
        *blanks_without_field(pages),
        *small_type(pages, smallest_type),
        *thin_lines(pages),
        *colours(pages),
        *strange_fonts(pages),
        *images(pages),
        *inked_margins(pages),
    ]


# ------------------------------------------------------------------------------------ text


def page_numbers(pages: Printed) -> list[str]:
    """Each page tells its number and how many there are."""
    count = len(pages.texts)
    said_on = said("Page %(page)s of %(pages)s")
    told = {number: said_on % {"page": number, "pages": count} for number in range(1, count + 1)}
    return [
        f"page {number} does not say `{told[number]}`"
        for number, text in enumerate(pages.texts, 1)
        if not re.search(rf"{told[number]}\b", text)
    ]


def stamps(pages: Printed, stamp: str) -> list[str]:
    """Each page carries the stamp of its values, or of a form without any, once."""
    lines = [said(words) % {"stamp": stamp} for words in ("Values %(stamp)s", "Form %(stamp)s")]
    counts = [sum(map(text.count, lines)) for text in pages.texts]
    return [
        f"page {number} has the stamp {count} times"
        for number, count in enumerate(counts, 1)
        if count != 1
    ]


def endings(pages: Printed, letters: str) -> list[str]:
    """Each sheet ends once, in order, and no other sheet does."""
    line = said("END OF SHEET %(letter)s") % {"letter": "([A-Z])"}
    found = "".join(re.findall(line, "\n".join(pages.texts)))
    return [] if found == letters else [f"sheets end as `{found}`, not `{letters}`"]


def left_over_signs(pages: Printed) -> list[str]:
    """Nothing of the making is left on paper."""
    return [
        f"page {number} shows `{sign}`"
        for number, text in enumerate(pages.texts, 1)
        for sign in re.findall(r"\{\{|\}\}|\{%|\bNone\b|\bnan\b|&amp;|&#|\bTODO\b|\ufffd", text)
    ]


def unlike_papers(letter: Printed, a4: Printed) -> list[str]:
    """Page by page, both papers carry the same text."""
    if len(letter.texts) != len(a4.texts):
        return [f"{len(letter.texts)} pages on Letter, {len(a4.texts)} on A4"]
    return [
        f"page {number} differs between the papers"
        for number, (one, other) in enumerate(zip(letter.texts, a4.texts, strict=True), 1)
        if one.split() != other.split()
    ]


# ----------------------------------------------------------------------------- layout tree


@dataclass(frozen=True)
class Placed:
    """A box on its page with the boxes around it, outermost first."""

    page: int
    box: Any
    around: tuple[Any, ...]

    @property
    def in_margin(self) -> bool:
        return any(isinstance(box, boxes.MarginBox) for box in (*self.around, self.box))

    def inside(self, *tags_or_classes: str) -> bool:
        return any(
            _tag(box) in tags_or_classes or _classes(box) & set(tags_or_classes)
            for box in (*self.around, self.box)
        )


def _tag(box: Any) -> str:
    return box.element_tag or ""


def _classes(box: Any) -> set[str]:
    element = getattr(box, "element", None)
    return set((element.get("class") or "").split()) if element is not None else set()


def _placed(document: Any) -> Iterator[Placed]:
    for number, page in enumerate(document.pages, 1):
        stack = [Placed(number, page._page_box, ())]
        while stack:
            item = stack.pop()
            yield item
            stack += [
                Placed(number, child, (*item.around, item.box))
                for child in reversed(getattr(item.box, "children", ()))
            ]


def _in_flow(pages: Printed) -> Iterator[Placed]:
    return (item for item in pages.placed if not item.in_margin)


def _texts(items: Iterator[Placed]) -> Iterator[Placed]:
    """Return the lettering, but for the signs of lists, which hang out on purpose."""
    return (
        item
        for item in items
        if isinstance(item.box, boxes.TextBox)
        and item.box.text.strip()
        and not _tag(item.box).endswith("::marker")
    )


def _right(box: Any) -> float:
    return float(box.position_x + box.margin_width())


def _bottom(box: Any) -> float:
    return float(box.position_y + box.margin_height())


def overflow(pages: Printed) -> list[str]:
    """Text stays inside the page and inside every block and cell around it."""
    faults = []
    for item in _texts(_in_flow(pages)):
        text, page = item.box, item.around[0]
        right, bottom = text.position_x + text.width, text.position_y + text.height
        slack = 0.35 * text.style["font_size"]
        if bottom > page.content_box_y() + page.height + 0.5:
            faults.append(f"page {item.page}: `{text.text}` runs off the foot")
        for box in item.around:
            if isinstance(box, boxes.PageBox):
                left_edge, right_edge = box.content_box_x(), box.content_box_x() + box.width
            elif isinstance(box, boxes.BlockContainerBox):
                left_edge, right_edge = box.position_x, _right(box)
            else:
                continue
            if text.position_x < left_edge - 0.5 or right > right_edge + 0.5:
                faults.append(f"page {item.page}: `{text.text}` runs out of its {_tag(box)}")
                break
            if isinstance(box, boxes.TableCellBox) and bottom > _bottom(box) + slack:
                faults.append(f"page {item.page}: `{text.text}` runs below its cell")
                break
    return faults


def margin_collisions(pages: Printed) -> list[str]:
    """Lines in the margins do not meet each other and stay on the live width."""
    faults = []
    in_margins: dict[int, list[Any]] = defaultdict(list)
    for item in _texts(item for item in pages.placed if item.in_margin):
        in_margins[item.page].append(item.box)
    for number, page in enumerate(pages.document.pages, 1):
        texts = in_margins[number]
        left = page._page_box.content_box_x()
        right = left + page._page_box.width
        faults += [
            f"page {number}: `{text.text}` leaves the live width"
            for text in texts
            if text.position_x < left - 0.5 or text.position_x + text.width > right + 0.5
        ]
        faults += [
            f"page {number}: `{one.text}` meets `{other.text}`"
            for one, other in combinations(texts, 2)
            if _meet(one, other)
        ]
    return faults


def _meet(one: Any, other: Any) -> bool:
    across = min(one.position_x + one.width, other.position_x + other.width) - max(
        one.position_x, other.position_x
    )
    down = min(one.position_y + one.height, other.position_y + other.height) - max(
        one.position_y, other.position_y
    )
    return across > 0.5 and down > 0.35 * min(one.height, other.height)


def splits(pages: Printed) -> list[str]:
    """Steps, panels, gates, calculations and rows stand on one page each."""
    found: dict[int, set[int]] = defaultdict(set)
    names: dict[int, str] = {}
    for item in _in_flow(pages):
        box = item.box
        element = getattr(box, "element", None)
        if element is None or isinstance(box, boxes.TextBox | boxes.LineBox):
            continue
        if item.inside("standing"):  # the head of a table, which each page repeats whole
            continue
        row = _tag(box) == "tr" and not item.inside("thead")
        row |= _tag(box) == "div" and bool(item.around) and _tag(item.around[-1]) == "dl"
        if row or _classes(box) & WHOLE:
            found[id(element)].add(item.page)
            names[id(element)] = " ".join(sorted(_classes(box))) or _tag(box)
    return [
        f"a {names[key]} is split over pages {sorted(places)}"
        for key, places in found.items()
        if len(places) > 1
    ]


def orphan_headings(pages: Printed) -> list[str]:
    """No page ends with a heading, a table head or a hazard panel.

    In large print, panels and the first step of a phase can need a whole page: then its opening
    has the page before to itself.
    """
    last: dict[int, tuple[float, Placed]] = {}
    with_more = set()
    for item in _in_flow(pages):
        drawn = isinstance(item.box, boxes.ReplacedBox)
        if not drawn and not (isinstance(item.box, boxes.TextBox) and item.box.text.strip()):
            continue
        bottom = item.box.position_y + item.box.height
        if item.page not in last or bottom >= last[item.page][0]:
            last[item.page] = (bottom, item)
        if not item.inside("opening"):
            with_more.add(item.page)
    return [
        f"page {page} ends with a heading or panel"
        for page, (_, item) in last.items()
        if page in with_more
        and item.inside("h1", "h2", "h3", "thead", "hazard", "opening")
        and not item.inside("gate")
    ]


def lonely_endings(pages: Printed) -> list[str]:
    """No page holds nothing but the line that ends a sheet: it stands below what it ends."""
    with_ending, with_more = set(), set()
    for item in _in_flow(pages):
        drawn = isinstance(item.box, boxes.ReplacedBox)
        if drawn or (isinstance(item.box, boxes.TextBox) and item.box.text.strip()):
            (with_ending if item.inside("ending") else with_more).add(item.page)
    return [
        f"page {page} holds nothing but the end of a sheet"
        for page in sorted(with_ending - with_more)
    ]


def steps_without_standing_panel(pages: Printed) -> list[str]:
    """Where a panel holds for a whole phase, it stands above the steps on each of their pages."""
    panels: dict[tuple[int, int], list[float]] = defaultdict(list)
    steps: list[tuple[int, int, float]] = []
    for item in _in_flow(pages):
        phase = next((box for box in item.around if "guarded" in _classes(box)), None)
        if phase is None or not isinstance(item.box, boxes.BlockLevelBox):
            continue
        place = (id(phase.element), item.page)
        if "hazard" in _classes(item.box) and item.inside("standing"):
            panels[place].append(item.box.position_y)
        elif "step" in _classes(item.box):
            steps.append((*place, item.box.position_y))
    return [
        f"page {page}: a step has no panel of its phase above it"
        for phase, page, y in steps
        if not any(panel < y for panel in panels[phase, page])
    ]


def hazards_out_of_place(pages: Printed) -> list[str]:
    """Each panel that guards a step stands above it, on the same page."""
    guards: dict[int, list[tuple[int, float, str]]] = defaultdict(list)
    for item in _in_flow(pages):
        kinds = _classes(item.box) & {"hazard", "step"}
        guard = next((box for box in item.around if "guard" in _classes(box)), None)
        if kinds and guard is not None and isinstance(item.box, boxes.BlockLevelBox):
            guards[id(guard.element)].append((item.page, item.box.position_y, min(kinds)))
    faults = []
    for parts in guards.values():
        kinds_in_order = [kind for _, _, kind in sorted(parts)]
        if kinds_in_order[-1] != "step" or kinds_in_order.count("step") != 1:
            faults.append(f"page {parts[0][0]}: a hazard panel does not stand before its step")
        elif len({page for page, _, _ in parts}) > 1:
            faults.append(
                f"page {parts[0][0]}: a hazard panel stands on another page than its step"
            )
    return faults


SIGNS = {"short": 5, "date": 10, "name": 14, "line": 30}
"""Signs a blank of each size must take, at 5.1 mm each and 3 mm in all for the ends."""


def narrow_blanks(pages: Printed) -> list[str]:
    """Each blank takes its signs by pen and is 8.5 mm high; each blank cell takes initials."""
    faults = []
    for item in _in_flow(pages):
        box = item.box
        if "well" in _classes(box) and isinstance(box, boxes.BlockBox):
            size = next(
                (s for around in item.around for s in SIGNS if s in _classes(around)), "line"
            )
            wide, high = SIGNS[size] * 5.1 + 3, 8.5
        elif "price-blank" in _classes(box):
            wide, high = 5 * 5.1 + 3, 8.5
        elif "write" in _classes(box) and isinstance(box, boxes.TableCellBox):
            wide, high = 3 * 5.1 + 3, 8.4
        else:
            continue
        if box.border_width() < wide * PX - 0.5 or box.border_height() < high * PX - 0.5:
            faults.append(
                f"page {item.page}: a blank of {box.border_width() / PX:.1f} by "
                f"{box.border_height() / PX:.1f} mm is too small for a pen"
            )
    return faults


FORMS = ("torque", "readings", "permit", "as_built")
"""Sheets that can be filled in on screen, by the classes of their sections."""


def blanks_without_field(pages: Printed) -> list[str]:
    """Each blank and tick box of the forms has one field to fill in; a record has none left."""
    held: dict[int, int] = defaultdict(int)
    drawn: dict[int, Placed] = {}
    for item in _in_flow(pages):
        if not item.inside(*FORMS) or item.inside("filled"):
            continue
        if _classes(item.box) & {"well", "write", "tick"} and not isinstance(
            item.box, boxes.TextBox | boxes.LineBox
        ):
            drawn[id(item.box.element)] = item
        if getattr(item.box, "widget_annotation", None):
            for box in item.around:
                held[id(getattr(box, "element", None))] += 1
    return [
        f"page {item.page}: a {' '.join(sorted(_classes(item.box)))} has {held[key]} fields"
        for key, item in drawn.items()
        if held[key] != 1
    ]


# ------------------------------------------------------------------------------- operators


@dataclass(frozen=True)
class Mark:
    """Something the PDF draws: kind, measure (points) or value, and the page."""

    kind: str
    page: int
    measure: float = 0.0
    value: Any = None


_Matrix = tuple[float, float, float, float, float, float]
_UNIT: _Matrix = (1.0, 0.0, 0.0, 1.0, 0.0, 0.0)


def _times(m: _Matrix, n: _Matrix) -> _Matrix:
    a, b, c, d, e, f = m
    p, q, r, s, t, u = n
    return (
        a * p + b * r,
        a * q + b * s,
        c * p + d * r,
        c * q + d * s,
        e * p + f * r + t,
        e * q + f * s + u,
    )


def _scale(m: _Matrix) -> float:
    return math.sqrt(abs(m[0] * m[3] - m[1] * m[2]))


_COLOURS = {"g", "G", "rg", "RG", "k", "K", "sc", "SC", "scn", "SCN"}
_FILL = {"f", "F", "f*", "B", "B*", "b", "b*"}
_STROKE = {"S", "s", "B", "B*", "b", "b*"}


def _all_marks(reader: PdfReader) -> Iterator[Mark]:
    """Walk all operators, down into forms and patterns, in the measure of the paper."""
    for number, page in enumerate(reader.pages, 1):
        stream = ContentStream(page.get_contents(), reader)
        yield from _marks(stream, page["/Resources"], _UNIT, number, reader)


def _marks(
    stream: Any, resources: Any, start: _Matrix, page: int, reader: PdfReader
) -> Iterator[Mark]:
    matrix, line, font = start, 1.0, (None, 0.0)
    text = _UNIT
    kept: list[Any] = []
    path: list[list[tuple[float, float]]] = []
    for operands, operator in stream.operations:
        op = operator.decode()
        if op == "q":
            kept.append((matrix, line, font))
        elif op == "Q":
            matrix, line, font = kept.pop()
        elif op == "cm":
            matrix = _times(_six(operands), matrix)
        elif op == "w":
            line = float(operands[0])
        elif op == "gs":
            state = resources["/ExtGState"][operands[0]].get_object()
            for key in ("/ca", "/CA"):
                if float(state.get(key, 1)) != 1:
                    yield Mark("tint", page, value=f"{key} {state[key]}")
        elif op in _COLOURS:
            yield from _colour(operands, resources, start, page, reader)
        elif op in {"m", "l", "c", "v", "y"}:
            numbers = [float(value) for value in operands]
            if op == "m":
                path.append([])
            path[-1] += zip(numbers[::2], numbers[1::2], strict=True)
        elif op == "re":
            x, y, w, h = (float(value) for value in operands)
            path.append([(x, y), (x + w, y + h)])
        elif op in _FILL | _STROKE | {"n"}:
            if op in _STROKE:
                yield Mark("line", page, line * _scale(matrix))
            if op in _FILL and path:
                yield Mark("filled", page, _narrow(path, matrix))
            path = []
        elif op == "BT":
            text = _UNIT
        elif op == "Tf":
            font = (operands[0], float(operands[1]))
        elif op == "Tm":
            text = _six(operands)
        elif op in {"Tj", "TJ", "'", '"'}:
            both = _times(text, matrix)
            name = resources["/Font"][font[0]].get_object()["/BaseFont"]
            yield Mark("text", page, abs(font[1]) * math.hypot(both[2], both[3]), str(name))
        elif op == "sh":
            yield Mark("tint", page, value="gradient")
        elif op in {"BI", "INLINE IMAGE"}:
            yield Mark("image", page, value="inline")
        elif op == "Do":
            inner = resources["/XObject"][operands[0]].get_object()
            if inner["/Subtype"] == "/Image":
                yield Mark("image", page, value=str(operands[0]))
            else:
                placed = _times(_six(inner.get("/Matrix", _UNIT)), matrix)
                form = ContentStream(inner, reader)
                yield from _marks(form, inner.get("/Resources", resources), placed, page, reader)


def _six(values: Any) -> _Matrix:
    a, b, c, d, e, f = (float(value) for value in values)
    return (a, b, c, d, e, f)


_Extent = tuple[float, float, float, float]


def _narrow(path: list[list[tuple[float, float]]], matrix: _Matrix) -> float:
    """Return the narrow measure of a filled shape; of a frame, its thinnest side."""
    extents = [_extent(part) for part in path if len(part) > 1]
    if len(extents) == 2:
        (a, b, c, d), (p, q, r, s) = sorted(extents)
        sides = [side for side in (p - a, q - b, c - r, d - s) if abs(side) > 1e-5]
        if sides and min(sides) > 0:
            return min(sides) * _scale(matrix)
    return min(min(right - left, top - foot) for left, foot, right, top in extents) * _scale(matrix)


def _extent(points: list[tuple[float, float]]) -> _Extent:
    across, up = [x for x, _ in points], [y for _, y in points]
    return min(across), min(up), max(across), max(up)


def _colour(
    operands: Any, resources: Any, start: _Matrix, page: int, reader: PdfReader
) -> Iterator[Mark]:
    numbers = [float(value) for value in operands if not isinstance(value, str)]
    yield Mark("colour", page, value=tuple(round(number, 3) for number in numbers))
    for name in (value for value in operands if isinstance(value, str)):
        pattern = resources["/Pattern"][name].get_object()
        if pattern["/PatternType"] != 1:
            yield Mark("tint", page, value="gradient")
            continue
        placed = _times(_six(pattern.get("/Matrix", _UNIT)), start)
        tile = ContentStream(pattern, reader)
        yield from _marks(tile, pattern.get("/Resources", resources), placed, page, reader)


def small_type(pages: Printed, smallest: float = SMALLEST_TYPE) -> list[str]:
    """No lettering is under `smallest` points."""
    return sorted(
        {
            f"page {mark.page}: lettering of {mark.measure:.1f} pt"
            for mark in pages.marks
            if mark.kind == "text" and mark.measure < smallest - 0.05
        }
    )


def thin_lines(pages: Printed) -> list[str]:
    """No line is thinner than 0.25 mm, drawn or filled."""
    return sorted(
        {
            f"page {mark.page}: a line of {mark.measure / MM:.2f} mm"
            for mark in pages.marks
            if mark.kind in {"line", "filled"} and mark.measure / MM < THINNEST_LINE - 0.005
        }
    )


def colours(pages: Printed) -> list[str]:
    """Only black and white: every colour number is 0 or 1, all alike, nothing see-through."""
    faults = {f"page {mark.page}: {mark.value}" for mark in pages.marks if mark.kind == "tint"}
    for mark in pages.marks:
        if mark.kind == "colour" and mark.value:
            numbers = mark.value
            ink = numbers[:3] if len(numbers) == 4 else numbers
            if set(numbers) - {0.0, 1.0} or len(set(ink)) > 1:
                faults.add(f"page {mark.page}: colour {numbers}")
    return sorted(faults)


def strange_fonts(pages: Printed) -> list[str]:
    """Lettering uses the chosen fonts only, each embedded with its text mapping."""
    faults = {
        f"page {mark.page}: font {mark.value}"
        for mark in pages.marks
        if mark.kind == "text" and mark.value.split("+")[-1] not in FONTS
    }
    for number, page in enumerate(pages.reader.pages, 1):
        for font in page["/Resources"].get("/Font", {}).values():
            whole = font.get_object()
            inner = (
                whole["/DescendantFonts"][0].get_object() if "/DescendantFonts" in whole else whole
            )
            descriptor = inner["/FontDescriptor"].get_object()
            if "/ToUnicode" not in whole or not {"/FontFile2", "/FontFile3"} & set(descriptor):
                faults.add(f"page {number}: font {whole['/BaseFont']} is not embedded")
    return sorted(faults)


def images(pages: Printed) -> list[str]:
    """No raster picture."""
    return sorted({f"page {mark.page}: picture" for mark in pages.marks if mark.kind == "image"})


# ---------------------------------------------------------------------------------- raster


def inked_margins(pages: Printed, dots_per_inch: int = 72) -> list[str]:
    """Nothing is inked under the clip or where a printer cannot reach."""
    faults = []
    for number, (wide, high, rows) in enumerate(_raster(pages.content, dots_per_inch), 1):
        clip, edge = (int(mm / 25.4 * dots_per_inch) for mm in (CLIP, EDGE))
        if any(min(row) < 200 for row in rows[:clip]):
            faults.append(f"page {number}: ink under the clip")
        sides = any(min(row[:edge]) < 200 or min(row[wide - edge :]) < 200 for row in rows)
        if sides or any(min(row) < 200 for row in rows[high - edge :]):
            faults.append(f"page {number}: ink near an edge of the paper")
    return faults


def _raster(content: bytes, dots_per_inch: int) -> Iterator[tuple[int, int, list[bytes]]]:
    """Yield width, height and grey rows of each page."""
    with tempfile.TemporaryDirectory() as place:
        source = Path(place, "pages.pdf")
        source.write_bytes(content)
        command = ["pdftoppm", "-gray", "-r", str(dots_per_inch), str(source), f"{place}/page"]
        subprocess.run(command, check=True, capture_output=True)  # noqa: S603
        for picture in sorted(Path(place).glob("page-*.pgm")):
            data = picture.read_bytes()
            head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", data)
            if head is None:
                raise ValueError(f"{picture.name} is no grey raster")
            wide, high = int(head[1]), int(head[2])
            body = data[head.end() :]
            yield wide, high, [body[row * wide : (row + 1) * wide] for row in range(high)]
