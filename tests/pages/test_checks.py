"""Each check of the pages catches the fault it is for: a check that cannot fail is none."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest
from weasyprint.urls import URLFetcher

from packet import render
from packet.sheets.views import Outcome, SheetSet
from tests.pages import checks
from tests.pages.checks import Printed
from tests.pages.fixtures import CARRY, FRAME, PROCEDURE, TORQUE

SHEETS = SheetSet(FRAME, Outcome.READY, (CARRY,))
STEPS = SheetSet(FRAME, Outcome.READY, (PROCEDURE,))
FILL = "<div style='height: {0}mm'></div>"
UNBREAKABLE = "<div style='height: 90mm; break-inside: avoid'>x</div>"


def spoiled(style: str = "", body: str = "", sheets: SheetSet = SHEETS) -> Printed:
    """Print sheets with a fault put in: extra style, or extra body before the first heading."""
    html = render.html(sheets, "letter")
    html = html.replace("</head>", f"<style>{style}</style></head>", 1)
    return checks.printed_html(html.replace("<h1>", f"{body}<h1>", 1))


CLEAN = spoiled()


def test_the_unspoiled_sheet_is_clean() -> None:
    assert checks.every_fault(CLEAN, SHEETS) == []


CONTROLS: dict[str, tuple[Callable[[Printed], list[str]], str, str]] = {
    "page number": (checks.page_numbers, '@page { @bottom-right { content: "Page 1" } }', ""),
    "stamp missing": (
        lambda pages: checks.stamps(pages, FRAME.stamp),
        '@page { @bottom-right { content: "Page 1 of 1" } }',
        "",
    ),
    "stamp of other values": (lambda pages: checks.stamps(pages, "AAAA-00"), "", ""),
    "no end": (lambda pages: checks.endings(pages, "C"), ".end { display: none }", ""),
    "end twice": (lambda pages: checks.endings(pages, "C"), "", "<p>END OF SHEET C</p>"),
    "undefined value": (checks.left_over_signs, "", "<p>None</p>"),
    "text off the right": (checks.overflow, "", f"<p style='white-space: pre'>{'wide ' * 40}</p>"),
    "text off the foot": (
        checks.overflow,
        "",
        "<p style='position: absolute; top: 236mm'>one line<br>and a second</p>",
    ),
    "text out of its cell": (
        checks.overflow,
        "",
        (
            "<table><tr><td style='overflow-wrap: normal; width: 10mm'>unbreakableword</td>"
            "<td>x</td></tr></table>"
        ),
    ),
    "text out of its block": (
        checks.overflow,
        "",
        "<div style='width: 20mm; white-space: pre'>this is longer than the block</div>",
    ),
    "margin lines meet": (
        checks.margin_collisions,
        (
            '@page { @bottom-left { content: "one line in there"; width: 50mm; white-space: pre }'
            ' @bottom-right { content: "and another that is far too long for its place in the'
            ' margin, and meets it"; width: 20mm; white-space: pre; text-align: right } }'
        ),
        "",
    ),
    "margin line too long": (
        checks.margin_collisions,
        f'@page {{ @bottom-left {{ content: "{"long " * 60}" }} }}',
        "",
    ),
    "step split": (
        checks.splits,
        ".step { display: block !important; break-inside: auto !important }",
        f"<div class=step>{'<p>a line of text</p>' * 60}</div>",
    ),
    "gate split": (
        checks.splits,
        ".gate { break-inside: auto !important }",
        f"<div class=gate>{'<p>a line of text</p>' * 60}</div>",
    ),
    "row split": (
        checks.splits,
        "tr { break-inside: auto !important }",
        f"<table><tbody><tr><td>{'a line of text<br>' * 80}</td></tr></tbody></table>",
    ),
    "calculation split": (
        checks.splits,
        "",
        f"<div class=calc>{'<p>a line of text</p>' * 60}</div>",
    ),
    "orphan heading": (
        checks.orphan_headings,
        "h2 { break-after: auto !important }",
        f"{FILL.format(200)}<h2>Lonely</h2>{UNBREAKABLE}",
    ),
    "orphan panel": (
        checks.orphan_headings,
        ".hazard { break-after: auto !important }",
        f"{FILL.format(200)}<div class='hazard warning'><p>Lonely</p></div>{UNBREAKABLE}",
    ),
    "ending on a page of its own": (
        checks.lonely_endings,
        ".ending { break-before: page !important }",
        "",
    ),
    "panel after its step": (
        checks.hazards_out_of_place,
        "",
        "<div class=guard><div class=step>step</div><div class=hazard>panel</div></div>",
    ),
    "panel on another page": (
        checks.hazards_out_of_place,
        ".guard { break-inside: auto !important } .hazard { break-after: page !important }",
        "<div class=guard><div class=hazard>panel</div><div class=step>step</div></div>",
    ),
    "panel of a phase not repeated": (
        checks.steps_without_standing_panel,
        ".guarded .step { display: block !important; height: 90mm !important }",
        (
            "<div class=guarded><div class=standing><div class=hazard>panel</div></div>"
            f"{'<div class=step>step</div>' * 4}</div>"
        ),
    ),
    "blank too narrow": (checks.narrow_blanks, ".blank.date { width: 30mm !important }", ""),
    "blank too low": (checks.narrow_blanks, ".well { height: 6mm !important }", ""),
    "price blank too narrow": (
        checks.narrow_blanks,
        "",
        "<span class='price-blank' style='display: inline-block; width: 9mm; height: 9mm'></span>",
    ),
    "cell too narrow to write in": (
        checks.narrow_blanks,
        "",
        "<table><tr><td class=write style='width: 9mm; height: 9mm'></td><td>x</td></tr></table>",
    ),
    "blank without a field": (
        checks.blanks_without_field,
        "",
        "<div class=torque><span class=well style='width: 90mm'></span></div>",
    ),
    "cell without a field": (
        checks.blanks_without_field,
        "",
        "<table class=as_built><tr><td class=write>x</td><td>x</td></tr></table>",
    ),
    "small type": (checks.small_type, "", "<p style='font-size: 7pt'>small</p>"),
    "small type in a scaled drawing": (
        checks.small_type,
        "",
        (
            "<svg width='20mm' height='10mm' viewBox='0 0 40 20'><title>t</title>"
            "<text y='9' font-size='4' font-family='Packet Sans'>small</text></svg>"
        ),
    ),
    "word and its meaning on two pages": (
        checks.splits,
        ".words dl div { display: flex !important; break-inside: auto !important }",
        (
            f"<div class=words><dl><div><dt>word</dt><dd>{'a line of text<br>' * 80}</dd></div>"
            "</dl></div>"
        ),
    ),
    "thin border": (checks.thin_lines, "", "<p style='border: 0.1mm solid #000'>x</p>"),
    "thin rule under a row": (
        checks.thin_lines,
        "",
        "<table><tr><td style='border-bottom: 0.1mm solid #000'>x</td></tr></table>",
    ),
    "thin stroke in a scaled drawing": (
        checks.thin_lines,
        "",
        (
            "<svg width='20mm' height='10mm' viewBox='0 0 80 40'><title>t</title>"
            "<path d='M0 0L9 9' stroke='#000' stroke-width='0.6'/></svg>"
        ),
    ),
    "red text": (checks.colours, "", "<p style='color: red'>x</p>"),
    "grey text": (checks.colours, "", "<p style='color: #555'>x</p>"),
    "tinted row": (checks.colours, "tr { background: #ddd }", ""),
    "see-through text": (checks.colours, "", "<p style='opacity: 0.5'>x</p>"),
    "gradient": (
        checks.colours,
        "",
        "<p style='background: linear-gradient(#000, #fff)'>x</p>",
    ),
    "other font": (checks.strange_fonts, "", "<p style='font-family: monospace'>x</p>"),
    "sign that the fonts lack": (checks.strange_fonts, "", "<p>\u2610</p>"),
    "drawing without a font": (
        checks.strange_fonts,
        "",
        "<svg width='20mm' height='10mm'><title>t</title><text y='9'>x</text></svg>",
    ),
    "ink under the clip": (
        checks.inked_margins,
        "",
        "<p style='position: absolute; top: -20mm'>high</p>",
    ),
    "ink at the side": (
        checks.inked_margins,
        "",
        "<p style='position: absolute; left: -23mm'>left</p>",
    ),
}


@pytest.mark.parametrize("fault", CONTROLS)
def test_check_catches(fault: str) -> None:
    check, style, body = CONTROLS[fault]
    assert check(CLEAN) == [] or fault == "stamp of other values"
    assert check(spoiled(style, body)) != []


def test_picture_is_caught() -> None:
    dot = (
        "data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAAAAAA6fptVAAAACklEQVR4nGNgAAAAAgAB"
        "SK+kcQAAAABJRU5ErkJggg=="
    )
    pages = checks.printed_html(
        f"<html lang=en><title>t</title><img alt=dot src='{dot}'>",
        fetcher=URLFetcher(),
    )
    assert checks.images(pages) != []


def test_unlike_papers_are_caught() -> None:
    other = checks.printed(replace(SHEETS, sheets=(CARRY, TORQUE)), "a4")
    assert checks.unlike_papers(CLEAN, other) != []
    assert checks.unlike_papers(CLEAN, spoiled(body="<p>more</p>")) != []


def test_tiles_and_forms_are_walked() -> None:
    """The diamond of a step that cannot be undone is a background; its ink must be seen."""
    plain = checks.printed(STEPS, "letter")
    spoilt = spoiled(
        ".diamond { background: url('packet:styles/alert.svg') 0 0 / 0.5mm 0.5mm !important }",
        sheets=STEPS,
    )
    assert checks.thin_lines(plain) == []
    assert checks.thin_lines(spoilt) != []
