"""Sheets E and F: the torque table and the test form, and the row numbers others refer to."""

from __future__ import annotations

from packet import procedure as written
from packet import resources, words
from packet.findings import render_text
from packet.ledger import Entry, Ledger
from packet.plans.installation import Installed, PlannedReading, PlannedTerminal
from packet.sheets import views
from packet.sheets.procedure import gate_view, hazard
from packet.sheets.terminals import terminal_pictures
from packet.showing import show

LIVE_PHASES = ("live_tests", "live_to_ground")
"""Phases whose standing panels the live table of sheet F repeats."""


def rows(installed: Installed) -> written.Rows:
    """Return where sheets E and F have each terminal and reading."""
    return written.Rows(
        {
            use: f"E-{number}"
            for number, terminal in enumerate(installed.terminals, 1)
            for use in terminal.uses
        },
        {
            reading.id: written.Reading(f"F-{number}", _band(reading), _unit(reading))
            for number, reading in enumerate(installed.readings, 1)
        },
    )


def torque(installed: Installed, ledger: Ledger) -> views.Torque:
    """Return sheet E, in the order the wrench moves."""
    numbered = list(enumerate(installed.terminals, 1))
    places = list(dict.fromkeys(terminal.place for terminal in installed.terminals))
    return views.Torque(
        tuple(
            views.TorqueGroup(
                words.word(f"terminal_place.{place}").label.format(
                    the=show(ledger["equipment.the"])
                ),
                tuple(
                    _torque_row(number, terminal)
                    for number, terminal in numbered
                    if terminal.place == place
                ),
            )
            for place in places
        ),
        render_text(resources.texts("torque")["again"], {"v": lambda name: show(ledger[name])}),
        terminal_pictures(installed, ledger),
    )


def _torque_row(number: int, terminal: PlannedTerminal) -> views.TorqueRow:
    torque_of = terminal.torque
    required = unit = ""
    if torque_of.value is not None and torque_of.metric is not None:
        required = f"{show(torque_of.value)} ({show(torque_of.metric)})"
        unit = _shown_unit(torque_of.value)
    return views.TorqueRow(
        str(number),
        words.word(f"terminal_name.{terminal.id}").label,
        _wire(terminal),
        required,
        show(terminal.source) if terminal.source else "",
        _span(torque_of.general),
        unit,
    )


def _wire(terminal: PlannedTerminal) -> str:
    """Return the wire, and how many the label lets into its terminal where that is more."""
    if terminal.size is None:
        return words.word("terminal_wire.pigtail").label
    wire = f"{show(terminal.size)} {show(terminal.material)}"
    if terminal.allowed is None or terminal.allowed.value <= 1 or not terminal.takes_grounds:
        return wire
    return words.word("terminal_wire.several").label.format(wire=wire, n=show(terminal.allowed))


def _span(values: tuple[Entry, ...]) -> str:
    """Return the least and the greatest of `values`; one where they are alike."""
    ordered = [show(entry) for entry in sorted(values, key=lambda entry: entry.value)]
    if not ordered or ordered[0] == ordered[-1]:
        return ordered[0] if ordered else ""
    return words.word("terminal.general_span").label.format(low=ordered[0], high=ordered[-1])


def readings(installed: Installed, ledger: Ledger, procedure: written.Procedure) -> views.Readings:
    """Return sheet F: what is read dead, then behind its hold point what is read live."""
    gates = {gate.id: gate for gate in procedure.gates}
    panels = {
        panel.id: panel
        for phase in procedure.phases
        for panel in phase.standing
        if phase.id in LIVE_PHASES
    }
    groups = []
    for name in dict.fromkeys(reading.stage for reading in installed.readings):
        live = name == "live"
        groups.append(
            views.ReadingGroup(
                words.word(f"reading_stage.{name}").label,
                tuple(
                    _reading_row(number, reading, ledger, procedure)
                    for number, reading in enumerate(installed.readings, 1)
                    if reading.stage == name
                ),
                hazards=tuple(map(hazard, panels.values())) if live else (),
                gate=gate_view(gates["before_power"]) if live else None,
            )
        )
    return views.Readings(tuple(groups))


def _reading_row(
    number: int, reading: PlannedReading, ledger: Ledger, procedure: written.Procedure
) -> views.Reading:
    texts = resources.texts("readings")
    rules = {rule.id: rule.number for rule in procedure.exits}

    def text(kind: str, key: str) -> str:
        return render_text(
            texts[kind][key],
            {
                "v": lambda name: show(ledger[name]),
                "step": lambda name: procedure.numbers[name],
                "stop": lambda name: rules[name],
            },
        )

    return views.Reading(
        str(number),
        text("meters", reading.meter),
        text("probes", reading.probe_a),
        text("probes", reading.probe_b),
        _band(reading),
        _unit(reading),
        text("actions", reading.action),
    )


def _band(reading: PlannedReading) -> str:
    """Return the band as two numbers and a unit; without an upper end, from the lower one up."""
    texts = resources.texts("readings")["bands"]
    context = {
        "low": show(reading.low) if reading.low else "",
        "high": show(reading.high) if reading.high else "",
        "low_number": show(reading.low).split("\u00a0")[0] if reading.low else "",
    }
    kind = "both" if reading.low and reading.high else "from" if reading.low else "up_to"
    return render_text(texts[kind], context)


def _unit(reading: PlannedReading) -> str:
    end = reading.high or reading.low
    return _shown_unit(end) if end else ""


def _shown_unit(entry: Entry) -> str:
    return show(entry).partition("\u00a0")[2]
