"""Job files made wrong in every way we know end in a verdict or in problems with a place.

Some two hundred of the cases of `.ci/fuzz.py`, always the same ones.
"""

from __future__ import annotations

import importlib
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, Phase, given, settings

from packet.jobfile import JobFaults
from tests.jobfile.judging import judged
from tests.jobfile.mutations import (
    DEMOS,
    IN_THE_TEXT,
    IN_THE_TREE,
    SOUND,
    Case,
    Change,
    cases,
)

reading = importlib.import_module("packet.jobfile.read")

SAME = settings(
    max_examples=60,
    deadline=None,
    derandomize=True,
    database=None,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)


@pytest.mark.parametrize(
    ("kinds", "most", "reached"),
    [(SOUND, 10, {"ASK", "FALLS_SHORT"}), (IN_THE_TREE, 4, {"J010"}), (IN_THE_TEXT, 4, {"Y010"})],
    ids=["sound", "tree", "text"],
)
def test_every_file_ends_in_a_verdict_or_in_places(
    kinds: dict[str, Any], most: int, reached: set[str], tmp_path: Path
) -> None:
    """Were all refused on the first line, they would try nothing: several ends are reached."""
    file = tmp_path / "job.yaml"
    ends: set[str] = set()

    @SAME
    @given(cases(*kinds, most=most))
    def each(case: Case) -> None:
        file.write_bytes(case.content())
        ends.update(judged(file, sheets=False).split())

    each()
    assert reached <= ends
    assert len(ends) > 6


@pytest.mark.parametrize("name", IN_THE_TREE)
def test_each_change_of_the_tree_changes_something(name: str) -> None:
    plain = {Case(demo, "whole", (Change("none", 0, 0),)).content() for demo in range(len(DEMOS))}
    assert any(
        Case(demo, "whole", (Change(name, where, 7 + where),)).content() not in plain
        for demo in range(len(DEMOS))
        for where in (1, 40)
    )


def test_the_fast_parser_reads_what_the_slow_one_reads(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One is libyaml, the other PyYAML's own: values, places and messages are the same."""
    fast, slow = reading._PARSERS
    assert fast is not slow
    file = tmp_path / "job.yaml"

    def read_by(parsers: tuple[Any, ...]) -> Any:
        monkeypatch.setattr(reading, "_PARSERS", parsers)
        try:
            return reading.read(file)
        except JobFaults as faults:
            return str(faults)

    @SAME
    @given(cases(*IN_THE_TEXT, *IN_THE_TREE, most=3))
    def each(case: Case) -> None:
        file.write_bytes(case.content())
        assert read_by((fast, slow)) == read_by((yaml.SafeLoader,))

    each()
