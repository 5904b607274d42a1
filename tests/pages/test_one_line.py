"""The one-line diagram: nothing meets, everything is named, in the order the power flows."""

from __future__ import annotations

import string
from dataclasses import replace
from itertools import combinations, pairwise

import pytest
from fontTools.ttLib import TTFont
from fontTools.varLib.instancer import instantiateVariableFont
from hypothesis import given, settings
from hypothesis import strategies as st

from packet.render import font_file
from packet.sheets import one_line
from packet.sheets.one_line import TEXT_SIZE, Drawing, TallerThanPage, drawing, text_width, wrapped
from packet.sheets.views import SideSymbol, Symbol
from tests.pages.fixtures import ONE_LINE_SYMBOLS

WORDS = {"new": "NEW", "existing": "existing", "remove": "REMOVE"}
ACCENTED = "áçďéĝĥíĵķļñóŕšţúüŵýžÁÇĎÉĜĤÍĴĶĻÑÓŔŠŢÚÜŴÝŽ¿¡"
SIGNS = string.ascii_letters + string.digits + " .,:;()[]/-+&%'\"°·×²³½Ω@#*=_" + ACCENTED


def test_widths_are_never_below_those_of_the_bold_face() -> None:
    font = instantiateVariableFont(TTFont(font_file("sans")), {"wght": 700, "wdth": 100})
    names, widths, em = font.getBestCmap(), font["hmtx"], font["head"].unitsPerEm
    too_narrow = [s for s in SIGNS if text_width(s, 1) < widths[names[ord(s)]][0] / em]
    assert too_narrow == []


def test_capitals_are_3_mm_high() -> None:
    font = TTFont(font_file("sans"))
    assert font["OS/2"].sCapHeight / font["head"].unitsPerEm * TEXT_SIZE >= 3.0


@given(st.text(SIGNS, max_size=200), st.floats(10, 90))
def test_wrapped_lines_keep_the_text_and_the_width(text: str, width: float) -> None:
    lines = wrapped(text, width)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert all(text_width(line) <= width or len(line) == 1 for line in lines)


def _boxes(placed: Drawing) -> list[tuple[float, float, float, float]]:
    lettering = [
        (t.x, t.y - 0.698 * TEXT_SIZE, t.x + text_width(t.text), t.y + 0.2 * TEXT_SIZE)
        for t in placed.texts
        if t.text.strip()
    ]
    circles = [(n.x - 3.4, n.y - 3.4, n.x + 3.4, n.y + 3.4) for n in placed.numbers]
    return lettering + circles


def _meet(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


_names = st.text(string.ascii_letters + " ", min_size=1, max_size=60)
_sides = st.builds(
    SideSymbol,
    st.sampled_from(["electrode", "bonding", "loads"]),
    st.just("7"),
    _names,
    _names,
    st.sampled_from(["new", "existing", "remove"]),
    inside=st.booleans(),
)
_symbols = st.builds(
    Symbol,
    st.sampled_from(["utility", "meter", "breaker", "switch", "bus", "box", "receptacle", "fixed"]),
    st.just("3"),
    _names,
    _names,
    st.sampled_from(["new", "existing", "remove"]),
    run=st.just("") | _names,
    enclosure=st.sampled_from(["", "Panel A", "Panel B"]),
    sides=st.lists(_sides, max_size=2).map(tuple),
)


@settings(deadline=None, max_examples=150)
@given(st.lists(_symbols, min_size=1, max_size=9).map(tuple))
def test_no_label_meets_another_or_a_line_or_a_symbol(symbols: tuple[Symbol, ...]) -> None:
    try:
        placed = drawing(symbols, WORDS)
    except TallerThanPage:
        return
    for one, other in combinations(_boxes(placed), 2):
        assert not _meet(one, other)
    for left, top, right, bottom in _boxes(placed):
        assert left >= 0.5
        assert top >= 0
        assert right <= one_line.WIDTH
        assert bottom <= placed.height
        for line in placed.lines:
            ends = (min(line.x1, line.x2), line.y1, max(line.x1, line.x2), line.y2)
            assert not _meet(
                (left, top, right, bottom), (ends[0] - 0.3, ends[1], ends[2] + 0.3, ends[3])
            )
        for mark in placed.marks:
            assert (
                right < mark.x - 5.2
                or left > mark.x + 11
                or not (top < mark.y + one_line.HEIGHTS[mark.kind] and bottom > mark.y)
            )


@settings(deadline=None, max_examples=50)
@given(st.lists(_symbols, min_size=1, max_size=8).map(tuple))
def test_every_item_has_its_number_its_symbol_and_all_its_words(
    symbols: tuple[Symbol, ...],
) -> None:
    try:
        placed = drawing(symbols, WORDS)
    except TallerThanPage:
        return
    items = [item for symbol in symbols for item in (symbol, *symbol.sides)]
    assert len(placed.numbers) == len(placed.marks) == len(items)
    lettering = "".join(text.text for text in placed.texts).replace(" ", "")
    for item in items:
        assert item.name.replace(" ", "") in lettering
        assert item.rating.replace(" ", "") in lettering


def test_trunk_runs_down_without_a_gap() -> None:
    placed = drawing(ONE_LINE_SYMBOLS, WORDS)
    trunk = [mark for mark in placed.marks if mark.x == one_line.TRUNK]
    assert [mark.kind for mark in trunk if mark.kind not in {"bonding", "loads"}] == [
        symbol.kind for symbol in ONE_LINE_SYMBOLS
    ]
    pieces = sorted((line.y1, line.y2) for line in placed.lines if line.x1 == line.x2)
    pieces += [
        (m.y, m.y + one_line.HEIGHTS[m.kind]) for m in trunk if m.kind not in {"bonding", "loads"}
    ]
    pieces.sort()
    for (_, end), (start, _) in pairwise(pieces):
        assert start <= end + 1e-6


def test_new_work_is_heavy_and_says_so() -> None:
    placed = drawing(ONE_LINE_SYMBOLS, WORDS)
    assert any("(NEW)" in text.text for text in placed.texts)
    last = max(placed.lines, key=lambda line: line.y2)
    assert last.state == "new"


def test_enclosure_holds_its_symbols() -> None:
    placed = drawing(ONE_LINE_SYMBOLS, WORDS)
    (outline,) = placed.outlines
    inside = [
        mark.kind for mark in placed.marks if outline.top < mark.y < outline.top + outline.height
    ]
    assert inside == ["breaker", "electrode", "bonding", "bus", "loads", "breaker"]


def test_too_much_for_a_page_is_refused() -> None:
    with pytest.raises(TallerThanPage, match="30 items"):
        drawing((replace(ONE_LINE_SYMBOLS[0]),) * 30, WORDS)
