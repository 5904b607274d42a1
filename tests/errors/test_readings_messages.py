"""Every message for a faulty file of readings, word for word."""

from __future__ import annotations

from pathlib import Path

import pytest

from packet.jobfile import JobFaults
from packet.jobfile import faults as faults_module
from packet.jobfile.faults import Faults, wordings
from packet.problems import Span
from packet.returned import Returned
from packet.returned.sheet import readings_file
from tests.errors.test_messages import advised

HERE = Path(__file__).parent / "readings"
EXPECTED = sorted(HERE.glob("bad_*.expected"))
FIELDS = {
    "E.tool": False,
    "E.1.set": False,
    "F.1.reading": False,
    "F.1.ok": True,
    "F.2.reading": False,
    "F.3.reading": False,
    "F.4.reading": False,
    "M.circuit.breaker.built": False,
}
UNITS = {
    "E.1.set": "lbf_in",
    "E.1.required": "lbf_in",
    "F.1.reading": "V",
    "F.2.reading": "MΩ",
    "F.3.reading": "V",
    "F.4.reading": "V",
}


@pytest.fixture(autouse=True)
def _beside_the_files(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(HERE)


def taken(name: str) -> Returned:
    return readings_file(Path(name), FIELDS, UNITS)


def message(name: str) -> str:
    with pytest.raises(JobFaults) as caught:
        taken(name)
    return str(caught.value)


@pytest.mark.parametrize("expected", EXPECTED, ids=lambda path: path.stem)
def test_the_whole_message(expected: Path) -> None:
    assert message(f"{expected.stem}.yaml") + "\n" == expected.read_text("utf-8")


def test_every_bad_file_has_its_message() -> None:
    assert {path.stem for path in HERE.glob("bad_*.yaml")} == {path.stem for path in EXPECTED}


def test_no_message_speaks_of_a_job_file() -> None:
    for expected in EXPECTED:
        assert "job" not in expected.read_text("utf-8").replace(".yaml", "")


def test_a_good_file_gives_what_a_filled_packet_gives() -> None:
    returned = taken("good.yaml")
    assert returned.stamp == "0123-AB"
    assert returned.made is None
    assert returned.written == {
        "E.tool": "TQ 4417",
        "E.1.set": "45 lbf-in",
        "F.1.reading": "121.4",
        "F.1.ok": "yes",
        "F.2.reading": "OL",
        "F.3.reading": "n/a",
        "M.circuit.breaker.built": "50 A, as planned",
    }


def test_the_label_of_any_terminal_may_be_given_and_a_box_left_open(tmp_path: Path) -> None:
    """A label that differs from the plan wins, and its row has no field for it on screen."""
    path = tmp_path / "readings.yaml"
    path.write_text("values: 0123-ab\nE.1.required: 40 lbf-in\nF.1.ok: no\n")
    returned = readings_file(path, FIELDS, UNITS)
    assert returned.stamp == "0123-AB"
    assert returned.written == {"E.1.required": "40 lbf-in"}


def test_every_fault_and_every_advice_is_shown_once(monkeypatch: pytest.MonkeyPatch) -> None:
    shown: set[tuple[str, str]] = set()
    add = Faults.add

    def watched(self: Faults, code: str, span: Span, case: str = "", **words: object) -> None:
        shown.add((code, case))
        add(self, code, span, case, **words)

    monkeypatch.setattr(faults_module.Faults, "add", watched)
    for expected in EXPECTED:
        message(f"{expected.stem}.yaml")
    assert {one for one in shown if one[0][0] == "R"} == {
        one for one in advised() if one[0][0] == "R"
    }
    assert any(code.startswith("R") for code in wordings())
