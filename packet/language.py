"""The language of the reader: the catalogs, and the one that is spoken while a packet is made.

A sentence is looked up whole, before its values are filled in; one that a catalog does not
have stands in English. A plan binds English itself; sheets are worded and printed while a
language is bound by :func:`speaking`. Each thread and task has its own binding.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from functools import cache, wraps
from gettext import GNUTranslations, NullTranslations
from io import BytesIO
from pathlib import Path
from typing import Any, TypeVar, TypeVarTuple

Arguments = TypeVarTuple("Arguments")
T = TypeVar("T")


class OwnWords(str):
    """A text in a person's own words: printed as it stands in every language."""

    __slots__ = ()


@dataclass(frozen=True, eq=False)
class Language:
    """One language.

    Parameters
    ----------
    tag : str
        Language tag of the pages (BCP 47), for the reading voice and the hyphens.
    catalog : gettext.NullTranslations
        English text -> text of this language.
    texts, missing : int
        How many texts the catalog has, and how many of them stand in English still.
    """

    tag: str
    catalog: NullTranslations
    texts: int = 0
    missing: int = 0


ENGLISH = Language("en-US", NullTranslations())

_spoken: ContextVar[Language] = ContextVar("spoken", default=ENGLISH)


def spoken() -> Language:
    """Return the language that is bound here."""
    return _spoken.get()


@contextmanager
def speaking(language: Language) -> Iterator[None]:
    """Bind `language` for what is worded and printed inside, or in the function it stands over."""
    before = _spoken.set(language)
    try:
        yield
    finally:
        _spoken.reset(before)


def said(text: str) -> str:
    """Return a text of ours in the spoken language."""
    return spoken().catalog.gettext(text) if text else ""


def counted(one: str, many: str, count: int) -> str:
    """Return the word that goes with `count` in the spoken language."""
    return spoken().catalog.ngettext(one, many, count)


def cached(made: Callable[[*Arguments], T]) -> Callable[[*Arguments], T]:
    """Keep what `made` returns, once for each language and arguments."""

    @cache
    def kept(_: Language, *arguments: Any) -> T:
        return made(*arguments)

    @wraps(made)
    def call(*arguments: *Arguments) -> T:
        return kept(spoken(), *arguments)

    return call


def read_catalog(path: Path, tag: str) -> Language:
    """Return the language of a catalog file; what is marked fuzzy in it counts as missing."""
    from babel.messages.mofile import write_mo  # only a reader of another language pays for it
    from babel.messages.pofile import read_po

    with path.open("rb") as file:
        entries = read_po(file, locale=tag)
    texts = [entry for entry in entries if entry.id]
    missing = [entry for entry in texts if entry.fuzzy or not _has_all(entry.string)]
    for entry in missing:
        entries.delete(entry.id, entry.context)
    compiled = BytesIO()
    write_mo(compiled, entries)
    compiled.seek(0)
    return Language(tag, GNUTranslations(compiled), len(texts), len(missing))


def _has_all(string: str | tuple[str, ...] | list[str] | None) -> bool:
    return all(string) if isinstance(string, tuple | list) else bool(string)
