"""Rendering: chosen fonts, closed addresses, no complaint, the same bytes every time."""

from __future__ import annotations

import hashlib
import io
import logging
import os
import subprocess
import sys
import threading
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import jinja2
import pytest
from fontTools.ttLib import TTFont
from pypdf import PdfReader
from weasyprint.urls import FatalURLFetchingError

from packet import render
from packet.render import PackageFiles, RenderFault
from packet.sheets.views import Carry, Outcome, SheetSet, Tool
from tests.pages import checks
from tests.pages.fixtures import CARRY, FRAME, LONGEST, ORDINARY, SETS

SMALL = SheetSet(FRAME, Outcome.READY, (CARRY,))
ROOT = Path(__file__).parents[2]


def test_equal_sheets_give_equal_bytes_in_any_process() -> None:
    """A packet printed again must be the same packet, or its stamp means nothing."""
    program = (
        "import hashlib; from packet import render; from tests.pages.fixtures import ORDINARY;"
        "print(hashlib.sha256(render.pdf(ORDINARY, 'letter')).hexdigest())"
    )
    found = {hashlib.sha256(render.pdf(ORDINARY, "letter")).hexdigest()}
    for seed, zone in (("1", "Pacific/Kiritimati"), ("77", "America/Anchorage")):
        environment = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "PYTHONPATH": str(ROOT)}
        run = subprocess.run(  # noqa: S603
            [sys.executable, "-c", program],
            env=environment,
            capture_output=True,
            text=True,
            check=True,
        )
        found.add(run.stdout.strip())
    assert len(found) == 1


def test_printing_leaves_the_environment_as_it_was(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "86400")
    first = render.pdf(SMALL, "letter")
    assert os.environ["SOURCE_DATE_EPOCH"] == "86400"
    monkeypatch.delenv("SOURCE_DATE_EPOCH")
    assert render.pdf(SMALL, "letter") == first
    assert "SOURCE_DATE_EPOCH" not in os.environ


def test_other_values_give_other_bytes() -> None:
    other = replace(SMALL, frame=replace(FRAME, stamp="0000-01"))
    assert render.pdf(SMALL, "letter") != render.pdf(other, "letter")


def test_exactly_the_chosen_fonts() -> None:
    pages = checks.printed(ORDINARY, "letter")
    used = {mark.value.split("+")[-1] for mark in pages.marks if mark.kind == "text"}
    assert used == checks.FONTS


@pytest.mark.parametrize("name", render.FONTS)
def test_fonts_are_files_of_installed_packages(name: str) -> None:
    path = render.font_file(name)
    assert path.is_file()
    assert not path.is_relative_to(ROOT / "packet")
    assert not list(ROOT.glob("styles/*.ttf"))


def test_missing_font_package_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(render, "_of_this_thread", threading.local())
    monkeypatch.setitem(render.FONTS, "sans", ("fontpkg_that_is_not_there", "x.ttf"))
    with pytest.raises(RenderFault, match="fontpkg-that-is-not-there is not installed"):
        render.pdf(SMALL, "letter")


def test_action_lines_have_an_x_height_of_2_4_mm() -> None:
    """Read at arm's length in poor light; the bound is that of the page design."""
    font = TTFont(render.font_file("sans"))
    x_height = font["OS/2"].sxHeight / font["head"].unitsPerEm
    style = (ROOT / "styles" / "procedure.css").read_text("utf-8")
    assert ".do { margin: 0; font: 400 var(--action)/" in style
    assert "--action: 13.5pt;" in (ROOT / "styles" / "base.css").read_text("utf-8")
    assert x_height * 13.5 / checks.MM >= 2.4


def test_signs_of_the_trade_are_in_the_text_font() -> None:
    signs = "Ω≥≤−×÷√·°²³½±→½¼¾–…“”’"
    have = TTFont(render.font_file("sans")).getBestCmap()
    assert [sign for sign in signs if ord(sign) not in have] == []


@pytest.mark.parametrize(
    "url",
    [
        "http://127.0.0.1:1/x.png",
        "https://example.org/x.css",
        "file:///etc/passwd",
        "data:image/png;base64,AA==",
        "packet:styles/../packet/render.py",
        "packet:styles/no-such.css",
        "packet:fonts/other",
        "packet:templates/packet.html",
        "packet:/etc/passwd",
        "",
    ],
)
def test_every_other_address_is_fatal(url: str) -> None:
    with pytest.raises(FatalURLFetchingError):
        PackageFiles().fetch(url)


def test_a_page_that_asks_for_a_strange_file_is_not_printed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    html = render.html(SMALL, "letter").replace("<h1>", "<img alt=x src='file:///etc/passwd'><h1>")
    monkeypatch.setattr(render, "html", lambda *_: html)
    with pytest.raises(RenderFault, match="/etc/passwd"):
        render.pdf(SMALL, "letter")


@pytest.mark.parametrize(
    ("spoilt", "complaint"),
    [
        ("<p style='no-such-property: 1'>x</p>", "no-such-property"),
        ("<p style='width: 3 furlongs'>x</p>", "furlongs"),
        ("<a href='#nowhere'>x</a>", "nowhere"),
    ],
)
def test_whatever_is_complained_about_stops_the_print(
    spoilt: str, complaint: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    html = render.html(SMALL, "letter").replace("<h1>", f"{spoilt}<h1>", 1)
    monkeypatch.setattr(render, "html", lambda *_: html)
    with pytest.raises(RenderFault, match=complaint):
        render.pdf(SMALL, "letter")


def test_complaints_are_not_kept_for_the_next_print() -> None:
    before = list(logging.getLogger("weasyprint").handlers)
    render.pdf(SMALL, "letter")
    assert logging.getLogger("weasyprint").handlers == before


def test_text_of_a_job_is_never_markup() -> None:
    nasty = "</td><script>&\"'{{ 7 * 7 }} url(http://x/) \\ } p { display: none }"
    sheets = SheetSet(
        replace(FRAME, title=nasty), Outcome.READY, (Carry((), (Tool(nasty, nasty, nasty),)),)
    )
    pages = checks.printed(sheets, "letter")
    assert "</td><script>&" in pages.texts[0]
    assert "{{ 7 * 7 }}" in pages.texts[0]


def test_a_template_that_asks_for_too_much_fails() -> None:
    with pytest.raises(jinja2.UndefinedError):
        render._templates().from_string("{{ sheet.no_such_field }}").render(sheet=CARRY)


def test_unknown_paper_is_refused() -> None:
    with pytest.raises(ValueError, match="tabloid"):
        render.html(SMALL, "tabloid")


@pytest.mark.parametrize(("paper", "size"), [("letter", (215.9, 279.4)), ("a4", (210.0, 297.0))])
def test_paper_and_live_area(paper: str, size: tuple[float, float]) -> None:
    pages = checks.printed(SMALL, paper)
    box = pages.reader.pages[0].mediabox
    assert float(box.width) / checks.MM == pytest.approx(size[0], abs=0.05)
    assert float(box.height) / checks.MM == pytest.approx(size[1], abs=0.05)
    page = pages.document.pages[0]._page_box
    assert page.width / checks.PX == pytest.approx(172, abs=0.01)
    assert page.height / checks.PX == pytest.approx(239, abs=0.01)
    assert page.content_box_x() / checks.PX == pytest.approx(25, abs=0.01)
    assert page.content_box_y() / checks.PX == pytest.approx(25, abs=0.01)


def test_the_file_tells_what_it_is() -> None:
    reader = PdfReader(io.BytesIO(render.pdf(ORDINARY, "letter")))
    root = reader.root_object
    assert reader.metadata is not None
    assert (
        reader.metadata.title == "ALD-0417 Charging receptacle in the attached garage: Work packet"
    )
    assert reader.metadata.author is None
    assert str(reader.metadata["/CreationDate"]).startswith("D:20260914")
    assert root["/Lang"] == "en-US"
    assert bool(root["/MarkInfo"]["/Marked"])
    assert "/StructTreeRoot" in root
    assert b"pdfuaid" in root["/Metadata"].get_object().get_data()


def test_every_sheet_is_bookmarked_by_its_letter_with_its_parts_below() -> None:
    reader = checks.printed(ORDINARY, "letter").reader
    titles = [item.title for item in reader.outline if not isinstance(item, list)]
    assert [title.split()[0] for title in titles] == list(ORDINARY.letters)
    assert titles[4] == "E Torque"
    assert titles[-1] == "M As-built record"
    below = {
        one.title: next(iter(parts)).title
        for one, parts in pairwise(reader.outline)
        if isinstance(parts, list)
    }
    assert below["D Do: procedure"].startswith("Phase ")


def test_drawings_have_words() -> None:
    """Someone who hears the packet read gets the diagram in the order the power flows."""
    html = render.html(ORDINARY, "letter")
    words = html.split("<title>One-line diagram.")[1].split("</title>")[0]
    items = ["Utility supply", "Meter", "Main breaker", "Bus", "Branch breaker", "Receptacle"]
    places = [words.index(item) for item in items]
    assert places == sorted(places)


def test_what_is_not_known_is_said() -> None:
    assert "NOT KNOWN" in checks.printed(SETS["emptiest"], "letter").texts[0]


@pytest.mark.parametrize(
    ("name", "caption"), [("emptiest client", "License number"), ("emptiest permit", "Parcel")]
)
def test_what_a_client_or_an_office_must_know_is_a_blank(name: str, caption: str) -> None:
    printed = checks.printed(SETS[name], "letter")
    assert any(
        "blank" in checks._classes(around) and item.box.text == caption
        for item in printed.placed
        if isinstance(item.box, checks.boxes.TextBox)
        for around in item.around
    )


@pytest.mark.parametrize(
    ("name", "title"),
    [("ordinary", "Work packet"), ("client", "Client set"), ("permit", "Permit set")],
)
def test_the_title_names_the_set(name: str, title: str) -> None:
    html = render.html(SETS[name], "letter")
    assert html.split("<title>")[1].split("</title>")[0].endswith(f": {title}")


def test_longest_values_are_printed_whole() -> None:
    text = " ".join(" ".join(checks.printed(LONGEST, "letter").texts).split())
    assert "North Alder Point Township" in text
    assert "behind the carriage house at the end of the lane" in text
