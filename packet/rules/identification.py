"""Color of each conductor of a circuit, by what brings it: a cable, or wires in a raceway."""

from __future__ import annotations

from dataclasses import dataclass

from packet.codebook import Book
from packet.ledger import Entry, chosen
from packet.rules.ampacity import CABLES
from packet.rules.support import words_of


@dataclass(frozen=True)
class Colors:
    """Color of each conductor, as a word; `neutral` is None where there is none."""

    line_1: Entry
    line_2: Entry
    neutral: Entry | None
    ground: Entry


def conductor_colors(book: Book, end: str, method: Entry, *, neutral: bool) -> Colors:
    """Return the colors of a two-pole circuit's conductors at one of its ends.

    Parameters
    ----------
    book : Book
    end : str
        ``outlet`` or ``panel``.
    method : Entry
        Cable or raceway that reaches this end.
    neutral : bool
        Whether the circuit has one.

    Rule
    ----
    first_hot_color, second_hot_color, second_hot_color_service_cable, white_hot_color,
    neutral_color, insulated_ground_color, bare_ground_color, cables_with_bare_ground
    """

    def color(conductor: str, figure: str) -> Entry:
        word = book.figure(figure)
        return chosen(f"{end}_color.{conductor}", word.value, word.cite, method=method)

    second = "second_hot_color"
    if method.value in CABLES and not neutral:
        second = "white_hot_color"
    elif method.value == "SER":
        second = "second_hot_color_service_cable"
    bare = method.value in words_of(book.figure("cables_with_bare_ground"))
    return Colors(
        color("line_1", "first_hot_color"),
        color("line_2", second),
        color("neutral", "neutral_color") if neutral else None,
        color("ground", "bare_ground_color" if bare else "insulated_ground_color"),
    )
