"""Job files made wrong on purpose: each demo changed in its tree of keys and in its text.

A change is drawn as a few numbers and applied by a plain function, so that Hypothesis can make
what it found smaller, and a failure reads as a list of changes.
"""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import yaml
from hypothesis import strategies as st
from yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from packet.jobfile.schema import Key, below, keys
from packet.quantities import parse_quantity

DEMOS = sorted((Path(__file__).parents[2] / "jobs").glob("*.yaml"))

TEXT, LIST, MAP = (f"tag:yaml.org,2002:{kind}" for kind in ("str", "seq", "map"))

NO_VALUE = (
    *("", " ", "~", "null", "NaN", "nan", "inf", "-inf", "Infinity", "0", "-0", "-1", "0 A", "1e9"),
    *("1e400 ft", "1_000 ft", "0x10", "1000000000 ft", "-5 ft", "nan ft", "inf A", "1.5.2 ft"),
    *(
        "9" * 400,
        f"{'9' * 280} ft",
        f"0.{'0' * 250}1 in",
        "٣٨ ft",
        "３８ ft",
        "²5 A",
        "½ in",
        "Ⅷ A",
    ),
    *("yes", "no", "on", "true", "unknown", "Unknown", "0001-01-01", "9999-12-31", "2026-02-30"),
    *("2026-13-01", "1/0", "4/0 AWG", "0/0", "1/0 in", "5/0 AWG", "1-0/0", "3/4", "99999 kcmil"),
    *("[]", "{}", "[1, 3]", "{a: 1}", "*a", "&a b", "!!int 3", "<<", "- a", "? a", "| a", "# a"),
    *("a: b", "'", '"', "%", "@", "`", "\\", "\\u202e", "{{ 7 * 7 }}", "{v}", "{0}", "%s", "$(id)"),
    *("</script><b>&amp;", "javascript:app.alert(1)", "../../x", "con", "..", "/etc/passwd", "\\)"),
    *(
        "\u202eltr",
        "a\u200bb",
        "a\ufeffb",
        "\u0000",
        "\x1b[2J",
        "\u0085",
        "\u2028",
        "\ud7ff\U0010ffff",
    ),
    *("é", "e\u0301" * 40, "漢字", "שלום", "🔌" * 30, "x" * 300, "x" * 301, "W" * 5000, "a " * 140),
    *("38 FT", "38ft", "38  ft", "38 furlongs", "38 ft ft", "38 kg", "38 W", "38 %", "38 degF"),
)
"""What some key or every key must refuse, and what only looks like a value of another kind."""


class Change(NamedTuple):
    """One change: what is done, where, with which of the values at hand, and a drawn text."""

    kind: str
    where: int
    which: int
    words: str = ""


class Place(NamedTuple):
    """A node of the tree, with what it stands in and the key of the table that it belongs to."""

    parent: Node
    at: int
    node: Node
    key: Key | None


@dataclass(frozen=True)
class Case:
    """One job file: the demo it was made from, how much of it, and its changes in order.

    ``whole`` is the demo as it is, ``short`` has few lines in each list, and ``bare`` has only
    the sections that a job must have: what is small is tried faster.
    """

    demo: int
    size: str
    changes: tuple[Change, ...] = ()

    def content(self) -> bytes:
        """Return the bytes of the file."""
        text = _demo(self.demo, self.size)
        in_the_tree = [change for change in self.changes if change.kind in IN_THE_TREE]
        if in_the_tree:
            root = _tree(self.demo, self.size)
            for change in in_the_tree:
                IN_THE_TREE[change.kind](root, change)
            text = _written(root) or text
        raw = text.encode("utf-8", "surrogatepass")
        for change in self.changes:
            if change.kind in IN_THE_TEXT:
                raw = IN_THE_TEXT[change.kind](raw, change)
        return raw


def cases(*kinds: str, most: int = 6) -> st.SearchStrategy[Case]:
    """Return job files with one to `most` changes of these kinds."""
    numbers = st.integers(0, 10**6)
    words = st.just("") | st.text(max_size=12)
    change = st.builds(Change, st.sampled_from(kinds), numbers, numbers, words)
    changes = st.lists(change, min_size=1, max_size=most).map(tuple)
    sizes = st.sampled_from(("bare", "short", "bare", "short", "bare", "whole"))
    return st.builds(Case, st.integers(0, len(DEMOS) - 1), sizes, changes)


def any_case() -> st.SearchStrategy[Case]:
    """Return every sort of job file: sound jobs of other houses, wrong values, broken text."""
    return st.one_of(
        cases(*SOUND, most=12),
        cases(*SOUND, *IN_THE_TREE),
        cases(*IN_THE_TREE, most=3),
        cases(*IN_THE_TEXT, most=3),
        cases(*IN_THE_TREE, *IN_THE_TEXT, most=4),
    )


# ------------------------------------------------------------------------------- the tree


def _tree(demo: int, size: str = "whole") -> Node:
    return yaml.compose(_demo(demo, size), yaml.CBaseLoader)


@cache
def _demo(demo: int, size: str = "whole") -> str:
    text = DEMOS[demo].read_text("utf-8")
    if size == "whole":
        return text
    root = _tree(demo)
    if size == "bare":
        root.value = [pair for pair in root.value if keys()[pair[0].value].required]
    for place in _places(root):
        if isinstance(place.node, SequenceNode):
            del place.node.value[3 if size == "short" else 2 :]
    return _written(root)


@cache
def _places_of(demo: int) -> tuple[Place, ...]:
    return tuple(_places(_tree(demo)))


def _written(root: Node) -> str:
    try:
        return str(yaml.serialize(root, Dumper=yaml.CBaseDumper, allow_unicode=True, width=10**6))
    except (yaml.YAMLError, UnicodeEncodeError):  # surrogates, which libyaml does not take
        return ""


def _places(node: Node, path: str = "") -> Iterator[Place]:
    if isinstance(node, MappingNode):
        for at, (word, value) in enumerate(node.value):
            below_path = f"{path}.{word.value}".lstrip(".")
            yield Place(node, at, value, keys().get(below_path))
            yield from _places(value, below_path)
    elif isinstance(node, SequenceNode):
        for at, value in enumerate(node.value):
            inside = keys().get(f"{path}.*") or keys().get(path)
            yield Place(node, at, value, inside)
            yield from _places(value, f"{path}.*")


def _pick(found: list[Any], number: int) -> Any:
    return found[number % len(found)] if found else None


def _put(place: Place, node: Node) -> None:
    if isinstance(place.parent, MappingNode):
        place.parent.value[place.at] = (place.parent.value[place.at][0], node)
    else:
        place.parent.value[place.at] = node


def _scalar(text: str) -> ScalarNode:
    return ScalarNode(TEXT, text)


def _flow(texts: tuple[str, ...]) -> SequenceNode:
    return SequenceNode(LIST, [_scalar(text) for text in texts], flow_style=True)


def _node(key: Key, which: int) -> Node:
    """Return a value that `key` takes; a section with the keys that it needs and some others."""
    if key.type == "section":
        return _section(key.path, which)
    if key.type == "list":
        path = f"{key.path}.*"
        return SequenceNode(LIST, [_section(path, which + n) for n in range(which % 4)])
    values = _fitting(key)
    if key.type in ("choices", "quantities", "spaces"):
        return _flow(tuple(_pick(values, which + n) for n in range(1 + which % 3)))
    return _scalar(_pick(values, which))


def _section(path: str, which: int) -> MappingNode:
    pairs = [
        (_scalar(name), _node(key, which + number))
        for number, (name, key) in enumerate(below(path).items())
        if key.required or (which >> number % 8) % 3 == 0
    ]
    return MappingNode(MAP, pairs)


@cache
def _fitting(key: Key) -> list[str]:
    if key.type in ("choice", "choices", "trade size"):
        values = list(key.choices)
    elif key.type == "yes/no":
        values = ["yes", "no"]
    elif key.type in ("quantity", "quantities"):
        values = [*key.low, *key.high, *_between(key)]
    elif key.type in ("count", "number"):
        values = [*key.low, *key.high, "1", "2", "3", "5", "10"]
    elif key.type == "conductor":
        sizes = "14 12 10 8 6 4 3 2 1 1/0 2/0 3/0 4/0 250 350 500 750 1000 7 5 9 275"
        values = [*key.low, *key.high, *sizes.split()]
    elif key.type == "spaces":
        values = [str(number) for number in range(1, 43)]
    elif key.type == "date":
        values = ["2024-02-29", "2026-08-21", "2026-09-19", "2027-12-31", *key.low, *key.high]
    else:
        values = [key.example, "Ännchen & Søn <b>", "x" * 300, "a" * 60, "漢字", "1", "=1+1", "{}"]
    return [*values, *(["unknown"] if key.unknown else []), key.example.strip("[]").split(",")[0]]


def _between(key: Key) -> list[str]:
    """Return values inside the range of a quantity, evenly by their powers, in each unit."""
    found = []
    for unit in key.units:
        for low, high in zip(key.low, key.high, strict=True):
            ends = [parse_quantity(end, key.units) for end in (low, high)]
            if not ends[0].is_compatible_with(unit):
                continue
            first, last = (Decimal(end.m_as(unit)) for end in ends)
            for share in range(1, 12):
                even = first + (last - first) * share / 12
                near = first + (last - first) * Decimal(2) ** -share
                found += [f"{round(number, 3):f} {unit}" for number in (even, near)]
    return found


def _keyed(root: Node, *, leaves: bool) -> list[Place]:
    """Return the places that the table of keys knows: single values, or sections and lists."""
    return [
        place
        for place in _places(root)
        if place.key and isinstance(place.node, ScalarNode) == leaves
    ]


def _other_value(root: Node, change: Change) -> None:
    place = _pick(_keyed(root, leaves=True), change.where)
    if place:
        _put(place, _scalar(_pick(_fitting(place.key), change.which)))


def _left_out(root: Node, change: Change) -> None:
    """Leave out a key that need not stand, or the line of a list."""
    free = [place for place in _places(root) if place.key and not place.key.required]
    free += [
        p for p in _places(root) if isinstance(p.parent, SequenceNode) and len(p.parent.value) > 1
    ]
    place = _pick(free, change.where)
    if place:
        del place.parent.value[place.at]


def _added(root: Node, change: Change) -> None:
    """Add a key that a section may have and does not."""
    found = [("", root)]
    for place in _places(root):
        if isinstance(place.node, MappingNode) and place.key:
            listed = isinstance(place.parent, SequenceNode)
            found.append((f"{place.key.path}.*" if listed else place.key.path, place.node))
    path, section = _pick(found, change.where)
    here = {word.value for word, _ in section.value}
    key = _pick([key for name, key in below(path).items() if name not in here], change.which)
    if key:
        section.value.append((_scalar(key.name), _node(key, change.which // 7)))


def _of_another_demo(root: Node, change: Change) -> None:
    """Take a value or section from the same place of another demo."""
    place = _pick([place for place in _places(root) if place.key], change.where)
    if not place:
        return
    other = _places_of(change.which % len(DEMOS))
    same = [p for p in other if p.key is place.key and type(p.node) is type(place.node)]
    if same:
        _put(place, copy.deepcopy(_pick(same, change.which // len(DEMOS)).node))


def _lists_joined(root: Node, change: Change) -> None:
    place = _pick([p for p in _places(root) if isinstance(p.node, SequenceNode)], change.where)
    if not place:
        return
    other = _places_of(change.which % len(DEMOS))
    same = [p.node for p in other if p.key is place.key]
    if same and isinstance(same[0], SequenceNode):
        place.node.value.extend(copy.deepcopy(same[0].value))


def _wrong_value(root: Node, change: Change) -> None:
    place = _pick(list(_places(root)), change.where)
    if place:
        _put(place, _scalar(change.words or _pick(list(NO_VALUE), change.which)))


def _value_of_another_key(root: Node, change: Change) -> None:
    place = _pick(list(_places(root)), change.where)
    if place:
        _put(place, _node(_pick(list(keys().values()), change.which), change.which // 300))


def _nudged(root: Node, change: Change) -> None:
    """Change sign, magnitude or unit of a value that has a number."""
    numbers = [p for p in _keyed(root, leaves=True) if p.node.value[:1].isdigit()]
    place = _pick(numbers, change.where)
    if place:
        text = place.node.value
        number, _, unit = text.partition(" ")
        other = _pick([unit for key in keys().values() for unit in key.units], change.which)
        ways = (
            f"-{text}", f"{number}000 {unit}", f"0.000{number} {unit}", f"{number} {other}",
            number, f"{number}{unit}", f"{number},5 {unit}", f"{number}e3 {unit}", f"+{text}",
            f"{number}.{unit}", f"{unit} {number}", f"{number} {unit} {text}", f"0 {unit}",
        )  # fmt: skip
        _put(place, _scalar(_pick(list(ways), change.which)))


def _removed(root: Node, change: Change) -> None:
    place = _pick(list(_places(root)), change.where)
    if place:
        del place.parent.value[place.at]


def _emptied(root: Node, change: Change) -> None:
    place = _pick(list(_places(root)), change.where)
    if place:
        nothing = (_scalar(""), SequenceNode(LIST, []), MappingNode(MAP, []))
        _put(place, _pick(list(nothing), change.which))


def _renamed(root: Node, change: Change) -> None:
    place = _pick([p for p in _places(root) if isinstance(p.parent, MappingNode)], change.where)
    if place:
        word, value = place.parent.value[place.at]
        others = [key.name for key in keys().values()]
        ways = (change.words or word.value[1:], f"{word.value}s", _pick(others, change.which))
        place.parent.value[place.at] = (_scalar(_pick(list(ways), change.which)), value)


def _doubled(root: Node, change: Change) -> None:
    place = _pick(list(_places(root)), change.where)
    if place:
        place.parent.value.insert(place.at, copy.deepcopy(place.parent.value[place.at]))


def _multiplied(root: Node, change: Change) -> None:
    """Repeat a line of a list up to 300 times."""
    place = _pick([p for p in _places(root) if isinstance(p.parent, SequenceNode)], change.where)
    if place:
        lines = [copy.deepcopy(place.node) for _ in range(change.which % 300)]
        place.parent.value[place.at : place.at] = lines


def _swapped(root: Node, change: Change) -> None:
    found = list(_places(root))
    one, other = _pick(found, change.where), _pick(found, change.which)
    if one and other and not ({*_inside(one.node)} & {*_inside(other.node)}):
        _put(one, other.node)
        _put(other, one.node)


def _inside(node: Node) -> Iterator[int]:
    yield id(node)
    for place in _places(node):
        yield id(place.node)


def _aliased(root: Node, change: Change) -> None:
    """Let one node stand in two places: YAML writes an anchor and an alias."""
    found = list(_places(root))
    one, other = _pick(found, change.where), _pick(found, change.which)
    if one and other and not ({*_inside(one.node)} & {*_inside(other.node)}):
        _put(one, other.node)


def _tagged(root: Node, change: Change) -> None:
    place = _pick([p for p in _places(root) if isinstance(p.node, ScalarNode)], change.where)
    if place:
        tags = ("!x", "tag:yaml.org,2002:int", "tag:yaml.org,2002:python/object/apply:os.system")
        place.node.tag = _pick(list(tags), change.which)


def _nested(root: Node, change: Change) -> None:
    place = _pick(list(_places(root)), change.where)
    if place:
        node = place.node
        for level in range(1 + change.which % 25):
            if (change.which >> level % 16) & 1:
                node = SequenceNode(LIST, [node], flow_style=True)
            else:
                node = MappingNode(MAP, [(_scalar("a"), node)], flow_style=True)
        _put(place, node)


def _listed(root: Node, change: Change) -> None:
    """Write a single value as a list, or a list as its first line."""
    place = _pick(list(_places(root)), change.where)
    if place:
        bare = isinstance(place.node, SequenceNode) and place.node.value
        _put(place, place.node.value[0] if bare else SequenceNode(LIST, [place.node] * 2))


SOUND: dict[str, Callable[[Node, Change], None]] = {
    "other value": _other_value,
    "left out": _left_out,
    "added": _added,
    "of another demo": _of_another_demo,
    "lists joined": _lists_joined,
}
"""Changes after which the file is often a sound job, of another house."""

IN_THE_TREE: dict[str, Callable[[Node, Change], None]] = {
    **SOUND,
    "wrong value": _wrong_value,
    "value of another key": _value_of_another_key,
    "nudged": _nudged,
    "removed": _removed,
    "emptied": _emptied,
    "renamed": _renamed,
    "doubled": _doubled,
    "multiplied": _multiplied,
    "swapped": _swapped,
    "aliased": _aliased,
    "tagged": _tagged,
    "nested": _nested,
    "listed": _listed,
}

# ------------------------------------------------------------------------------- the text


def _cut_off(raw: bytes, change: Change) -> bytes:
    return raw[: change.where % (len(raw) + 1)]


def _inserted(raw: bytes, change: Change) -> bytes:
    signs = [
        *(bytes([one]) for one in range(256)),
        *(b"\t", b"\r", b"\xef\xbb\xbf", b"---\n", b"...\n", b"%YAML 1.2\n", b"\n\n", b": ", b"- "),
        *(
            "\u202e\u2066\u200b\u0085\u2028\ufeff".encode(),
            b"[" * 30,
            b"{" * 30,
            b"&a ",
            b"*a",
            b"!!a ",
        ),
        *(
            b"<<: *a\n",
            b"? ",
            b"| ",
            b"> ",
            b'"',
            b"'",
            b"\\x00",
            b"#",
            b"\xed\xa0\x80",
            b"\xff\xfe",
        ),
    ]
    at = change.where % (len(raw) + 1)
    sign = change.words.encode("utf-8", "surrogatepass") or _pick(signs, change.which)
    return raw[:at] + sign + raw[at:]


def _cut_out(raw: bytes, change: Change) -> bytes:
    at = change.where % (len(raw) + 1)
    return raw[:at] + raw[at + 1 + change.which % 60 :]


def _on_lines(change_lines: Callable[[list[bytes], int, Change], None]) -> Any:
    def changed(raw: bytes, change: Change) -> bytes:
        lines = raw.split(b"\n")
        change_lines(lines, change.where % len(lines), change)
        return b"\n".join(lines)

    return changed


def _line_out(lines: list[bytes], at: int, _: Change) -> None:
    del lines[at]


def _line_twice(lines: list[bytes], at: int, change: Change) -> None:
    lines.insert(change.which % len(lines), lines[at])


def _line_moved(lines: list[bytes], at: int, change: Change) -> None:
    lines.insert(change.which % len(lines), lines.pop(at))


def _line_shifted(lines: list[bytes], at: int, change: Change) -> None:
    lines[at] = b" " * (change.which % 9) + lines[at].lstrip()


def _line_of_another(lines: list[bytes], at: int, change: Change) -> None:
    other = DEMOS[change.which % len(DEMOS)].read_bytes().split(b"\n")
    begin = change.which // len(DEMOS) % len(other)
    lines[at:at] = other[begin : begin + 1 + change.which % 30]


def _joined_to_another(raw: bytes, change: Change) -> bytes:
    other = DEMOS[change.which % len(DEMOS)].read_bytes()
    return raw[: change.where % (len(raw) + 1)] + other[change.which % len(other) :]


def _other_line_ends(raw: bytes, change: Change) -> bytes:
    return raw.replace(b"\n", _pick([b"\r\n", b"\r", b"\n\n", b"\n\r", b" \n"], change.which))


def _digits_changed(raw: bytes, change: Change) -> bytes:
    """Replace every one of one digit by something else."""
    other = _pick([b"", b"9", b"99", b"-", b".", b"e", b"0", b" ", "٣".encode()], change.which)
    return raw.replace(b"%d" % (change.where % 10), other)


IN_THE_TEXT: dict[str, Callable[[bytes, Change], bytes]] = {
    "cut off": _cut_off,
    "inserted": _inserted,
    "cut out": _cut_out,
    "line out": _on_lines(_line_out),
    "line twice": _on_lines(_line_twice),
    "line moved": _on_lines(_line_moved),
    "line shifted": _on_lines(_line_shifted),
    "lines of another demo": _on_lines(_line_of_another),
    "joined to another demo": _joined_to_another,
    "other line ends": _other_line_ends,
    "digits changed": _digits_changed,
}
