"""What a packet is made with: the tool, its texts and styles, and the code book."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

from packet import __version__
from packet.resources import FONTS, folder

KINDS = frozenset({".css", ".html", ".po", ".py", ".svg", ".txt", ".yaml"})
"""Endings of the files that have a say in what is printed."""

RENDERERS = ("fonttools", "jinja2", "pydyf", "uharfbuzz", "weasyprint")
"""Packages whose version has a say in what is printed, beside those of the fonts."""

_PACKAGE = Path(__file__).parent


@cache
def code_book() -> str:
    """Return the version of the code book, such as ``7F3A-91C0``: a digest of its data files.

    It changes when and only when a figure, a section, a confirmation or a comment in these
    files does, whatever the version of the tool.
    """
    code = _digest(_files(_PACKAGE / "codebook", ".yaml")).upper()
    return f"{code[:4]}-{code[4:8]}"


@cache
def tool() -> str:
    """Return a digest of everything but the job that has a say in what is printed."""
    roots = [_PACKAGE, folder("templates"), folder("styles")]
    files = [pair for root in roots for pair in _files(root, *KINDS)]
    packages = sorted({*RENDERERS, *(package for package, _ in FONTS.values())})
    versions = [f"{name} {_version(name)}" for name in packages]
    return _digest(files, "\n".join([__version__, *versions]))


def _files(root: Path, *endings: str) -> Iterator[tuple[str, Path]]:
    """Yield each file under `root` with its name there, in the order of these names."""
    found = {path.relative_to(root).as_posix(): path for path in root.rglob("*")}
    for name in sorted(found):
        # In a wheel, templates and styles lie inside the package: there they count once too.
        if found[name].suffix in endings and not name.startswith(("_templates/", "_styles/")):
            yield name, found[name]


def _digest(files: Iterable[tuple[str, Path]], more: str = "") -> str:
    whole = hashlib.sha256(more.encode())
    for name, path in files:
        content = path.read_bytes()
        whole.update(f"\0{name}\0{len(content)}\0".encode())
        whole.update(content)
    return whole.hexdigest()


def _version(package: str) -> str:
    try:
        return version(package)
    except PackageNotFoundError:
        return ""
