"""What is wrong with a job file, and how it is said: file, line, column, caret, help."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass

WINDOW = 100
"""Longest piece of a line that is shown; a longer line is cut around its fault."""


@dataclass(frozen=True)
class Span:
    """A stretch of one line of a job file; line and column count from 1.

    A length of 0 stands for the file as a whole: no line of it is shown.
    """

    file: str
    line: int
    column: int
    length: int = 1

    def __str__(self) -> str:
        return f"{plain(self.file)}:{self.line}"


@dataclass(frozen=True)
class Problem:
    """One fault: where it stands, what is wrong, and what to do about it.

    Parameters
    ----------
    code : str
        Stable code such as ``J010``.
    span : Span
        The smallest stretch that is wrong.
    error : str
        What is wrong; lower case, no full stop, the reader's own text in back-ticks.
    help : str
        What to do; empty where nothing can be advised.
    line_text : str
        The line that `span` stands on.
    """

    code: str
    span: Span
    error: str
    help: str = ""
    line_text: str = ""

    def __str__(self) -> str:
        where = f"{plain(self.span.file)}:{self.span.line}:{self.span.column}"
        lines = [f"{where}: error[{self.code}]: {self.error}"]
        gutter = " " * len(str(self.span.line))
        if self.span.length and self.line_text.strip():
            shown, column = _window(self.line_text, self.span.column)
            length = min(self.span.length, len(shown) - column + 1)
            lines += [
                f"{gutter} |",
                f"{self.span.line} | {shown}",
                f"{gutter} | {' ' * (column - 1)}{'^' * length}",
            ]
        if self.help:
            lines.append(f"{gutter} = help: {self.help}")
        return "\n".join(lines)


MOST_SHOWN = 100
"""Problems that one report shows; a file with more is probably no job file at all."""


def report(problems: Sequence[Problem]) -> str:
    """Return the problems in the order of the file, with the closing count."""
    ordered = sorted(problems, key=lambda p: (p.span.file, p.span.line, p.span.column, p.code))
    count = f"{len(ordered)} problem{'' if len(ordered) == 1 else 's'}"
    if len(ordered) > MOST_SHOWN:
        count = f"{count}, of which these are the first {MOST_SHOWN}"
    return "\n\n".join([*map(str, ordered[:MOST_SHOWN]), f"{count}; nothing was printed"])


def plain(text: str) -> str:
    """Return `text` safe for a terminal: nothing in it can move the cursor or hide."""
    return "".join(map(_harmless, text))


def _harmless(character: str) -> str:
    if character.isprintable():
        return character
    return " " if unicodedata.category(character) == "Zs" else "\ufffd"


def typed(text: str, longest: int = 60) -> str:
    """Return what a person typed, for quoting in a message: printable and not too long."""
    shown = plain(text)
    return shown if len(shown) <= longest else f"{shown[: longest - 1]}…"


def _window(text: str, column: int) -> tuple[str, int]:
    """Cut a long line around `column`; return the piece and the column in it."""
    shown = plain(text)
    if len(shown) <= WINDOW:
        return shown, column
    start = max(0, min(column - 1 - WINDOW // 2, len(shown) - WINDOW))
    piece = shown[start : start + WINDOW]
    if start:
        piece = f"…{piece[1:]}"
    if start + WINDOW < len(shown):
        piece = f"{piece[:-1]}…"
    return piece, column - start
