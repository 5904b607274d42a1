"""The commands as a person types them: what they print, where, and how they end."""

from __future__ import annotations

import json
import re
import stat
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from packet import cli
from packet.ledger import Verdict

ROOT = Path(__file__).parents[2]
JOBS = ROOT / "jobs"


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(  # noqa: S603 - our own command
        [sys.executable, "-m", "packet", *arguments],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize(
    ("job", "status", "verdict"),
    [
        ("garage-receptacle", 0, "READY TO START"),
        ("cellar-subpanel", 0, "READY, IF ..."),
        ("full-service", 3, "DO NOT START"),
    ],
)
def test_check_ends_as_the_verdict_says(
    job: str, status: int, verdict: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main(["check", str(JOBS / f"{job}.yaml")]) == status
    lines = capsys.readouterr().out.splitlines()
    assert lines[-1] == verdict
    assert any(line.startswith("    source: ") for line in lines)


def test_a_faulty_job_file_is_reported_whole_and_without_a_trace() -> None:
    done = run("check", "tests/errors/bad_unknown_keys.yaml")
    assert done.returncode == 1
    assert done.stdout == ""
    assert "tests/errors/bad_unknown_keys.yaml:" in done.stderr
    assert "nothing was printed" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize(
    "arguments",
    [
        (),
        ("print",),
        ("check",),
        ("build", "x", "--paper", "a5"),
        ("build", "x", "--for", "me"),
        ("build", "x", "--print", "huge"),
    ],
)
def test_a_wrong_command_ends_with_two(arguments: tuple[str, ...]) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert "usage: packet" in done.stderr


def test_a_file_that_is_not_there_is_a_fault_of_the_job() -> None:
    done = run("check", "jobs/no-such-job.yaml")
    assert done.returncode == 1
    assert "jobs/no-such-job.yaml" in done.stderr
    assert "Traceback" not in done.stderr


def test_values_as_json_hold_every_entry_with_its_inputs(
    capsys: pytest.CaptureFixture[str],
) -> None:
    cli.main(["values", str(JOBS / "garage-receptacle.yaml"), "--json"])
    whole = json.loads(capsys.readouterr().out)
    values = {line["name"]: line for line in whole.pop("values")}
    assert whole["edition"] == "2023"
    assert re.fullmatch(r"[0-9A-F]{4}-[0-9A-F]{4}", whole["code_book"])
    assert re.fullmatch(r"[0-9A-F]{4}-[0-9A-F]{2}", whole["stamp"])
    assert set(whole["checks"].values()) <= {one.value for one in Verdict}
    rating = values["minimum_overcurrent_rating"]
    assert rating["value"] == "50\u00a0A"
    assert rating["formula"] == "k_c × I_c + I_n"
    assert rating["inputs"]["I_c"] == "continuous_load"
    for line in values.values():
        assert set(line["inputs"].values()) <= values.keys(), line["name"]


def test_why_walks_back_to_the_job_file(capsys: pytest.CaptureFixture[str]) -> None:
    assert cli.main(["why", str(JOBS / "garage-receptacle.yaml"), "overcurrent_rating"]) == 0
    text = capsys.readouterr().out
    assert "charging.nameplate" in text
    assert "garage-receptacle.yaml:" in text
    assert "NEC 2023" in text.replace("\u00a0", " ")


def test_why_suggests_a_near_name(capsys: pytest.CaptureFixture[str]) -> None:
    job = str(JOBS / "garage-receptacle.yaml")
    assert cli.main(["why", job, "overcurent_rating"]) == 2
    assert "did you mean `overcurrent_rating`" in capsys.readouterr().err


def test_build_prints_the_name_of_what_it_wrote_and_puts_in_what_it_was_made_from(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    done = run("build", "jobs/full-service.yaml", "--out", str(tmp_path / "new" / "folder"))
    written = tmp_path / "new" / "folder" / "full-service-clipboard.pdf"
    assert done.returncode == 3
    assert done.stdout.strip() == str(written)
    assert written.read_bytes().startswith(b"%PDF")
    assert [path.name for path in written.parent.iterdir()] == [written.name]
    cli.main(["values", str(JOBS / "full-service.yaml"), "--json"])
    assert {name: content for name, (content,) in PdfReader(written).attachments.items()} == {
        "full-service.yaml": (JOBS / "full-service.yaml").read_bytes(),
        "full-service-values.json": capsys.readouterr().out.encode(),
    }


@pytest.fixture
def _printing_names_only(monkeypatch: pytest.MonkeyPatch) -> None:
    """Print the reader and the letters of a set in place of its pages."""
    monkeypatch.setattr(
        "packet.printing._pdf",
        lambda one: (
            f"{one.sheets.reader} {one.sheets.letters} {one.settings.paper} {len(one.attached)}"
            f" {one.settings.print_size}".encode()
        ),
    )


@pytest.mark.usefixtures("_printing_names_only")
@pytest.mark.parametrize(
    ("arguments", "files"),
    [
        ((), {"clipboard": "ABCDEFGHJKLM letter 2 regular"}),
        (("--for", "clipboard"), {"clipboard": "ABCDEFGHJKLM letter 2 regular"}),
        (("--for", "client"), {"client": "S letter 0 regular"}),
        (("--for", "permit", "--paper", "a4"), {"permit": "PHKL a4 0 regular"}),
        (
            ("--for", "all"),
            {
                "clipboard": "ABCDEFGHJKLM letter 2 regular",
                "client": "S letter 0 regular",
                "permit": "PHKL letter 0 regular",
            },
        ),
    ],
)
def test_build_prints_for_whom_it_is_told(
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    arguments: tuple[str, ...],
    files: dict[str, str],
) -> None:
    job = str(JOBS / "garage-receptacle.yaml")
    assert cli.main(["build", job, "--out", str(tmp_path), "--processes", "1", *arguments]) == 0
    written = {path.name: path.read_text() for path in tmp_path.iterdir()}
    assert written == {
        f"garage-receptacle-{reader}.pdf": f"{reader} {rest}" for reader, rest in files.items()
    }
    said = capsys.readouterr().out.splitlines()
    assert said == [str(tmp_path / f"garage-receptacle-{reader}.pdf") for reader in files]


@pytest.mark.usefixtures("_printing_names_only")
@pytest.mark.parametrize(("language", "ending"), [("en", "-large"), ("es", "-es-large")])
def test_large_print_is_told_to_the_renderer_and_has_files_of_its_own(
    tmp_path: Path, language: str, ending: str
) -> None:
    job = str(JOBS / "garage-receptacle.yaml")
    options = ["--print", "large", "--paper", "a4", "--for", "all", "--language", language]
    assert cli.main(["build", job, "--out", str(tmp_path), "--processes", "1", *options]) == 0
    written = {path.name: path.read_text().split()[2:] for path in tmp_path.iterdir()}
    assert written == {
        f"garage-receptacle-{reader}{ending}.pdf": ["a4", attached, "large"]
        for reader, attached in (("clipboard", "2"), ("client", "0"), ("permit", "0"))
    }


@pytest.mark.usefixtures("_printing_names_only")
def test_all_sets_of_a_job_that_falls_short_end_with_three(tmp_path: Path) -> None:
    job = str(JOBS / "full-service.yaml")
    assert cli.main(["build", job, "--out", str(tmp_path), "--processes", "1", "--for", "all"]) == 3
    letters = {path.stem: path.read_text().split()[1] for path in tmp_path.iterdir()}
    assert letters == {
        "full-service-clipboard": "AKL",
        "full-service-client": "A",
        "full-service-permit": "AKL",
    }


def test_nothing_is_written_when_one_set_cannot_be_printed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    from packet.render import RenderFault

    def pdf(one: Any) -> bytes:
        if one.sheets.letters.startswith("P"):
            raise RenderFault("the diagram does not fit")
        return b"pages"

    monkeypatch.setattr("packet.printing._pdf", pdf)
    job = str(JOBS / "garage-receptacle.yaml")
    assert cli.main(["build", job, "--out", str(tmp_path), "--processes", "1", "--for", "all"]) == 1
    assert list(tmp_path.iterdir()) == []
    assert "nothing was printed: the diagram does not fit" in capsys.readouterr().err


def test_a_folder_that_cannot_be_written_is_said_in_one_line(tmp_path: Path) -> None:
    file = tmp_path / "taken"
    file.write_text("a file stands where the folder should be")
    done = run("build", "jobs/full-service.yaml", "--out", str(file))
    assert done.returncode == 2
    assert str(file) in done.stderr
    assert "Traceback" not in done.stderr
    assert file.read_text().startswith("a file")
    assert stat.S_ISREG(file.stat().st_mode)


def test_check_loads_neither_the_renderer_nor_what_pint_takes_along() -> None:
    program = (
        "import sys; from packet.cli import main; main(['check', 'jobs/garage-receptacle.yaml']);"
        "sys.exit(bool({'weasyprint', 'pypdf', 'numpy', 'babel', 'dask'} & set(sys.modules)))"
    )
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-c", program], cwd=ROOT, capture_output=True, check=False
    )
    assert done.returncode == 0
