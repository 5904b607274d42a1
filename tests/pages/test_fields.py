"""Sheets E, F, G and M on screen: each blank can be typed into, and what was typed is read back."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from functools import cache

import pytest
import weasyprint
from fontTools.ttLib import TTFont
from pypdf import PdfReader, PdfWriter
from pypdf.generic import DictionaryObject, NameObject, TextStringObject

from packet import render
from packet.sheets.views import Outcome, SheetSet
from tests.pages import checks, viewers
from tests.pages.fixtures import AS_BUILT, FRAME, ORDINARY, PERMIT, READINGS, TORQUE
from tests.pages.viewers import Picture, fields

FORMS = SheetSet(FRAME, Outcome.READY, (TORQUE, READINGS, PERMIT, AS_BUILT))
TORQUE_ONLY = SheetSet(FRAME, Outcome.READY, (TORQUE,))

ANSWERS: dict[str, str | bool] = {
    "E.tool": "TQ 4417",
    "E.3.set": "45",
    "F.1.reading": "121.4",
    "F.1.ok": True,
    "G.papers.one_line": True,
    "G.questions.owner": "yes, with a second person",
    "G.rough.corrections.2": "staple at the second stud",
    "M.circuit.breaker.built": "50 A, as planned",
}


@cache
def blank() -> bytes:
    return checks.printed(FORMS, "letter").content


@cache
def filled(by: str) -> bytes:
    fill = {"pypdf": viewers.filled_by_pypdf, "pdfium": viewers.filled_by_pdfium}
    return fill[by](blank(), ANSWERS)


# ------------------------------------------------------------------------- names and tips


def test_names_are_made_of_sheet_row_and_what_is_written() -> None:
    names = set(fields(checks.printed(ORDINARY, "letter").content))
    assert {name[0] for name in names} == set("EFGM")
    assert {"E.3.set", "E.3.initials", "F.1.reading", "F.1.ok", "G.permit.number"} <= names
    assert {"G.rough.box.seen", "G.final.inspector", "M.circuit.breaker.built"} <= names
    assert all(re.fullmatch(r"[EFGM](\.[a-z0-9_]+)+", name) for name in names)


def test_a_field_stands_on_the_sheet_that_its_name_tells() -> None:
    texts = checks.printed(ORDINARY, "letter").texts
    heads = {"E": "Torque", "F": "Readings", "G": "Permit and inspection", "M": "As-built record"}
    for name, field in fields(checks.printed(ORDINARY, "letter").content).items():
        assert heads[name[0]] in texts[field.page], name


def test_names_do_not_depend_on_what_else_is_printed() -> None:
    """Whoever reads filled packets back finds a value by its name, in each set and each year."""
    whole = fields(checks.printed(ORDINARY, "letter").content)
    alone = fields(checks.printed(TORQUE_ONLY, "letter").content)
    assert set(alone) == {name for name in whole if name.startswith("E.")}
    other_paper = fields(checks.printed(ORDINARY, "a4").content)
    assert list(other_paper) == list(whole)


def test_two_fields_of_one_name_are_not_printed(monkeypatch: pytest.MonkeyPatch) -> None:
    html = render.html(TORQUE_ONLY, "letter").replace("E.2.set", "E.1.set")
    monkeypatch.setattr(render, "html", lambda *_: html)
    with pytest.raises(ValueError, match=r"E\.1\.set"):
        render.pdf(TORQUE_ONLY, "letter")


def test_every_field_says_what_it_is_for() -> None:
    """The tool tip is all that someone hears who cannot see the row."""
    tips = [field.tip for field in fields(checks.printed(ORDINARY, "letter").content).values()]
    assert all(len(tip.split()) >= 3 and "{" not in tip for tip in tips)
    assert sorted(tips) == sorted(set(tips)), "two fields say the same"
    by_name = fields(checks.printed(ORDINARY, "letter").content)
    assert by_name["F.1.reading"].tip == (
        "F-1, known live slot to its neutral: reading in V, expect 114 to 126 V"
    )


def test_tab_goes_down_the_sheet() -> None:
    reader = checks.printed(FORMS, "letter").reader
    for page in reader.pages:
        assert page["/Tabs"] == "/S"
    order = [name for name in fields(blank()) if name.startswith("E.")]
    assert order[:5] == ["E.tool", "E.calibrated_until", "E.initials", "E.1.set", "E.1.initials"]


# ------------------------------------------------------------------------- blanks, no more


def test_fields_lie_inside_the_blanks_and_apart() -> None:
    """A field over a neighbor's text hides it on screen."""
    places: dict[int, list[tuple[str, tuple[float, float, float, float]]]] = {}
    for name, field in fields(checks.printed(ORDINARY, "letter").content).items():
        left, foot, right, top = field.place
        assert right - left > 15 or field.kind == "/Btn", f"{name} is too narrow"
        assert 12 < top - foot < 25, f"{name} is not one line high"
        for other, (a, b, c, d) in places.get(field.page, ()):
            assert left >= c or right <= a or foot >= d or top <= b, f"{name} over {other}"
        places.setdefault(field.page, []).append((name, field.place))


def scripts(content: bytes) -> list[str]:
    """Return every key in the file by which it could act on its own."""
    reader = PdfReader(io.BytesIO(content))
    found = []
    for number in range(1, int(reader.trailer["/Size"])):
        thing = reader.get_object(number)
        if isinstance(thing, dict):
            found += [f"{number} {key}" for key in ("/JS", "/AA", "/OpenAction") if key in thing]
    return found


def test_no_field_acts_on_its_own() -> None:
    assert scripts(blank()) == []
    writer = PdfWriter(clone_from=io.BytesIO(blank()))
    widget = writer.pages[0]["/Annots"][0].get_object()
    act = DictionaryObject({NameObject("/JS"): TextStringObject("app.beep()")})
    widget[NameObject("/AA")] = DictionaryObject({NameObject("/K"): act})
    planted = io.BytesIO()
    writer.write(planted)
    assert scripts(planted.getvalue()) != []


def test_paper_shows_nothing_of_the_fields() -> None:
    """Printed and not filled in, a page is the one that a pen writes on."""
    html = re.sub(r"<input[^>]*>", "", render.html(TORQUE_ONLY, "letter"))
    plain = weasyprint.HTML(
        string=html, base_url="packet:", url_fetcher=render.PackageFiles()
    ).write_pdf()
    content = checks.printed(TORQUE_ONLY, "letter").content
    assert viewers.drawn_by_poppler(content, 0) == viewers.drawn_by_poppler(plain, 0)
    with_fields = viewers.drawn_by_pdfium(content, 0)
    assert viewers.drawn_by_pdfium(content, 0, with_fields=False) == with_fields


# ----------------------------------------------------------------------- filled, read back


@pytest.mark.parametrize("by", ["pypdf", "pdfium"])
def test_what_was_typed_is_read_back(by: str) -> None:
    values = PdfReader(io.BytesIO(filled(by))).get_fields() or {}
    for name, answer in ANSWERS.items():
        assert values[name].get("/V") == ("/Yes" if answer is True else answer), name
    empty = [name for name in fields(blank()) if name not in ANSWERS]
    assert {values[name].get("/V", "") for name in empty} <= {"", "/Off"}


ENGINES: dict[str, Callable[[bytes, int], Picture]] = {
    "poppler": viewers.drawn_by_poppler,
    "mupdf": viewers.drawn_by_mupdf,
    "pdfium": viewers.drawn_by_pdfium,
}


@pytest.mark.parametrize("by", ["pypdf", "pdfium"])
@pytest.mark.parametrize(
    "engine", ["poppler", pytest.param("mupdf", marks=viewers.needs_mupdf), "pdfium"]
)
def test_what_was_typed_and_ticked_is_seen(by: str, engine: str) -> None:
    """A tick that a viewer does not show is a step not done, or done twice."""
    known, draw = fields(blank()), ENGINES[engine]
    for name in ("F.1.ok", "F.1.reading", "E.3.set", "M.circuit.breaker.built"):
        field = known[name]
        assert draw(blank(), field.page).ink(field.place) == 0, f"{name} is not empty at first"
        assert draw(filled(by), field.page).ink(field.place) > 20, f"{name} does not show"
    other = known["F.2.ok"]
    assert draw(filled(by), other.page).ink(other.place) == 0, "a box is ticked by itself"


@pytest.mark.parametrize("by", ["pypdf", "pdfium"])
def test_what_was_typed_is_text_of_the_page_in_our_letters(by: str) -> None:
    known = fields(filled(by))
    for name, answer in ANSWERS.items():
        if isinstance(answer, str):
            field = known[name]
            words = " ".join(viewers.text_by_poppler(filled(by), field.page).split())
            assert answer in words, name
            looks = field.widget["/AP"]["/N"].get_object()
            font, size = re.findall(rb"/(\S+) (\S+) Tf", looks.get_data())[0]
            assert float(size) >= checks.SMALLEST_TYPE
            used = looks["/Resources"]["/Font"][f"/{font.decode()}"].get_object()
            assert "Packet-Field" in used["/BaseFont"]


def test_every_sign_that_can_be_typed_has_a_letter() -> None:
    have = TTFont(
        io.BytesIO(render.PackageFiles().fetch("packet:fonts/field").read())
    ).getBestCmap()
    assert [sign for sign in render.TYPED_SIGNS if ord(sign) not in have] == []
