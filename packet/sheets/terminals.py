"""The pictures of sheet E: which conductor lands on which terminal, at both ends."""

from __future__ import annotations

from packet import words
from packet.ledger import Ledger
from packet.plans.installation import PIGTAIL, Installed, PlannedTerminal
from packet.sheets import views
from packet.showing import show

CONDUCTORS = {
    "outlet_ground": "ground",
    "outlet_neutral": "neutral",
    "outlet_l1": "line_1",
    "outlet_l2": "line_2",
    "panel_ground": "ground",
    "panel_neutral": "neutral",
    "breaker_neutral": "neutral",
    PIGTAIL: "pigtail",
    "panel_l1": "line_1",
    "panel_l2": "line_2",
}
"""Terminal of the plan -> conductor that lands on it."""

PANEL_DEVICES = {
    "panel_ground": "grounding_bar",
    "panel_neutral": "neutral_bar",
    PIGTAIL: "neutral_bar",
}
"""What a terminal in the panel is on; all others are on the new breaker."""


def terminal_pictures(installed: Installed, ledger: Ledger) -> tuple[views.TerminalPicture, ...]:
    """Return a picture of each end, in the order in which sheet E takes them."""
    numbered = [(f"E-{number}", terminal) for number, terminal in enumerate(installed.terminals, 1)]
    places = dict.fromkeys(terminal.place for _, terminal in numbered)
    return tuple(
        (_panel if place == "panel" else _outlet)(
            place, [pair for pair in numbered if pair[1].place == place], installed, ledger
        )
        for place in places
    )


def _outlet(
    place: str,
    numbered: list[tuple[str, PlannedTerminal]],
    installed: Installed,
    ledger: Ledger,
) -> views.TerminalPicture:
    face = show(ledger["circuit.configuration"]) if place == "outlet" else ""
    letters = _letters(ledger) if face else {}
    device = _word("receptacle", configuration=face) if face else _equipment(ledger)
    box = next((box for box in installed.boxes if box.role.value == "outlet"), None)
    if box is not None:
        enclosure = _word(f"{box.material.value}_box", name=box.name.value)
    else:
        own = _word("equipment_space", of_the=show(ledger["equipment.of_the"]))
        enclosure = _word("box_not_known") if face else own
    jumper = ledger.get("box_bonding_jumper")
    bonded = box is not None and box.material.value == "metal" and jumper is not None
    return views.TerminalPicture(
        _place(place, ledger),
        enclosure,
        tuple(
            _landing(row, terminal, ledger, device, "outlet", letters, bonded=bonded)
            for row, terminal in numbered
        ),
        _word("jumper", size=f"{show(jumper)} {show(ledger['conductor_material'])}")
        if bonded and jumper
        else "",
        face,
    )


def _panel(
    place: str,
    numbered: list[tuple[str, PlannedTerminal]],
    _: Installed,
    ledger: Ledger,
) -> views.TerminalPicture:
    landings = [
        _landing(
            row, terminal, ledger, _word(PANEL_DEVICES.get(terminal.id, "breaker")), "panel", {}
        )
        for row, terminal in numbered
    ]
    devices = list(dict.fromkeys(landing.device for landing in landings))
    return views.TerminalPicture(
        _place(place, ledger),
        _word("panel", name=show(ledger["panel.name"])),
        tuple(sorted(landings, key=lambda landing: devices.index(landing.device))),
    )


def _landing(
    row: str,
    terminal: PlannedTerminal,
    ledger: Ledger,
    device: str,
    end: str,
    letters: dict[str, str],
    *,
    bonded: bool = False,
) -> views.Landing:
    conductor = CONDUCTORS[terminal.id]
    comes_along = terminal.size is None
    return views.Landing(
        words.word(f"conductor_role.{conductor}").label,
        "" if comes_along else show(ledger[f"{end}_color.{conductor}"]),
        f"{show(terminal.size)} {show(terminal.material)}" if terminal.size else "",
        words.word(f"terminal_name.{terminal.id}").label,
        row,
        device,
        letters.get(conductor, ""),
        bonded=bonded and conductor == "ground",
        starts_inside=comes_along,
    )


def _letters(ledger: Ledger) -> dict[str, str]:
    """Return the letter at each contact of a receptacle."""
    letters = show(ledger["contact_letters"]).split(", ")
    return dict(zip(("line_1", "line_2", "neutral", "ground"), letters, strict=True))


def _equipment(ledger: Ledger) -> str:
    name = ledger.get("circuit.equipment")
    return show(name) if name else show(ledger["equipment.title"])


def _place(place: str, ledger: Ledger) -> str:
    label = words.word(f"terminal_place.{place}").label
    return label.format(the=show(ledger["equipment.the"]))


def _word(word: str, **values: str) -> str:
    return words.word(f"terminal_picture.{word}").label.format(**values)
