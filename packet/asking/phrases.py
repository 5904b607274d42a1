"""What is said at the terminal, and the remarks in the job file that is written."""

from __future__ import annotations

from functools import cache
from importlib.resources import files

from packet.textdata import load


@cache
def phrases() -> dict[str, str]:
    """Return what is said at the terminal and in the remarks of a job file."""
    text = (files("packet") / "asking" / "phrases.yaml").read_text("utf-8")
    found: dict[str, str] = load(text)
    return found
