"""Where each conductor lands at one end of the circuit: box, device, terminals.

Conductors come in from the left, each in a row of its own with its label before it and the
terminal's label behind it, so that no label can meet another. Terminals are the open
circles of IEEE 315. The face of a receptacle is schematic, after the charts of NEMA WD 6
and from memory: it tells which contact is which, not how large a slot is.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import groupby

from packet.drawings.lettering import CAPITAL, LINE, SPARE, wrapped
from packet.drawings.paper import REGULAR, THICK, THIN, WIDTH, Drawing, Path, Room, Text, circle
from packet.sheets.views import Landing, TerminalPicture

LABEL_LEFT, LABEL_RIGHT = 1.0, 50.0
BOX_LEFT, BOX_RIGHT = 54.0, WIDTH - 0.5
JOINT = 68.0
"""Where grounds are joined, and the jumper to the box begins."""
TERMINAL = 86.0
"""Left side of a device; terminals stand on it."""
DEVICE_RIGHT = BOX_RIGHT - 2.5
INSIDE = 91.5
"""Start of a terminal's label."""
LINES = 3
"""Most lines of a name, fewer where the picture would be taller than the page; the rest is in
the table of sheet E."""

_GAP = 3.0
_TERMINAL_RADIUS = 3.0
_FACE_RADIUS = 16.0
_FACE = DEVICE_RIGHT - 2.5 - _FACE_RADIUS

_UPRIGHT, _FLAT, _ANGLE, _ROUND = (
    "M0 -2.6V2.6",
    "M-2.6 0H2.6",
    "M-1.8 -2.2V1.8H1.8",
    circle(0, 0, 1.8),
)

FACES: dict[str, dict[str, tuple[float, float, str]]] = {
    "6-15": {"X": (-5, -2, _FLAT), "Y": (5, -2, _FLAT), "G": (0, 6, _ROUND)},
    "6-20": {"X": (-5, -2, _UPRIGHT), "Y": (5, -2, _FLAT), "G": (0, 6, _ROUND)},
    "6-30": {"X": (-5, -2, _UPRIGHT), "Y": (5, -2, _ANGLE), "G": (0, 6, _ROUND)},
    "6-50": {"X": (-5, -2, _UPRIGHT), "Y": (5, -2, _UPRIGHT), "G": (0, 6, _ROUND)},
    "14-30": {
        "X": (-6, 0, _UPRIGHT),
        "Y": (6, 0, _UPRIGHT),
        "W": (0, 6, _ANGLE),
        "G": (0, -6, _ROUND),
    },
    "14-50": {
        "X": (-6, 0, _UPRIGHT),
        "Y": (6, 0, _UPRIGHT),
        "W": (0, 6, _UPRIGHT),
        "G": (0, -6, _ROUND),
    },
    "14-60": {
        "X": (-6, 0, _FLAT),
        "Y": (6, 0, _FLAT),
        "W": (0, 6, _UPRIGHT),
        "G": (0, -6, _ROUND),
    },
}
"""Configuration -> letter of each contact -> its place around the middle, and its slot."""


def terminals(picture: TerminalPicture, words: Mapping[str, str], room: Room = REGULAR) -> Drawing:
    """Draw one end of the circuit.

    Parameters
    ----------
    picture : TerminalPicture
    words : mapping
        ``row`` stands before the number of a torque row.
    room : Room
        Where the picture is taller, its labels have fewer lines; if that is not enough, it is
        enlarged less.
    """
    lines = LINES
    while (placed := _End(picture, words, room, lines).drawn()).height > room.tallest and lines > 1:
        lines -= 1
    if placed.height > room.tallest:
        placed.enlarged = max(1.0, room.enlarged * room.tallest / placed.height)
    return placed


class _End:
    """Fills the drawing from the top."""

    def __init__(
        self, picture: TerminalPicture, words: Mapping[str, str], room: Room, lines: int
    ) -> None:
        self.picture = picture
        self.words = words
        self.lines = lines
        self.small = room.small
        self.placed = Drawing(enlarged=room.enlarged)
        self.top = 1.0
        self.y = self.top + 1.0

    def drawn(self) -> Drawing:
        lines = wrapped(self.picture.enclosure, BOX_RIGHT - SPARE - JOINT - 6.0, lines=self.lines)
        self.y = self.placed.lettering(JOINT + 6.0, self.y, lines)
        if self.picture.jumper:
            lines = wrapped(self.picture.jumper, BOX_RIGHT - SPARE - JOINT - 6.0, lines=self.lines)
            self.y = self.placed.lettering(JOINT + 6.0, self.y + 1.0, lines)
        for device, landings in groupby(self.picture.landings, lambda one: one.device):
            self._device(device, tuple(landings))
        self.y += _GAP
        self.placed.frame(BOX_LEFT, self.top, BOX_RIGHT, self.y, width=THIN)
        self.placed.height = self.y + 1.0
        return self.placed

    def _device(self, name: str, landings: tuple[Landing, ...]) -> None:
        """Draw one device with its terminals, and its face if it is a receptacle."""
        face = FACES.get(self.picture.face, {})
        width = (_FACE - _FACE_RADIUS if face else DEVICE_RIGHT) - SPARE - INSIDE
        self.y += _GAP
        top, first = self.y, len(self.placed.paths)
        if not all(landing.terminal.startswith(name) for landing in landings):
            lines = wrapped(name, width, bold=True, lines=self.lines)
            self.y = self.placed.lettering(INSIDE, self.y + 1.5, lines, bold=True)
        for landing in landings:
            self._landing(landing, width)
        if face:
            self.y = max(self.y, top + 2 * _FACE_RADIUS + 4.0)
            self._face(face, (top + self.y) / 2)
        self.y += 1.5
        self.placed.frame(TERMINAL, top, DEVICE_RIGHT, self.y, width=THIN)
        self.placed.paths.insert(first, self.placed.paths.pop())

    def _landing(self, landing: Landing, width: float) -> None:
        """Draw one conductor from the left to its terminal, in a row of its own."""
        left = LABEL_RIGHT - SPARE - LABEL_LEFT
        role = wrapped(landing.role, left, bold=True, lines=self.lines)
        lines = _color_and_size(landing, left, self.lines)
        terminal = wrapped(landing.terminal, width, bold=True, lines=self.lines)
        row = wrapped(f"{self.words['row']} {landing.row}", width, lines=1)
        tall = LINE * max(len(role) + len(lines), len(terminal) + len(row))
        self.y += 2.0
        middle = self.y + tall / 2
        top = middle - LINE * (len(role) + len(lines)) / 2
        below = self.placed.lettering(LABEL_LEFT, top, role, bold=True)
        self.placed.lettering(LABEL_LEFT, below, lines)
        top = middle - LINE * (len(terminal) + len(row)) / 2
        below = self.placed.lettering(INSIDE, top, terminal, bold=True)
        self.placed.lettering(INSIDE, below, row)
        start = BOX_LEFT + 4.0 if landing.starts_inside else LABEL_RIGHT + 1.5
        self.placed.line(start, middle, TERMINAL, middle, width=THICK)
        if landing.starts_inside:
            self.placed.circle(start, middle, 0.8, fill="#000")
        if landing.bonded and self.picture.jumper:
            self.placed.line(JOINT, self.top, JOINT, middle, width=THICK)
            self.placed.circle(JOINT, middle, 1.4, fill="#000")
            self.placed.circle(JOINT, self.top, 1.0, fill="#000")
        self.placed.circle(TERMINAL, middle, _TERMINAL_RADIUS, fill="#fff")
        if landing.letter:
            self._letter(TERMINAL, middle, landing.letter)
        self.y += tall

    def _face(self, face: Mapping[str, tuple[float, float, str]], middle: float) -> None:
        """Draw the face of a receptacle, a letter outside each contact."""
        self.placed.circle(_FACE, middle, _FACE_RADIUS)
        for letter, (x, y, slot) in face.items():
            self.placed.paths.append(Path(slot, _FACE + x, middle + y, THICK))
            away = 5.2 if slot == _ROUND or y else 4.6
            if abs(x) > abs(y):
                self._letter(_FACE + x + (away if x > 0 else -away), middle + y, letter)
            else:
                self._letter(_FACE + x, middle + y + (away if y > 0 else -away), letter)

    def _letter(self, x: float, y: float, letter: str) -> None:
        base = y + CAPITAL * self.small / 2
        self.placed.texts.append(Text(x, base, letter, True, self.small, centred=True))


def _color_and_size(landing: Landing, width: float, most: int) -> list[str]:
    """Return color and size on one line if they fit there, else the size on its own."""
    both = [text for text in (landing.color, landing.size) if text]
    lines = wrapped(", ".join(both), width)
    if len(lines) == 1:
        return lines if both else []
    return [line for text in both for line in wrapped(text, width, lines=most)]
