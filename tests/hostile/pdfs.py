"""What in a PDF acts by itself or reaches outside it, found by walking every object."""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import Any

import pikepdf

ALLOWED_ACTIONS = {"/GoTo"}
"""Jumps inside the document (ISO 32000-1, 12.6.4.2); every other action does something."""

ACTIVE = {
    *("/JS", "/JavaScript", "/OpenAction", "/AA", "/XFA", "/RichMediaContent", "/Rendition"),
    *("/Movie", "/Sound", "/URI", "/Launch", "/FDF", "/OPI", "/PS", "/Alternates"),
}
"""Keys under which scripts, actions, media or addresses stand."""


def active(content: bytes) -> list[str]:
    """Return each thing in a PDF that acts by itself or refers to something outside."""
    with pikepdf.open(io.BytesIO(content)) as pdf:
        owned = [*pdf.objects, pdf.trailer]
        return sorted({fault for one in owned for fault in _faults(one, 0)})


def _faults(node: Any, depth: int) -> Iterator[str]:
    if isinstance(node, pikepdf.Array):
        for part in node:
            yield from _inside(part, depth)
    elif isinstance(node, pikepdf.Dictionary | pikepdf.Stream):
        keys = {str(key): value for key, value in node.items()}
        yield from (key for key in keys if key in ACTIVE)
        kind, does = str(keys.get("/Type", "")), str(keys.get("/S", ""))
        if (kind == "/Action" or ("/Next" in keys and does)) and does not in ALLOWED_ACTIONS:
            yield f"action {does}"
        if "/A" in keys and _is_action(keys["/A"]) and str(keys["/A"]["/S"]) not in ALLOWED_ACTIONS:
            yield f"action {keys['/A']['/S']}"
        if isinstance(node, pikepdf.Stream) and "/F" in keys:
            yield "a stream that lies in another file"
        if kind == "/Filespec" and "/EF" not in keys:
            yield "a file that is not inside"
        if str(keys.get("/FS", "")) == "/URL":
            yield "a file at an address"
        for key, value in keys.items():
            if key not in ("/Parent", "/P"):
                yield from _inside(value, depth)


def _is_action(node: Any) -> bool:
    return isinstance(node, pikepdf.Dictionary) and "/S" in node


def _inside(node: Any, depth: int) -> Iterator[str]:
    """Walk what stands in an object itself; what has a number of its own is walked anyway."""
    if isinstance(node, pikepdf.Object) and not node.is_indirect and depth < 50:
        yield from _faults(node, depth + 1)
