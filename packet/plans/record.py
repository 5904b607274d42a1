"""A packet that came back: every torque and reading judged, and what the readings show."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Any

from packet.codebook import Book
from packet.ledger import Check, Citation, Entry, Kind, Ledger, Verdict
from packet.plans.branch_circuit import Plan
from packet.plans.installation import Installed, PlannedReading, PlannedTerminal
from packet.returned.values import NOT_TAKEN, Measured, Unfit, measured
from packet.rules.evidence import (
    VOLTAGES,
    Connection,
    FaultPattern,
    LoadTest,
    connection,
    fault_patterns,
    kind_of_voltage,
    leg_difference,
    voltage_fall,
)
from packet.rules.readings import within_band
from packet.rules.torque import setting_band
from packet.rules.voltage_drop import Load, Loop
from packet.words import word

TORQUE = "lbf_in"
"""Unit of a torque that is written without one."""

READ_AS = {"V": "value", "Ω": "resistance", "MΩ": "insulation", "A": "current"}
"""Unit of a blank -> what the reading in it is called."""

LOADED = "loaded"
"""Stage whose readings may not be there to take: not every charger shows them."""

WORKED_OUT = {
    "leg-difference": ("live-l1-g", "live-l2-g", leg_difference),
    "voltage-fall": ("live-l1-l2", "loaded-l1-l2", voltage_fall),
}
"""Rows that are subtracted from two others, and are subtracted again here."""


class Standing(Enum):
    """How one row of a sheet stands."""

    WITHIN = "within"
    OUTSIDE = "outside"
    MISSING = "missing"
    UNREADABLE = "unreadable"
    NOT_TAKEN = "not taken"


@dataclass(frozen=True)
class Judged:
    """One torque or reading.

    Parameters
    ----------
    row : str
        Such as ``E-3``.
    id : str
        Of the terminal or the reading.
    written : str
        As it was written; empty where nothing was.
    standing : Standing
    low, high : Entry, optional
        The band.
    worked : Entry, optional
        What a subtraction gives when it is done again.
    why : str
        Key of why a text cannot be read, or of what is missing.
    differs : bool
        What was written is not what `worked` gives.
    entry : Entry, optional
        The reading as a value.
    """

    row: str
    id: str
    written: str
    standing: Standing
    low: Entry | None = None
    high: Entry | None = None
    worked: Entry | None = None
    why: str = ""
    differs: bool = False
    entry: Entry | None = None

    @property
    def number(self) -> str:
        """Number of the row."""
        return self.row.partition("-")[2]


@dataclass(frozen=True)
class Record:
    """Everything judged, in a ledger of its own.

    `connection` is None where one of the readings that it needs is not there.
    """

    ledger: Ledger
    torques: tuple[Judged, ...]
    readings: tuple[Judged, ...]
    connection: Connection | None
    faults: tuple[FaultPattern, ...]
    uncalibrated: Entry | None


def units(installed: Installed) -> dict[str, str]:
    """Return every field that takes a torque or a reading, and the unit a bare number is in."""
    found: dict[str, str] = {}
    for number, _ in enumerate(installed.terminals, 1):
        found |= {f"E.{number}.set": TORQUE, f"E.{number}.required": TORQUE}
    for number, reading in enumerate(installed.readings, 1):
        found[f"F.{number}.reading"] = _unit(reading)
    return found


def record(plan: Plan, written: Mapping[str, str]) -> Record:
    """Judge what was written on the sheets of `plan`.

    Parameters
    ----------
    plan : Plan
        With conductors; its packet is the one that was filled in.
    written : mapping
        Name of a field -> what was written; blanks are left out.
    """
    if plan.installed is None:
        raise ValueError("there is no packet to work by, so nothing can have been filled in")
    book, ledger = plan.book, Ledger()
    torques = tuple(
        _torque(book, ledger, number, terminal, written)
        for number, terminal in enumerate(plan.installed.terminals, 1)
    )
    readings = [
        _reading(ledger, number, reading, written)
        for number, reading in enumerate(plan.installed.readings, 1)
    ]
    by_id = {one.id: one for one in readings}
    shown = _connection(plan, by_id)
    readings = [
        _again(book, ledger, one, by_id) if one.id in WORKED_OUT else one for one in readings
    ]
    if shown is not None:
        for check in shown.checks:
            ledger.judge(check)
        for entry in (shown.excess, shown.uncertainty):
            ledger.add(entry)
    kinds = dict(_kinds(book, by_id))
    return Record(
        ledger,
        torques,
        tuple(readings),
        shown,
        tuple(fault_patterns(book, kinds)),
        _uncalibrated(written),
    )


# ---------------------------------------------------------------------------------- torque


def _torque(
    book: Book,
    ledger: Ledger,
    number: int,
    terminal: PlannedTerminal,
    written: Mapping[str, str],
) -> Judged:
    """Judge a setting against the torque printed, or against the one copied from the label."""
    row, at = f"E-{number}", f"terminal.{number}"
    required = terminal.torque.value
    label = written.get(f"E.{number}.required", "")
    if label:
        try:
            copied = measured(label, TORQUE)
        except Unfit as unfit:
            return Judged(row, terminal.id, label, Standing.UNREADABLE, why=str(unfit))
        required = ledger.add(Entry(f"{at}.label_torque", copied.value, Kind.LABEL))
    text = written.get(f"E.{number}.set", "")
    if required is None:
        return Judged(row, terminal.id, text, Standing.MISSING, why="label")
    low, high = setting_band(book, at, required)
    if not text:
        return Judged(row, terminal.id, "", Standing.MISSING, low, high)
    try:
        setting = measured(text, TORQUE)
    except Unfit as unfit:
        return Judged(row, terminal.id, text, Standing.UNREADABLE, low, high, why=str(unfit))
    if setting.beyond:
        why = "beyond"
        return Judged(row, terminal.id, text, Standing.UNREADABLE, low, high, why=why)
    if not setting.has_unit and _fits_otherwise(text, low, high):
        why = "bare_torque"
        return Judged(row, terminal.id, text, Standing.UNREADABLE, low, high, why=why)
    entry = Entry(f"{at}.set_torque", setting.value, Kind.GIVEN)
    check = ledger.judge(within_band(f"{at}.set_within_tolerance", entry, low, high, low.cite))
    return Judged(row, terminal.id, text, _standing(check), low, high, entry=entry)


def _fits_otherwise(text: str, low: Entry, high: Entry) -> bool:
    """Say whether a bare number misses the band in pound-inches and meets it in another unit."""

    def fits(unit: str) -> bool:
        value = measured(f"{text} {unit}", TORQUE).value
        return bool(low.value <= value <= high.value)

    return not fits("lbf-in") and (fits("N·m") or fits("lbf-ft"))


def _uncalibrated(written: Mapping[str, str]) -> Entry | None:
    """Return until when the torque tool was calibrated, where the work was done later."""
    until, done = (_day(written.get(name, "")) for name in ("E.calibrated_until", "M.did.date"))
    if until is None or done is None or done <= until:
        return None
    return Entry("calibrated_until", until, Kind.GIVEN)


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


# -------------------------------------------------------------------------------- readings


def _unit(reading: PlannedReading) -> str:
    end = reading.high or reading.low
    return word(end.name).unit if end else "V"


def _reading(
    ledger: Ledger, number: int, reading: PlannedReading, written: Mapping[str, str]
) -> Judged:
    row, low, high = f"F-{number}", reading.low, reading.high
    text = written.get(f"F.{number}.reading", "")
    if not text:
        return Judged(row, reading.id, "", Standing.MISSING, low, high)
    if text.lower() in NOT_TAKEN or text.lower().startswith("n/a"):
        may = reading.stage == LOADED
        return Judged(
            row, reading.id, text, Standing.NOT_TAKEN if may else Standing.MISSING, low, high
        )
    unit = _unit(reading)
    try:
        value = measured(text, unit)
    except Unfit as unfit:
        return Judged(row, reading.id, text, Standing.UNREADABLE, low, high, why=str(unfit))
    name = f"reading.{number}.in_band"
    cite = _cite(low, high)
    if value.value is None:
        verdict = Verdict.MEETS if high is None else Verdict.FALLS_SHORT
        facts = tuple(end for end in (low, high) if end)
        check = ledger.judge(Check(name, verdict, cite, facts=facts))
        return Judged(row, reading.id, text, _standing(check), low, high)
    entry = Entry(f"reading.{number}.{READ_AS[unit]}", value.value, Kind.GIVEN)
    if value.beyond and not _tells(value, low, high):
        why = "beyond"
        return Judged(row, reading.id, text, Standing.UNREADABLE, low, high, why=why)
    check = ledger.judge(within_band(name, entry, low, high, cite))
    return Judged(
        row, reading.id, text, _standing(check), low, high, entry=None if value.beyond else entry
    )


def _tells(value: Measured, low: Entry | None, high: Entry | None) -> bool:
    """Say whether a value that is only known to lie beyond a number can be judged by it.

    More than a number tells where the number itself is in a band without an upper end, or
    above the band; less than a number where it is in a band that begins at nothing, or below.
    """
    if value.beyond == "above":
        return bool(
            value.value > high.value if high else low is not None and value.value >= low.value
        )
    at_nothing = low is None or not low.value.magnitude
    if at_nothing:
        return high is not None and bool(value.value <= high.value)
    return low is not None and bool(value.value < low.value)


def _cite(low: Entry | None, high: Entry | None) -> tuple[Citation, ...]:
    return tuple(dict.fromkeys(cite for end in (low, high) if end for cite in end.cite))


def _standing(check: Check) -> Standing:
    return Standing.WITHIN if check.verdict is Verdict.MEETS else Standing.OUTSIDE


def _again(book: Book, ledger: Ledger, row: Judged, by_id: Mapping[str, Judged]) -> Judged:
    """Subtract again, and judge what that gives; what was written may be another number."""
    first, second, subtracted = WORKED_OUT[row.id]
    one, other = (by_id[name].entry if name in by_id else None for name in (first, second))
    if one is None or other is None:
        return row
    worked = subtracted(book, one, other)
    name = f"reading.{row.number}.worked_out"
    check = ledger.judge(within_band(name, worked, row.low, row.high, _cite(row.low, row.high)))
    differs = row.entry is not None and bool(
        abs(row.entry.value - worked.value) > measured(row.written, "V").step
    )
    return Judged(
        row.row,
        row.id,
        row.written,
        _standing(check),
        row.low,
        row.high,
        worked,
        differs=differs,
        entry=row.entry,
    )


# -------------------------------------------------------------------------------- evidence


def _connection(plan: Plan, by_id: Mapping[str, Judged]) -> Connection | None:
    """Return what the readings under load show, where all three are there.

    A car may draw nothing while it waits: without a current there is nothing to divide by.
    """
    rows = [by_id.get(one) for one in ("live-l1-l2", "loaded-l1-l2", "load-current")]
    entries = [row.entry if row else None for row in rows]
    no_load, loaded, current = entries
    if no_load is None or loaded is None or current is None or not current.value.magnitude > 0:
        return None
    inputs = dict(plan.ledger["voltage_drop"].inputs)
    steps = [
        Entry(name, measured(row.written, "V").step, Kind.GIVEN)
        for name, row in zip(("no_load_step", "loaded_step"), rows, strict=False)
        if row
    ]
    return connection(
        plan.book,
        LoadTest(no_load, loaded, current, *steps),
        Loop(inputs["R"], inputs["X"]),
        Load(inputs["V"], inputs["I"], inputs["pf"]),
    )


PATHS = {"ground_path": "grounding-path", "neutral_path": "neutral-path"}


def _kinds(book: Book, by_id: Mapping[str, Judged]) -> Iterator[tuple[str, str]]:
    """Yield each reading that the table of fault patterns asks for, with its kind.

    On a circuit with one hot conductor the pair of both legs is absent.
    """
    if "live-l1-l2" not in by_id:
        yield "l1_l2", "absent"
    for pair in VOLTAGES:
        row = by_id.get(f"live-{pair.replace('_', '-')}")
        if row is not None and row.entry is not None:
            yield pair, kind_of_voltage(book, pair, row.entry)
    judged: tuple[Any, ...] = (Standing.WITHIN, Standing.OUTSIDE)
    for path, name in PATHS.items():
        row = by_id.get(name)
        if row is not None and row.standing in judged:
            yield path, "sound" if row.standing is Standing.WITHIN else "open"
    apart = by_id.get("apart-n-g")
    if apart is not None and apart.standing in judged:
        yield "apart_n_g", "apart" if apart.standing is Standing.WITHIN else "joined"
