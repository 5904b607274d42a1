"""Answers by the path of their key: read from a file, kept line by line, put together as a job.

A file of answers is plain YAML such as a job file is, read by the same reader. A key may be a
whole path (``route.1.length: 29 ft``), and a job file is one too. Beside values there are: no
value, for what is left out; ``unknown``, for what is not known; and ``yes`` or ``no`` at a
section (``prices: no``) or at a line of a list (``panel.breakers.9: no``), for whether there
is one.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from pathlib import Path

from packet.jobfile.check import check, check_so_far
from packet.jobfile.faults import Faults
from packet.jobfile.model import Job
from packet.jobfile.read import Document, Items, Node, Text, read, read_text
from packet.jobfile.read import Mapping as Keys
from packet.jobfile.schema import Key, keys
from packet.problems import Problem, Span, plain

NOT_KNOWN = "unknown"
YES, NO = "yes", "no"


@lru_cache(maxsize=4096)
def starred(path: str) -> str:
    """Return the path as the table of keys has it: ``route.2.length`` -> ``route.*.length``."""
    return re.sub(r"(?<=\.)[0-9]+(?=\.|$)", "*", path)


def spelled(text: str, *, in_brackets: bool = False) -> str:
    """Return a text as YAML: plain where that is read back as it stands, else in quotes."""
    plain_signs = r"[\w$°][\w .()/%+'·°²³&;-]*" if in_brackets else r"[\w$°][\w .,()/%+'·°²³&;-]*"
    is_plain = re.fullmatch(plain_signs, text) and text.lower() != "null" and text[-1] != " "
    return text if is_plain else "'" + text.replace("'", "''") + "'"


def spelled_node(node: Node, *, in_brackets: bool = False) -> str:
    """Return a value, or a list of values, as YAML on one line."""
    if isinstance(node, Text):
        return spelled(node.value, in_brackets=in_brackets) if node.value else ""
    if isinstance(node, Items):
        return f"[{', '.join(spelled_node(item, in_brackets=True) for item in node.items)}]"
    raise TypeError("a section is no value")


class _FaultsOfAnswers(Faults):
    """Names the earlier answer where a message would only give its line."""

    def add(self, code: str, span: Span, case: str = "", **words: object) -> None:
        line = words.get("line")
        if isinstance(line, int) and 0 < line <= len(self.lines):
            words["line"] = f"{line} (`{self.lines[line - 1].strip()}`)"
        super().add(code, span, case, **words)


@dataclass(frozen=True)
class Answers:
    """All answers so far; every change gives another one.

    Parameters
    ----------
    file : str
        What messages call the file that they stand in.
    said : dict of str to str
        Path -> value as YAML on one line, in the order in which they were given.
    source : Document, optional
        The file they were read from, as long as nothing was changed: messages point into it.
    """

    file: str
    said: Mapping[str, str] = field(default_factory=dict)
    source: Document | None = None

    @classmethod
    def read(cls, path: Path, *, whole: bool = False) -> Answers:
        """Read a file of answers, which must have no fault.

        Parameters
        ----------
        path : Path
        whole : bool
            Whether they must make a whole job: then what is missing is a fault too.

        Raises
        ------
        JobFaults
            With every fault of the text, of keys and of values.
        """
        document = read(path)
        flat = _Flat(document, _FaultsOfAnswers(str(path), document.lines))
        if whole:
            flat.job()
        flat.check()
        flat.faults.stop()
        said = {place: spelled_node(node) for place, (_, node) in flat.given.items()}
        return cls(str(path), said, document)

    def with_answer(self, path: str, value: str) -> Answers:
        """Return these answers and one more; `value` is YAML on one line."""
        return Answers(self.file, {**self.said, path: value})

    def without(self, *paths: str) -> Answers:
        """Return these answers but those to `paths`."""
        return Answers(self.file, {at: text for at, text in self.said.items() if at not in paths})

    def path_at(self, line: int) -> str:
        """Return the path of the answer on a line of :meth:`lines`, counted from 1."""
        return list(self.said)[line - 1]

    def lines(self) -> list[str]:
        """Return the lines of a file of answers."""
        return [f"{path}: {value}".rstrip() for path, value in self.said.items()]

    def text_of(self, path: str) -> str | None:
        """Return an answer as typed; empty for what is left out, None without an answer."""
        if path not in self._flat.given:
            return None
        node = self._flat.given[path][1]
        return node.value if isinstance(node, Text) else spelled_node(node)

    def has(self, path: str) -> bool:
        """Whether a section or a line of a list is there, by its own answer or what is in it."""
        text = self.text_of(path)
        return text == YES or path in self._flat.around

    def not_known(self) -> frozenset[str]:
        """Return the paths of what someone does not know."""
        return frozenset(path for path in self.said if self.text_of(path) == NOT_KNOWN)

    def faults(self) -> list[Problem]:
        """Return what is wrong so far; what is not answered yet is not wrong."""
        self._flat.faults.found.clear()
        self._flat.check()
        return self._flat.faults.found

    def document(self) -> Document:
        """Return the job that these answers make, leaving out what nobody knows."""
        return Document(self.file, self._flat.top(whole=False), self._flat.document.lines)

    def job(self) -> Job:
        """Return the job, which must be whole.

        Raises
        ------
        JobFaults
            With every fault, also of what is missing.
        """
        self._flat.faults.found.clear()
        return self._flat.job()

    @cached_property
    def _flat(self) -> _Flat:
        document = self.source or self._document()
        return _Flat(document, _FaultsOfAnswers(self.file, document.lines))

    def _document(self) -> Document:
        """Return the file that these answers make, read line by line, each line once."""
        lines = tuple(self.lines())
        pairs = tuple(_read_line(self.file, *numbered) for numbered in enumerate(lines, 1))
        return Document(self.file, Keys(pairs, Span(self.file, 1, 1, 0)), lines)


@lru_cache(maxsize=4096)
def _read_line(file: str, number: int, line: str) -> tuple[Text, Node]:
    """Return the key and the value of one line, as they stand on the line of that number."""
    word, node = read_text(file, line).top.pairs[0]
    if isinstance(node, Items):
        items = tuple(replace(item, span=replace(item.span, line=number)) for item in node.items)
        node = replace(node, items=items)
    return (
        replace(word, span=replace(word.span, line=number)),
        replace(node, span=replace(node.span, line=number)),
    )


@dataclass
class _Branch:
    """A section or list that is being put together from its parts."""

    span: Span
    parts: dict[str, _Branch | tuple[Text, Node]] = field(default_factory=dict)


class _Flat:
    """The answers of one document by path, and the job they make."""

    def __init__(self, document: Document, faults: Faults) -> None:
        self.document = document
        self.faults = faults
        self.given: dict[str, tuple[Text, Node]] = {}
        self.heads: dict[str, Text] = {}
        """Sections and lists that have a line of their own, as in a job file."""
        for key, node in document.top.pairs:
            self._spread(key.value, key, node)
        self.around = {
            around
            for path, (_, node) in self.given.items()
            if not self._says_no(path, node) and node != Text("", node.span)
            for around in _above(path)
        }

    def _spread(self, path: str, word: Text, node: Node) -> None:
        """Keep a value under its path, or the values below it under theirs."""
        key = keys().get(starred(path))
        is_list = key is not None and key.type == "list"
        if not isinstance(node, Text):
            self.heads[path] = word
        if isinstance(node, Keys) and node.pairs:
            for name, inner in node.pairs:
                self._spread(f"{path}.{name.value}", name, inner)
        elif isinstance(node, Keys) and _is_gate(path):
            self._spread(path, word, Text(YES, node.span))
        elif isinstance(node, Text) and is_list and node.value in (NO, "", NOT_KNOWN):
            self._spread(f"{path}.1", word, Text(NO, node.span))
        elif isinstance(node, Items) and is_list:
            for number, item in enumerate(node.items, 1):
                self._spread(f"{path}.{number}", Text(str(number), item.span), item)
            end = f"{path}.{len(node.items) + 1}"
            self.given.setdefault(end, (word, Text(NO, node.span)))
        elif path in self.given:
            line = self.given[path][0].span.line
            self.faults.add("Y020", word.span, key=plain(path), line=line)
        else:
            self.given[path] = (word, node)

    def check(self) -> None:
        """Note every fault there is in what is said so far."""
        top = self.top(whole=False)
        if not self.faults.found:
            document = Document(self.faults.file, top, self.document.lines)
            check_so_far(document, self.faults, self._settled())

    def job(self) -> Job:
        """Return the job; raise JobFaults with every fault, also of what is missing."""
        top = self.top(whole=True)
        self.faults.stop()
        return check(Document(self.faults.file, top, self.document.lines))

    def top(self, *, whole: bool) -> Keys:
        """Return the sections, lists and values; `whole` keeps ``unknown`` where it is a fault."""
        root = _Branch(self.faults.whole())
        for path, (word, node) in self.given.items():
            self._place(root, path, word, node, whole=whole)
        return self._keys(root, "")

    def _place(self, root: _Branch, path: str, word: Text, node: Node, *, whole: bool) -> None:
        key = keys().get(starred(path))
        text = node.value if isinstance(node, Text) else None
        if _is_gate(path) and text in (YES, NO, ""):
            if text == YES:
                self._branch(root, path, word)
            elif path in self.around:
                below, (other, _) = next(
                    one for one in self.given.items() if one[0].startswith(f"{path}.")
                )
                line = other.span.line
                self.faults.add("J061", word.span, path=path, below=below, line=line)
            elif path.endswith(".1") and keys()[starred(path)[:-2]].required:
                self._branch(root, path[:-2], word)
            return
        if key is not None and (text == "" or (text == NOT_KNOWN and not key.unknown)):
            if not (whole and key.required and text):
                return
            if key.type == "text":
                self.faults.add("J018", word.span, "needed", path=path, says=key.help)
                return
        branch = self._branch(root, path.rpartition(".")[0], word)
        branch.parts.setdefault(path.rpartition(".")[2], (_named(word, path), node))

    def _branch(self, root: _Branch, path: str, word: Text) -> _Branch:
        branch, at = root, ""
        for name in filter(None, path.split(".")):
            at = f"{at}.{name}".lstrip(".")
            span = self.heads.get(at, word).span
            inner = branch.parts.setdefault(name, _Branch(span))
            if not isinstance(inner, _Branch):  # a value stands where a section should
                inner = _Branch(span)
            branch = inner
        return branch

    def _keys(self, branch: _Branch, path: str) -> Keys:
        pairs = []
        for name, part in branch.parts.items():
            at = f"{path}.{name}".lstrip(".")
            if isinstance(part, _Branch):
                pairs.append((Text(name, part.span), self._sections(part, at)))
            else:
                pairs.append(part)
        return Keys(tuple(pairs), branch.span)

    def _sections(self, branch: _Branch, path: str) -> Node:
        key = keys().get(starred(path))
        numbered = all(re.fullmatch(r"[1-9][0-9]{0,3}", name) for name in branch.parts)
        if key is None or key.type != "list" or not numbered:
            return self._keys(branch, path)
        lines = sorted(branch.parts.items(), key=lambda one: int(one[0]))
        items: list[Node] = []
        for number, (name, part) in enumerate(lines, 1):
            if int(name) != number:
                span = part.span if isinstance(part, _Branch) else part[0].span
                self.faults.add("J060", span, path=f"{path}.{name}", before=f"{path}.{number}")
                break
            whole = isinstance(part, _Branch)
            items.append(self._keys(part, f"{path}.{name}") if whole else part[1])  # type: ignore[arg-type,index]
        return Items(tuple(items), branch.span)

    def _settled(self) -> set[str]:
        """Return what will not be answered any more: left out, or a list that is at its end."""
        found = set()
        for path, (_, node) in self.given.items():
            text = node.value if isinstance(node, Text) else None
            if text in ("", NOT_KNOWN):
                found.add(path)
            elif self._says_no(path, node):
                found.add(path)
                if path.rpartition(".")[2].isdigit():
                    found.add(path.rpartition(".")[0])
        return found

    @staticmethod
    def _says_no(path: str, node: Node) -> bool:
        return _is_gate(path) and isinstance(node, Text) and node.value in (NO, "")


def _above(path: str) -> Iterator[str]:
    while "." in path:
        path = path.rpartition(".")[0]
        yield path


def _is_gate(path: str) -> bool:
    """Whether a yes or no at `path` tells if there is a section or a line."""
    key: Key | None = keys().get(starred(path))
    if key is not None:
        return key.type == "section"
    inner = keys().get(starred(path).removesuffix(".*"))
    return inner is not None and inner.type == "list" and starred(path).endswith(".*")


def _named(word: Text, path: str) -> Text:
    """Return the last word of a path as a key that stands where the whole path stands."""
    return Text(path.rpartition(".")[2], word.span, word.plain)
