"""The panel as its door shows it, filled by a plan."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from packet.ledger import Entry


@dataclass(frozen=True)
class DirectoryCircuit:
    """One device of the panel: the spaces it takes, its rating and what it serves.

    `half` is ``upper`` or ``lower`` for one circuit of a tandem breaker, else empty.
    """

    spaces: tuple[int, ...]
    rating: Entry
    serves: Entry
    new: bool = False
    half: Literal["", "upper", "lower"] = ""


@dataclass(frozen=True)
class PanelPicture:
    """Everything the directory shows; `circuits` holds the new one too."""

    name: Entry
    spaces: int
    circuits: tuple[DirectoryCircuit, ...]
    location: Entry | None = None
    fed_from: Entry | None = None
    rating: Entry | None = None
