"""The system's libraries, found by the loader alone."""

from __future__ import annotations

import ctypes
import ctypes.util
import sys
from collections.abc import Iterator
from contextlib import contextmanager

NAMES = (
    "libgobject-2.0.so.0",
    "libpango-1.0.so.0",
    "libharfbuzz.so.0",
    "libharfbuzz-subset.so.0",
    "libfontconfig.so.1",
    "libpangoft2-1.0.so.0",
)
"""What the renderer loads on Linux."""


@contextmanager
def found_by_name() -> Iterator[None]:
    """Spare an import the search by linker and compiler for the names that other systems use.

    It takes longer than all the rest of the import. Where the loader does not know one of the
    libraries, the search takes place.
    """
    search = ctypes.util.find_library
    if sys.platform == "linux" and all(map(_loads, NAMES)):
        ctypes.util.find_library = lambda name: None  # noqa: ARG005
    try:
        yield
    finally:
        ctypes.util.find_library = search


def _loads(name: str) -> bool:
    try:
        ctypes.CDLL(name)
    except OSError:
        return False
    return True
