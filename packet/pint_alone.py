"""Pint, imported without the packages that it would take along for arrays and for words."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager

COMPANIONS = ("babel", "dask", "numpy", "scipy", "uncertainties", "xarray")
"""What Pint loads where it is installed, and decimal quantities never use."""


@contextmanager
def without_companions() -> Iterator[None]:
    """Hide from the import of Pint what would take longer to load than Pint itself."""
    hidden = [name for name in COMPANIONS if name not in sys.modules]
    sys.modules.update(dict.fromkeys(hidden))  # type: ignore[arg-type]  # None: there is no such
    try:
        yield
    finally:
        for name in hidden:
            del sys.modules[name]
