"""The last hand on a PDF before it is written: fields, tags and attached files.

WeasyPrint makes the pages and the tag tree; what it leaves undone is done here on its object
tree, once for each file, without reading the file back:

- fields to fill in on screen get their place, a name in levels, and an appearance of their own;
- header cells say what they head, and lines in the margins are artifacts, not content;
- attached files say what they are to the document.

Sections are those of ISO 32000-1:2008 (PDF 1.7) and ISO 14289-1:2014 (PDF/UA-1).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import pydyf

FIELD_FONT = "Packet-Field"
"""As WeasyPrint names the family of the styles in the PDF."""

TYPED = 11
"""Size of typed text in points."""

TALLEST = 24.1
"""Height of a place to type in points: the 8.5 mm of a blank."""

INSET = 1.0
"""Points that a field stays inside the lines of its blank."""

_POINT = 0.75
"""Points in a layout unit."""

_PRINTED, _NO_SCROLL = 1 << 2, 1 << 23
_FIXED_PITCH, _NONSYMBOLIC = 1 << 0, 1 << 5
_FIRST, _LAST = 32, 255

Pdf = Any
Object = Any
"""A dictionary of the object tree; neither library has type hints."""


@dataclass(frozen=True)
class Attached:
    """A file that travels inside the PDF.

    Parameters
    ----------
    name : str
    content : bytes
    media_type : str
        Such as ``application/json``.
    description : str
        One line for the reader of the list of attachments.
    relationship : str
        ``Source``: the document was made from it; ``Data``: the values the document shows.
    """

    name: str
    content: bytes
    media_type: str
    description: str
    relationship: Literal["Source", "Data"]


class Finisher:
    """Called by WeasyPrint with the laid-out pages and the object tree of the PDF."""

    def __init__(self, attached: Sequence[Attached] = ()) -> None:
        self.attached = {file.name: file for file in attached}

    def __call__(self, document: Any, pdf: Pdf) -> None:
        """Finish `pdf` in place."""
        pages = [_object(pdf, reference) for reference in pdf.page_references]
        _mark_margins(pdf, pages)
        _mark_headers(pdf)
        _mark_lists(pdf)
        _mark_files(pdf, self.attached)
        if "AcroForm" in pdf.catalog:
            _finish_form(pdf, document)


def _object(pdf: Pdf, reference: Any) -> Any:
    return pdf.objects[int(reference.split()[0])]


def _dictionaries(pdf: Pdf) -> Iterator[Object]:
    return (one for one in pdf.objects if isinstance(one, dict))


# ------------------------------------------------------------------------------------ tags


def _mark_margins(pdf: Pdf, pages: Sequence[Object]) -> None:
    """Turn marked content that hangs in no tag into artifacts (14.8.2.2).

    WeasyPrint leaves headers and footers out of the tag tree, but marks them as content.
    """
    root = _object(pdf, pdf.catalog["StructTreeRoot"])
    parents = _object(pdf, root["ParentTree"])["Nums"]
    hung = _hung(pdf, root)
    for number, page in enumerate(pages):
        owners = parents[2 * number + 1]
        loose = {place for place, owner in enumerate(owners) if owner not in hung}
        _as_artifacts(_object(pdf, page["Contents"]).stream, loose)
        for place in loose:
            _empty(pdf, owners[place], hung)
            owners[place] = "null"


def _hung(pdf: Pdf, root: Object) -> set[Any]:
    """Return the references of all tags that can be reached from the root."""
    found: set[Any] = {pdf.catalog["StructTreeRoot"]}
    ahead = list(root["K"])
    while ahead:
        reference = ahead.pop()
        if not isinstance(reference, int) and reference not in found:
            found.add(reference)
            ahead += _object(pdf, reference).get("K", ())
    return found


def _as_artifacts(stream: list[Any], loose: set[int]) -> None:
    for place, token in enumerate(stream):
        if isinstance(token, dict) and token.get("MCID") in loose:
            stream[place - 1] = "/Artifact"
            stream[place] = pydyf.Dictionary({"Type": "/Pagination"})


def _empty(pdf: Pdf, reference: Any, hung: set[Any]) -> None:
    """Empty a tag that nothing hangs on, and those above it; the numbers of objects stay."""
    while reference not in hung:
        tag = _object(pdf, reference)
        reference = tag.get("P", pdf.catalog["StructTreeRoot"])
        tag.clear()


def _mark_headers(pdf: Pdf) -> None:
    """Give each header cell its scope (14.8.5.7)."""
    for tag in _dictionaries(pdf):
        if tag.get("S") == "/TH":
            above = _object(pdf, tag["P"])
            while above["S"] not in ("/THead", "/TBody", "/TFoot", "/Table"):
                above = _object(pdf, above["P"])
            tag["A"]["Scope"] = "/Column" if above["S"] == "/THead" else "/Row"


def _mark_lists(pdf: Pdf) -> None:
    """Leave nothing in a list but items, and in an item but its label and body (14.8.4.3.3)."""
    for tag in list(_dictionaries(pdf)):
        if tag.get("S") == "/L":
            for group in (_object(pdf, kid) for kid in tag["K"]):
                if group["S"] == "/Div":
                    _as_item(pdf, group)
        elif tag.get("S") == "/LI":
            _gather_body(pdf, tag)


def _as_item(pdf: Pdf, group: Object) -> None:
    """Make one item of a term and its value: WeasyPrint makes two, in a group.

    Where a page ends between the two, the value stands alone on the next one.
    """
    group["S"] = "/LI"
    kinds = ("/Lbl", "/LBody")
    for kind, part in zip(kinds[-len(group["K"]) :], group["K"], strict=True):
        half = _object(pdf, part)
        half["S"] = kind
        _object(pdf, half["K"][0])["S"] = "/NonStruct"


def _gather_body(pdf: Pdf, item: Object) -> None:
    """Put into the body of an item the blocks that stand in its text."""
    kinds = {kid: _object(pdf, kid)["S"] for kid in item["K"]}
    body = next((kid for kid, kind in kinds.items() if kind == "/LBody"), None)
    for kid, kind in kinds.items():
        if body is not None and kind not in ("/Lbl", "/LBody"):
            item["K"].remove(kid)
            _object(pdf, body)["K"].append(kid)
            _object(pdf, kid)["P"] = body


# ----------------------------------------------------------------------------------- files


def _mark_files(pdf: Pdf, attached: dict[str, Attached]) -> None:
    """Tell of each attached file what it is (7.11.3, 7.11.4) and what for (ISO 32000-2, 14.13)."""
    listed = [one for one in _dictionaries(pdf) if one.get("Type") == "/Filespec"]
    for one in listed:
        file = attached[one["UF"].string]
        one["AFRelationship"] = f"/{file.relationship}"
        kind = file.media_type.replace("/", "#2f")
        _object(pdf, one["EF"]["F"]).extra["Subtype"] = f"/{kind}"
    if listed:
        pdf.catalog["AF"] = pydyf.Array([one.reference for one in listed])


# ---------------------------------------------------------------------------------- fields


def _finish_form(pdf: Pdf, document: Any) -> None:
    """Give every field its place, its name in levels and its looks (12.7)."""
    form = pdf.catalog["AcroForm"]
    form["NeedAppearances"] = "false"
    form["DR"] = pydyf.Dictionary(
        {"Font": pydyf.Dictionary({"Field": _typing_font(pdf).reference})}
    )
    form["DA"] = _typing()
    levels = _Levels(pdf)
    looks = _Looks(pdf)
    for page in document.pages:
        for box, around in _inputs(page._page_box, ()):
            field = box.widget_annotation
            _place(field, box, around, page.height)
            if box.element.get("type") == "checkbox":
                looks.ticked(field)
            else:
                field["DA"] = _typing()
                field["Ff"] = _NO_SCROLL  # what does not fit could not be read in print
            levels.hang(field, box.element.get("name"))
    form["Fields"] = levels.roots


def _inputs(box: Any, around: tuple[Any, ...]) -> Iterator[tuple[Any, tuple[Any, ...]]]:
    """Yield each input of a page with the boxes around it, the nearest last."""
    if getattr(box, "widget_annotation", None):
        yield box, around
    for child in _children(box):
        yield from _inputs(child, (*around, box))


def _children(box: Any) -> Sequence[Any]:
    return getattr(box, "children", ())


BLANKS = ("well", "write", "tick")
"""Classes of what is drawn around a field."""


def _place(field: Object, box: Any, around: tuple[Any, ...], page_height: float) -> None:
    """Lay a field over the blank drawn around it, beside what is printed inside.

    A tick covers its box. Text takes the foot of its blank, as high as one line.
    """
    blank = next((one for one in reversed(around) if _classes(one) & set(BLANKS)), None)
    if blank is None:
        raise ValueError(f"the field `{box.element.get('name')}` stands in no blank")
    left, right = blank.position_x, blank.position_x + blank.margin_width()
    top, foot = blank.position_y, blank.position_y + blank.margin_height()
    if box.element.get("type") != "checkbox":
        top = max(top, foot - TALLEST / _POINT)
        for text in _texts(blank):
            if text.position_y + text.height / 2 > top:
                right = min(right, text.position_x)
    field["Rect"] = pydyf.Array(
        (
            round(left * _POINT + INSET, 2),
            round((page_height - foot) * _POINT + INSET, 2),
            round(right * _POINT - INSET, 2),
            round((page_height - top) * _POINT - INSET, 2),
        )
    )


def _classes(box: Any) -> set[str]:
    element = getattr(box, "element", None)
    return set((element.get("class") or "").split()) if element is not None else set()


def _texts(box: Any) -> Iterator[Any]:
    if getattr(box, "text", "").strip():
        yield box
    for child in _children(box):
        yield from _texts(child)


def _typing() -> Any:
    return pydyf.String(f"/Field {TYPED} Tf 0 g")


def _typing_font(pdf: Pdf) -> Object:
    """Return the font of the fields with one byte a sign, which every viewer can type in.

    It shares its file with the font that WeasyPrint embeds for the same family.
    """
    whole = next(
        one
        for one in _dictionaries(pdf)
        if one.get("Type") == "/FontDescriptor" and FIELD_FONT in str(one["FontName"])
    )
    descriptor = pydyf.Dictionary({**whole, "Flags": _FIXED_PITCH | _NONSYMBOLIC})
    pdf.add_object(descriptor)
    width = _width(pdf, whole)
    font = pydyf.Dictionary(
        {
            "Type": "/Font",
            "Subtype": "/TrueType",
            "BaseFont": whole["FontName"],
            "FirstChar": _FIRST,
            "LastChar": _LAST,
            "Widths": pydyf.Array([width] * (_LAST - _FIRST + 1)),
            "FontDescriptor": descriptor.reference,
            "Encoding": "/WinAnsiEncoding",
        }
    )
    pdf.add_object(font)
    return font


def _width(pdf: Pdf, descriptor: Object) -> int:
    """Return the one width of a font whose signs are all as wide, in thousandths of its size."""
    owner = next(
        one for one in _dictionaries(pdf) if one.get("FontDescriptor") == descriptor.reference
    )
    (width,) = {int(one) for run in owner["W"][1::2] for one in run}
    return width


class _Looks:
    """What a tick box shows; both states are drawn, so that no viewer has to make one up."""

    def __init__(self, pdf: Pdf) -> None:
        self.pdf = pdf
        self.drawn: dict[tuple[float, float], Object] = {}

    def ticked(self, field: Object) -> None:
        """Give a tick box its two states, off at first."""
        left, foot, right, top = field["Rect"]
        size = (round(right - left, 2), round(top - foot, 2))
        if size not in self.drawn:
            self.drawn[size] = self._states(*size)
        for key in ("DA", "MK", "Border"):
            field.pop(key, None)
        field["AP"] = pydyf.Dictionary({"N": self.drawn[size]})
        field["AS"] = field["V"] = "/Off"

    def _states(self, wide: float, high: float) -> Object:
        on = self._form(wide, high)
        on.set_line_width(1.8)
        on.set_line_cap(1)
        on.set_line_join(1)
        on.move_to(round(wide * 0.18, 2), round(high * 0.5, 2))
        on.line_to(round(wide * 0.4, 2), round(high * 0.22, 2))
        on.line_to(round(wide * 0.84, 2), round(high * 0.82, 2))
        on.stroke()
        off = self._form(wide, high)
        return pydyf.Dictionary({"Yes": on.reference, "Off": off.reference})

    def _form(self, wide: float, high: float) -> Any:
        form = pydyf.Stream(
            extra={
                "Type": "/XObject",
                "Subtype": "/Form",
                "BBox": pydyf.Array((0, 0, wide, high)),
                "Resources": pydyf.Dictionary(),
            }
        )
        self.pdf.add_object(form)
        return form


class _Levels:
    """The tree of names: ``E.3.set`` is `set` below `3` below `E` (12.7.3.2)."""

    def __init__(self, pdf: Pdf) -> None:
        self.pdf = pdf
        self.roots = pydyf.Array()
        self.known: dict[str, Object] = {}

    def hang(self, field: Object, name: str) -> None:
        """Hang a field below the levels of its name."""
        if not re.fullmatch(r"[A-Z](\.[a-z0-9_]+)+", name) or name in self.known:
            raise ValueError(f"`{name}` is no name for a field, or two fields have it")
        above, _, own = name.rpartition(".")
        parent = self._level(above)
        parent["Kids"].append(field.reference)
        field["Parent"] = parent.reference
        field["T"] = pydyf.String(own)
        self.known[name] = field

    def _level(self, name: str) -> Object:
        if name in self.known:
            return self.known[name]
        above, _, own = name.rpartition(".")
        level = pydyf.Dictionary({"T": pydyf.String(own), "Kids": pydyf.Array()})
        self.pdf.add_object(level)
        if above:
            parent = self._level(above)
            parent["Kids"].append(level.reference)
            level["Parent"] = parent.reference
        else:
            self.roots.append(level.reference)
        self.known[name] = level
        return level
