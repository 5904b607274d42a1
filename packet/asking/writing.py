"""A commented job file from answers: what a person would write, in the order of the demos."""

from __future__ import annotations

from collections.abc import Iterator

from packet.asking.answers import NOT_KNOWN, Answers, spelled_node
from packet.asking.phrases import phrases
from packet.jobfile.read import Items, Mapping, Node
from packet.jobfile.schema import Key, below

WIDE, REMARK = 100, 34
"""Longest line with a remark, and where remarks begin."""

WIDEST_LINE_OF_LIST = 150
"""Longest line of a list in braces; where one is longer, each value gets a line."""


def job_text(answers: Answers) -> str:
    """Return the text of a job file; what is not known stands in it as a remark, or as unknown."""
    writer = _Writer(answers)
    parts = [phrases()["head"].rstrip().splitlines()]
    top = answers.document().top
    parts += [list(writer.key(key, "", top.get(key.name), 0)) for key in below("").values()]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


class _Writer:
    def __init__(self, answers: Answers) -> None:
        self.answers = answers

    def key(self, key: Key, around: str, node: Node | None, depth: int) -> Iterator[str]:
        """Yield the lines of one key; of one that has no value, a remark where that was said."""
        path = f"{around}.{key.name}".lstrip(".")
        indent = "  " * depth
        if node is None:
            yield from self.nothing(key, path, indent)
        elif key.type == "section":
            yield _with_remark(f"{indent}{key.name}:", key.help)
            yield from self.section(key.path, path, node, depth + 1)
        elif key.type == "list":
            yield from self.lines_of_list(key, path, node, depth)
        else:
            remark = key.help
            if path in self.answers.not_known():
                remark = phrases()["written_unknown"].format(says=key.help)
            shown = "" if _is_further_line(path) and remark == key.help else remark
            yield _with_remark(f"{indent}{key.name}: {spelled_node(node)}", shown)

    def section(self, table: str, path: str, node: Node, depth: int) -> Iterator[str]:
        values = node if isinstance(node, Mapping) else Mapping((), node.span)
        for key in below(table).values():
            yield from self.key(key, path, values.get(key.name), depth)

    def nothing(self, key: Key, path: str, indent: str) -> Iterator[str]:
        text = self.answers.text_of(path)
        if key.type in ("section", "list") or text not in ("", NOT_KNOWN):
            return
        if _is_further_line(path) and text == "":
            return
        case = "left_out" if text == "" else "must_be_found" if key.required else "not_known"
        says = phrases()[case].format(key=key.name, says=key.help, example=key.example)
        yield f"{indent}# {says}"

    def lines_of_list(self, key: Key, path: str, node: Node, depth: int) -> Iterator[str]:
        indent = "  " * depth
        items = node.items if isinstance(node, Items) else ()
        if not items:
            yield _with_remark(f"{indent}{key.name}: []", key.help)
            return
        yield _with_remark(f"{indent}{key.name}:", key.help)
        table = f"{key.path}.*"
        short = [self.in_braces(table, f"{path}.{n}", item) for n, item in enumerate(items, 1)]
        if all(0 < len(line) <= WIDEST_LINE_OF_LIST for line in short):
            yield from (f"{indent}  - {line}" for line in short)
            return
        for number, item in enumerate(items, 1):
            lines = list(self.section(table, f"{path}.{number}", item, depth + 2))
            first = next(n for n, line in enumerate(lines) if not line.lstrip().startswith("#"))
            lines.insert(0, lines.pop(first))
            yield f"{indent}  - {lines[0].lstrip()}"
            yield from lines[1:]

    def in_braces(self, table: str, path: str, node: Node) -> str:
        """Return a line of a list as one line; nothing where a remark or a section is in it."""
        parts = []
        for key in below(table).values():
            value = node.get(key.name) if isinstance(node, Mapping) else None
            said = self.answers.text_of(f"{path}.{key.name}")
            if said == NOT_KNOWN or isinstance(value, Mapping):
                return ""
            if value is not None:
                parts.append(f"{key.name}: {spelled_node(value, in_brackets=True)}")
        return f"{{{', '.join(parts)}}}"


def _is_further_line(path: str) -> bool:
    """Whether a key stands in a line of a list other than the first, which has the remarks."""
    return any(name.isdigit() and name != "1" for name in path.split("."))


def _with_remark(line: str, remark: str) -> str:
    if not remark:
        return line
    whole = f"{line:<{REMARK}}  # {remark}"
    if len(whole) <= WIDE:
        return whole
    indent = line[: len(line) - len(line.lstrip())]
    return f"{indent}# {remark}\n{line}"
