"""A made-up language: every text of the catalogs with every letter accented, a third longer.

It is made in memory from the texts that the contributor's command collects, so a text that
the command does not find, or that nobody looks up, stands on the page in plain English.
"""

from __future__ import annotations

import importlib.util
import re
import sys
from collections.abc import Callable
from functools import cache
from gettext import NullTranslations
from pathlib import Path
from types import ModuleType

from packet.language import Language

ROOT = Path(__file__).parents[2]

LETTERS = str.maketrans(
    "acdeghijklnorstuwyzACDEGHIJKLNORSTUWYZ",
    "áçďéĝĥíĵķļñóŕšţúŵýžÁÇĎÉĜĤÍĴĶĻÑÓŔŠŢÚŴÝŽ",
)
"""Letters of our typefaces with an accent; the few others stay, and no word lacks all of these."""

PLAIN = re.compile(f"[{''.join(map(chr, LETTERS))}]")
"""A letter that this language does not have."""

KEPT = re.compile(
    r"""\{%.*?%\} | \{\{.*?\}\} | \{\w*\} | %\(\w+\)s | %% | <[^>]*> | &\w+;""",
    re.VERBOSE | re.DOTALL,
)
"""Places for values, conditions and marks; a translator leaves them as they are."""


def longer(text: str) -> str:
    """Return plain words with every letter accented, a third longer in all."""
    made, owed = "", 0.0
    for letter in text:
        made += letter
        owed += letter.isalpha() / 3
        if owed >= 1 and letter in "aeiouAEIOU":
            made, owed = made + letter, owed - 1
    if text[-1:].isalpha():
        made += text[-1] * round(owed)
    return made.translate(LETTERS)


def pseudo(text: str) -> str:
    """Return a text of a catalog in the made-up language, its places for values as they were."""
    parts, at = [], 0
    for kept in KEPT.finditer(text):
        parts += [longer(text[at : kept.start()]), worded(kept[0], longer)]
        at = kept.end()
    return "".join([*parts, longer(text[at:])])


def worded(kept: str, change: Callable[[str], str]) -> str:
    """Return a place for a value with the words it chooses among changed.

    What stands in brackets or beside a sign of comparison names something and stays.
    """
    if not kept.startswith("{{"):
        return kept
    depth, made, at = 0, "", 0
    for sign in re.finditer(r"[()]|'[^']*'|\"[^\"]*\"", kept):
        made += kept[at : sign.start()]
        depth += {"(": 1, ")": -1}.get(sign[0], 0)
        is_words = len(sign[0]) > 1 and not depth and not made.rstrip().endswith("=")
        made += sign[0][0] + change(sign[0][1:-1]) + sign[0][-1] if is_words else sign[0]
        at = sign.end()
    return made + kept[at:]


class _Pseudo(NullTranslations):
    """Answers for the texts of the catalogs only, as a catalog does."""

    def __init__(self, texts: frozenset[str]) -> None:
        super().__init__()
        self.texts = texts

    def gettext(self, message: str) -> str:
        return pseudo(message) if message in self.texts else message

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        return self.gettext(msgid1 if n == 1 else msgid2)

    def pgettext(self, context: str, message: str) -> str:  # noqa: ARG002
        return self.gettext(message)


@cache
def catalog_command() -> ModuleType:
    """Return the contributor's command that collects the texts."""
    spec = importlib.util.spec_from_file_location("catalog_command", ROOT / ".ci/catalog.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module  # dataclasses look their module up
    spec.loader.exec_module(module)
    return module


@cache
def pseudo_language() -> Language:
    """Return the made-up language, with every text of today."""
    texts = frozenset(form for text in catalog_command().texts() for form in text.forms)
    return Language("qaa", _Pseudo(texts), len(texts))
