"""The pictures: where each line and word of a drawing stands, in millimetres on paper.

A picture is laid out from a sheet's view and the widths of the lettering; templates hand
both in and print what comes back.
"""

from __future__ import annotations

from packet.drawings.one_line import one_line
from packet.drawings.panel import panel_spaces
from packet.drawings.paper import ROOMS
from packet.drawings.terminals import terminals

__all__ = ["PICTURES", "ROOMS"]

PICTURES = {"one_line": one_line, "panel_spaces": panel_spaces, "terminals": terminals}
"""What templates may call."""
