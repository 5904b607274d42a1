"""Every message for a faulty job file, word for word."""

from __future__ import annotations

import importlib
import os
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from packet.jobfile import JobFaults, load_job
from packet.jobfile import faults as faults_module
from packet.jobfile.faults import Faults, wordings
from packet.problems import Problem, Span

reading = importlib.import_module("packet.jobfile.read")
HERE = Path(__file__).parent
EXPECTED = sorted(HERE.glob("bad_*.expected"))


@pytest.fixture(autouse=True)
def _beside_the_files(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(HERE)


def message(name: str) -> str:
    with pytest.raises(JobFaults) as caught:
        load_job(name)
    return str(caught.value)


@pytest.mark.parametrize("expected", EXPECTED, ids=lambda path: path.stem)
def test_the_whole_message(expected: Path) -> None:
    """A message that lost its line or its advice leaves the reader alone with the file."""
    assert message(f"{expected.stem}.yaml") + "\n" == expected.read_text("utf-8")


def test_every_bad_file_has_its_message() -> None:
    files = {path.stem for path in HERE.glob("bad_*.yaml")}
    assert files == {path.stem for path in EXPECTED} - {"bad_missing_file"}


def test_the_base_of_the_bad_files_is_good() -> None:
    """Each bad file is this one made wrong; were it bad itself, they would prove little."""
    assert load_job("good_base.yaml").work.number.value == "T-1"


def test_a_file_too_large_is_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    limit = 256 * 1024
    good = (HERE / "good_base.yaml").read_text("utf-8")
    Path("job.yaml").write_text(good + "#" * (limit - len(good)))
    assert load_job("job.yaml").work.number.value == "T-1"
    Path("job.yaml").write_text(good + "#" * (limit - len(good) + 1))
    assert message("job.yaml") == (
        "job.yaml:1:1: error[Y002]: the file is larger than 256 KiB\n"
        "  = help: a job file is a few pages of text; this is probably another file\n\n"
        "1 problem; nothing was printed"
    )


def test_a_folder_is_no_job_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    Path("folder").mkdir()
    assert "folder:1:1: error[Y001]: cannot read the file: it is not a file" in message("folder")


def test_links_and_what_is_no_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A pipe would be waited for, and a device read without end."""
    monkeypatch.chdir(tmp_path)
    Path("job.yaml").symlink_to(HERE / "good_base.yaml")
    assert load_job("job.yaml").work.number.value == "T-1"
    os.mkfifo("pipe.yaml")
    Path("device.yaml").symlink_to("/dev/zero")
    Path("folder.yaml").symlink_to(tmp_path)
    for name in ("pipe.yaml", "device.yaml", "folder.yaml"):
        assert f"{name}:1:1: error[Y001]: cannot read the file: it is not a file" in message(name)
    Path("nowhere.yaml").symlink_to("no-such-file")
    Path("round.yaml").symlink_to("round.yaml")
    for name in ("nowhere.yaml", "round.yaml"):
        assert f"{name}:1:1: error[Y001]: cannot read the file: " in message(name)


@pytest.mark.parametrize("name", ["a\0b.yaml", "x" * 300, "", ".", "con/..", "no/such/../x"])
def test_names_that_no_file_can_have(name: str) -> None:
    assert "error[Y001]" in message(name)


def test_every_sentence_for_what_the_parser_says_is_shown(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Each row turns another complaint of the parser into our own words."""
    heard: list[tuple[str, str]] = []
    advice = reading._advice

    def watched(said: str, context: str) -> tuple[str, str, bool]:
        heard.append((said, context))
        return advice(said, context)

    monkeypatch.setattr(reading, "_advice", watched)
    for path in EXPECTED:
        message(f"{path.stem}.yaml")
    rows = [
        next((row for row in reading._SAID if row[0] in said and row[1] in context), None)
        for said, context in heard
    ]
    assert [row for row in reading._SAID if row not in rows] == []


def test_a_report_without_end_is_cut(tmp_path: Path) -> None:
    file = tmp_path / "job.yaml"
    file.write_text("\ta\n" * 101)
    report = message(str(file))
    assert report.count("error[Y004]") == 100
    assert report.endswith("101 problems, of which these are the first 100; nothing was printed")


def test_every_fault_and_every_advice_is_shown_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A wording that no file brings out has never been read by anyone."""
    shown: set[tuple[str, str]] = set()
    add = Faults.add

    def watched(self: Faults, code: str, span: Span, case: str = "", **words: object) -> None:
        shown.add((code, case))
        add(self, code, span, case, **words)

    monkeypatch.setattr(faults_module.Faults, "add", watched)
    large = tmp_path / "large.yaml"
    large.write_text("#" * 300_000)
    for name in [*(f"{path.stem}.yaml" for path in EXPECTED), str(large)]:
        message(name)
    shown |= {(code, "") for code in OF_ANSWERS}
    assert shown == {one for one in advised() if one[0][0] in "YJ"}


OF_ANSWERS = {"J060", "J061"}
"""Faults of a file of answers alone; `tests/asking/test_answers.py` brings each out."""


def advised() -> Iterator[tuple[str, str]]:
    for code, wording in wordings().items():
        cases = wording.get("help", "")
        for case in cases if isinstance(cases, dict) else [""]:
            yield code, case


@pytest.mark.parametrize("code", sorted(wordings()))
def test_messages_keep_their_style(code: str) -> None:
    """Lower case, no full stop, codes of two letters: what every message promises."""
    assert re.fullmatch(r"[YJR][0-9]{3}", code)
    wording = wordings()[code]
    advice = wording.get("help", "")
    for text in [wording["error"], *(advice.values() if isinstance(advice, dict) else [advice])]:
        assert not text.endswith(".")
        assert text[0] in "`{" or text[0].islower() or text.startswith("UTF")


def test_problems_are_in_the_order_of_the_file() -> None:
    lines = re.findall(r"^bad_\w+\.yaml:(\d+):(\d+)", message("bad_quantities.yaml"), re.MULTILINE)
    places = [(int(line), int(column)) for line, column in lines]
    assert len(places) == 9
    assert places == sorted(places)


def test_nothing_a_person_typed_reaches_the_terminal_raw() -> None:
    """An escape sequence in a file name or a line would move the cursor of whoever reads it."""
    problem = Problem("J010", Span("a\x1b[2Jb", 1, 1), "wrong", "", "x: \x07\x1b[31m")
    assert all(character.isprintable() or character == "\n" for character in str(problem))
