"""Answers from a file: what is accepted, every fault at once and where, and the job they make."""

from __future__ import annotations

from functools import cache, partial
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packet.asking import Answers, job_text
from packet.asking.answers import spelled
from packet.jobfile import JobFaults, load_job
from packet.jobfile.read import Text, read_text
from packet.plans.branch_circuit import Plan, plan
from packet.showing import stamp
from tests.demos.conftest import NAMES, planned

ROOT = Path(__file__).parents[2]


def values(made: Plan) -> dict[str, object]:
    """Return every value and verdict of a plan, without the lines they were read from."""
    entries = {entry.name: (entry.value, entry.kind, entry.formula) for entry in made.ledger}
    return entries | {name: check.verdict for name, check in made.ledger.checks.items()}


@cache
def in_lines(name: str) -> str:
    """Return a demo as a file of answers: each value by its whole path."""
    lines = Answers.read(ROOT / "jobs" / f"{name}.yaml").lines()
    assert all(line.count(": ") >= 1 for line in lines)
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("name", NAMES)
def test_a_job_from_the_answers_of_a_demo_is_that_demo(name: str, tmp_path: Path) -> None:
    """Answers by path -> job file -> plan, equal to the plan of the demo in every value."""
    given_answers, job = tmp_path / "answers.yaml", tmp_path / "job.yaml"
    given_answers.write_text(in_lines(name), "utf-8")
    job.write_text(job_text(Answers.read(given_answers)), "utf-8")
    made = plan(load_job(job))
    assert values(made) == values(planned(name))
    assert stamp(made.ledger) == stamp(planned(name).ledger)


def test_another_answer_makes_another_plan(tmp_path: Path) -> None:
    """The comparison above would fail: one foot more, and a value differs."""
    job = tmp_path / "job.yaml"
    text = in_lines("garage-receptacle").replace("length: 29 ft", "length: 30 ft")
    (tmp_path / "answers.yaml").write_text(text, "utf-8")
    job.write_text(job_text(Answers.read(tmp_path / "answers.yaml")), "utf-8")
    assert values(plan(load_job(job))) != values(planned("garage-receptacle"))


def faults(folder: Path, text: str) -> list[tuple[str, int]]:
    """Return code and line of each fault of a file of answers."""
    file = folder / "answers.yaml"
    file.write_text(text, "utf-8")
    with pytest.raises(JobFaults) as caught:
        Answers.read(file, whole=True)
    return sorted((p.code, p.span.line) for p in caught.value.problems)


def test_every_fault_is_told_at_once_with_its_line(tmp_path: Path) -> None:
    text = (
        "circuit.height: 46\n"
        "circuit.conectoin: receptacle\n"
        "panel.kind: service\n"
        "service.rating: 200 V\n"
        "route.1.length: 29 ft\n"
        "roof.area: 3 m2\n"
    )
    found = [fault for fault in faults(tmp_path, text) if fault[0] not in ("J012", "J013")]
    assert found == [("J010", 2), ("J010", 6), ("J020", 1), ("J021", 4)]


AS_ANSWERS_THEY_MEAN = {
    "bad_no_value": "no value: left out on purpose",
    "bad_unknown_where_it_must_be_known": "not known: left out with a remark",
    "bad_wrong_shapes": "a value in a list is judged where it stands",
}
"""Faulty job files whose faults differ in a file of answers, and why."""


def test_a_faulty_job_file_has_the_same_faults_as_a_file_of_answers() -> None:
    """Every fault that the reader knows, at its place, and none breaks the talk."""
    for path in sorted((ROOT / "tests" / "errors").glob("bad_*.yaml")):
        told = []
        for reader in (load_job, partial(Answers.read, whole=True)):
            with pytest.raises(JobFaults) as caught:
                reader(path)
            told.append(sorted((p.code, p.span.line, p.span.column) for p in caught.value.problems))
        assert (told[0] == told[1]) is (path.stem not in AS_ANSWERS_THEY_MEAN), path.stem


def test_what_is_missing_is_told_when_the_job_is_made(tmp_path: Path) -> None:
    found = faults(tmp_path, in_lines("garage-receptacle").replace("service.rating: 200 A\n", ""))
    assert [code for code, _ in found] == ["J012"]


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("service.rating: 200 A\n", "service.rating: unknown\n", "J018"),
        (
            "work.title: Charging receptacle in the attached garage\n",
            "work.title: unknown\n",
            "J018",
        ),
        ("panel.breakers.3.spaces: [5, 7]\n", "panel.breakers.3.spaces: [4, 6]\n", "J041"),
        ("panel.breakers.2.", "panel.breakers.20.", "J060"),
        ("panel.breakers.15: no", "panel.breakers.14: no", "J061"),
        (
            "people.second_person.name",
            "people.second_person: no\npeople.second_person.name",
            "J061",
        ),
        ("circuit.place: garage\n", "circuit: {place: garage}\ncircuit.place: garage\n", "Y020"),
        ("circuit.configuration: 14-50\n", "", "J013"),
        ("circuit.configuration: 14-50\n", "circuit.configuration: 14-50 # \t\n", "Y004"),
    ],
)
def test_one_fault_in_the_answers_of_a_demo(old: str, new: str, code: str, tmp_path: Path) -> None:
    text = in_lines("garage-receptacle")
    assert old in text
    found = faults(tmp_path, text.replace(old, new))
    assert {one for one, _ in found} == {code}


@pytest.mark.parametrize(
    "empty", ["dwelling.loads: []", "dwelling.loads: no", "dwelling.loads.1: no"]
)
def test_a_house_without_appliances(empty: str, tmp_path: Path) -> None:
    lines = [
        line
        for line in in_lines("garage-receptacle").splitlines()
        if not line.startswith("dwelling.loads.")
    ]
    (tmp_path / "a.yaml").write_text("\n".join([*lines, empty]), "utf-8")
    answers = Answers.read(tmp_path / "a.yaml")
    assert answers.job().dwelling.loads == ()
    assert "loads: []" in job_text(answers)


def test_what_is_not_known_is_written_as_the_table_of_keys_allows(tmp_path: Path) -> None:
    """`unknown` where that is an answer; else a remark, which says what to look for."""
    lines = in_lines("garage-receptacle")
    for old, new in (
        ("service.conductor: 4/0 AWG", "service.conductor: unknown"),
        ("circuit.height: 46 in", "circuit.height: unknown"),
        ("circuit.weather: dry", "circuit.weather:"),
        ("route.2.ambient: 30 degC", "route.2.ambient: unknown"),
    ):
        assert old in lines
        lines = lines.replace(old, new)
    (tmp_path / "a.yaml").write_text(lines, "utf-8")
    answers = Answers.read(tmp_path / "a.yaml")
    text = job_text(answers)
    assert "  conductor: unknown " in text
    assert "  # height is not known yet (height of the outlet" in text
    assert "  # weather is left out (" in text
    assert "    # ambient is not known yet (" in text
    (tmp_path / "job.yaml").write_text(text, "utf-8")
    job = load_job(tmp_path / "job.yaml")
    assert job.service.conductor.unknown
    assert job.circuit.height is None
    assert job.route[1].ambient is None


@given(
    st.text(
        st.characters(
            exclude_categories=["C", "Z"], exclude_characters="\u00ad", include_characters=" "
        ),
        min_size=1,
    )
)
@settings(max_examples=200, deadline=None)
def test_any_text_is_read_back_as_it_was_given(text: str) -> None:
    text = " ".join(text.split()) or "x"
    for line in (f"a: {spelled(text)}", f"a: {{b: {spelled(text, in_brackets=True)}, c: d}}"):
        node = read_text("a", line).top.get("a")
        node = node if isinstance(node, Text) else node.get("b")  # type: ignore[union-attr]
        assert isinstance(node, Text)
        assert node.value == text
        assert not (node.plain and node.value.lower() in ("null", "~"))


STRANGE = (
    *("a: b", "no", "#1 panel", "- dash", "'quoted'", '"Main"', "[1, 3]", "{a}", "*x", "&x", "!x"),
    *("null", "~", "%", "@home", "`x`", "a #b", "a:", "|", ">", "? x", "Range, kitchen", "..."),
)


@pytest.mark.parametrize("text", STRANGE)
def test_texts_that_mean_something_in_yaml_stay_texts(text: str) -> None:
    answers = Answers("a").with_answer("panel.name", spelled(text))
    assert answers.faults() == []
    assert answers.text_of("panel.name") == text
    assert f"name: {spelled(text)}" in job_text(answers)
