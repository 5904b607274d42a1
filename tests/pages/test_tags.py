"""Accessible and archival: tags of PDF/UA-1, artifacts, bookmarks, attached files."""

from __future__ import annotations

import io
from collections.abc import Callable
from functools import cache
from typing import Any

import pikepdf
import pytest
from pikepdf import Name

from packet import render
from packet.finish import Attached
from packet.sheets.views import Outcome, SheetSet
from tests.pages import checks
from tests.pages.fixtures import (
    AS_BUILT,
    CARRY,
    FRAME,
    ONE_LINE,
    ORDINARY,
    READINGS,
    SETS,
    SUMMARY,
)
from tests.pages.validators import VALIDATORS

SMALL = SheetSet(FRAME, Outcome.READY, (SUMMARY, READINGS, ONE_LINE, AS_BUILT))
WITH_ROWS = [name for name in SETS if name not in ("emptiest", "emptiest permit")]
"""A table without any row, which no job has, cannot be tagged."""


# ------------------------------------------------------------------------------ validators


@pytest.mark.parametrize("by", VALIDATORS)
@pytest.mark.parametrize("name", WITH_ROWS)
def test_no_validator_complains(name: str, by: str) -> None:
    assert VALIDATORS[by](checks.printed(SETS[name], "letter").content) == []


def without_title(pdf: pikepdf.Pdf) -> None:
    with pdf.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as metadata:
        del metadata["dc:title"]
    del pdf.Root.ViewerPreferences


def without_language(pdf: pikepdf.Pdf) -> None:
    del pdf.Root.Lang


def without_mark(pdf: pikepdf.Pdf) -> None:
    del pdf.Root.MarkInfo


def tags(pdf: pikepdf.Pdf, kind: str) -> list[Any]:
    return [
        thing
        for thing in pdf.objects
        if isinstance(thing, pikepdf.Dictionary) and thing.get("/S") == kind
    ]


def without_alternative_text(pdf: pikepdf.Pdf) -> None:
    del tags(pdf, "/Figure")[0].Alt


def without_scopes(pdf: pikepdf.Pdf) -> None:
    for cell in tags(pdf, "/TH"):
        del cell.A.Scope
    for cell in tags(pdf, "/TD"):
        if "/Headers" in cell.A:
            del cell.A.Headers


def without_tip(pdf: pikepdf.Pdf) -> None:
    for thing in pdf.objects:
        if isinstance(thing, pikepdf.Dictionary) and thing.get("/Subtype") == "/Widget":
            del thing.TU


def field_outside_its_tag(pdf: pikepdf.Pdf) -> None:
    for tag in tags(pdf, "/Form"):
        tag.S = Name.Span


def widths_of_another_font(pdf: pikepdf.Pdf) -> None:
    for thing in pdf.objects:
        if isinstance(thing, pikepdf.Dictionary) and thing.get("/Subtype") == "/CIDFontType2":
            thing.W = pikepdf.Array([0, 400, 777])


def margins_as_content(pdf: pikepdf.Pdf) -> None:
    page = pdf.pages[0]
    content = page.Contents.read_bytes().replace(b"/Artifact", b"/Span")
    page.Contents = pdf.make_stream(content)


def tag_that_is_not_there(pdf: pikepdf.Pdf) -> None:
    tags(pdf, "/Table")[0].K.append(pdf.make_indirect(pikepdf.Array()))


SPOILED: dict[tuple[str, str], Callable[[pikepdf.Pdf], None]] = {
    ("page-validation", "title"): without_title,
    ("page-validation", "language"): without_language,
    ("page-validation", "mark"): without_mark,
    ("page-validation", "alternative text"): without_alternative_text,
    ("page-validation", "scope"): without_scopes,
    ("page-validation", "tool tip"): without_tip,
    ("page-validation", "field"): field_outside_its_tag,
    ("page-validation", "widths"): widths_of_another_font,
    ("page-validation", "margins"): margins_as_content,
    ("pdfua", "title"): without_title,
    ("pdfua", "language"): without_language,
    ("pdfua", "mark"): without_mark,
    ("pdfua", "alternative text"): without_alternative_text,
    ("pdfua", "scope"): without_scopes,
    ("poppler", "broken tag"): tag_that_is_not_there,
}


@cache
def small() -> bytes:
    return render.pdf(SMALL, "letter")


@pytest.mark.parametrize(("by", "fault"), SPOILED)
def test_a_validator_sees_what_is_taken_away(by: str, fault: str) -> None:
    with pikepdf.open(io.BytesIO(small())) as pdf:
        SPOILED[by, fault](pdf)
        spoiled = io.BytesIO()
        pdf.save(spoiled)
    assert VALIDATORS[by](small()) == []
    assert VALIDATORS[by](spoiled.getvalue()) != []


def test_qpdf_sees_a_damaged_file() -> None:
    middle = len(small()) // 2
    assert VALIDATORS["qpdf"](small()[:middle] + small()[middle + 9 :]) != []


# -------------------------------------------------------------------------------- artifacts


def loose_content(content: bytes) -> list[str]:
    """Return the content of each page that is marked as such but hangs in no tag."""
    faults = []
    with pikepdf.open(io.BytesIO(content)) as pdf:
        root = pdf.Root.StructTreeRoot
        owners = {
            int(root.ParentTree.Nums[place]): root.ParentTree.Nums[place + 1]
            for place in range(0, len(root.ParentTree.Nums), 2)
        }
        hung = set(_hung(root))
        for number, page in enumerate(pdf.pages):
            marked = owners[int(page.StructParents)]
            for operands, operator in pikepdf.parse_content_stream(page):
                if str(operator) == "BDC" and "/MCID" in operands[1]:
                    owner = marked[int(operands[1].MCID)]
                    if owner is None or owner.objgen not in hung:
                        faults.append(f"page {number + 1}: content {operands[1].MCID}")
    return faults


def _hung(tag: Any) -> Any:
    for kid in tag.K:
        if isinstance(kid, pikepdf.Dictionary):
            yield kid.objgen
            if "/K" in kid:
                yield from _hung(kid)


def test_lines_in_the_margins_are_artifacts() -> None:
    """Else a screen reader says the job number and the stamp on each page, or stumbles."""
    assert loose_content(small()) == []
    unfinished = render.layout(SheetSet(FRAME, Outcome.READY, (CARRY,)), "letter").write_pdf(
        pdf_variant="pdf/ua-1"
    )
    assert len(loose_content(unfinished)) >= 4


def test_margins_are_still_printed() -> None:
    pages = checks.printed(ORDINARY, "letter")
    assert checks.stamps(pages, FRAME.stamp) == []
    with pikepdf.open(io.BytesIO(pages.content)) as pdf:
        for page in pdf.pages:
            kinds = [
                str(operands[1].get("/Type"))
                for operands, operator in pikepdf.parse_content_stream(page)
                if str(operator) == "BDC" and operands[0] == "/Artifact"
            ]
            assert kinds.count("/Pagination") >= 4


def test_every_field_is_in_a_form_tag() -> None:
    with pikepdf.open(io.BytesIO(small())) as pdf:
        held = {
            kid.Obj.objgen
            for tag in tags(pdf, "/Form")
            for kid in tag.K
            if kid.get("/Type") == "/OBJR"
        }
        widgets = [note for page in pdf.pages for note in page.get("/Annots", ()) if "/FT" in note]
        assert len(widgets) > 20
        assert {note.objgen for note in widgets} == held


# ------------------------------------------------------------------------------------ files

JOB = Attached(
    "job.yaml", "number: ALD-0417  # ä Ω\n".encode(), "application/yaml", "As typed", "Source"
)
VALUES = Attached("job-values.json", b"[]\n", "application/json", "Every value", "Data")


def test_attached_files_say_what_they_are() -> None:
    content = render.pdf(SheetSet(FRAME, Outcome.READY, (CARRY,)), "letter", [JOB, VALUES])
    with pikepdf.open(io.BytesIO(content)) as pdf:
        listed = {str(one.UF): one for one in pdf.Root.AF}
        assert list(listed) == sorted(listed) == ["job-values.json", "job.yaml"]
        assert set(pdf.attachments) == set(listed)
        for file in (JOB, VALUES):
            one = listed[file.name]
            inside = one.EF.F
            assert inside.read_bytes() == file.content
            assert inside.Subtype == f"/{file.media_type}"
            assert one.AFRelationship == f"/{file.relationship}"
            assert str(one.Desc) == file.description
            assert str(inside.Params.CreationDate) == "D:20260914000000Z"
            assert str(inside.Params.ModDate) == "D:20260914000000Z"


def test_equal_files_give_equal_bytes_and_others_do_not() -> None:
    sheets = SheetSet(FRAME, Outcome.READY, (CARRY,))
    once = render.pdf(sheets, "letter", [JOB, VALUES])
    assert render.pdf(sheets, "letter", [VALUES, JOB]) == once
    assert render.pdf(sheets, "letter", [JOB]) != once
    for by in VALIDATORS.values():
        assert by(once) == []
