"""What comes back from a job: a packet that was filled in, or a file of readings.

Both give the same: field names with what was written. Nothing here judges a reading.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from packet.returned.made import Made


class NotReadable(Exception):
    """A file that came back cannot be used; the message is one sentence for the reader."""


@dataclass(frozen=True)
class Returned:
    """What was written on the sheets of one packet.

    Parameters
    ----------
    stamp : str
        Check code of the packet it was written on.
    written : mapping
        Name of a field -> what was written; ``yes`` for a tick. Blanks are left out.
    made : Made, optional
        The values that travel inside the packet.
    """

    stamp: str
    written: Mapping[str, str]
    made: Made | None = None
