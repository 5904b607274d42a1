"""The value stamp changes when, and only when, something that is printed changes."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import date, timedelta
from functools import cache
from importlib import import_module
from pathlib import Path

import pytest

from packet.jobfile import JobFaults, load_job
from packet.jobfile.read import Items, Mapping, Node, Text
from packet.jobfile.schema import keys
from packet.listing import as_json
from packet.plans.branch_circuit import plan
from packet.sheets.sets import SETS

read = import_module("packet.jobfile.read").read
JOBS = Path(__file__).parents[2] / "jobs"
NAMES = sorted(path.stem for path in JOBS.glob("*.yaml"))
EVERY = 37
"""Each value of this number is changed here; with 1 it is all of them, in minutes."""


def printed(job: Path) -> tuple[str, str]:
    """Return the stamp, and all that the three sets and the list of values show beside it."""
    done = plan(load_job(job))
    sets = [made(done) for made in SETS.values()]
    (stamp,) = {one.frame.stamp for one in sets}
    whole = repr(sets) + as_json(done.ledger)
    return stamp, re.sub(r"(line |\.yaml:)\d+", r"\1", whole.replace(stamp, ""))


@cache
def demo(name: str) -> tuple[str, str]:
    return printed(JOBS / f"{name}.yaml")


def leaves(node: Node, path: str = "") -> Iterator[tuple[str, Text]]:
    """Yield every single value of a job file with the path of its key in the schema."""
    if isinstance(node, Mapping):
        for key, value in node.pairs:
            yield from leaves(value, f"{path}.{key.value}".strip("."))
    elif isinstance(node, Items):
        for item in node.items:
            yield from leaves(item, f"{path}.*" if isinstance(item, Mapping) else path)
    else:
        yield path, node


def others(path: str, typed: str) -> Iterator[str]:
    """Yield what could stand there instead."""
    number = re.match(r"[0-9]+(\.[0-9]+)?", typed)
    if re.fullmatch(r"\d{4}-\d\d-\d\d", typed):
        yield (date.fromisoformat(typed) + timedelta(days=1)).isoformat()
    elif number:
        for other in (float(number[0]) + 1, float(number[0]) * 1.25, float(number[0]) - 1):
            yield f"{other:g}{typed[number.end() :]}"
    yield from ("no", "yes") if typed == "yes" else ("yes", "unknown")
    key = keys().get(path)
    yield from (choice for choice in (key.choices if key else ()) if choice != typed)
    yield f"{typed} x"


def changed(text: str, leaf: Text, value: str) -> str:
    """Return a job file with one value typed over."""
    lines = text.split("\n")
    line = lines[leaf.span.line - 1]
    start = leaf.span.column - 1
    lines[leaf.span.line - 1] = f'{line[:start]}"{value}"{line[start + leaf.span.length :]}'
    return "\n".join(lines)


def sample(name: str) -> list[tuple[str, Text]]:
    return list(leaves(read(JOBS / f"{name}.yaml").top))[NAMES.index(name) :: EVERY]


@pytest.mark.parametrize("name", NAMES)
def test_it_changes_with_every_value_that_is_printed(name: str, tmp_path: Path) -> None:
    """A number on a page that the stamp does not cover could belong to another packet."""
    text = (JOBS / f"{name}.yaml").read_text("utf-8")
    job = tmp_path / f"{name}.yaml"
    strange, tried = [], 0
    for path, leaf in sample(name):
        for value in others(path, leaf.value):
            job.write_text(changed(text, leaf, value), "utf-8")
            try:
                stamp, shown = printed(job)
            except JobFaults:
                continue
            tried += 1
            if (stamp != demo(name)[0]) != (shown != demo(name)[1]):
                strange.append(f"{path}: {leaf.value} -> {value}")
            break
    assert strange == []
    assert tried > len(sample(name)) / 2


EQUAL = {
    "a comment": ("work:", "# a note to myself\nwork:"),
    "blank lines and spaces": ("  number: OST-0311", "\n  number:    OST-0311   "),
    "quotation marks": ("number: OST-0311", 'number: "OST-0311"'),
    "a length in another unit": ("length: 29 ft", "length: 8.8392 m"),
    "an area in another unit": ("floor_area: 1960 ft2", "floor_area: 182.0899584 m2"),
    "zeros at the end": ("length: 29 ft", "length: 29.00 ft"),
}


@pytest.mark.parametrize("change", EQUAL)
def test_it_stays_where_no_printed_value_changes(change: str, tmp_path: Path) -> None:
    text = (JOBS / "garage-receptacle.yaml").read_text("utf-8")
    before, after = EQUAL[change]
    assert before in text
    job = tmp_path / "garage-receptacle.yaml"
    job.write_text(text.replace(before, after, 1), "utf-8")
    assert printed(job) == demo("garage-receptacle")


def test_it_stays_when_keys_stand_in_another_order(tmp_path: Path) -> None:
    name = "garage-receptacle"
    text = (JOBS / f"{name}.yaml").read_text("utf-8")
    head, *sections = re.split(r"(?m)^(?=[a-z_]+:)", text)
    job = tmp_path / f"{name}.yaml"
    job.write_text(head + "".join(reversed(sections)), "utf-8")
    assert len(sections) > 5
    assert printed(job) == demo(name)


ONCE_LEFT_OUT = {
    "spaces of the panel": ("garage-receptacle", "  spaces: 30", "  spaces: 32"),
    "spaces of a breaker": ("garage-receptacle", "{spaces: [18],", "{spaces: [20],"),
    "where a torque was read": ("cellar-subpanel", "source: label", "source: instructions"),
    "averaging time of a record": ("driveway-pedestal", "interval: 15 min", "interval: 16 min"),
    "date of the prices": ("cellar-subpanel", "dated: 2026-10-01", "dated: 2026-10-02"),
    "shop": ("cellar-subpanel", "shop: electrical supply house", "shop: the other house"),
}


@pytest.mark.parametrize("what", ONCE_LEFT_OUT)
def test_it_changes_with_what_was_once_printed_without_it(what: str, tmp_path: Path) -> None:
    name, before, after = ONCE_LEFT_OUT[what]
    text = (JOBS / f"{name}.yaml").read_text("utf-8")
    assert before in text
    job = tmp_path / f"{name}.yaml"
    job.write_text(text.replace(before, after, 1), "utf-8")
    stamp, shown = printed(job)
    assert shown != demo(name)[1]
    assert stamp != demo(name)[0]
