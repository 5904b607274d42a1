"""Sheets to HTML to PDF: our own templates, styles and fonts, and nothing else.

WeasyPrint reads through :class:`PackageFiles`, which hands out the styles and the files of
the font packages and refuses every other address. Whatever WeasyPrint complains about is a
fault of the page: then there is no PDF.
"""

from __future__ import annotations

import importlib.util
import logging
import os
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any

import jinja2
import weasyprint
from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

from packet.language import cached, spoken
from packet.resources import PAPERS, folder
from packet.sheets.one_line import TallerThanPage, drawing
from packet.sheets.views import SheetSet

FONTS = {
    "sans": ("fontpkg_ibm_plex_sans", "IBMPlexSans[wdth,wght].ttf"),
    "mono": ("fontpkg_ibm_plex_mono", "IBMPlexMono-Regular.ttf"),
    "mono-bold": ("fontpkg_ibm_plex_mono", "IBMPlexMono-Bold.ttf"),
}
"""Name in the styles -> installed package and its file; no font of the system is ever used."""

_SCHEME = "packet:"
_STYLE_TYPES = {".css": "text/css; charset=utf-8", ".svg": "image/svg+xml"}


class RenderFault(Exception):
    """The pages came out with a fault; nothing may be printed."""


def html(sheets: SheetSet, paper: str) -> str:
    """Return one HTML document with all `sheets`.

    Parameters
    ----------
    sheets : SheetSet
    paper : str
        ``letter`` or ``a4``.

    Raises
    ------
    ValueError
        For another paper.
    RenderFault
        When the one-line diagram does not fit a page.
    jinja2.UndefinedError
        When a template asks for something its sheet does not have.
    """
    if paper not in PAPERS:
        raise ValueError(f"paper `{paper}` is none of {', '.join(PAPERS)}")
    template = _templates().get_template("packet.html")
    try:
        return template.render(set=sheets, frame=sheets.frame, paper=paper, language=spoken().tag)
    except TallerThanPage as fault:
        raise RenderFault(str(fault)) from fault


def layout(sheets: SheetSet, paper: str) -> weasyprint.Document:
    """Return the laid-out pages.

    Raises
    ------
    RenderFault
        When WeasyPrint has anything to complain about.
    """
    with _no_complaint():
        return weasyprint.HTML(
            string=html(sheets, paper), base_url=_SCHEME, url_fetcher=PackageFiles()
        ).render(pdf_variant="pdf/ua-1")


def pdf(sheets: SheetSet, paper: str) -> bytes:
    """Return `sheets` as an accessible PDF; equal sheets give equal bytes.

    Raises
    ------
    RenderFault
        When WeasyPrint has anything to complain about.
    """
    document = layout(sheets, paper)
    with _no_complaint(), _undated_fonts():
        content: bytes = document.write_pdf(pdf_variant="pdf/ua-1")
    return content


class PackageFiles(URLFetcher):  # type: ignore[misc]  # WeasyPrint has no type hints
    """Hands out ``packet:styles/FILE`` and ``packet:fonts/NAME``; all else is fatal."""

    def __init__(self) -> None:
        super().__init__(allowed_protocols=(), allow_redirects=False, fail_on_errors=True)

    def fetch(self, url: str, headers: dict[str, str] | None = None) -> URLFetcherResponse:  # noqa: ARG002
        """Return the file behind `url`."""
        kind, _, name = url.removeprefix(_SCHEME).partition("/")
        if url.startswith(_SCHEME) and kind == "fonts" and name in FONTS:
            body = _font(name)
            return URLFetcherResponse(url, body, {"Content-Type": "font/ttf"})
        if url.startswith(_SCHEME) and kind == "styles" and name in _style_names():
            body = (folder("styles") / name).read_bytes()
            return URLFetcherResponse(url, body, {"Content-Type": _STYLE_TYPES[Path(name).suffix]})
        raise FatalURLFetchingError(f"a page asks for `{url}`, which is no file of this project")


def _font(name: str) -> bytes:
    try:
        return font_file(name).read_bytes()
    except RenderFault as fault:
        raise FatalURLFetchingError(str(fault)) from fault


def font_file(name: str) -> Path:
    """Return the installed file of the font that the styles call `name`.

    Raises
    ------
    RenderFault
        When the font package is not installed; the message names it.
    """
    package, file = FONTS[name]
    spec = importlib.util.find_spec(package)
    path = Path(spec.origin).parent / "files" / file if spec and spec.origin else None
    if path is None or not path.is_file():
        raise RenderFault(f"the font package {package.replace('_', '-')} is not installed")
    return path


@cache
def _style_names() -> frozenset[str]:
    return frozenset(
        path.name for path in folder("styles").iterdir() if path.suffix in _STYLE_TYPES
    )


@cached
def _templates() -> jinja2.Environment:
    environment = jinja2.Environment(
        loader=jinja2.FileSystemLoader(folder("templates")),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        extensions=["jinja2.ext.i18n"],
    )
    environment.install_gettext_translations(spoken().catalog, newstyle=True)  # type: ignore[attr-defined]
    environment.globals["drawing"] = drawing
    return environment


@contextmanager
def _undated_fonts() -> Iterator[None]:
    """Keep the time of day out of the embedded fonts, which fontTools would write there."""
    before = os.environ.get("SOURCE_DATE_EPOCH")
    os.environ["SOURCE_DATE_EPOCH"] = "0"
    try:
        yield
    finally:
        if before is None:
            del os.environ["SOURCE_DATE_EPOCH"]
        else:
            os.environ["SOURCE_DATE_EPOCH"] = before


class _Complaints(logging.Handler):
    """Keeps what WeasyPrint logs as a warning or worse."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.heard: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.heard.append(record.getMessage())


@contextmanager
def _no_complaint() -> Iterator[None]:
    logger: Any = logging.getLogger("weasyprint")
    complaints = _Complaints()
    logger.addHandler(complaints)
    try:
        yield
    except FatalURLFetchingError as fault:
        raise RenderFault(str(fault)) from fault
    finally:
        logger.removeHandler(complaints)
    if complaints.heard:
        raise RenderFault("; ".join(complaints.heard))
