"""The talk: what a person types, what is said to it, and what is kept."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from packet.asking import Answers, Asked, Dialog, job_text, stations, walk
from packet.asking.walk import open_questions
from packet.jobfile import load_job
from packet.plans.branch_circuit import plan
from tests.asking.test_answers import values
from tests.demos.conftest import NAMES, planned

ROOT = Path(__file__).parents[2]


class Talk:
    """A dialog with someone who answers from a list, or by looking at what is asked."""

    def __init__(self, *typed: str, answers: Answers | None = None) -> None:
        self.said: list[str] = []
        self.kept: list[Answers] = []
        self.typed = iter(typed)
        self.dialog = Dialog(
            answers or Answers("answers"), self.type, self.said.append, self.kept.append, self.hint
        )
        self.ended = self.dialog.run()

    def type(self, prompt: str) -> str:
        self.said.append(prompt)
        try:
            return next(self.typed)
        except StopIteration:
            raise EOFError from None

    def hint(self, asked: Asked, answers: Answers) -> str:  # noqa: ARG002
        self.asked = asked
        return ""

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.said).split())

    @property
    def lines(self) -> list[str]:
        return self.dialog.answers.lines()


class Person(Talk):
    """Answers every question from a demo, as one who has all papers and labels in hand."""

    def __init__(self, demo: Answers) -> None:
        self.demo = demo
        super().__init__()

    def type(self, prompt: str) -> str:  # noqa: ARG002
        if self.asked.is_gate:
            return "yes" if self.demo.has(self.asked.path) else "no"
        return self.demo.text_of(self.asked.path) or ""


@pytest.mark.parametrize("name", NAMES)
def test_everything_that_a_demo_says_is_asked_for(name: str) -> None:
    """No question that somebody has an answer to is passed over."""
    assert set(demo_of(name).said) <= {asked.path for asked in walked(name)}


def test_whoever_answers_from_a_demo_gets_that_demo(tmp_path: Path) -> None:
    name = "cellar-subpanel"
    talk = Person(Answers.read(ROOT / "jobs" / f"{name}.yaml"))
    assert talk.ended
    assert not [line for line in talk.said if line.lstrip().startswith("!")]
    (tmp_path / "job.yaml").write_text(job_text(talk.dialog.answers), "utf-8")
    assert values(plan(load_job(tmp_path / "job.yaml"))) == values(planned(name))


FIRST = next(iter(stations())).groups[0].questions[0]
"""The address: whoever is asked first must be able to answer."""


@cache
def demo_of(name: str) -> Answers:
    return Answers.read(ROOT / "jobs" / f"{name}.yaml")


@cache
def walked(name: str) -> tuple[Asked, ...]:
    return tuple(walk(demo_of(name)))


def answered(name: str, until: str = "") -> Answers:
    """Return answers to every question, or every one before `until`, from a demo."""
    demo = demo_of(name)
    kept = {}
    for asked in walked(name):
        if asked.path == until:
            break
        there = "yes" if demo.has(asked.path) else "no"
        kept[asked.path] = demo.said.get(asked.path, there if asked.is_gate else "")
    return Answers("answers", kept)


def at(path: str, *typed: str) -> Talk:
    """Return a talk that begins at `path`: every question before it is answered."""
    return Talk(*typed, answers=answered("garage-receptacle", path))


def test_the_first_question_needs_no_paper_and_the_end_of_input_loses_nothing() -> None:
    talk = Talk("18 Tanbark Row, Ostrey")
    assert not talk.ended
    assert talk.lines == ["site.address: 18 Tanbark Row, Ostrey"]
    assert talk.kept[-1] == talk.dialog.answers
    assert FIRST.ask in talk.said


@pytest.mark.parametrize("stop", [EOFError, KeyboardInterrupt])
def test_any_way_of_stopping_keeps_the_answers(stop: type[BaseException]) -> None:
    class Broken(Talk):
        def type(self, prompt: str) -> str:
            if len(self.kept) == 2:
                raise stop
            return super().type(prompt)

    talk = Broken("18 Tanbark Row", "Veldane County", "07-214-118")
    assert not talk.ended
    assert len(talk.lines) == 2


@pytest.mark.parametrize(
    ("path", "typed", "kept"),
    [
        ("service.rating", "200", "200 A"),  # a unit that goes without saying
        ("service.rating", "200 amps", "200 amps"),
        ("authority.permit_lead_time", "6", "6 days"),
        ("site.building", "3", "townhouse"),
        ("site.building", "townhouse", "townhouse"),
        ("authority.code_edition", "2023", "2023"),
        ("authority.inspections", "2, final", "[rough-in, final]"),
        ("panel.breakers.1.spaces", "1 3", "[1, 3]"),
        ("panel.breakers.1.spaces", "[1,3]", "[1, 3]"),
        ("site.owner_lives_here", "Y", "yes"),
        ("site.owner_lives_here", "don't know", "unknown"),
        ("people.owner.name", '"unknown"', "unknown"),
        ("people.owner.name", "O'Hara: Maren", "'O''Hara: Maren'"),
        ("panel.place", "12", "outdoors"),
        ("circuit.configuration", "14-50", "14-50"),
    ],
)
def test_what_is_typed_and_what_is_kept(path: str, typed: str, kept: str) -> None:
    assert at(path, typed).dialog.answers.said.get(path) == kept


@pytest.mark.parametrize(
    ("path", "typed", "said"),
    [
        ("circuit.height", "46", "write `46 in` if you meant that unit"),
        ("circuit.height", "46 kg", "is not measured in `kg`"),
        ("circuit.height", "99 ft", "beyond reason"),
        ("site.owner_lives_here", "maybe", "takes `yes`, `no` or `unknown`"),
        ("site.building", "castle", "does not know `castle`"),
        ("site.building", "9", "does not know `9`"),
        ("circuit.configuration", "6", "does not know `6`"),  # looks like the first half of a name
        ("work.written", "today", "needs a date"),
        ("work.planned_start", "2026-01-01", "before `work.written`"),
        ("people.owner.name", "", "This one is needed"),
        ("people.owner.name", "x" * 301, "longer than 300 characters"),
        ("panel.breakers.1", "", "This one is needed"),
        ("panel.breakers.1", "two", "yes or no?"),
        ("panel.breakers.2.spaces", "3", "already taken on line"),
        ("panel.breakers.2.spaces", "31", "not in a panel of 30 spaces"),
        ("people.owner.name", "a\u202eb", "cannot be printed"),
    ],
)
def test_a_wrong_answer_is_told_at_once_and_asked_again(path: str, typed: str, said: str) -> None:
    talk = at(path, typed)
    assert said.lower() in talk.text.lower()
    assert path not in talk.dialog.answers.said
    assert talk.kept == []


def test_a_conflict_names_the_earlier_answer() -> None:
    assert "`panel.breakers.1.spaces: [1, 3]`" in at("panel.breakers.2.spaces", "3").text


@pytest.mark.parametrize(
    ("path", "kept", "said"),
    [
        ("service.conductor", "unknown", "open question and says who can tell"),
        ("panel.highest_handle", "unknown", "prints an open question until it is known"),
        ("circuit.material", "unknown", "the packet chooses"),
        ("service.rating", "unknown", "no packet can be printed without it"),
        ("people.second_person", "no", "Taken as no for now."),
        ("terminals.1", "no", "prints an open question until it is known"),
    ],
)
def test_not_knowing_is_an_answer_and_its_cost_is_told(path: str, kept: str, said: str) -> None:
    talk = at(path, "unknown")
    assert talk.dialog.answers.said[path] == kept
    assert said in talk.text


def test_back_takes_the_last_answer_away_and_asks_again() -> None:
    talk = Talk("18 Tanbark Row", "Veldane", "back", "Veldane County")
    assert talk.lines == ["site.address: 18 Tanbark Row", "site.county: Veldane County"]
    assert "first question" in Talk("back").text


def test_back_goes_behind_what_was_answered_in_an_earlier_talk() -> None:
    talk = at("people.owner.name", "back", "no")
    assert talk.dialog.answers.said["site.owner_lives_here"] == "no"


def test_an_answer_that_makes_others_useless_drops_them() -> None:
    """Whoever goes back from a subpanel to a service panel is not stuck with its feeder."""
    talk = Talk("service", answers=answered("cellar-subpanel").without("panel.kind"))
    assert "panel.kind: service" in talk.lines
    assert not [line for line in talk.lines if line.startswith("panel.feeder") and ": " in line]
    assert "No longer needed" in talk.text


def test_skip_leaves_out_what_need_not_be_answered_and_no_more() -> None:
    talk = Talk("18 Tanbark Row", "skip")
    left = ("county", "parcel", "building", "owner_lives_here")
    assert talk.lines == ["site.address: 18 Tanbark Row", *(f"site.{one}:" for one in left)]
    assert next(open_questions(talk.dialog.answers)).path == "people.owner.name"
    talk = at("people.owner.name", "skip")
    assert "This one is needed" in talk.text
    assert talk.kept == []


def test_skip_stays_in_its_line_of_a_list_and_back_undoes_it_whole() -> None:
    talk = at("route.1.ambient", "skip")
    assert "route.1.fastened_to:" in talk.lines
    assert next(open_questions(talk.dialog.answers)).path == "route.2"
    talk = at("route.1.ambient", "skip", "back")
    assert not [line for line in talk.lines if line.startswith("route.1.ambient")]


def test_nobody_skips_the_question_whether_a_panel_is_empty() -> None:
    """Silence must not become the claim that no breaker or appliance is there."""
    for path in ("panel.breakers.1", "dwelling.loads.1"):
        assert path not in at(path, "skip", "").dialog.answers.said
        assert at(path, "no").dialog.answers.said[path] == "no"


def test_a_question_says_more_when_asked() -> None:
    text = at("service.rating", "?").text
    assert "What it is for: The whole house must fit into it" in text
    assert "In the job file: service.rating (rating of the service)." in text


def test_shares_are_judged_when_there_is_no_other_payment() -> None:
    """Forty percent is no fault while there may be another payment."""
    answers = Answers.read(ROOT / "jobs" / "driveway-pedestal.yaml")
    gone = [path for path in answers.said if path.startswith("offer.payments")]
    start = Answers("answers", answers.without(*gone).said)
    person: Callable[[str], Answers] = start.with_answer
    assert (
        person("offer.payments.1.share", "40 %")
        .with_answer("offer.payments.1.when", "first")
        .faults()
        == []
    )
    ended = (
        start.with_answer("offer.payments.1.share", "40 %")
        .with_answer("offer.payments.1.when", "first")
        .with_answer("offer.payments.2", "no")
    )
    assert [problem.code for problem in ended.faults()] == ["J056"]
