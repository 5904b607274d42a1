"""The reader of plain YAML: text stays text, and stands where it says."""

from __future__ import annotations

import time
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from packet.jobfile import JobFaults
from packet.jobfile.read import Items, Mapping, Node, Text, read


def read_text(folder: Path, text: str | bytes) -> Mapping:
    file = folder / "job.yaml"
    file.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
    return read(file).top


def plain(node: Node) -> object:
    """Return a node as the general-purpose library would build it."""
    if isinstance(node, Mapping):
        return {key.value: plain(value) for key, value in node.pairs}
    if isinstance(node, Items):
        return [plain(item) for item in node.items]
    return node.value


def leaves(node: Node) -> Iterator[Text]:
    if isinstance(node, Mapping):
        for key, value in node.pairs:
            yield key
            yield from leaves(value)
    elif isinstance(node, Items):
        for item in node.items:
            yield from leaves(item)
    else:
        yield node


@pytest.mark.parametrize(
    "scalar",
    ["on", "off", "yes", "NO", "1:30", "010", "1_000", "2026-01-02", "1e3", "4/0", ".5", "0x1F"],
)
def test_every_scalar_stays_text(tmp_path: Path, scalar: str) -> None:
    """Implicit typing once turned a breaker label `on` into a truth and 1:30 into ninety."""
    assert plain(read_text(tmp_path, f"key: {scalar}\n")) == {"key": scalar}


WORDS = st.text(
    st.characters(codec="utf-8", categories=["L", "N", "P", "S", "Zs"]), min_size=1, max_size=30
).filter(lambda text: text == " ".join(text.split()))
TREES = st.dictionaries(
    WORDS,
    st.recursive(
        WORDS,
        lambda inner: st.lists(inner, max_size=3) | st.dictionaries(WORDS, inner, max_size=3),
        max_leaves=8,
    ),
    min_size=1,
    max_size=4,
)


@settings(max_examples=120, deadline=None, derandomize=True)
@given(tree=TREES, flow=st.booleans())
def test_reads_what_a_general_library_wrote(
    tmp_path_factory: pytest.TempPathFactory, tree: dict[str, object], flow: bool
) -> None:
    """PyYAML's own writer and its loader without types are the outside reference."""
    text = yaml.safe_dump(tree, allow_unicode=True, default_flow_style=flow, width=10_000)
    outside = yaml.load(text, yaml.CBaseLoader)  # noqa: S506 - text only
    assert plain(read_text(tmp_path_factory.mktemp("tree"), text)) == outside == tree


@settings(max_examples=200, deadline=None, derandomize=True)
@given(raw=st.binary(max_size=200) | st.text(max_size=200).map(str.encode))
def test_no_input_ends_in_a_traceback(tmp_path_factory: pytest.TempPathFactory, raw: bytes) -> None:
    report = report_on(tmp_path_factory.mktemp("raw"), raw)
    assert report == "" or report.endswith("nothing was printed")


def report_on(folder: Path, raw: bytes) -> str:
    try:
        read_text(folder, raw)
    except JobFaults as faults:
        return str(faults)
    return ""


@pytest.mark.parametrize("text", ["[" * 200_000, "{" * 200_000, "- " * 100_000, "? " * 50_000])
def test_deep_nesting_ends_soon(tmp_path: Path, text: str) -> None:
    start = time.monotonic()
    with pytest.raises(JobFaults) as caught:
        read_text(tmp_path, f"a:\n {text}")
    assert time.monotonic() - start < 5
    assert {problem.code for problem in caught.value.problems} <= {"Y025", "Y010"}


def test_twenty_deep_is_allowed_and_no_more(tmp_path: Path) -> None:
    # The top mapping is the first level.
    read_text(tmp_path, f"a: {'[' * 19}{']' * 19}")
    with pytest.raises(JobFaults):
        read_text(tmp_path, f"a: {'[' * 20}{']' * 20}")


def test_line_ends_and_byte_order_mark_of_other_systems(tmp_path: Path) -> None:
    read_back = read_text(tmp_path, b"\xef\xbb\xbfa: 1\r\nb:\r\n  - x\r\n")
    assert plain(read_back) == {"a": "1", "b": ["x"]}
    assert read_back.pairs[1][0].span.line == 2


def test_a_text_over_several_lines_is_one_value(tmp_path: Path) -> None:
    assert plain(read_text(tmp_path, "a: one\n  two\nb: >\n  three\n  four\n")) == {
        "a": "one two",
        "b": "three four",
    }


def test_a_span_is_the_text_that_was_typed(tmp_path: Path) -> None:
    text = "key: 38 ft   # remark\nlist: [ a b , 'c d']\nö: {x:  1}\n"
    top = read_text(tmp_path, text)
    lines = text.split("\n")
    for leaf in leaves(top):
        span = leaf.span
        typed = lines[span.line - 1][span.column - 1 : span.column - 1 + span.length]
        assert typed.strip("'") == leaf.value
