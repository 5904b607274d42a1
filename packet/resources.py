"""Where templates, styles and fonts are: in an installed package, or beside it in a checkout."""

from __future__ import annotations

import importlib.util
import re
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

from packet import language
from packet.language import ENGLISH, Language, read_catalog
from packet.textdata import load

PAPERS = ("letter", "a4")
"""Papers that can be chosen: each has a style sheet; pages are the same on both."""

PRINTS = ("regular", "large")
"""Sizes of type that can be chosen: 12 points for text, or 18 on a page that lies on its side."""

FONTS = {
    "sans": ("fontpkg_ibm_plex_sans", "IBMPlexSans[wdth,wght].ttf"),
    "sans-bold": ("fontpkg_ibm_plex_sans", "IBMPlexSans[wdth,wght].ttf"),
    "mono": ("fontpkg_ibm_plex_mono", "IBMPlexMono-Regular.ttf"),
    "mono-bold": ("fontpkg_ibm_plex_mono", "IBMPlexMono-Bold.ttf"),
    "field": ("fontpkg_ibm_plex_mono", "IBMPlexMono-Regular.ttf"),
}
"""Name in the styles -> installed package and its file; no font of the system is ever used."""

CODES = re.compile(
    r"\.("
    r"when|for_each|has|id|kind|gate|phase|hazards|tools|expect|torque|no_return|sheet|of|rule"
    r"|office|finding|load|least_ampacity|row|rows\.values|owner_questions"
    r"|if_outside\.(stop|go_to)|standing\.panel"
    r"|kinds(\.[^.]+)?"
    r"|only_if\..+|opens|signal|purpose|another"
    r")$"
)
"""What is no text to translate in a text file: keys whose value names something, or is said at
the terminal, which speaks English."""

IS_TEXT = re.compile(r"[^\W\d_]{2}")
"""The letter of a sheet and the mark of a contact are the same in every language."""

CATALOGS = "locale/*/LC_MESSAGES/packet.po"
"""Where the catalogs are among the templates, in the layout that gettext tools expect."""

_PACKAGE = Path(__file__).parent


class FontMissing(Exception):
    """A font package is not installed; the message names it."""


@cache
def folder(name: str) -> Path:
    """Return the folder `templates` or `styles`.

    Raises
    ------
    FileNotFoundError
        When neither place has it; the message names both.
    """
    places = (_PACKAGE / f"_{name}", _PACKAGE.parent / name)
    for place in places:
        if place.is_dir():
            return place
    raise FileNotFoundError(f"no {name} in {places[0]} or {places[1]}")


def font_file(name: str) -> Path:
    """Return the installed file of the font that the styles call `name`.

    Raises
    ------
    FontMissing
        When the font package is not installed.
    """
    package, file = FONTS[name]
    spec = importlib.util.find_spec(package)
    path = Path(spec.origin).parent / "files" / file if spec and spec.origin else None
    if path is None or not path.is_file():
        raise FontMissing(f"the font package {package.replace('_', '-')} is not installed")
    return path


def templates(subfolder: str) -> list[Path]:
    """Return the text files of one folder of the templates, in name order."""
    return sorted((folder("templates") / subfolder).glob("*.yaml"))


@language.cached
def texts(name: str) -> dict[str, Any]:
    """Return one text file of the templates, such as ``materials``, every scalar as text."""
    return dict(read_texts(folder("templates") / f"{name}.yaml") or {})


def read_texts(path: Path) -> Any:
    """Return a text file in the spoken language, every scalar as text."""
    return _worded(_read(path), "", language.said)


def sentences(path: Path) -> list[str]:
    """Return each text of a text file that a reader may see, in English."""
    found: list[str] = []

    def keep(text: str) -> str:
        found.append(text)
        return text

    _worded(_read(path), "", keep)
    return found


def _read(path: Path) -> Any:
    return load(path.read_text("utf-8"))


def _worded(node: Any, at: str, change: Callable[[str], str]) -> Any:
    """Return `node` with every text for readers changed; `at` is the way of keys to it."""
    if isinstance(node, dict):
        return {key: _worded(value, f"{at}.{key}", change) for key, value in node.items()}
    if isinstance(node, list):
        return [_worded(value, at, change) for value in node]
    is_text = IS_TEXT.search(node) and not CODES.search(at)
    return change(node) if is_text else node


def languages() -> tuple[str, ...]:
    """Return the languages that a packet can be printed in: English and each that has a catalog."""
    return ("en", *sorted(path.parts[-3] for path in folder("templates").glob(CATALOGS)))


@cache
def language_of(name: str) -> Language:
    """Return one of :func:`languages`."""
    if name == "en":
        return ENGLISH
    return read_catalog(catalog_file(name), name)


def catalog_file(name: str) -> Path:
    """Return the place of the catalog of a language other than English."""
    return folder("templates") / CATALOGS.replace("*", name)
