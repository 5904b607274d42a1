"""Fields of a printed packet as viewers see them: found, filled in, drawn.

Three engines that share no code: pypdf with Poppler, MuPDF, and PDFium, the one in most
browsers. PDFium is driven as by a hand: click, type, click elsewhere.
"""

from __future__ import annotations

import ctypes
import io
import os
import re
import shutil
import subprocess
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import pypdfium2 as pdfium
import pytest
from pypdf import PdfReader, PdfWriter
from pypdfium2 import raw

DOTS = 100
"""Resolution of pictures, per inch."""

MUPDF = shutil.which("mutool")

needs_mupdf = pytest.mark.skipif(
    MUPDF is None and os.environ.get("CI") != "true",
    reason="mutool is not installed (Debian: mupdf-tools); `bash .ci/run` must have it",
)


@dataclass(frozen=True)
class Field:
    """One field: page from 0; left, foot, right, top in points; tool tip; ``/Tx`` or ``/Btn``."""

    page: int
    place: tuple[float, float, float, float]
    tip: str
    kind: str
    widget: Any


@lru_cache(maxsize=16)
def fields(content: bytes) -> dict[str, Field]:
    """Return every field by its whole name; a name that stands twice is a failure."""
    found: dict[str, Field] = {}
    for number, page in enumerate(PdfReader(io.BytesIO(content)).pages):
        for widget in (one.get_object() for one in page.get("/Annots", ())):
            if widget["/Subtype"] == "/Widget":
                name = _whole_name(widget)
                assert name not in found, f"two fields are called {name}"
                left, foot, right, top = (float(one) for one in widget["/Rect"])
                found[name] = Field(
                    number, (left, foot, right, top), str(widget["/TU"]), widget["/FT"], widget
                )
    return found


def _whole_name(field: Any) -> str:
    levels = []
    while field is not None:
        levels.append(str(field["/T"]))
        field = field["/Parent"].get_object() if "/Parent" in field else None
    return ".".join(reversed(levels))


# ----------------------------------------------------------------------------- filling in


def filled_by_pypdf(content: bytes, answers: Mapping[str, str | bool]) -> bytes:
    """Fill in as a program does: values and the pictures of values."""
    writer = PdfWriter(clone_from=io.BytesIO(content))
    values = {name: "/Yes" if answer is True else answer for name, answer in answers.items()}
    for page in writer.pages:
        writer.update_page_form_field_values(page, values, auto_regenerate=False)
    written = io.BytesIO()
    writer.write(written)
    return written.getvalue()


def filled_by_pdfium(content: bytes, answers: Mapping[str, str | bool]) -> bytes:
    """Fill in as a person does in a browser: click into each field and type."""
    document = pdfium.PdfDocument(content)
    document.init_forms()
    form = document.formenv
    pages = [document[number] for number in range(len(document))]
    known = fields(content)
    for name, answer in answers.items():
        field = known[name]
        page = pages[field.page]
        left, foot, right, top = field.place
        spot = ((left + right) / 2, (foot + top) / 2)
        raw.FORM_OnMouseMove(form, page, 0, *spot)
        raw.FORM_OnLButtonDown(form, page, 0, *spot)
        raw.FORM_OnLButtonUp(form, page, 0, *spot)
        if isinstance(answer, str):
            typed = ctypes.create_string_buffer(f"{answer}\0".encode("utf-16-le"))
            raw.FORM_ReplaceSelection(
                form, page, ctypes.cast(typed, ctypes.POINTER(ctypes.c_ushort))
            )
        raw.FORM_ForceToKillFocus(form)
    written = io.BytesIO()
    document.save(written)
    return written.getvalue()


# --------------------------------------------------------------------------------- drawing


@dataclass(frozen=True)
class Picture:
    """A page in grey, one byte a dot."""

    wide: int
    high: int
    dots: bytes

    def ink(self, place: tuple[float, float, float, float], inset: float = 2.5) -> int:
        """Count the dark dots inside a place given in points, without its outline."""
        left, foot, right, top = place
        scale = DOTS / 72
        across = slice(round((left + inset) * scale), round((right - inset) * scale))
        rows = range(
            self.high - round((top - inset) * scale), self.high - round((foot + inset) * scale)
        )
        return sum(
            1
            for row in rows
            for dot in self.dots[row * self.wide :][: self.wide][across]
            if dot < 128
        )


def drawn_by_poppler(content: bytes, page: int) -> Picture:
    number = str(page + 1)
    options = ["-gray", "-r", str(DOTS), "-f", number, "-l", number, "-singlefile"]
    return _drawn(content, ["pdftoppm", *options, "{source}", "{place}/page"])


def drawn_by_mupdf(content: bytes, page: int) -> Picture:
    options = ["-q", "-c", "gray", "-r", str(DOTS), "-o", "{place}/page.pgm"]
    return _drawn(content, ["mutool", "draw", *options, "{source}", str(page + 1)])


def drawn_by_pdfium(content: bytes, page: int, *, with_fields: bool = True) -> Picture:
    document = pdfium.PdfDocument(content)
    document.init_forms()
    bitmap = document[page].render(scale=DOTS / 72, may_draw_forms=with_fields, grayscale=True)
    picture = bitmap.to_pil().convert("L")
    return Picture(picture.width, picture.height, picture.tobytes())


def _drawn(content: bytes, command: list[str]) -> Picture:
    with tempfile.TemporaryDirectory() as place:
        source = Path(place, "source.pdf")
        source.write_bytes(content)
        words = [word.format(source=source, place=place) for word in command]
        subprocess.run(words, check=True, capture_output=True)  # noqa: S603
        data = Path(place, "page.pgm").read_bytes()
    head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", data)
    assert head is not None, "no grey picture was drawn"
    return Picture(int(head[1]), int(head[2]), data[head.end() :])


def text_by_poppler(content: bytes, page: int) -> str:
    number = str(page + 1)
    done = subprocess.run(  # noqa: S603
        ["pdftotext", "-f", number, "-l", number, "-layout", "-", "-"],  # noqa: S607
        input=content,
        check=True,
        capture_output=True,
    )
    return done.stdout.decode()
