"""What stands in the folder already: left alone, replaced, or protected."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest
from pypdf import PdfReader, PdfWriter

from packet import cli, mark
from packet.printing import Settings, print_job

ROOT = Path(__file__).parents[2]
JOB = ROOT / "jobs" / "full-service.yaml"
NAME = "full-service-client.pdf"


@pytest.fixture(scope="module")
def content(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The client set of a job that is not to start: two pages."""
    folder = tmp_path_factory.mktemp("printed")
    (path,) = print_job(JOB, Settings(folder, ("client",))).files
    return path.read_bytes()


def build(folder: Path, job: Path = JOB, *options: str) -> int:
    return cli.main(["build", str(job), "--for", "client", "--out", str(folder), *options])


def changed(folder: Path, before: str, after: str) -> Path:
    """Return a copy of the job with one text changed."""
    text = JOB.read_text()
    assert before in text
    job = folder / JOB.name
    job.write_text(text.replace(before, after, 1))
    return job


@pytest.fixture
def out(tmp_path: Path, content: bytes) -> Path:
    """A folder with the finished set in it."""
    folder = tmp_path / "out"
    folder.mkdir()
    (folder / NAME).write_bytes(content)
    return folder


@pytest.fixture
def _no_renderer(monkeypatch: pytest.MonkeyPatch) -> None:
    def pdf(*_: object) -> bytes:
        raise AssertionError("printed without need")

    monkeypatch.setattr("packet.printing._pdf", pdf)


@pytest.mark.usefixtures("_no_renderer")
def test_what_was_printed_from_the_same_is_not_printed_again(
    out: Path, content: bytes, capsys: pytest.CaptureFixture[str]
) -> None:
    assert build(out) == 3
    assert capsys.readouterr().out.splitlines() == [str(out / NAME)]
    assert (out / NAME).read_bytes() == content


@pytest.mark.usefixtures("_no_renderer")
def test_an_edit_that_no_sheet_of_the_set_shows_prints_nothing(out: Path, tmp_path: Path) -> None:
    job = changed(tmp_path, "work:", "# a note to myself\nwork:")
    assert build(out, job) == 3


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("PEN-0057", "PEN-0058"),
        ("written: 2026-03-02", "written: 2026-03-03"),
    ],
)
def test_an_edit_that_the_set_shows_prints_it_again(
    out: Path, tmp_path: Path, content: bytes, before: str, after: str
) -> None:
    job = changed(tmp_path, before, after)
    assert build(out, job) == 3
    assert (out / NAME).read_bytes() != content


def test_printed_again_by_wish_it_has_the_same_bytes(out: Path, content: bytes) -> None:
    (out / NAME).write_bytes(b"")
    assert build(out, JOB, "--replace") == 3
    assert (out / NAME).read_bytes() == content


def test_any_process_anywhere_prints_the_same_bytes(tmp_path: Path, content: bytes) -> None:
    """Other folder, user, language, time zone and hash seed; the date is that of the job."""
    environment = {
        "HOME": str(tmp_path),
        "LANG": "tr_TR.UTF-8",
        "LC_ALL": "C.UTF-8",
        "LOGNAME": "nobody",
        "PATH": os.environ["PATH"],
        "PYTHONHASHSEED": "4711",
        "PYTHONPATH": str(ROOT),
        "SOURCE_DATE_EPOCH": "86400",
        "TZ": "Pacific/Kiritimati",
        "USER": "nobody",
    }
    job = tmp_path / JOB.name
    job.write_bytes(JOB.read_bytes())
    command = [sys.executable, "-m", "packet", "build", job.name, "--for", "client"]
    done = subprocess.run(  # noqa: S603
        command, cwd=tmp_path, env=environment, capture_output=True, text=True, check=False
    )
    assert (done.returncode, done.stdout, done.stderr) == (3, f"{NAME}\n", "")
    assert (tmp_path / NAME).read_bytes() == content


def filled_in(content: bytes) -> bytes:
    """What a viewer makes of a file that it saves: the old bytes and more behind them."""
    writer = PdfWriter(io.BytesIO(content), incremental=True)
    writer.add_metadata({"/Note": "typed by hand"})
    saved = io.BytesIO()
    writer.write(saved)
    return saved.getvalue()


@pytest.mark.usefixtures("_no_renderer")
@pytest.mark.parametrize("how", ["filled in", "cut off", "one byte", "another file", "empty"])
def test_a_file_that_is_not_as_printed_stays(
    out: Path, content: bytes, capsys: pytest.CaptureFixture[str], how: str
) -> None:
    """A filled-in test form exists once; no build may take it away."""
    there = {
        "filled in": filled_in(content),
        "cut off": content[:-100],
        "one byte": content[:500] + bytes([content[500] ^ 1]) + content[501:],
        "another file": b"my notes",
        "empty": b"",
    }[how]
    (out / NAME).write_bytes(there)
    assert build(out) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err == (
        f"packet: `{out / NAME}` was not replaced: it is not as this tool printed it (filled in"
        " on screen, or another file)\n"
        "packet: move it, name another folder with --out, or say --replace\n"
    )
    assert (out / NAME).read_bytes() == there


@pytest.mark.usefixtures("_no_renderer")
def test_a_packet_of_a_later_date_stays(
    out: Path, tmp_path: Path, content: bytes, capsys: pytest.CaptureFixture[str]
) -> None:
    job = changed(tmp_path, "written: 2026-03-02", "written: 2026-03-01")
    assert build(out, job) == 2
    assert (
        f"packet: `{out / NAME}` was not replaced: it is newer, issued 2026-03-02 by packet"
        in capsys.readouterr().err
    )
    assert (out / NAME).read_bytes() == content


@pytest.mark.usefixtures("_no_renderer")
def test_a_packet_of_a_later_version_of_the_tool_stays(
    out: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, content: bytes
) -> None:
    monkeypatch.setattr("packet.printing.__version__", "0.0.9")
    assert build(out, changed(tmp_path, "PEN-0057", "PEN-0058")) == 2
    assert (out / NAME).read_bytes() == content


@pytest.mark.usefixtures("_no_renderer")
def test_something_that_is_no_file_stays(out: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (out / NAME).unlink()
    (out / NAME).mkdir()
    assert build(out) == 2
    said = capsys.readouterr().err
    assert f"something that is no file has this name (`{out / NAME}`)" in said
    assert "what was there stands as it was" in said


def test_the_mark_is_in_the_file_identifiers_and_readers_see_it(content: bytes) -> None:
    first, second = PdfReader(io.BytesIO(content)).trailer["/ID"]
    assert first.original_bytes.hex() == mark.made_from(content)
    assert len(second.original_bytes) == 32


def test_a_packet_names_what_it_was_made_with(content: bytes) -> None:
    from packet import __version__
    from packet.versions import code_book

    reader = PdfReader(io.BytesIO(content))
    made = f"packet {__version__}, code book {code_book()}, NEC 2017"
    assert reader.metadata is not None
    assert reader.metadata.creator == made
    last = reader.pages[-1].extract_text().replace("\u00a0", " ")
    assert made.replace(", ", " · ") in " ".join(last.split())
    assert mark.issue(content) == ("2026-03-02", __version__)


def test_what_ends_otherwise_cannot_be_marked() -> None:
    with pytest.raises(ValueError, match="cross-reference stream"):
        mark.signed(b"%PDF-1.4\nxref\ntrailer\nstartxref\n9\n%%EOF\n", "0" * 64)
