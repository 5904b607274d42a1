"""What is wrong with a job file, and how it is said: file, line, column, caret, help."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Span:
    """A stretch of one line of a job file; line and column count from 1."""

    file: str
    line: int
    column: int
    length: int = 1

    def __str__(self) -> str:
        return f"{self.file}:{self.line}"
