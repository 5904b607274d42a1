"""Words of the trade: each explained once in a set, on the sheet where it first stands."""

from __future__ import annotations

import html
import re
from collections.abc import Sequence
from dataclasses import dataclass

from packet.language import cached
from packet.resources import folder, read_texts

_TAG = re.compile(r"<[^>]*>")


@dataclass(frozen=True)
class Term:
    """A word of the trade.

    Parameters
    ----------
    name : str
    forms : tuple of str
        All spellings under which it is printed.
    means : str
        The explanation, one or two short sentences.
    """

    name: str
    forms: tuple[str, ...]
    means: str


@cached
def terms() -> tuple[Term, ...]:
    """Return every explained word in the spoken language, in the order of ``terms.yaml``.

    A language that has more spellings of a word than English writes them with commas between.
    """
    return tuple(
        Term(
            _heading(line["name"], line["forms"]),
            tuple(form for forms in line["forms"] for form in forms.split(", ")),
            line["means"],
        )
        for line in read_texts(folder("templates") / "terms.yaml")
    )


def _heading(name: str, forms: Sequence[str]) -> str:
    """Return the one spelling under which a word is explained.

    Where the name is one of its forms, both have one translation, which may be a list.
    """
    return name.split(", ")[0] if name in forms else name


class FirstUses:
    """Tells, sheet after sheet, which words a reader of one set meets for the first time."""

    def __init__(self, known: Sequence[Term]) -> None:
        self._by_form = {_key(form): term for term in known for form in term.forms}
        longest_first = sorted(self._by_form, key=len, reverse=True)
        ways = (
            re.escape(form) if _is_sign(form) else f"(?i:{re.escape(form)})"
            for form in longest_first
        )
        self._any = re.compile(rf"(?<![\w-])(?:{'|'.join(ways)})(?![\w-])")
        self._told: set[str] = set()

    def __call__(self, sheet: str) -> list[Term]:
        """Return what is to be explained on a sheet, by name.

        Parameters
        ----------
        sheet : str
            The sheet in HTML. What an explanation itself uses is explained beside it.
        """
        found: list[Term] = []
        texts = [html.unescape(_TAG.sub(" ", sheet))]
        while texts:
            for use in self._any.findall(re.sub(r"\s+", " ", texts.pop())):
                term = self._by_form.get(use) or self._by_form[use.casefold()]
                if term.name not in self._told:
                    self._told.add(term.name)
                    found.append(term)
                    texts.append(term.means)
        return sorted(found, key=lambda term: term.name.casefold())


def _is_sign(form: str) -> bool:
    """Say whether capitals matter: VA is a unit, and `va` a word of another language."""
    return form[-1].isupper()


def _key(form: str) -> str:
    return form if _is_sign(form) else form.casefold()
