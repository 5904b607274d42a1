"""Every text of a job written to do harm: it is printed as it stands, and nothing else happens."""

from __future__ import annotations

import html
import io
import re
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pikepdf
import pytest
from pypdf import PdfReader

from packet import render
from packet.batch import as_table
from packet.cli import main
from packet.finish import Attached
from packet.jobfile import load_job
from packet.plans.branch_circuit import plan
from packet.printing import Result, cannot_write
from packet.sheets.sets import SETS
from tests.hostile.jobs import HARM, hostile
from tests.hostile.pdfs import active

NOT_PRINTED = {
    "people.second_person.name",
    "people.second_person.phone",
    "authority.address",
    "utility.locate_phone",
    "service.disconnect_location",
    "panel.feeder.source_location",
}
"""Texts that no sheet of this job shows, harmful or not."""


@cache
def texts() -> dict[str, str]:
    """Return each text of the hostile job by its key."""
    with TemporaryDirectory() as folder:
        return hostile(Path(folder))[1]


@cache
def printed() -> dict[str, bytes]:
    """Return the clipboard and the client set of the hostile job."""
    with TemporaryDirectory() as folder:
        file, _ = hostile(Path(folder))
        planned = plan(load_job(file))
        attached = [Attached("job.yaml", file.read_bytes(), "text/plain", HARM[5], "Source")]
        return {
            "clipboard": render.pdf(SETS["clipboard"](planned), "letter", attached),
            "client": render.pdf(SETS["client"](planned), "letter"),
        }


STRANGE = "a\x1b[2J\r\u202eb\n.yaml"
"""A file's name that clears the screen, and turns what follows around."""


def squeezed(text: str) -> str:
    """Return a text without what a line break may add or take."""
    return re.sub(r"[\s\-\u2010\u00ad]", "", text)


def test_every_text_stands_on_the_pages_as_it_was_typed() -> None:
    pages = [
        page.extract_text()
        for content in printed().values()
        for page in PdfReader(io.BytesIO(content)).pages
    ]
    with TemporaryDirectory() as folder:
        file, _ = hostile(Path(folder))
        permit = render.html(SETS["permit"](plan(load_job(file))), "letter")
    pages.append(html.unescape(re.sub(r"<[^>]*>", "", permit)))
    shown = squeezed("".join(pages))
    missing = {key.split()[0] for key, text in texts().items() if squeezed(text) not in shown}
    assert missing == NOT_PRINTED


@pytest.mark.parametrize("reader", ["clipboard", "client"])
def test_no_text_becomes_an_action_a_script_or_an_address(reader: str) -> None:
    assert active(printed()[reader]) == []


def test_texts_stay_texts_in_what_the_viewer_shows_beside_the_pages() -> None:
    with pikepdf.open(io.BytesIO(printed()["clipboard"])) as pdf:
        title = str(pdf.docinfo["/Title"])
        assert title.startswith(f"{texts()['work.number 0']} {texts()['work.title 1']}")
        fields = [one for one in pdf.objects if is_dictionary(one) and one.get("/FT")]
        assert len(fields) > 100
        for field in fields:
            assert re.fullmatch(r"[a-z0-9_]+", str(field["/T"]))
            assert str(field.get("/V", "/Off")) in ("/Off", "")
            assert str(field["/TU"]).replace("\u00a0", " ").isprintable()
        tips = [str(field["/TU"]) for field in fields]
        assert sum(any(text in tip for tip in tips) for text in texts().values()) >= 3
        (name,) = pdf.attachments.keys()
        assert name == "job.yaml"
        assert pdf.attachments[name].description == HARM[5]


def is_dictionary(one: Any) -> bool:
    return isinstance(one, pikepdf.Dictionary)


def changed(spoil: Any) -> bytes:
    """Return a printed set into which something active was put."""
    with pikepdf.open(io.BytesIO(printed()["client"])) as pdf:
        spoil(pdf)
        out = io.BytesIO()
        pdf.save(out)
        return out.getvalue()


def action(kind: str, **more: Any) -> pikepdf.Dictionary:
    return pikepdf.Dictionary(S=pikepdf.Name(kind), **more)


def annotation(pdf: pikepdf.Pdf, does: pikepdf.Dictionary) -> None:
    link = pikepdf.Dictionary(
        Type=pikepdf.Name.Annot, Subtype=pikepdf.Name.Link, Rect=[0, 0, 9, 9], A=does
    )
    pdf.pages[0].Annots = pikepdf.Array([pdf.make_indirect(link)])


SPOILT = {
    "a script when it is opened": lambda pdf: setattr(
        pdf.Root, "OpenAction", action("/JavaScript", JS="app.alert(1)")
    ),
    "a script of a name": lambda pdf: setattr(
        pdf.Root, "Names", pikepdf.Dictionary(JavaScript=pikepdf.Dictionary(Names=[]))
    ),
    "an action of a page": lambda pdf: setattr(
        pdf.pages[0].obj, "AA", pikepdf.Dictionary(O=action("/Named", N=pikepdf.Name.Print))
    ),
    "an address": lambda pdf: annotation(pdf, action("/URI", URI="http://h.example/")),
    "a program": lambda pdf: annotation(pdf, action("/Launch", F="x")),
    "a form that is sent": lambda pdf: annotation(pdf, action("/SubmitForm", F="x")),
    "a jump into another file": lambda pdf: annotation(pdf, action("/GoToR", F="x.pdf")),
    "a file that is not inside": lambda pdf: setattr(
        pdf.Root, "AF", [pdf.make_indirect(pikepdf.Dictionary(Type=pikepdf.Name.Filespec, F="x"))]
    ),
    "a form of another make": lambda pdf: setattr(
        pdf.Root, "AcroForm", pikepdf.Dictionary(XFA=pikepdf.String("x"))
    ),
    "a stream that lies elsewhere": lambda pdf: setattr(
        pdf.Root, "Other", pikepdf.Stream(pdf, b"", F=pikepdf.String("x"))
    ),
}


@pytest.mark.parametrize("name", SPOILT)
def test_the_walk_finds_what_is_active(name: str) -> None:
    assert active(changed(SPOILT[name]))


def test_the_walk_lets_a_jump_inside_the_document_be() -> None:
    assert active(changed(lambda pdf: annotation(pdf, action("/GoTo", D="x")))) == []


@pytest.mark.parametrize("command", ["check", "values", "why"])
def test_nothing_in_a_job_moves_the_cursor_of_a_terminal(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """File names come with the file: those of an attachment, or of a folder that was sent."""
    file, _ = hostile(tmp_path)
    strange = file.rename(tmp_path / STRANGE)
    main([command, str(strange), *(["stamp.work"] if command == "why" else [])])
    shown = capsys.readouterr()
    assert_harmless(f"{shown.out}\n{shown.err}")


def assert_harmless(shown: str) -> None:
    assert all(sign.isprintable() or sign in "\u00a0\n" for sign in shown), shown


def test_names_of_files_are_shown_harmless_while_many_are_printed() -> None:
    assert_harmless(as_table([Result(Path(STRANGE), "faults", "")]))
    assert_harmless(cannot_write(Path(STRANGE), OSError(28, "No space left", STRANGE)))


@pytest.mark.parametrize("command", ["check", "values", "why", "build"])
def test_a_strange_name_of_a_file_that_cannot_be_read(
    command: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    name = str(tmp_path / STRANGE.replace("\n", ""))
    assert main([command, name, *(["x"] if command == "why" else [])]) == 1
    shown = capsys.readouterr()
    assert_harmless(shown.out + shown.err)
