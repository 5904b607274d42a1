"""The whole loop on a demo: from the wish to the packet, filled in as by a viewer, to the record.

And what must not pass: one bad reading, one missing torque, a packet of another job, readings
that cannot be read; and a packet taken apart again.
"""

from __future__ import annotations

import gc
import io
import json
import re
import shutil
from collections.abc import Iterator, Mapping
from contextlib import redirect_stdout
from dataclasses import dataclass
from pathlib import Path

import pytest
from pypdf import PdfReader, PdfWriter

from packet import cli
from packet.asking import Answers
from packet.returned.pdf import files_inside, filled_packet
from packet.sheets.record import forms_set
from packet.sheets.sets import SETS
from packet.sheets.views import AsBuilt, Directory, RecordOfWork, SheetSet
from tests.pages import viewers
from tests.plans.test_record import good, row

JOBS = Path(__file__).parents[2] / "jobs"
NAME = "garage-receptacle"


OPTIONS = ("options.vehicle", "options.chargers")
"""What is compared here; the other options have tests of their own."""


@dataclass(frozen=True)
class Ahead:
    """What the commands before the work left in a folder, and what each of them said."""

    folder: Path
    said: Mapping[str, list[str]]


@pytest.fixture(scope="module")
def ahead(tmp_path_factory: pytest.TempPathFactory) -> Ahead:
    """From answers in a file to a printed packet, command by command, as a person would.

    Only sheets with blanks: the others change nothing here, and cost most of the time.
    """
    place = tmp_path_factory.mktemp("desk")
    job, wish = str(place / f"{NAME}.yaml"), place / "wish.yaml"
    lines = Answers.read(JOBS / f"{NAME}.yaml").lines()
    kept = [one for one in lines if one.startswith(OPTIONS) or not one.startswith("options")]
    fewer = ("options.materials: [copper]", "options.load_methods: [optional]")
    wish.write_text("\n".join([*kept, *fewer]), "utf-8")
    said: dict[str, list[str]] = {}
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("sys.stdin", io.StringIO())
        patch.setitem(SETS, "clipboard", forms_set)
        for command in (
            ["start", job, "--answers", str(wish)],
            ["check", job],
            ["options", job, "--out", str(place)],
            ["build", job, "--out", str(place)],
        ):
            told = io.StringIO()
            with redirect_stdout(told):
                assert cli.main(command) == 0, command
            said[command[0]] = told.getvalue().splitlines()
    gc.enable()
    return Ahead(place, said)


@pytest.fixture(scope="module")
def desk(ahead: Ahead) -> Path:
    return ahead.folder


def answers(blanks: Mapping[str, viewers.Field]) -> dict[str, str | bool]:
    """Return everything that a careful person fills in."""
    found: dict[str, str | bool] = {**good()}
    for name in blanks:
        if name.startswith("M.") and name.endswith((".built", ".by")):
            found[name] = "as planned" if name.endswith(".built") else "MO 09-20"
        elif name.startswith("E.") and name.endswith(".initials"):
            found[name] = "MO"
        elif name.startswith("F.") and name.endswith(".ok"):
            found[name] = True
    found |= {"E.tool": "TQ 4417", "F.tester": "Maren Oduya", "F.date": "2026-09-20"}
    return found | {"M.did.name": "Maren Oduya", "M.did.date": "2026-09-20"}


@pytest.fixture(scope="module")
def filled(desk: Path) -> Path:
    """The packet with every blank filled in, written by a program as a viewer would."""
    content = (desk / f"{NAME}-clipboard.pdf").read_bytes()
    path = desk / "filled.pdf"
    path.write_bytes(viewers.filled_by_pypdf(content, answers(viewers.fields(content))))
    return path


def changed(filled: Path, **changes: str) -> Path:
    """Return a copy of the filled packet with other texts in some fields."""
    writer = PdfWriter(clone_from=filled)
    values = {row(name.replace("_", "-")) if "." not in name else name: text
              for name, text in changes.items()}  # fmt: skip
    for page in writer.pages:
        if "/Annots" in page:
            writer.update_page_form_field_values(page, values, auto_regenerate=False)
    path = filled.with_name("changed.pdf")
    with path.open("wb") as file:
        writer.write(file)
    return path


def as_yaml(filled: Path, **changes: str) -> str:
    """Return what is written in a filled packet as a file of readings."""
    returned = filled_packet(filled)
    written = {**returned.written, **changes}
    lines = [f"{name}: {json.dumps(text)}" for name, text in written.items() if text]
    return "\n".join([f"values: {returned.stamp}", *lines, ""])


def on_paper(filled: Path, **changes: str) -> Path:
    """Return a file of readings like the filled packet, with other texts in some fields."""
    named = {name if "." in name else row(name.replace("_", "-")): text
             for name, text in changes.items()}  # fmt: skip
    path = filled.with_name("changed.yaml")
    path.write_text(as_yaml(filled, **named))
    return path


@pytest.fixture
def sheets(monkeypatch: pytest.MonkeyPatch) -> Iterator[list[SheetSet]]:
    """Keep the sheets of a record in place of printing them."""
    made: list[SheetSet] = []

    def pdf(one: SheetSet, *_: object) -> bytes:
        made.append(one)
        return b"pages"

    monkeypatch.setattr("packet.render.pdf", pdf)
    yield made
    gc.enable()


def run(desk: Path, filled: Path, *more: str) -> int:
    return cli.main(["record", str(desk / f"{NAME}.yaml"), str(filled), "--out", str(desk), *more])


# -------------------------------------------------------------------------------- the whole loop


def test_from_the_wish_to_the_record_and_back(
    ahead: Ahead, filled: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    desk, said = ahead.folder, ahead.said
    assert said["start"] == [str(desk / f"{NAME}.yaml")]
    assert said["check"][-1] == "READY TO START"
    assert any(
        line.endswith("nothing: it is the job file as it stands") for line in said["options"]
    )
    assert said["options"][-1] == str(desk / f"{NAME}-options.pdf")
    assert said["build"] == [str(desk / f"{NAME}-clipboard.pdf")]
    before = filled.read_bytes()
    assert run(desk, filled) == 0
    target = desk / f"{NAME}-as-built.pdf"
    assert capsys.readouterr().out.splitlines() == ["COMPLETE", str(target)]
    assert filled.read_bytes() == before, "the original was changed"
    reader = PdfReader(target)
    texts = [" ".join(page.extract_text().split()) for page in reader.pages]
    text = " ".join(texts)
    for words in (
        "Record of the work",
        "COMPLETE",
        "9 of 9 terminals as required",
        "28 of 28 in their band",
        "Panel directory, as it stands",
        "50 A Charging receptacle in the attached garage",
        "As-built record",
        "MO 09-20",
        "Maren Oduya",
    ):
        assert words in text, words
    assert "NEW" not in text
    assert not reader.get_fields(), "a record is not filled in again"
    kept = reader.attachments
    assert kept[f"{NAME}.yaml"] == [(desk / f"{NAME}.yaml").read_bytes()]
    again = desk / "again.yaml"
    again.write_bytes(kept[f"{NAME}-readings.yaml"][0])
    assert run(desk, again) == 0, "what travels in the record is what was recorded"
    capsys.readouterr()
    assert cli.main(["reopen", str(filled), "--out", str(desk)]) == 0
    assert capsys.readouterr().out.splitlines()[-1].startswith("nothing differs; ")


def test_the_record_has_the_sheets_that_are_kept(
    desk: Path, filled: Path, sheets: list[SheetSet]
) -> None:
    assert run(desk, filled) == 0
    (made,) = sheets
    assert made.letters == "RJM"
    record, directory, built = made.sheets
    assert isinstance(record, RecordOfWork)
    assert isinstance(directory, Directory)
    assert isinstance(built, AsBuilt)
    assert not any(device.new for device in directory.devices)
    assert all(row.before == row.after for row in (*directory.left, *directory.right))
    assert directory.dated == "2026-09-20"
    assert made.answers is not None
    assert made.answers["M.circuit.breaker.built"] == "as planned"
    assert record.missing == record.outside == record.faults == ()
    values = {fact.label: fact.value for fact in record.evidence}
    assert values["Fall of the voltage under load"] == "2.3\u00a0V"
    assert "NBSIR\u00a076-1011\u00a01976 abstract" in record.evidence_says[-1]


# ------------------------------------------------------------------------- what must not pass


def test_one_bad_reading_is_outside_with_what_sheet_f_says_to_do(
    desk: Path, filled: Path, sheets: list[SheetSet], capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(desk, changed(filled, live_l1_l2="221 V")) == 3
    (made,) = sheets
    record = made.sheets[0]
    assert isinstance(record, RecordOfWork)
    assert record.verdict == "do_not_use"
    first = record.outside[0]
    assert first.number == row("live-l1-l2").replace("F.", "F-").removesuffix(".reading")
    assert first.says == "read 221 V, expect 228 to 252\u00a0V"
    assert "Switch the new breaker off" in first.action
    assert first.rule.startswith("Stop rule 2: ")
    said = capsys.readouterr().out
    assert f"{first.number}: outside: " in said
    assert first.rule in said
    assert said.splitlines()[-2] == "DO NOT USE"


def test_one_missing_torque_is_named(
    desk: Path, filled: Path, sheets: list[SheetSet], capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(desk, changed(filled, **{"E.3.set": ""})) == 3
    record = sheets[0].sheets[0]
    assert isinstance(record, RecordOfWork)
    assert record.verdict == "not_complete"
    assert record.outside == ()
    (line,) = record.missing
    assert line.startswith("E-3, ")
    assert f"missing: {line}" in capsys.readouterr().out


def test_a_blank_of_the_record_itself_is_named_by_what_it_is_for(
    desk: Path, filled: Path, sheets: list[SheetSet]
) -> None:
    blanks = {"M.circuit.breaker.built": "", "F.tester": "", "M.circuit.spaces.by": ""}
    assert run(desk, on_paper(filled, **blanks)) == 3
    record = sheets[0].sheets[0]
    assert isinstance(record, RecordOfWork)
    assert len(record.missing) == 3
    assert any(line.startswith("M-1, New breaker: as built") for line in record.missing)
    assert any(line.startswith("M-2, ") and "initials" in line for line in record.missing)


@pytest.mark.parametrize(("text", "told"), [("19 and 21", 0), ("23, 25", 1), ("as planned", 0)])
def test_a_breaker_in_other_spaces_is_told_beside_the_card(
    desk: Path, filled: Path, sheets: list[SheetSet], text: str, told: int
) -> None:
    """A directory card that names the wrong space has someone open a live circuit."""
    assert run(desk, on_paper(filled, **{"M.circuit.spaces.built": text})) == 0
    record = sheets[0].sheets[0]
    assert isinstance(record, RecordOfWork)
    found = [line for line in record.counts if "Correct the card by hand" in line]
    assert len(found) == told
    assert all("`23, 25`" in line and "19, 21" in line for line in found)


def test_a_likely_fault_is_printed_with_its_source(
    desk: Path, filled: Path, sheets: list[SheetSet], capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(desk, on_paper(filled, apart_n_g="0.2 ohm")) == 3
    record = sheets[0].sheets[0]
    assert isinstance(record, RecordOfWork)
    (fault,) = record.faults
    assert "joined past the panel" in fault.name
    assert "EC&M" in fault.source
    assert "likely: " in capsys.readouterr().out


def test_a_job_that_falls_short_today_has_nothing_to_record(
    desk: Path, filled: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for returned in (filled, on_paper(filled)):
        job = str(JOBS / "full-service.yaml")
        assert cli.main(["record", job, str(returned), "--out", str(desk)]) == 3
        assert "comes out DO NOT START today" in capsys.readouterr().err
    assert not (desk / "full-service-as-built.pdf").exists()


def test_an_unexplained_resistance_is_outside_though_every_band_lets_it_pass(
    desk: Path, filled: Path, sheets: list[SheetSet]
) -> None:
    bad = on_paper(filled, load_current="10 A", loaded_l1_l2="238.8", voltage_fall="2.4")
    assert run(desk, bad) == 3
    record = sheets[0].sheets[0]
    assert isinstance(record, RecordOfWork)
    assert record.verdict == "do_not_use"
    (one,) = record.outside
    assert "bad connection" in one.says


def test_a_packet_of_another_day_is_refused_with_the_values_that_differ(
    desk: Path, filled: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = tmp_path / f"{NAME}.yaml"
    text = (desk / f"{NAME}.yaml").read_text()
    job.write_text(text.replace("length: 29 ft", "length: 33 ft"))
    assert cli.main(["record", str(job), str(filled), "--out", str(tmp_path)]) == 1
    said = capsys.readouterr().err
    assert "nothing was recorded" in said
    assert "route.1.length: 29\u00a0ft then, 33\u00a0ft now" in said
    assert "more" in said
    assert [path.name for path in tmp_path.iterdir()] == [job.name]
    readings = tmp_path / "readings.yaml"
    readings.write_text(as_yaml(filled))
    assert cli.main(["record", str(job), str(readings), "--out", str(tmp_path)]) == 1
    assert "no values came with the sheets" in capsys.readouterr().err


def test_a_packet_with_other_rows_is_refused(
    desk: Path, filled: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """An earlier version may have had the same values and another row between two others."""
    monkeypatch.setattr("packet.showing.stamp", lambda _: "0000-00")
    assert run(desk, filled) == 1
    said = capsys.readouterr().err
    assert "gives packet 0000-00 today; nothing was recorded" in said
    assert "the rows of its sheets stand otherwise" in said


def test_the_example_in_the_readme_can_be_read(
    desk: Path, filled: Path, sheets: list[SheetSet], tmp_path: Path
) -> None:
    """Its check code is of no packet; with the one of this packet it is recorded."""
    text = (JOBS.parent / "README.md").read_text("utf-8")
    (example,) = re.findall(r"```yaml\n(values: .*?)```", text, re.DOTALL)
    path = tmp_path / "readings.yaml"
    code = filled_packet(filled).stamp
    path.write_text(re.sub(r"values: \S+", f"values: {code}", example))
    assert run(desk, path) == 3
    record = sheets[0].sheets[0]
    assert isinstance(record, RecordOfWork)
    assert record.outside == ()
    assert record.readings[0].good
    assert record.torques[0].good


def test_a_packet_of_another_job_is_refused(
    desk: Path, filled: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    job = str(JOBS / "cellar-subpanel.yaml")
    assert cli.main(["record", job, str(filled), "--out", str(desk)]) == 1
    assert "work.title: Charging receptacle in the attached garage then," in capsys.readouterr().err
    assert not (desk / "cellar-subpanel-as-built.pdf").exists()


def test_readings_on_paper_give_the_same_record(
    desk: Path, filled: Path, sheets: list[SheetSet], tmp_path: Path
) -> None:
    path = tmp_path / "readings.yaml"
    path.write_text(as_yaml(filled))
    assert run(desk, path) == 0
    assert run(desk, filled) == 0
    assert sheets[0] == sheets[1]


def test_readings_that_cannot_be_read_are_told_with_their_place(
    desk: Path, filled: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "readings.yaml"
    path.write_text(as_yaml(filled, **{row("live-l1-l2"): "about 240"}))
    assert run(desk, path) == 1
    said = capsys.readouterr().err
    assert f"{path}:" in said
    assert "error[R020]" in said
    assert "1 problem" in said


@pytest.mark.parametrize("name", [f"{NAME}-clipboard.pdf", "filled.pdf"])
def test_an_empty_packet_is_not_complete_and_the_original_never_written_over(
    desk: Path, filled: Path, sheets: list[SheetSet], name: str, tmp_path: Path
) -> None:
    if name == "filled.pdf":  # the name of the record itself, in the folder it goes to
        target = tmp_path / f"{NAME}-as-built.pdf"
        shutil.copy(filled, target)
        before = target.read_bytes()
        job = str(desk / f"{NAME}.yaml")
        assert cli.main(["record", job, str(target), "--out", str(tmp_path)]) == 2
        assert target.read_bytes() == before
    else:
        assert run(desk, desk / name) == 3
        record = sheets[0].sheets[0]
        assert isinstance(record, RecordOfWork)
        assert record.verdict == "not_complete"
        assert len(record.missing) > 60
        assert not any("initials" in line for line in record.missing)


def test_a_record_that_cannot_be_written_leaves_nothing(
    desk: Path, filled: Path, sheets: list[SheetSet], tmp_path: Path
) -> None:
    (tmp_path / f"{NAME}-as-built.pdf").mkdir()
    job = str(desk / f"{NAME}.yaml")
    assert cli.main(["record", job, str(filled), "--out", str(tmp_path)]) == 2
    assert [path.name for path in tmp_path.iterdir()] == [f"{NAME}-as-built.pdf"]
    assert len(sheets) == 1


def test_a_pdf_that_is_no_packet_is_said_in_one_line(
    desk: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    stranger = tmp_path / "letter.pdf"
    writer = PdfWriter()
    writer.add_blank_page(100, 100)
    with stranger.open("wb") as file:
        writer.write(file)
    for command in (["record", str(desk / f"{NAME}.yaml")], ["reopen"]):
        assert cli.main([*command, str(stranger), "--out", str(tmp_path)]) == 1
        said = capsys.readouterr().err
        assert said.startswith(f"packet: `{stranger}`: it ")
        assert len(said.splitlines()) == 1
    assert [path.name for path in tmp_path.iterdir()] == [stranger.name]


# ------------------------------------------------------------------------------------- reopen


def test_a_packet_gives_back_its_job_file_byte_by_byte(
    desk: Path, filled: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main(["reopen", str(filled), "--out", str(tmp_path)]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[:2] == [str(tmp_path / f"{NAME}.yaml"), str(tmp_path / f"{NAME}-values.json")]
    assert lines[2].startswith("nothing differs; built today it would again be packet ")
    assert (tmp_path / f"{NAME}.yaml").read_bytes() == (desk / f"{NAME}.yaml").read_bytes()
    assert cli.main(["values", str(tmp_path / f"{NAME}.yaml"), "--json"]) == 0
    assert (tmp_path / f"{NAME}-values.json").read_text() == capsys.readouterr().out


def test_nothing_is_written_over_unless_it_is_asked_for(
    filled: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    mine = tmp_path / f"{NAME}.yaml"
    mine.write_text("# my own, changed since\n")
    assert cli.main(["reopen", str(filled), "--out", str(tmp_path)]) == 2
    assert "--replace" in capsys.readouterr().err
    assert mine.read_text() == "# my own, changed since\n"
    assert [path.name for path in tmp_path.iterdir()] == [mine.name]
    assert cli.main(["reopen", str(filled), "--out", str(tmp_path), "--replace"]) == 0
    assert cli.main(["reopen", str(filled), "--out", str(tmp_path)]) == 0, "the same is no loss"
    mine.unlink()
    mine.symlink_to(tmp_path / f"{NAME}-values.json")
    assert cli.main(["reopen", str(filled), "--out", str(tmp_path)]) == 2


def older(filled: Path) -> bytes:
    """Return a packet that another version printed, with another price and another figure."""
    inside = files_inside(filled)
    whole = json.loads(inside.values)
    whole |= {"tool": "0.0.1", "code_book": "00000000", "stamp": "0000-00"}
    for line in whole["values"]:
        if line["name"] == "voltage_drop":
            line["value"] = "9.9\u00a0V"
    writer = PdfWriter()
    writer.add_blank_page(100, 100)
    writer.add_attachment(inside.job_name, inside.job)
    writer.add_attachment(inside.values_name, json.dumps(whole).encode())
    stream = io.BytesIO()
    writer.write(stream)
    return stream.getvalue()


def test_what_would_differ_today_is_told(
    filled: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "older.pdf"
    path.write_bytes(older(filled))
    assert cli.main(["reopen", str(path), "--out", str(tmp_path)]) == 0
    lines = capsys.readouterr().out.splitlines()[2:]
    assert lines[0].startswith("tool: 0.0.1 then, ")
    assert lines[1].startswith("figures of the code book: 00000000 then, ")
    assert lines[2].startswith("voltage_drop: 9.9\u00a0V then, 1.58\u00a0V now")
    assert lines[3].startswith("1 value or verdict differs; built today it would be packet ")


def test_a_job_file_that_is_not_read_today_is_given_back_with_its_faults(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    writer = PdfWriter()
    writer.add_blank_page(100, 100)
    writer.add_attachment("job.yaml", b"work: {number: T-1}\n")
    writer.add_attachment("job-values.json", b"[]")
    path = tmp_path / "strange.pdf"
    with path.open("wb") as file:
        writer.write(file)
    assert cli.main(["reopen", str(path), "--out", str(tmp_path)]) == 1
    assert (tmp_path / "job.yaml").read_text() == "work: {number: T-1}\n"
    assert "error[J012]" in capsys.readouterr().err
