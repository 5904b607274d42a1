"""Widths of lettering against the font file and against the text engine that prints it."""

from __future__ import annotations

import string

import pytest
import weasyprint
from fontTools.subset import Subsetter
from fontTools.ttLib import TTFont
from fontTools.varLib.instancer import instantiateVariableFont
from hypothesis import given
from hypothesis import strategies as st
from weasyprint.formatting_structure import boxes

from packet.drawings.lettering import CUT, SMALL_SIZE, SPARE, TEXT_SIZE, text_width, wrapped
from packet.render import PackageFiles
from packet.resources import font_file
from tests.pictures.geometry import SMALLEST_TYPE
from tests.pictures.odd_jobs import WORDS

ACCENTED = "áçďéĝĥíĵķļłñóŕšßţúüŵýžÁÇĎÉĜĤÍĴĶĻÑÓŔŠŢÚÜŴÝŽ¿¡"
SIGNS = string.ascii_letters + string.digits + " .,:;()[]/-+&%'\"°·×²³½Ω@#*=_" + ACCENTED


@pytest.mark.parametrize(("bold", "weight"), [(False, 400), (True, 700)])
def test_every_width_is_that_of_the_font_cut_to_its_weight(bold: bool, weight: int) -> None:
    """fontTools' instancer cuts the variable font to one weight: a second way to its widths."""
    with TTFont(font_file("sans"), lazy=False) as whole:
        cutter = Subsetter()
        cutter.populate(text=SIGNS)
        cutter.subset(whole)
        font = instantiateVariableFont(whole, {"wght": weight, "wdth": 100})
        names, widths, em = font.getBestCmap(), font["hmtx"].metrics, font["head"].unitsPerEm
    wrong = [
        chr(code)
        for code, glyph in names.items()
        if abs(text_width(chr(code), 1, bold=bold) - widths[glyph][0] / em) > 1e-6
    ]
    assert wrong == []


PAIRS = [
    "AVATAR To Ty LT PA. fi fl ff",
    "Branch breaker, GFCI (NEW)",
    "2 × 6 AWG copper + 10 AWG ground; 3/4 in PVC-80",
    "rvwy T.V.W.Y. r, f' L\u2019 \u201cquoted\u201d",
    "Kök für Ærø, Łódź, São Vicente",
    *WORDS.split(", "),
    *(a + b + a for a in "TVWYLPAfrk" for b in "aoeyu.,AVTJ"),
]


def test_printed_lettering_is_as_wide_as_measured() -> None:
    """Pango and HarfBuzz set the same lines, kerning and all.

    Words are never wider than measured; a pair that kerning sets apart is wider by less than
    what a line of such pairs, as long as the longest column, has free beside it.
    """
    lines = "".join(
        f"<p><span style='font: {weight} 20pt \"Packet Sans\"'>{text}</span></p>"
        for text in PAIRS
        for weight in (400, 700)
    )
    document = weasyprint.HTML(
        string=f"<html lang=en><link rel=stylesheet href='packet:styles/base.css'>"
        f"<style>@page {{ size: 2000mm 4000mm }} p {{ white-space: nowrap }}</style>{lines}",
        base_url="packet:",
        url_fetcher=PackageFiles(),
    ).render()
    found = [
        box
        for page in document.pages
        for box in page._page_box.descendants()
        if isinstance(box, boxes.TextBox) and box.element_tag == "span"
    ]
    assert len(found) == 2 * len(PAIRS)
    for number, box in enumerate(found):
        size = 20 / 72 * 96
        measured = text_width(box.text, size, bold=bool(number % 2))
        apart = SPARE / 80 if len(box.text) == 3 else 0.0
        assert box.width <= measured * (1 + apart) + 0.01, box.text
        assert box.width >= 0.8 * measured, box.text


def test_a_sign_that_the_font_lacks_is_taken_for_the_widest() -> None:
    assert text_width("\u6f22", 1) >= text_width("W", 1)
    assert text_width("\u6f22", 1) >= 1.0


def test_capitals_are_3_mm_high_and_no_type_is_below_10_points() -> None:
    """ASME Y14.2 on small sheets (3 mm); the page design's floor of 10 points."""
    with TTFont(font_file("sans")) as font:
        assert font["OS/2"].sCapHeight / font["head"].unitsPerEm * TEXT_SIZE >= 3.0
    assert SMALL_SIZE > SMALLEST_TYPE


@given(st.text(SIGNS, max_size=200), st.floats(10, 90), st.booleans())
def test_wrapped_lines_keep_the_text_and_the_width(text: str, width: float, bold: bool) -> None:
    lines = wrapped(text, width, bold=bold)
    assert "".join(lines).replace(" ", "") == text.replace(" ", "")
    assert all(text_width(line, bold=bold) <= width or len(line) == 1 for line in lines)


@given(st.text(SIGNS, min_size=1, max_size=300), st.floats(20, 90), st.integers(1, 4))
def test_a_cut_label_says_that_it_is_cut(text: str, width: float, lines: int) -> None:
    whole, cut = wrapped(text, width), wrapped(text, width, lines=lines)
    assert len(cut) <= lines
    assert all(text_width(line, bold=False) <= width for line in cut)
    assert cut == whole or cut[-1].endswith(CUT)
