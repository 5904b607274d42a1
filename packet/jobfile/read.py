"""A job file's text read into nodes that know where they stand; every scalar stays text.

Of YAML a job file uses keys, values, lists and comments. What could hide a value, give
it another meaning or give it twice is refused, each with its place.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeAlias, cast

import yaml
from yaml.error import MarkedYAMLError

from packet.jobfile.faults import JOB_FILE, Faults
from packet.problems import Span, typed

_PARSERS = (getattr(yaml, "CSafeLoader", yaml.SafeLoader), yaml.SafeLoader)
"""libyaml, where PyYAML was built with it, needs a tenth of the time."""

LARGEST_KIB = 256
DEEPEST = 20

_BIDIRECTIONAL = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
_HIDDEN_CATEGORIES = frozenset({"Cc", "Cs", "Co", "Cn", "Zl", "Zp"})


@dataclass(frozen=True)
class Text:
    """A single value as typed; `plain` says that it stood without quotation marks."""

    value: str
    span: Span
    plain: bool = True


@dataclass(frozen=True)
class Items:
    """A list."""

    items: tuple[Node, ...]
    span: Span


@dataclass(frozen=True)
class Mapping:
    """Keys with values, in the order of the file; no key stands twice."""

    pairs: tuple[tuple[Text, Node], ...]
    span: Span

    def get(self, key: str) -> Node | None:
        """Return the value of `key`, or None."""
        return next((value for name, value in self.pairs if name.value == key), None)


Node: TypeAlias = Text | Items | Mapping


@dataclass(frozen=True)
class Document:
    """A job file that was read: its top mapping, and its lines for later messages."""

    file: str
    top: Mapping
    lines: tuple[str, ...]


def read(path: Path | str, kind: dict[str, str] = JOB_FILE) -> Document:
    """Read a job file, or another file in the same plain YAML.

    Parameters
    ----------
    path : path
        A regular file of at most 256 KiB, UTF-8.
    kind : mapping
        How messages speak of the file.

    Raises
    ------
    JobFaults
        With every fault of the text (codes Y0xx).
    """
    faults = Faults(str(path), kind=kind)
    raw = _bytes(Path(path), faults)
    return read_text(str(path), _decoded(raw, faults), kind)


def read_text(file: str, text: str, kind: dict[str, str] = JOB_FILE) -> Document:
    """Read the text of a job file, or of another `kind`, that messages shall call `file`.

    Raises
    ------
    JobFaults
        With every fault of the text (codes Y0xx).
    """
    lines = tuple(text.split("\n"))
    faults = Faults(file, lines, kind=kind)
    _refuse_hidden_characters(lines, faults)
    faults.stop()
    return Document(file, _Composer(faults).compose(text), lines)


def _bytes(path: Path, faults: Faults) -> bytes:
    limit = LARGEST_KIB * 1024
    try:
        if path.exists() and not path.is_file():
            faults.add("Y001", faults.whole(), reason="it is not a file")
            faults.stop()
        with path.open("rb") as file:
            raw = file.read(limit + 1)
    except (OSError, ValueError) as fault:
        reason = (getattr(fault, "strerror", None) or str(fault)).lower()
        faults.add("Y001", faults.whole(), reason=reason)
        faults.stop()
        raise
    if len(raw) > limit:
        faults.add("Y002", faults.whole(), limit=LARGEST_KIB)
        faults.stop()
    return raw


def _decoded(raw: bytes, faults: Faults) -> str:
    try:
        return raw.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as fault:
        good = fault.object[: fault.start].decode("utf-8")
        bad = fault.object[fault.start :].split(b"\n")[0].decode("utf-8", "replace")
        faults.lines = (good + bad).replace("\r\n", "\n").split("\n")
        line, column = good.count("\n") + 1, len(good) - (good.rfind("\n") + 1) + 1
        faults.add("Y003", Span(faults.file, line, column))
        faults.stop()
        raise


def _refuse_hidden_characters(lines: tuple[str, ...], faults: Faults) -> None:
    """Note the first tab and the first unprintable character of each line."""
    for number, line in enumerate(lines, 1):
        tab = line.find("\t")
        if tab >= 0:
            faults.add("Y004", Span(faults.file, number, tab + 1))
        for column, character in _hidden(line):
            span = Span(faults.file, number, column)
            faults.add("Y005", span, character=f"U+{ord(character):04X}")
            break


def _hidden(text: str) -> Iterator[tuple[int, str]]:
    for column, character in enumerate(text, 1):
        if character.isprintable() or character in "\t\n":
            continue
        category = unicodedata.category(character)
        if category in _HIDDEN_CATEGORIES or character in _BIDIRECTIONAL or character == "\ufeff":
            yield column, character


@dataclass
class _Open:
    """A mapping or list that is not closed yet, and the event that opened it."""

    event: yaml.CollectionStartEvent
    children: list[Node] = field(default_factory=list)


class _Composer:
    """Builds nodes from the events of the YAML parser, without recursion."""

    def __init__(self, faults: Faults) -> None:
        self.faults = faults
        self.open: list[_Open] = []
        self.top: Node | None = None

    def compose(self, text: str) -> Mapping:
        """Return the top mapping; stop with every fault there is.

        Raises
        ------
        JobFaults
            With every fault of the text.
        """
        try:
            self.take_all(text, _PARSERS[0])
        except yaml.YAMLError:
            self.open.clear()
            self.faults.found.clear()
            self.read_slowly(text)
        if not self.faults.found:
            self.check_top()
        self.faults.stop()
        return cast("Mapping", self.top)

    def take_all(self, text: str, parser: Any) -> None:
        documents = 0
        for event in yaml.parse(text, Loader=parser):
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents == 2:
                    self.faults.add("Y007", self.span(event))
                    return
                if event.version or event.tags:
                    self.faults.add("Y027", self.directive())
            elif not self.take(event):
                return

    def read_slowly(self, text: str) -> None:
        """Read what the fast parser could not; this one says what is wrong, and where."""
        try:
            self.take_all(text, _PARSERS[-1])
        except MarkedYAMLError as fault:
            self.not_readable(fault)
        except (yaml.YAMLError, ValueError, OverflowError) as fault:
            self.faults.add("Y010", self.faults.whole(), "other", said=str(fault).splitlines()[0])

    def directive(self) -> Span:
        """Return the first line that begins with a percent sign."""
        lines = enumerate(self.faults.lines, 1)
        number, line = next((n, line) for n, line in lines if line.startswith("%"))
        return Span(self.faults.file, number, 1, len(line))

    def check_top(self) -> None:
        if self.top is None or (isinstance(self.top, Text) and not self.top.value):
            self.faults.add("Y006", self.faults.whole())
        elif not isinstance(self.top, Mapping):
            found = "a list" if isinstance(self.top, Items) else "a single value"
            self.faults.add("Y008", self.top.span, found=found)

    def take(self, event: yaml.Event) -> bool:
        """Take in one event; False where reading on makes no sense."""
        if isinstance(event, yaml.AliasEvent):
            self.faults.add("Y021", self.span(event), text=f"*{event.anchor}")
            self.place(Text("", self.span(event)))
        elif isinstance(event, yaml.ScalarEvent):
            self.refuse_decoration(event)
            self.place(self.text(event))
        elif isinstance(event, yaml.CollectionStartEvent):
            self.refuse_decoration(event)
            if len(self.open) == DEEPEST:
                self.faults.add("Y025", self.span(event), limit=DEEPEST)
                return False
            self.open.append(_Open(event))
        elif isinstance(event, yaml.CollectionEndEvent):
            self.close(event)
        return True

    def refuse_decoration(self, event: yaml.NodeEvent) -> None:
        if event.anchor is not None:
            self.faults.add("Y022", self.span(event), text=f"&{event.anchor}")
        tag = getattr(event, "tag", None)
        if tag is not None:
            short = tag.replace("tag:yaml.org,2002:", "!!")
            self.faults.add("Y023", self.span(event), text=typed(short))

    def text(self, event: Any) -> Text:
        span = self.span(event)
        if event.style in ("'", '"') and event.end_mark.line > event.start_mark.line:
            self.faults.add("Y011", span)
        for _, character in _hidden(event.value):
            self.faults.add("Y005", span, character=f"U+{ord(character):04X}")
            break
        return Text(" ".join(event.value.split()), span, not event.style)

    def close(self, event: yaml.CollectionEndEvent) -> None:
        done = self.open.pop()
        span = self.span(done.event, event if done.event.flow_style else done.event)
        if isinstance(done.event, yaml.SequenceStartEvent):
            self.place(Items(tuple(done.children), span))
        else:
            self.place(Mapping(tuple(self.pairs(done.children)), span))

    def place(self, node: Node) -> None:
        if self.open:
            self.open[-1].children.append(node)
        else:
            self.top = node

    def pairs(self, children: list[Node]) -> Iterator[tuple[Text, Node]]:
        first: dict[str, Span] = {}
        for key, value in zip(children[::2], children[1::2], strict=True):
            if not isinstance(key, Text) or not key.value:
                self.faults.add("Y026", key.span)
            elif key.value == "<<" and key.plain:
                self.faults.add("Y024", key.span)
            elif key.value in first:
                line = first[key.value].line
                self.faults.add("Y020", key.span, key=typed(key.value), line=line)
            else:
                first[key.value] = key.span
                yield key, value

    def span(self, event: Any, last: Any = None) -> Span:
        """Return the text from `event` to `last`, or the rest of its first line."""
        start, end = event.start_mark, (last or event).end_mark
        line = self.line(self.at(start))
        whole = end.line == start.line and end.column > start.column
        stop = end.column if whole else len(line.rstrip())
        return Span(self.faults.file, start.line + 1, start.column + 1, max(1, stop - start.column))

    def not_readable(self, fault: MarkedYAMLError) -> None:
        """Say where and why the parser stopped, unless an open quotation mark explains it."""
        if any(problem.code == "Y011" for problem in self.faults.found):
            return
        problem, context = fault.problem or "", fault.context or ""
        stopped, began = fault.problem_mark, fault.context_mark
        case, words, at_beginning = _advice(problem, context)
        span = self.at(began if at_beginning and began else stopped or began)
        if not self.line(span).strip():
            span = self.at(began or stopped)
        if case == "quote":
            self.faults.add("Y011", span)
        elif case == "colon" and ":" not in self.line(span)[: span.column - 1]:
            self.faults.add("Y010", span, "indent", said=_UNFIT_LINE)
        else:
            self.faults.add("Y010", span, case, said=words)

    def at(self, mark: Any) -> Span:
        """Return the place of a mark; the whole file where the parser gives none."""
        if mark is None:
            return self.faults.whole()
        return Span(self.faults.file, mark.line + 1, mark.column + 1)

    def line(self, span: Span) -> str:
        return self.faults.lines[span.line - 1] if span.line <= len(self.faults.lines) else ""


_UNFIT_LINE = "the line does not fit what stands above it"

_SAID = (
    # what the parser says, in which context, the case of help, our words, shown where it began
    ("mapping values are not allowed", "", "colon", "a second colon stands here", False),
    ("unexpected end of stream", "quoted scalar", "quote", "", True),
    ("document separator", "quoted scalar", "quote", "", True),
    ("escape", "double-quoted", "escape", "a backslash stands in quotation marks", False),
    ("expected ',' or", "flow", "bracket", "a bracket is not closed, or a comma is missing", True),
    ("cannot start any token", "", "reserved", "a value begins with a reserved character", False),
    ("could not find expected ':'", "", "key", "a colon is missing", True),
    ("expected <block end>", "block", "indent", _UNFIT_LINE, False),
    ("expected the node content", "flow", "comma", "a value is missing between brackets", False),
    ("expected the node content", "", "bracket", "a bracket stands alone", False),
    ("not allowed here", "", "indent", _UNFIT_LINE, False),
)


def _advice(said: str, context: str) -> tuple[str, str, bool]:
    """Return the case of help, our own words for what the parser says, and where to point."""
    for phrase, within, case, words, at_beginning in _SAID:
        if phrase in said and within in context:
            return case, words, at_beginning
    return "other", said, False
