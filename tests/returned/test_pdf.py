"""Packets as viewers give them back, and PDFs that are none: fields, files, one message each."""

from __future__ import annotations

import io
import json
import logging
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader, PdfWriter, apply_configuration
from pypdf.generic import (
    ByteStringObject,
    DecodedStreamObject,
    FloatObject,
    NameObject,
    NullObject,
    TextStringObject,
)

from packet import render
from packet.finish import Attached
from packet.returned import NotReadable, pdf
from packet.returned.pdf import files_inside, filled_packet
from packet.sheets.views import Outcome, SheetSet
from tests.pages import viewers
from tests.pages.fixtures import FRAME, READINGS, TORQUE

FORMS = SheetSet(FRAME, Outcome.READY, (TORQUE, READINGS))
JOB = b"work:\n  number: T-1\n"
VALUES = {"tool": "0.1", "edition": "2023", "code_book": "AB", "stamp": FRAME.stamp, "values": []}


def attached(values: Any = VALUES, job: str = "job.yaml") -> tuple[Attached, ...]:
    text = values if isinstance(values, bytes) else json.dumps(values).encode()
    return (
        Attached(job, JOB, "application/yaml", "The job file", "Source"),
        Attached("job-values.json", text, "application/json", "Every value", "Data"),
    )


@cache
def printed() -> bytes:
    return render.pdf(FORMS, "letter", attached())


@cache
def printed_without_files() -> bytes:
    return render.pdf(FORMS, "letter")


def with_files(files: list[tuple[str, bytes]]) -> bytes:
    """Return a page with files of any name, as a stranger may make it."""
    writer = PdfWriter()
    writer.add_blank_page(100, 100)
    for name, content in files:
        writer.add_attachment(name, content)
    return written(writer)


def written(writer: PdfWriter) -> bytes:
    stream = io.BytesIO()
    writer.write(stream)
    return stream.getvalue()


@pytest.fixture
def packet(tmp_path: Path) -> Path:
    return tmp_path / "filled.pdf"


def with_value(name: str, **keys: Any) -> bytes:
    """Return the forms with keys of one field set, whatever they are."""
    writer = PdfWriter(clone_from=io.BytesIO(printed()))
    for page in writer.pages:
        for one in page.get("/Annots", ()):
            widget = one.get_object()
            levels = [widget]
            while "/Parent" in levels[-1]:
                levels.append(levels[-1]["/Parent"].get_object())
            if ".".join(str(level["/T"]) for level in reversed(levels)) == name:
                for key, value in keys.items():
                    widget[NameObject(f"/{key}")] = value
    return written(writer)


def stream(content: bytes) -> DecodedStreamObject:
    found = DecodedStreamObject()
    found.set_data(content)
    return found


# ---------------------------------------------------------------------------------- fields


@pytest.mark.parametrize("by", ["pypdf", "pdfium"])
def test_what_a_viewer_wrote_is_read_and_blanks_are_not_there(packet: Path, by: str) -> None:
    answers = {"E.3.set": "45 lbf·in", "F.1.reading": "121,4", "F.1.ok": True, "E.tool": " TQ 4 "}
    fill = {"pypdf": viewers.filled_by_pypdf, "pdfium": viewers.filled_by_pdfium}
    packet.write_bytes(fill[by](printed(), answers))
    returned = filled_packet(packet)
    assert returned.stamp == FRAME.stamp
    assert returned.written == {
        "E.3.set": "45 lbf·in",
        "F.1.reading": "121,4",
        "F.1.ok": "yes",
        "E.tool": "TQ 4",
    }


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (TextStringObject(""), ""),
        (TextStringObject("  "), ""),
        (NullObject(), ""),
        (NameObject("/240"), "240"),
        (FloatObject("239.5"), "239.5"),
        (ByteStringObject("0,3 Ω".encode("utf-16")), "0,3 Ω"),
        (ByteStringObject(b"\xfe\xff" + "0,3 Ω".encode("utf-16-be")), "0,3 Ω"),
        (ByteStringObject(b"\xef\xbb\xbf" + "0,3 Ω".encode()), "0,3 Ω"),
        (TextStringObject("121 V\r\nafter lunch"), "121 V after lunch"),
        (stream(b"121 V"), "121 V"),
    ],
    ids=str,
)
def test_a_text_is_read_in_every_shape_that_viewers_leave(
    packet: Path, value: Any, text: str
) -> None:
    packet.write_bytes(with_value("F.1.reading", V=value))
    assert filled_packet(packet).written.get("F.1.reading", "") == text


@pytest.mark.parametrize(
    ("keys", "ticked"),
    [
        ({"V": NameObject("/Yes"), "AS": NameObject("/Yes")}, True),
        ({"V": TextStringObject("Yes")}, True),
        ({"V": NullObject(), "AS": NameObject("/Yes")}, True),
        ({"V": NameObject("/On")}, True),
        ({"V": NameObject("/Off"), "AS": NameObject("/Off")}, False),
        ({"V": TextStringObject("")}, False),
    ],
    ids=str,
)
def test_a_tick_is_read_in_every_shape(packet: Path, keys: Mapping[str, Any], ticked: bool) -> None:
    packet.write_bytes(with_value("F.1.ok", **keys))
    assert ("F.1.ok" in filled_packet(packet).written) is ticked


def test_fields_of_others_are_left_alone(packet: Path) -> None:
    packet.write_bytes(
        with_value("F.1.reading", T=TextStringObject("Reviewer stamp"), V=TextStringObject("x"))
    )
    assert filled_packet(packet).written == {}


def test_a_flattened_packet_says_what_to_do(packet: Path) -> None:
    writer = PdfWriter(clone_from=io.BytesIO(printed()))
    for page in writer.pages:
        page.pop("/Annots", None)
    packet.write_bytes(written(writer))
    with pytest.raises(NotReadable, match="save a copy instead of printing"):
        filled_packet(packet)


def test_pages_and_values_of_two_packets_are_refused(packet: Path) -> None:
    other = attached({**VALUES, "stamp": "0000-00"})
    packet.write_bytes(render.pdf(FORMS, "letter", other))
    with pytest.raises(NotReadable, match=f"pages are of packet {FRAME.stamp}.*of packet 0000-00"):
        filled_packet(packet)


def test_without_values_the_code_at_the_foot_of_the_page_counts(packet: Path) -> None:
    packet.write_bytes(printed_without_files())
    returned = filled_packet(packet)
    assert (returned.stamp, returned.made) == (FRAME.stamp, None)


# ----------------------------------------------------------------------------------- files


def test_the_two_files_come_back_byte_by_byte(packet: Path) -> None:
    packet.write_bytes(printed())
    inside = files_inside(packet)
    assert (inside.job_name, inside.job) == ("job.yaml", JOB)
    assert json.loads(inside.values) == VALUES
    assert inside.made.tool == "0.1"


def test_files_that_a_viewer_added_are_left_alone(packet: Path) -> None:
    writer = PdfWriter(clone_from=io.BytesIO(printed()))
    writer.add_attachment("photo of the panel.jpg", b"\xff\xd8")
    packet.write_bytes(written(writer))
    assert files_inside(packet).job == JOB


def test_a_set_without_files_says_which_set_has_them(packet: Path) -> None:
    packet.write_bytes(printed_without_files())
    with pytest.raises(NotReadable, match="only the clipboard set does"):
        files_inside(packet)


GOOD = json.dumps(VALUES).encode()


@pytest.mark.parametrize(
    ("files", "message"),
    [
        (
            [("job.yaml", JOB), ("job.yaml", JOB), ("job-values.json", GOOD)],
            "are called `job.yaml`",
        ),
        ([("job.yaml", JOB), ("job-values.json", GOOD), ("a-values.json", GOOD)], "2 lists of"),
        ([("other.yaml", JOB), ("job-values.json", GOOD)], "not one job file beside it"),
        ([("../job.yaml", JOB), ("../job-values.json", GOOD)], "no file name"),
        ([("/etc/job.yaml", JOB), ("/etc/job-values.json", GOOD)], "no file name"),
        ([("C:\\job.yaml", JOB), ("C:\\job-values.json", GOOD)], "no file name"),
        ([(".job.yaml", JOB), (".job-values.json", GOOD)], "no file name"),
        ([("a\x1b[2J.yaml", JOB), ("a\x1b[2J-values.json", GOOD)], "no file name"),
        ([("job.yaml", JOB), ("job-values.json", b"{")], "list of values cannot be read"),
        ([("job.yaml", JOB), ("job-values.json", b"[" * 100_000)], "list of values cannot be read"),
        ([("job.yaml", JOB), ("job-values.json", b"\xff\xfe{}")], "list of values cannot be read"),
        ([("job.yaml", JOB), ("job-values.json", b'{"values": 3}')], "it is no list of values"),
        ([("job.yaml", JOB), ("job-values.json", b'[{"name": 3}]')], "a text is missing"),
        ([("job.yaml", bytes(5 * 2**20)), ("job-values.json", GOOD)], "larger than 4096 KiB"),
    ],
)
def test_files_that_are_not_ours_end_in_one_message(
    packet: Path, files: list[tuple[str, bytes]], message: str
) -> None:
    """A name with a path in it would be written where nobody asked; nothing here decides that."""
    packet.write_bytes(with_files(files))
    with pytest.raises(NotReadable) as caught:
        files_inside(packet)
    assert message in str(caught.value)
    assert str(caught.value).isprintable()
    assert len(str(caught.value)) < 220


def test_a_file_that_swells_when_it_is_unpacked_is_refused(packet: Path) -> None:
    """A few kilobytes that unpack to megabytes, and to more than the reader unpacks at all."""
    writer = PdfWriter()
    writer.add_blank_page(100, 100)
    writer.add_attachment("job.yaml", bytes(5 * 2**20))
    writer.add_attachment("job-values.json", GOOD)
    for place, thing in enumerate(writer._objects):
        if isinstance(thing, DecodedStreamObject):
            writer._objects[place] = thing.flate_encode(9)
    packet.write_bytes(written(writer))
    assert packet.stat().st_size < 2**16
    for most in (2**30, 2**20):
        with (
            apply_configuration(zlib_maximum_output_length=most),
            pytest.raises(NotReadable, match="larger than 4096 KiB"),
        ):
            files_inside(packet)


def locked() -> bytes:
    writer = PdfWriter(clone_from=io.BytesIO(printed()))
    writer.encrypt("secret", algorithm="RC4-128")
    return written(writer)


def looped() -> bytes:
    """Fields whose parents go round in a ring."""
    writer = PdfWriter(clone_from=io.BytesIO(printed()))
    for page in writer.pages:
        for one in page.get("/Annots", ()):
            one.get_object()["/Parent"].get_object()[NameObject("/Parent")] = one
    return written(writer)


BROKEN = {
    "no PDF": (lambda: b"work:\n  number: T-1\n", "it is no PDF"),
    "empty": (lambda: b"", "it is no PDF"),
    "head only": (lambda: b"%PDF-1.7\n", "damaged PDF, or only a part"),
    "first half": (lambda: printed()[: len(printed()) // 2], "damaged PDF, or only a part"),
    "nulled": (lambda: b"%PDF-1.7\n" + bytes(100_000), "damaged PDF, or only a part"),
    "locked": (locked, "locked with a password"),
    "looped": (looped, "nested without an end"),
}


@pytest.mark.parametrize("kind", BROKEN)
@pytest.mark.parametrize("read", [filled_packet, files_inside])
def test_what_is_no_whole_packet_ends_in_one_message(
    packet: Path, kind: str, read: Any, capfd: pytest.CaptureFixture[str]
) -> None:
    content, message = BROKEN[kind]
    packet.write_bytes(content())
    if kind == "looped" and read is files_inside:
        assert read(packet).job == JOB
        return
    with pytest.raises(NotReadable) as caught:
        read(packet)
    assert message in str(caught.value)
    assert capfd.readouterr() == ("", "")
    assert not logging.getLogger("pypdf").disabled


def test_a_file_that_is_not_there_or_too_large_is_not_opened(
    packet: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(NotReadable, match="no such file"):
        filled_packet(packet)
    with pytest.raises(NotReadable, match="no such file"):
        filled_packet(packet.parent)
    packet.write_bytes(printed())
    monkeypatch.setattr(pdf, "LARGEST_MIB", 0)
    with pytest.raises(NotReadable, match="larger than 0 MiB"):
        filled_packet(packet)


def test_reading_changes_nothing(packet: Path) -> None:
    packet.write_bytes(printed())
    filled_packet(packet)
    files_inside(packet)
    assert packet.read_bytes() == printed()
    assert [path.name for path in packet.parent.iterdir()] == [packet.name]
    assert len(PdfReader(packet).pages) > 1
