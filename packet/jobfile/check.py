"""Nodes held against the table of keys: a whole job, or every fault with its place."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from contextlib import suppress
from dataclasses import replace
from functools import lru_cache
from itertools import pairwise
from typing import Any

from packet.jobfile.agree import AGREEMENTS
from packet.jobfile.faults import Faults
from packet.jobfile.model import SECTIONS, Given, Job, Section, Unknown
from packet.jobfile.read import Document, Items, Mapping, Node, Text
from packet.jobfile.schema import Condition, Key, below, keys
from packet.jobfile.values import Unfit, listed, suggestion, value_of
from packet.problems import Span, typed


def check(document: Document) -> Job:
    """Return the job that a document holds.

    Raises
    ------
    JobFaults
        With every fault of keys and values (codes J0xx).
    """
    faults = Faults(document.file, document.lines)
    values = _checked(document, _Reader(faults))
    faults.stop()
    return Job(faults.whole(), "", document.lines, **values)


def check_so_far(document: Document, faults: Faults, settled: Collection[str]) -> None:
    """Note every fault of a document that is not whole yet.

    What it does not say is no fault, and what must agree with that is not judged yet.

    Parameters
    ----------
    document : Document
    faults : Faults
        Of the file of `document`.
    settled : collection of str
        Paths of what was left out for good, and of lists that have all their lines.
    """
    _checked(document, _ReaderSoFar(faults, settled))


def _checked(document: Document, reader: _Reader) -> dict[str, Any]:
    values = reader.section_values("", "", document.top, reader.faults.whole())
    whole = {
        name: value
        for name, value in values.items()
        if name not in reader.broken and not (value is None and keys()[name].required)
    }
    for parts, agree in AGREEMENTS:
        if all(part in whole for part in parts):
            with suppress(_NotYetSaid):
                agree(reader.faults, *(whole[part] for part in parts))
    return values


class _NotYetSaid(Exception):
    """Something was asked for that a document does not say yet."""


class _Pending:
    """Stands for what a document does not say yet; whoever looks at it learns that."""

    def _nothing(self, *_: object) -> Any:
        raise _NotYetSaid

    __getattr__ = __iter__ = __bool__ = __len__ = _nothing


class _Growing(tuple[Section, ...]):
    """Lines of a list that may get more."""

    __slots__ = ()

    def __iter__(self) -> Iterator[Section]:
        yield from super().__iter__()
        raise _NotYetSaid


_THOUSANDS = re.compile(r"[0-9]{3}(?![0-9])")


class _Reader:
    """Walks the nodes; what has a fault becomes None, and its fault is noted."""

    def __init__(self, faults: Faults) -> None:
        self.faults = faults
        self.broken: set[str] = set()
        """Names of the top sections that have a fault in them."""

    read = staticmethod(value_of)

    def fault(self, code: str, span: Span, path: str, case: str = "", **words: object) -> None:
        self.broken.add(path.partition(".")[0])
        self.faults.add(code, span, case, path=path, **words)

    def section(self, key: Key, path: str, node: Mapping, span: Span) -> Section:
        table = key.path if key.type == "section" else f"{key.path}.*"
        values = self.section_values(table, path, node, span)
        return SECTIONS[table](span=span, path=path, **values)

    def section_values(self, table: str, path: str, node: Mapping, span: Span) -> dict[str, Any]:
        """Return the values of a section by name, None for what is not there or not right."""
        known = below(table)
        given = {key.value: (key, value) for key, value in node.pairs}
        meant = {self.unknown_key(key, known, path) for key, _ in node.pairs}
        cut = self.cut_by_commas(node, known, path)
        values: dict[str, Any] = {}
        for name, key in known.items():
            place = f"{path}.{name}" if path else name
            values[name] = None
            if name not in given:
                if name not in meant:
                    self.missing(key, path, span, given, values)
                continue
            if name in cut:
                continue
            word, value = given[name]
            unmet = self.unmet(key.only_when, given, values)
            if unmet:
                self.fault("J017", word.span, place, because=unmet)
            else:
                values[name] = self.value(key, place, word.span, value)
        return values

    def cut_by_commas(self, node: Mapping, known: dict[str, Key], path: str) -> set[str]:
        """Note numbers that a comma within brackets cut in two; return the names of their keys."""
        cut = set()
        for (name, value), (rest, nothing) in pairwise(node.pairs):
            if (
                name.value in known
                and isinstance(value, Text)
                and _THOUSANDS.match(rest.value)
                and nothing == Text("", nothing.span)
            ):
                whole = f"{value.value},{rest.value}"
                repaired = f"{name.value}: {value.value}{rest.value}"
                self.fault("J011", rest.span, path, text=typed(whole), repaired=typed(repaired))
                cut.add(name.value)
        return cut

    def unknown_key(self, key: Text, known: dict[str, Key], path: str) -> str:
        """Note a key that the section does not have; return the name that was meant."""
        name = key.value
        if name in known or _THOUSANDS.match(name):
            return ""
        place = f"`{path}`" if path else "the job file"
        where = f"{path}.{name}" if path else name
        words = {word: each.name for each in known.values() for word in (each.name, *each.also)}
        near = words.get(suggestion(name, list(words)), "")
        homes = [each.parent.removesuffix(".*") for each in keys().values() if each.name == name]
        case = "near" if near else "elsewhere" if homes else "takes"
        self.fault(
            "J010",
            key.span,
            where,
            case,
            key=typed(name),
            place=place,
            near=near or listed([home or "the job file" for home in homes[:4]]),
            known=listed(list(known)),
        )
        return near

    def missing(
        self, key: Key, path: str, span: Span, given: dict[str, Any], values: dict[str, Any]
    ) -> None:
        needed = bool(key.required_when) and not self.unmet(key.required_when, given, values)
        if not key.required and not needed:
            return
        where = f"{path}.{key.name}" if path else key.name
        words = {
            "place": f"`{path}`" if path else "the job file",
            "key": key.name,
            "example": key.example or "...",
            "says": key.help,
        }
        if key.required:
            self.fault("J012", span, where, **words)
        elif all(values.get(name) is not None for name, _ in key.required_when):
            because = ", ".join(f"{name}: {given[name][1].value}" for name, _ in key.required_when)
            self.fault("J013", span, where, because=because, **words)

    @staticmethod
    def unmet(condition: Condition, given: dict[str, Any], values: dict[str, Any]) -> str:
        """Return the first part of `condition` that does not hold, or nothing.

        A neighbour that has a fault of its own is not held against the key.
        """
        for name, wanted in condition:
            if name in given:
                text = getattr(given[name][1], "value", "")
                if values.get(name) is None or text in wanted:
                    continue
            return f"{name}: {wanted[0]}"
        return ""

    def value(self, key: Key, path: str, word: Span, node: Node) -> Any:
        if isinstance(node, Text) and (
            not node.value or (node.plain and node.value.lower() in ("null", "~"))
        ):
            self.fault("J015", word, path, says=key.help)
            return None
        if key.type == "section":
            if isinstance(node, Mapping):
                return self.section(key, path, node, word)
            return self.wrong_shape(key, path, node, "section", "keys with values")
        if key.type == "list":
            return self.list_of_sections(key, path, word, node)
        if key.type in ("choices", "quantities", "spaces"):
            return self.list_of_values(key, path, word, node)
        if isinstance(node, Text):
            return self.leaf(key, path, node)
        return self.wrong_shape(key, path, node, "value", "one value")

    def list_of_sections(
        self, key: Key, path: str, word: Span, node: Node
    ) -> tuple[Section, ...] | None:
        if not isinstance(node, Items):
            self.wrong_shape(key, path, node, "list", "a list")
            return None
        if len(node.items) < key.at_least:
            self.fault("J016", word, path, says=key.help)
        if self.too_many(key, path, word, node):
            return None
        sections = []
        for number, item in enumerate(node.items, 1):
            place = f"{path}.{number}"
            if isinstance(item, Mapping):
                sections.append(self.section(key, place, item, item.span))
            else:
                self.wrong_shape(key, place, item, "section", "keys with values")
        return tuple(sections)

    def list_of_values(
        self, key: Key, path: str, word: Span, node: Node
    ) -> Given[Any] | Unknown | None:
        if not isinstance(node, Items):
            self.wrong_shape(key, path, node, "values", "a list of values in brackets")
            return None
        if not node.items:
            self.fault("J016", word, path, says=key.help)
            return None
        if self.too_many(key, path, word, node):
            return None
        values = []
        for number, item in enumerate(node.items, 1):
            place = f"{path}.{number}"
            if isinstance(item, Text):
                values.append(self.leaf(key, place, item))
            else:
                self.wrong_shape(key, place, item, "value", "one value")
        if any(value is None for value in values):
            return None
        return Given(tuple(value.value for value in values), node.span, path)

    def too_many(self, key: Key, path: str, word: Span, node: Items) -> bool:
        """Note a list too long to be meant, which could keep the machine for an hour."""
        count = len(node.items)
        if count > key.at_most:
            self.fault("J019", word, path, count=count, limit=key.at_most, says=key.help)
        return count > key.at_most

    def leaf(self, key: Key, path: str, node: Text) -> Any:
        if node.value == "unknown" and key.type != "text":
            if key.unknown:
                return Unknown(node.span, path)
            case = "needed" if key.required else "optional"
            self.fault("J018", node.span, path, case, says=key.help)
            return None
        try:
            return Given(self.read(key, node.value), node.span, path)
        except Unfit as unfit:
            words = {
                "text": typed(node.value),
                "example": key.example.strip("[]").split(",")[0]
                if key.type in ("spaces", "quantities", "choices")
                else key.example,
                "says": key.help,
            }
            span = self.at_sign(node.span, unfit.sign) if unfit.sign else node.span
            self.fault(unfit.code, span, path, unfit.case, **{**words, **unfit.words})
            return None

    def at_sign(self, span: Span, sign: str) -> Span:
        """Return the place of a sign in a value; the value, where the sign is typed by its code."""
        at = self.faults.lines[span.line - 1].find(sign, span.column - 1)
        return span if at < 0 else replace(span, column=at + 1, length=1)

    def wrong_shape(self, key: Key, path: str, node: Node, case: str, wanted: str) -> None:
        found = {Text: "one value", Items: "a list", Mapping: "keys with values"}[type(node)]
        self.fault("J014", node.span, path, case, found=found, wanted=wanted, example=key.example)


class _ReaderSoFar(_Reader):
    """Reads a document that is still being written, again and again."""

    read = staticmethod(lru_cache(maxsize=4096)(value_of))

    def __init__(self, faults: Faults, settled: Collection[str]) -> None:
        super().__init__(faults)
        self.settled = settled

    def missing(
        self,
        key: Key,
        path: str,
        span: Span,  # noqa: ARG002
        given: dict[str, Any],  # noqa: ARG002
        values: dict[str, Any],
    ) -> None:
        where = f"{path}.{key.name}" if path else key.name
        values[key.name] = None if where in self.settled else _Pending()

    def list_of_sections(
        self, key: Key, path: str, word: Span, node: Node
    ) -> tuple[Section, ...] | None:
        sections = super().list_of_sections(key, path, word, node)
        if sections is None or path in self.settled:
            return sections
        return _Growing(sections)
