"""The JSON Schema against its own standard, the demos, the faulty files and the reader.

JSON Schema, draft 2020-12: the meta-schema and the validator are those of the library
`jsonschema`. A job file is read here as the core schema of YAML 1.2.2, chapter 10.3, reads it.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from packet.jobfile import JobFaults, load_job
from packet.jobfile.json_schema import json_schema
from packet.jobfile.read import Items, Mapping, Node, read
from packet.jobfile.schema import Key, keys
from packet.jobfile.values import Unfit, value_of

ROOT = Path(__file__).parents[2]
ERRORS = ROOT / "tests" / "errors"
SCHEMA = json_schema()
VALIDATOR = Draft202012Validator(SCHEMA, format_checker=Draft202012Validator.FORMAT_CHECKER)
LEAVES = [key for key in keys().values() if key.type not in ("section", "list")]


def as_json(node: Node) -> Any:
    """Return a node as an editor sees it."""
    if isinstance(node, Mapping):
        return {key.value: as_json(value) for key, value in node.pairs}
    if isinstance(node, Items):
        return [as_json(item) for item in node.items]
    return scalar(node.value) if node.plain else node.value


def scalar(text: str) -> Any:
    if text in ("", "~", "null", "Null", "NULL"):
        return None
    if text in ("true", "True", "TRUE", "false", "False", "FALSE"):
        return text.lower() == "true"
    if re.fullmatch(r"[-+]?[0-9]+", text):
        return int(text)
    if re.fullmatch(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", text):
        return float(text)
    return text


def of(path: str) -> dict[str, Any]:
    """Return the part of the schema for a key of the table."""
    part = SCHEMA
    for name in path.split("."):
        part = part["items"] if name == "*" else part["properties"][name]
    return part


def accepts(part: dict[str, Any], value: Any) -> bool:
    return Draft202012Validator(part, format_checker=Draft202012Validator.FORMAT_CHECKER).is_valid(
        value
    )


def test_it_is_a_schema_of_the_draft_it_names() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"] == Draft202012Validator.META_SCHEMA["$id"]


def test_a_schema_that_is_none_is_refused() -> None:
    with pytest.raises(Exception, match="strange"):
        Draft202012Validator.check_schema({**SCHEMA, "type": "strange"})


@pytest.mark.parametrize(
    "path",
    [*sorted((ROOT / "jobs").glob("*.yaml")), ERRORS / "good_base.yaml"],
    ids=lambda p: p.stem,
)
def test_what_the_reader_accepts_is_accepted(path: Path) -> None:
    load_job(path)
    faults = [
        f"{error.json_path}: {error.message}"
        for error in VALIDATOR.iter_errors(as_json(read(path).top))
    ]
    assert faults == []


EXPRESSED = {
    *("J010", "J011", "J012", "J013", "J014", "J015", "J016", "J017", "J018"),
    *("J020", "J021", "J023", "J024", "J025", "J026", "J027", "J028", "J029", "J030", "J031"),
}
"""Faults that show in one value or in the keys of one section. The others: ranges of quantities
(J022), and values that must agree with others (J04x, J05x)."""


def problems(path: Path) -> list[Any]:
    with pytest.raises(JobFaults) as caught:
        load_job(path)
    return list(caught.value.problems)


BAD = {path.stem: problems(path) for path in sorted(ERRORS.glob("bad_*.yaml"))}
READABLE = [name for name, found in BAD.items() if found[0].code.startswith("J")]


def in_whole_numbers(problem: Any) -> bool:
    """Whether a value beyond its range is a number without a unit, which a schema can limit."""
    path = re.match(r"`([^`]*)`", problem.error)
    key = keys().get(re.sub(r"\b[0-9]+\b", "*", path[1])) if path else None
    return problem.code == "J022" and key is not None and key.type in ("count", "number")


@pytest.mark.parametrize("name", READABLE)
def test_what_the_reader_refuses_is_refused_where_one_line_shows_it(name: str) -> None:
    document = as_json(read(ERRORS / f"{name}.yaml").top)
    shown = any(problem.code in EXPRESSED or in_whole_numbers(problem) for problem in BAD[name])
    assert VALIDATOR.is_valid(document) is not shown


def test_every_fault_that_can_be_expressed_is_among_the_faulty_files() -> None:
    assert {problem.code for found in BAD.values() for problem in found} >= EXPRESSED


@pytest.mark.parametrize("key", LEAVES, ids=lambda key: key.path)
def test_each_key_has_an_example_that_its_schema_accepts(key: Key) -> None:
    part = of(key.path)
    assert part["title"]
    assert part["description"].startswith(key.help[0].upper())
    assert part["examples"]
    assert all(accepts(part, example) for example in part["examples"])
    assert accepts(part, "unknown") is (key.unknown or key.type == "text")
    assert not accepts(part, None)
    assert not accepts(part, {})


TYPED = (
    *("38 ft", "38ft", "38", "38 kg", "12 m", "-3 in", "1/2 in", "3 1/2 ft", "1.5 kA", "50 A"),
    *("50 amps", "9.6 kW", "9600 VA", "40 lbf-in", "40 in-lb", "5 N·m", "86 degF", "30 °C"),
    *("yes", "no", "true", "y", "unknown", "copper", "Copper", "14-50", "NM-B", "garage"),
    *(
        "6 AWG",
        "6",
        "#6",
        "2/0",
        "2/0 AWG",
        "250 kcmil",
        "250",
        "5/0 AWG",
        "25 AWG",
        "2x 6 AWG",
        "40",
        "41 AWG",
        "100",
    ),
    *("3/4", "3/4 in", "1 1/4 in", "1-1/4", "7/8", "2026-08-21", "2026-02-30", "21.08.2026"),
    *("0.99", "12", "0", "95 USD", "$95", "5.75 %", "6 days", "1 day", "2 h", "15 min"),
)


@pytest.mark.parametrize("key", LEAVES, ids=lambda key: key.path)
def test_schema_and_reader_agree_on_what_people_type(key: Key) -> None:
    """Beyond its sane range a quantity is refused by the reader alone."""
    part = of(key.path)
    part = part["items"] if part.get("type") == "array" else part
    for text in TYPED:
        if text == "unknown":
            continue
        try:
            value_of(key, text)
        except Unfit as unfit:
            if unfit.code == "J022" and key.type not in ("count", "number"):
                continue
            assert not accepts(part, scalar(text)), text
        else:
            assert accepts(part, scalar(text)), text


def test_the_schema_has_each_key_of_the_table_and_no_other() -> None:
    def paths(part: dict[str, Any], at: str) -> Any:
        for name, inner in part.get("properties", {}).items():
            path = f"{at}.{name}".lstrip(".")
            yield path
            yield from paths(inner, path)
            yield from paths(inner.get("items", {}), f"{path}.*")

    assert sorted(paths(SCHEMA, "")) == sorted(keys())
