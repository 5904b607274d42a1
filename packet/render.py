"""Sheets to HTML to PDF: our own templates, styles and fonts, and nothing else.

WeasyPrint reads through :class:`PackageFiles`, which hands out the styles and the files of
the font packages and refuses every other address. Whatever WeasyPrint complains about is a
fault of the page: then there is no PDF.
"""

from __future__ import annotations

import logging
import os
import re
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from html import unescape
from pathlib import Path
from typing import Any

import jinja2
import uharfbuzz

from packet.drawings import PICTURES, ROOMS
from packet.files import own_folder
from packet.finish import Attached, Finisher
from packet.language import cached, spoken
from packet.libraries import found_by_name
from packet.resources import FONTS, PAPERS, PRINTS, FontMissing, folder, font_file
from packet.sheets.terms import FirstUses, terms
from packet.sheets.views import SheetSet

with found_by_name():
    import weasyprint
    from weasyprint.text.fonts import FontConfiguration
    from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse

WEIGHTS = {"sans": 400, "sans-bold": 700}
"""Weights cut from the font file that holds all of them.

The renderer would draw the letters of the weight asked for, but give them the room of the
file's own weight: bold words too tight, and widths in the PDF that are not those of its font.
"""

TYPED_SIGNS = bytes([*range(32, 127), *range(128, 256)]).decode("cp1252", "ignore")
"""What can be typed into a field; its font goes whole into the PDF, so it has no other signs."""

MARGIN_SIGNS = {"regular": 68, "large": 66}
"""Signs of a line at the foot of the page beside the page number."""

_SCHEME = "packet:"
_OPTIONS = {"pdf_variant": "pdf/ua-1", "pdf_forms": True}
_STYLE_TYPES = {".css": "text/css; charset=utf-8", ".svg": "image/svg+xml"}


class RenderFault(Exception):
    """The pages came out with a fault; nothing may be printed."""


def html(sheets: SheetSet, paper: str, print_size: str = "regular") -> str:
    """Return one HTML document with all `sheets`.

    Parameters
    ----------
    sheets : SheetSet
    paper : str
        ``letter`` or ``a4``.
    print_size : str
        ``regular`` or ``large``.

    Raises
    ------
    ValueError
        For another paper or size of print.
    RenderFault
        When a font package is missing.
    jinja2.UndefinedError
        When a template asks for something its sheet does not have.
    """
    if paper not in PAPERS:
        raise ValueError(f"paper `{paper}` is none of {', '.join(PAPERS)}")
    if print_size not in PRINTS:
        raise ValueError(f"print `{print_size}` is none of {', '.join(PRINTS)}")
    template = _templates().get_template("packet.html")
    try:
        return template.render(
            set=sheets,
            frame=sheets.frame,
            print_size=print_size,
            print_styles=[paper] if print_size == "regular" else ["large", f"{paper}-large"],
            margin_signs=MARGIN_SIGNS[print_size],
            room=ROOMS[print_size],
            language=spoken().tag,
            first_uses=FirstUses(terms()),
        )
    except FontMissing as fault:
        raise RenderFault(str(fault)) from fault


@dataclass(frozen=True)
class Field:
    """A field of the pages: what it is for, and whether it is a box to tick."""

    tip: str
    is_tick: bool


def fields(sheets: SheetSet) -> dict[str, Field]:
    """Return every field that `sheets` have, by its name, in the order of the pages."""
    found = {}
    for tag in re.findall(r"<input [^>]*>", html(sheets, PAPERS[0])):
        said = {name: unescape(text) for name, text in re.findall(r'(\w+)="([^"]*)"', tag)}
        found[said["name"]] = Field(said["title"], said.get("type") == "checkbox")
    return found


def layout(sheets: SheetSet, paper: str, print_size: str = "regular") -> weasyprint.Document:
    """Return the laid-out pages.

    Raises
    ------
    RenderFault
        When WeasyPrint has anything to complain about.
    """
    with _no_complaint():
        return weasyprint.HTML(
            string=html(sheets, paper, print_size), base_url=_SCHEME, url_fetcher=PackageFiles()
        ).render(_fonts(), **_OPTIONS)


def pdf(
    sheets: SheetSet,
    paper: str,
    attached: Sequence[Attached] = (),
    print_size: str = "regular",
) -> bytes:
    """Return `sheets` as an accessible PDF to fill in; equal sheets and files give equal bytes.

    Raises
    ------
    RenderFault
        When WeasyPrint has anything to complain about.
    """
    return write(layout(sheets, paper, print_size), attached, sheets.frame.issued)


def write(
    document: weasyprint.Document, attached: Sequence[Attached] = (), issued: str = ""
) -> bytes:
    """Return laid-out pages as PDF; `issued`, ``YYYY-MM-DD``, is the date of the attached files.

    Raises
    ------
    RenderFault
        When WeasyPrint has anything to complain about.
    """
    files = [
        weasyprint.Attachment(
            string=file.content,
            name=file.name,
            description=file.description,
            created=datetime.fromisoformat(issued).replace(tzinfo=UTC),
            modified=datetime.fromisoformat(issued).replace(tzinfo=UTC),
        )
        for file in sorted(attached, key=lambda file: file.name)
    ]
    with _no_complaint(), _undated_fonts():
        content: bytes = document.write_pdf(
            attachments=files, finisher=Finisher(attached), **_OPTIONS
        )
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
        return _cut(name, font_file(name))
    except FontMissing as fault:
        raise FatalURLFetchingError(str(fault)) from fault


@cache
def _cut(name: str, path: Path) -> bytes:
    """Return a font as the pages use it: of one weight, and for fields no more signs than typed."""
    face = uharfbuzz.Face(path.read_bytes())
    cut = uharfbuzz.SubsetInput()
    if name == "field":
        cut.unicode_set.update(map(ord, TYPED_SIGNS))
        cut.layout_feature_tag_set.clear()
    else:
        cut.keep_everything()
    if name in WEIGHTS:
        cut.pin_all_axes_to_default(face)
        cut.pin_axis_location(face, "wght", WEIGHTS[name])
    content: bytes = uharfbuzz.subset(face, cut).blob.data
    return content


_of_this_thread = threading.local()


def _fonts() -> FontConfiguration:
    """Return the fonts of this thread, loaded once: the system's libraries never give them back.

    Their files lie in a folder that a later run deletes if this process cannot.
    """
    if not hasattr(_of_this_thread, "fonts"):
        fonts = FontConfiguration()
        fonts._folder = own_folder("packet-fonts-")
        _of_this_thread.fonts = fonts
    return _of_this_thread.fonts


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
    environment.globals.update(PICTURES)
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
