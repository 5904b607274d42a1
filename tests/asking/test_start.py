"""`packet start` as it is called: from a terminal, from a pipe, from a script."""

from __future__ import annotations

import io
import os
import pty
import select
import signal
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from packet import cli
from packet.asking import walk
from packet.asking.walk import open_questions
from packet.commands import start as start_command
from packet.jobfile import load_job
from tests.asking.test_dialog import answered

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "jobs" / "garage-receptacle.yaml"


@dataclass(frozen=True)
class Done:
    """How the command ended, and what it printed."""

    returncode: int
    stdout: str
    stderr: str


Start = Callable[..., Done]


@pytest.fixture
def start(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Start:
    """Run the command in a folder of its own; its input is no terminal."""

    def run(*options: str, typed: str = "") -> Done:
        monkeypatch.chdir(tmp_path)
        monkeypatch.setattr(sys, "stdin", io.StringIO(typed))
        status = cli.main(["start", "job.yaml", *options])
        return Done(status, *capsys.readouterr())

    return run


def test_a_script_gives_answers_and_gets_a_job_that_check_accepts(
    start: Start, tmp_path: Path
) -> None:
    done = start("--answers", str(DEMO))
    assert (done.returncode, done.stdout, done.stderr) == (0, "job.yaml\n", "")
    assert cli.main(["check", str(tmp_path / "job.yaml")]) == 0
    assert [path.name for path in tmp_path.iterdir()] == ["job.yaml"]


def test_faults_of_the_answers_are_told_and_nothing_is_written(
    start: Start, tmp_path: Path
) -> None:
    answers = tmp_path / "a.yaml"
    answers.write_text(DEMO.read_text("utf-8").replace("height: 46 in", "height: 46"), "utf-8")
    done = start("--answers", "a.yaml")
    assert done.returncode == 1
    assert done.stdout == ""
    assert "a.yaml:109:11: error[J020]: `circuit.height` needs a number and a unit" in done.stderr
    assert not (tmp_path / "job.yaml").exists()


def test_answers_that_are_not_there_are_a_fault_and_no_trace(start: Start) -> None:
    done = start("--answers", "none.yaml")
    assert done.returncode == 1
    assert "none.yaml:1:1: error[Y001]" in done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("options", [(), ("--answers", str(DEMO))], ids=["pipe", "script"])
def test_a_file_that_is_there_is_not_touched(
    options: tuple[str, ...], start: Start, tmp_path: Path
) -> None:
    (tmp_path / "job.yaml").write_text("mine", "utf-8")
    done = start(*options, typed="18 Tanbark Row\n")
    assert done.returncode == 2
    assert "job.yaml is already there" in done.stderr
    assert (tmp_path / "job.yaml").read_text("utf-8") == "mine"
    assert [path.name for path in tmp_path.iterdir()] == ["job.yaml"]


def test_it_is_replaced_where_that_is_said(start: Start, tmp_path: Path) -> None:
    (tmp_path / "job.yaml").write_text("mine", "utf-8")
    assert start("--answers", str(DEMO), "--replace").returncode == 0
    assert load_job(tmp_path / "job.yaml").work.number.value == "OST-0311"


def test_a_failed_replacement_leaves_the_old_file(start: Start, tmp_path: Path) -> None:
    (tmp_path / "job.yaml").write_text("mine", "utf-8")
    (tmp_path / "a.yaml").write_text("circuit.height: 46\n", "utf-8")
    assert start("--answers", "a.yaml", "--replace").returncode == 1
    assert (tmp_path / "job.yaml").read_text("utf-8") == "mine"


def test_a_pipe_that_ends_keeps_its_answers_and_another_goes_on(
    start: Start, tmp_path: Path
) -> None:
    done = start(typed="18 Tanbark Row\n\n")
    assert done.returncode == 1
    assert "Your answers are kept in job-answers.yaml" in done.stdout
    assert done.stderr == ""
    kept = tmp_path / "job-answers.yaml"
    assert "site.address: 18 Tanbark Row\nsite.county:\n" in kept.read_text("utf-8")
    again = start(typed="Nobody's Lane\n")
    assert again.returncode == 2
    assert "answers from an earlier time" in again.stderr
    assert "Tanbark" in kept.read_text("utf-8")


def test_where_nothing_was_answered_nothing_is_written(start: Start, tmp_path: Path) -> None:
    done = start(typed="quit\n")
    assert done.returncode == 1
    assert "nothing was written" in done.stdout
    assert list(tmp_path.iterdir()) == []


def test_a_place_that_cannot_be_written_is_told_without_a_trace(
    start: Start, tmp_path: Path
) -> None:
    (tmp_path / "job.yaml").mkdir()
    done = start("--answers", str(DEMO))
    assert done.returncode == 2
    assert "job.yaml is a folder" in done.stderr


def test_materials_without_a_price_are_named_where_a_price_is_asked_for() -> None:
    answers = answered("garage-receptacle", "prices.items.2.item")
    asked = next(open_questions(answers))
    text = start_command._suggest(asked, answers)
    assert "nm-b-6-3-connector" in text
    assert "nm-b-6-3-cable" not in text  # it has its price already
    assert start_command._suggest(next(walk(answers)), answers) == ""


class Terminal:
    """The command at a pseudo-terminal, as a person sees it."""

    def __init__(self, folder: Path, *options: str) -> None:
        self.pid, self.screen = pty.fork()
        if self.pid == 0:
            os.chdir(folder)
            os.environ["PYTHONPATH"] = str(ROOT)
            command = [sys.executable, "-m", "packet", "start", "job.yaml", *options]
            os.execv(sys.executable, command)  # noqa: S606 - our own command
        self.seen = ""

    def wait_for(self, text: str, seconds: float = 60) -> None:
        """Read until `text` is on the screen."""
        until = time.monotonic() + seconds
        while text not in self.seen:
            ready, _, _ = select.select([self.screen], [], [], until - time.monotonic())
            assert ready, f"`{text}` never came after:\n{self.seen}"
            self.read()

    def read(self) -> bool:
        try:
            part = os.read(self.screen, 65536)
        except OSError:  # the other end is closed
            return False
        self.seen += part.decode("utf-8", "replace")
        return bool(part)

    def type(self, text: str) -> None:
        self.seen = ""
        os.write(self.screen, text.encode())

    def end(self) -> int:
        """Return the exit status."""
        while self.read():
            pass
        os.close(self.screen)
        return os.waitstatus_to_exitcode(os.waitpid(self.pid, 0)[1])


def test_a_person_at_a_terminal_stops_goes_on_and_is_asked_before_a_file_is_replaced(
    tmp_path: Path,
) -> None:
    (tmp_path / "job.yaml").write_text("mine", "utf-8")
    terminal = Terminal(tmp_path)
    terminal.wait_for("Replace it when all questions are answered?")
    terminal.type("yes\n")
    terminal.wait_for("What is the address of the house?")
    terminal.type("18 Tanbark Row\n")
    terminal.wait_for("Which county")
    terminal.type("\x03")
    assert terminal.end() == 1
    assert "Your answers are kept in job-answers.yaml" in terminal.seen
    assert "Traceback" not in terminal.seen
    assert (tmp_path / "job.yaml").read_text("utf-8") == "mine"

    terminal = Terminal(tmp_path, "--replace")
    terminal.wait_for("Go on from there?")
    terminal.type("yes\n")
    terminal.wait_for("Which county")
    terminal.type("\x04")
    assert terminal.end() == 1
    assert "site.address: 18 Tanbark Row" in (tmp_path / "job-answers.yaml").read_text("utf-8")


def test_answers_of_an_earlier_talk_are_not_replaced_unasked(tmp_path: Path) -> None:
    kept = tmp_path / "job-answers.yaml"
    kept.write_text("site.address: Nobody's Lane\n", "utf-8")
    (tmp_path / "a.yaml").write_text("site.address: 18 Tanbark Row\n", "utf-8")
    terminal = Terminal(tmp_path, "--answers", "a.yaml")
    terminal.wait_for("Replace them with those of this talk?")
    terminal.type("no\n")
    assert terminal.end() == 2
    assert kept.read_text("utf-8") == "site.address: Nobody's Lane\n"


def test_a_terminal_that_is_closed_loses_no_answer(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path)
    terminal.wait_for("What is the address")
    terminal.type("18 Tanbark Row\n")
    terminal.wait_for("Which county")
    os.kill(terminal.pid, signal.SIGKILL)
    terminal.end()
    assert "18 Tanbark Row" in (tmp_path / "job-answers.yaml").read_text("utf-8")


def test_the_last_answer_writes_the_job_and_says_what_is_open(tmp_path: Path) -> None:
    """Gaps are told; without any, the verdict is, and the kept answers are not needed any more."""
    whole = answered("garage-receptacle").without("utility.available_fault_current")
    kept = tmp_path / "job-answers.yaml"
    kept.write_text("\n".join(whole.lines()), "utf-8")
    terminal = Terminal(tmp_path)
    terminal.wait_for("Go on from there?")
    terminal.type("yes\n")
    terminal.wait_for("fault current does the utility")
    terminal.type("unknown\n")
    assert terminal.end() == 0
    assert "Open questions: 1." in terminal.seen
    assert not kept.exists()
    kept.write_text("\n".join(whole.without("service.rating").lines()), "utf-8")
    terminal = Terminal(tmp_path, "--replace")
    terminal.wait_for("Go on from there?")
    terminal.type("yes\n")
    terminal.wait_for("fault current does the utility")
    terminal.type("6.8 kA\n")
    terminal.wait_for("rating of the service?")
    terminal.type("unknown\n")
    assert terminal.end() == 1
    assert "this must be found out" in terminal.seen
    assert kept.exists()
    assert "# rating MUST BE FOUND OUT (" in (tmp_path / "job.yaml").read_text("utf-8")
