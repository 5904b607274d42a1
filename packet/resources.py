"""Where templates, styles and fonts are: in an installed package, or beside it in a checkout."""

from __future__ import annotations

import importlib.util
from functools import cache
from pathlib import Path
from typing import Any

import yaml

PAPERS = ("letter", "a4")
"""Papers that can be chosen: each has a style sheet; pages are the same on both."""

FONTS = {
    "sans": ("fontpkg_ibm_plex_sans", "IBMPlexSans[wdth,wght].ttf"),
    "sans-bold": ("fontpkg_ibm_plex_sans", "IBMPlexSans[wdth,wght].ttf"),
    "mono": ("fontpkg_ibm_plex_mono", "IBMPlexMono-Regular.ttf"),
    "mono-bold": ("fontpkg_ibm_plex_mono", "IBMPlexMono-Bold.ttf"),
    "field": ("fontpkg_ibm_plex_mono", "IBMPlexMono-Regular.ttf"),
}
"""Name in the styles -> installed package and its file; no font of the system is ever used."""

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


@cache
def texts(name: str) -> dict[str, Any]:
    """Return one text file of the templates, such as ``materials``, every scalar as text."""
    return read_texts(folder("templates") / f"{name}.yaml")


def read_texts(path: Path) -> dict[str, Any]:
    """Return a text file, every scalar as text; nothing if it is empty."""
    found = yaml.load(path.read_text("utf-8"), yaml.CBaseLoader)  # noqa: S506 - texts only
    return dict(found or {})
