"""The mark in a PDF of ours that tells what it was made from, and whether it is still whole.

It stands in the two file identifiers of the trailer (ISO 32000-1:2008, 14.4): the first says
what the file was made from, the second is a check sum of all the rest. A viewer that saves a
filled-in form keeps the first and changes the second, or at least the rest; so what a person
has typed into a packet can be told from what was printed.
"""

from __future__ import annotations

import hashlib
import re
from io import BytesIO

_TRAILER = re.compile(rb"startxref\n(\d+)\n%%EOF\n\Z")
_BEGINNING = re.compile(rb"\d+ 0 obj\n<</Type /XRef")
_MAKER = re.compile(r"\bpacket (\d+(?:\.\d+)*)")
_MARK = re.compile(rb"/ID \[<([0-9a-f]{64})> <([0-9a-f]{64})>\]")


def signed(content: bytes, made_from: str) -> bytes:
    """Return a PDF as it came from the renderer, with its mark.

    Parameters
    ----------
    content : bytes
        A PDF whose last object is its cross-reference stream, without identifiers.
    made_from : str
        SHA-256 in hexadecimal digits.

    Raises
    ------
    ValueError
        When `content` is no such PDF.
    """
    place = _place(content)
    if place is None:
        raise ValueError("this PDF does not end with a cross-reference stream")
    mark = f"/ID [<{made_from}> <{_sum(content)}>]".encode()
    return content[:place] + mark + content[place:]


def made_from(content: bytes) -> str | None:
    """Return what a PDF was made from; None if it is not as this tool wrote it."""
    place = _place(content)
    mark = _MARK.match(content, place) if place is not None else None
    if place is None or mark is None:
        return None
    rest = content[:place] + content[mark.end() :]
    return mark[1].decode() if mark[2].decode() == _sum(rest) else None


def issue(content: bytes) -> tuple[str, str]:
    """Return the date of issue, ``YYYY-MM-DD``, and the version of the tool that printed a PDF."""
    from pypdf import PdfReader  # only a packet that is to be replaced is asked

    properties = PdfReader(BytesIO(content)).metadata
    created = properties.creation_date if properties else None
    maker = _MAKER.search(properties.creator or "") if properties else None
    return (created.date().isoformat() if created else "", maker[1] if maker else "")


def _place(content: bytes) -> int | None:
    """Return where the identifiers stand, or have to."""
    trailer = _TRAILER.search(content, max(0, len(content) - 64))
    beginning = _BEGINNING.match(content, int(trailer[1])) if trailer else None
    return beginning.end() if beginning else None


def _sum(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
