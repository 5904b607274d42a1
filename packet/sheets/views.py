"""What each sheet shows: frozen records of finished text, filled from the ledger.

Nothing here calculates, rounds or words anything. Every string is printed as it stands,
so a number arrives with its unit, made by :mod:`packet.showing`. Words that are the same
in every packet (headings, captions, signal words) stand in the templates.

An empty string means *not known*: the sheet then prints a blank to write in, or the words
NOT KNOWN, never nothing. Fields that may be empty without such a mark say "optional".
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from typing import ClassVar, Literal

SHEET_ORDER = "RPABCDEFGHJKLMSQW"
"""Order of the sheets in any set; I and O are no sheet letters, they look like figures."""

SHORTFALL_SHEETS = frozenset("AKLW")
"""All that may be printed while something falls short: nobody works or builds by these."""

State = Literal["new", "existing", "remove"]
"""What the job does to a thing on the one-line diagram."""


class Outcome(StrEnum):
    """Whether work may start."""

    READY = "ready"
    READY_IF = "ready_if"
    DO_NOT_START = "do_not_start"


class Reader(StrEnum):
    """Whom a set is for."""

    CLIPBOARD = "clipboard"
    CLIENT = "client"
    PERMIT = "permit"
    SURVEY = "survey"
    RECORD = "record"
    CHOOSER = "options"


@dataclass(frozen=True)
class Frame:
    """What stands on every page, or in the title block of a sheet.

    Parameters
    ----------
    job_number : str
        For example ``ALD-0417``.
    title : str
        Short title of the job; cut off in the footer when it does not fit, whole on sheet A.
    edition : str
        The code and its edition, for example ``NEC 2023``.
    stamp : str
        Short check code of all values of the ledger; sheets with unlike stamps do not belong
        together.
    issued : str
        Date of issue, ``YYYY-MM-DD``; also the date inside the PDF. Empty where there is no job
        yet; then `stamp` is the check code of the form.
    revision : str
        For example ``1``.
    version, code_book : str
        Of the tool, and of the code book it has its figures from; for example ``0.1.0`` and
        ``7F3A-91C0``.
    address, prepared_by, phone : str
        Where the work is; who answers for the sheets.
    """

    job_number: str
    title: str
    edition: str
    stamp: str
    issued: str
    revision: str
    version: str
    code_book: str
    address: str = ""
    prepared_by: str = ""
    phone: str = ""


# ------------------------------------------------------------------ parts of several sheets


@dataclass(frozen=True)
class Blank:
    """A place to write.

    Parameters
    ----------
    caption : str
        Printed above the place; says what to write and, for a date, its pattern.
    unit : str, optional
        Printed small at the right end inside the place.
    size : str
        ``short`` takes 5 or 6 signs (a reading, initials, a time), ``date`` 10,
        ``name`` 14 (also a signature), ``line`` the whole width.
    key : str, optional
        What is written there, in the name of the field on screen, where its sheet has fields.
    """

    caption: str
    unit: str = ""
    size: Literal["short", "date", "name", "line"] = "short"
    key: str = ""


@dataclass(frozen=True)
class Hazard:
    """A hazard panel: three short sentences, at most 45 words in all.

    Parameters
    ----------
    word : str
        ``danger`` (live parts can be touched), ``warning`` (death or serious injury could
        follow), ``caution`` (minor injury) or ``notice`` (damage only).
    what, harm, avoid : str
        The hazard; what it does to you; the standing behaviour that keeps you out of it.
        Something done once and ticked off is a step, not part of a panel.
    """

    word: Literal["danger", "warning", "caution", "notice"]
    what: str
    harm: str
    avoid: str


_GRAVITY = ("danger", "warning", "caution", "notice")


@dataclass(frozen=True)
class Branch:
    """``IF condition, THEN action target.``; target (a step or row) may be empty."""

    condition: str
    action: str
    target: str = ""


@dataclass(frozen=True)
class Fact:
    """A named value with where it comes from (`source` optional)."""

    label: str
    value: str
    source: str = ""


@dataclass(frozen=True)
class KeyValue:
    """One line of the key values.

    Parameters
    ----------
    item : str
    value : str
        With its unit; empty prints NOT KNOWN.
    kind : str
        ``given``, ``calc`` or ``label``.
    source : str
        Sheet and row of this set, or the packet that has the sheet.
    """

    item: str
    value: str
    kind: str
    source: str


@dataclass(frozen=True)
class Party:
    """Someone who works or pays; an empty field is a blank to write in."""

    name: str
    address: str = ""
    phone: str = ""
    licence: str = ""


# ------------------------------------------------------------------------------ A summary


@dataclass(frozen=True)
class Reason:
    """Why the verdict is what it is.

    Parameters
    ----------
    text : str
        One sentence with both sides of the comparison.
    see : str
        Sheet and line, such as ``K line 12``.
    remedy : str, optional
        What would put it right.
    """

    text: str
    see: str
    remedy: str = ""


@dataclass(frozen=True)
class OpenQuestion:
    """Something to find out before work starts.

    Parameters
    ----------
    text : str
        The question.
    who : str
        Who can tell.
    blank : Blank, optional
        Where the answer is written.
    """

    text: str
    who: str
    blank: Blank | None = None


@dataclass(frozen=True)
class Summary:
    """Sheet A: may the work start, why, and what does it take.

    Parameters
    ----------
    address, owner, work_by, planned_start : str
    outcome : Outcome
    reasons : tuple of Reason
        READY: the most telling checks, at most 3. DO NOT START: the shortfalls.
    first : tuple of OpenQuestion
        What must be true or known first, at most 4.
    key_values : tuple of KeyValue
        At most 10, and as many as leave the front one page.
    hours, trips, cost, people, power_off : str
        What the job takes: hours of work, trips to a store, cost of materials, people
        needed at the heaviest step, time without power.
    unconfirmed : str, optional
        Sheet that lists the figures which nobody has compared with a published copy.
    more : tuple of OpenQuestion, optional
        Further questions, which stand on the back.
    days : str, optional
        First and last day of work.
    more_reasons : tuple of Reason, optional
        Further shortfalls, which stand on the back.
    """

    letter: ClassVar[str] = "A"
    stem: ClassVar[str] = "summary"

    address: str
    owner: str
    work_by: str
    planned_start: str
    outcome: Outcome
    reasons: tuple[Reason, ...]
    first: tuple[OpenQuestion, ...]
    key_values: tuple[KeyValue, ...]
    hours: str
    trips: str
    cost: str
    people: str
    power_off: str
    unconfirmed: str = ""
    more: tuple[OpenQuestion, ...] = ()
    days: str = ""
    more_reasons: tuple[Reason, ...] = ()


# ---------------------------------------------------------------------------------- B buy


@dataclass(frozen=True)
class BuyItem:
    """One line of the shopping list.

    Parameters
    ----------
    name : str
        Generic name and ratings.
    marks : str
        The exact marks to find on the part.
    swap : str
        What may replace it; empty prints "none".
    quantity : str
        As the store sells it, with its unit: ``65 ft``, ``2``.
    needed : str, optional
        What the job takes before waste and stock sizes.
    each, line : str
        Price of one and of the line; empty is a blank to write in.
    lead : str, optional
        Days from ordering to hand.
    """

    name: str
    marks: str
    swap: str
    quantity: str
    needed: str = ""
    each: str = ""
    line: str = ""
    lead: str = ""


@dataclass(frozen=True)
class Trip:
    """What is bought in one go.

    Parameters
    ----------
    name : str
        Kind of store.
    items : tuple of BuyItem
        In the order of the aisles.
    subtotal, tax, total : str
        Empty where a price is missing.
    order_by : str, optional
        Last day to order; such a trip is printed under "Order ahead".
    """

    name: str
    items: tuple[BuyItem, ...]
    subtotal: str = ""
    tax: str = ""
    total: str = ""
    order_by: str = ""


@dataclass(frozen=True)
class Buy:
    """Sheet B: the shopping list, by trip; trips to order ahead come first.

    Parameters
    ----------
    trips : tuple of Trip
    tax_rate : str, optional
    total : str
        Of all trips, tax included; empty where a price is missing.
    prices_dated : str
        Date of the given prices; empty when no price was given.
    days : tuple of Fact
        Every day of the job, the earliest first.
    """

    letter: ClassVar[str] = "B"
    stem: ClassVar[str] = "buy"

    trips: tuple[Trip, ...]
    tax_rate: str
    total: str
    prices_dated: str
    days: tuple[Fact, ...] = ()


# -------------------------------------------------------------------------------- C carry


@dataclass(frozen=True)
class Tool:
    """One thing to carry.

    Parameters
    ----------
    name : str
        With its rating or range.
    steps : str
        Steps of sheet D that use it, such as ``1.4 to 1.9, 8.1``.
    check : str
        Something to see before use.
    blank : Blank, optional
        For a date or a number to note (size ``date`` or ``short``).
    """

    name: str
    steps: str
    check: str
    blank: Blank | None = None


@dataclass(frozen=True)
class Carry:
    """Sheet C: protective equipment first, then tools, each in order of first use."""

    letter: ClassVar[str] = "C"
    stem: ClassVar[str] = "carry"

    protective: tuple[Tool, ...]
    tools: tuple[Tool, ...]


# ----------------------------------------------------------------------------------- D do


@dataclass(frozen=True)
class Step:
    """One action.

    Parameters
    ----------
    number : str
        Number of the phase and of the step in it, ``2.7``.
    verb : str
        The imperative, printed bold.
    text : str
        The rest of the sentence with its full stop.
    why : str, optional
        One line of reason.
    expect : str, optional
        What a check must show: ``0 V (0 to 1 V)``.
    branches : tuple of Branch
    hazards : tuple of Hazard
        At most 2; printed before the step, the worst first. What holds for a whole phase
        stands at the phase.
    note : str, optional
        Information only.
    blanks : tuple of Blank
        In the record zone where they are ``short``, under the action where they are longer.
    cannot_be_undone : bool
        First energizing, cutting an existing conductor, drilling into a concealed space,
        discarding a removed breaker; nothing else.

    Raises
    ------
    ValueError
        With more than two hazards: the step is too big.
    """

    is_gate: ClassVar[bool] = False

    number: str
    verb: str
    text: str
    why: str = ""
    expect: str = ""
    branches: tuple[Branch, ...] = ()
    hazards: tuple[Hazard, ...] = ()
    note: str = ""
    blanks: tuple[Blank, ...] = ()
    cannot_be_undone: bool = False

    def __post_init__(self) -> None:
        if len(self.hazards) > 2:
            raise ValueError(f"step {self.number} has more than two hazard panels; split it")

    @property
    def panels(self) -> list[Hazard]:
        """The hazard panels, the worst first."""
        return sorted(self.hazards, key=lambda hazard: _GRAVITY.index(hazard.word))


@dataclass(frozen=True)
class Gate:
    """A hold point: nobody passes without what it asks for.

    Parameters
    ----------
    key : str
        Names its fields on sheet F; never changes.
    number : str
        Counts through the packet.
    title : str
        What kind of hold it is.
    go_if, stop_if : tuple of str
        Each a short clause: what must be true; what means stop.
    blanks : tuple of Blank
        What is written before going on; the template adds none.
    """

    is_gate: ClassVar[bool] = True

    key: str
    number: str
    title: str
    go_if: tuple[str, ...]
    stop_if: tuple[str, ...]
    blanks: tuple[Blank, ...]


@dataclass(frozen=True)
class Phase:
    """A task-sized part of the procedure, 5 to 15 steps.

    Parameters
    ----------
    number, name, place : str
        ``2``, ``Pull the cable``, ``attic and garage``.
    power : str
        What is on and what is off while it lasts.
    needs : tuple of str
        Things to have at hand; at most 3 lines.
    parts : tuple of Step or Gate
    complete : str
        Ends the sentence "Phase 2 complete when ...", with its full stop.
    stop : str
        What ends the phase before it is complete.
    standing : tuple of Hazard
        Hold for every step: printed before the first, and again on each page that goes on.
    """

    number: str
    name: str
    place: str
    power: str
    needs: tuple[str, ...]
    parts: tuple[Step | Gate, ...]
    complete: str
    stop: str
    standing: tuple[Hazard, ...] = ()


@dataclass(frozen=True)
class Procedure:
    """Sheet D: the work, step by step.

    Parameters
    ----------
    purpose : str
        One line.
    who_may : str
        Who may do the work here.
    ends_if : tuple of str
        Conditions that end the procedure.
    phases : tuple of Phase
    who_to_call : str, optional
        What to do and whom to call when one of them is met.
    """

    letter: ClassVar[str] = "D"
    stem: ClassVar[str] = "procedure"

    purpose: str
    who_may: str
    ends_if: tuple[str, ...]
    phases: tuple[Phase, ...]
    who_to_call: str = ""


# ------------------------------------------------------------------------------- E torque


@dataclass(frozen=True)
class TorqueRow:
    """One terminal.

    Parameters
    ----------
    number : str
        Row number, counting through the sheet.
    terminal : str
    wire : str
        Size and material.
    required : str
        With unit; empty is a blank to copy from the label.
    source : str
        ``label``, instruction sheet, or table with row.
    expected : str, optional
        Shown under a blank: what the general table gives where a part has no marking.
    unit : str, optional
        The first unit of `required`, in which the tool is set; empty where the label gives it.
    """

    number: str
    terminal: str
    wire: str
    required: str
    source: str
    expected: str = ""
    unit: str = ""


@dataclass(frozen=True)
class TorqueGroup:
    """Terminals at one place, in the order the wrench moves."""

    place: str
    rows: tuple[TorqueRow, ...]


@dataclass(frozen=True)
class Landing:
    """One conductor and the terminal it lands on.

    Parameters
    ----------
    role, color, size : str
        What it is, what color it has as a word, and how thick of which metal it is.
    terminal : str
        As in its row of sheet E.
    row : str
        That row, such as ``E-3``.
    device : str
        What the terminal is on; neighbours on one device share its outline.
    letter : str, optional
        Letter at the contact, where the device has one.
    bonded : bool
        It is joined to the metal box on its way.
    starts_inside : bool
        It comes with the device and does not enter from outside.
    """

    role: str
    color: str
    size: str
    terminal: str
    row: str
    device: str
    letter: str = ""
    bonded: bool = False
    starts_inside: bool = False


@dataclass(frozen=True)
class TerminalPicture:
    """Where each conductor lands at one end of the circuit.

    Parameters
    ----------
    place : str
        Heading.
    enclosure : str
        What is around the terminals.
    landings : tuple of Landing
        In the order of sheet E, but device by device.
    jumper : str, optional
        Conductor from the joined grounds to a metal box.
    face : str, optional
        Configuration of the receptacle, whose face is then drawn.
    """

    place: str
    enclosure: str
    landings: tuple[Landing, ...]
    jumper: str = ""
    face: str = ""


@dataclass(frozen=True)
class Torque:
    """Sheet E: one row for each terminal.

    Parameters
    ----------
    groups : tuple of TorqueGroup
    again : str
        One sentence on tightening a terminal a second time.
    pictures : tuple of TerminalPicture
        One for each end of the circuit.
    """

    letter: ClassVar[str] = "E"
    stem: ClassVar[str] = "torque"

    groups: tuple[TorqueGroup, ...]
    again: str
    pictures: tuple[TerminalPicture, ...] = ()


# ----------------------------------------------------------------------------- F readings


@dataclass(frozen=True)
class Reading:
    """One reading.

    Parameters
    ----------
    number : str
        Row number, counting through the sheet.
    meter : str
        What the meter is set to.
    probe_a, probe_b : str
        In the words of sheet H.
    expect : str
        Two numbers and a unit: ``228 to 252 V``. Empty prints a blank.
    unit : str
        Printed in the blank of the reading.
    outside : str
        What to do when the reading is outside: a step to go to.
    """

    number: str
    meter: str
    probe_a: str
    probe_b: str
    expect: str
    unit: str
    outside: str


LONG_GROUP = 4
"""More rows than this are not kept whole on a page that others have begun."""


@dataclass(frozen=True)
class ReadingGroup:
    """Readings taken in one condition.

    Parameters
    ----------
    name : str
        ``Dead: power off and locked``.
    rows : tuple of Reading
    hazards : tuple of Hazard
        Printed before the table.
    gate : Gate, optional
        Printed before everything else of the group.
    """

    name: str
    rows: tuple[Reading, ...]
    hazards: tuple[Hazard, ...] = ()
    gate: Gate | None = None

    @property
    def is_long(self) -> bool:
        """Whether it takes most of a page, so that it begins one."""
        return len(self.rows) > LONG_GROUP


@dataclass(frozen=True)
class Readings:
    """Sheet F: the test form, dead tests first, then live tests behind a gate."""

    letter: ClassVar[str] = "F"
    stem: ClassVar[str] = "readings"

    groups: tuple[ReadingGroup, ...]


# ------------------------------------------------------------------------------- G permit


@dataclass(frozen=True)
class PermitDocument:
    """Something to hand in; `sheet` (optional) is the sheet of this packet that serves.

    `key` here and below names the fields of a line on screen: small letters, figures and
    low lines, and the same in every packet.
    """

    key: str
    name: str
    sheet: str = ""


@dataclass(frozen=True)
class PermitQuestion:
    """What to ask the office by phone."""

    key: str
    text: str


@dataclass(frozen=True)
class InspectionItem:
    """What an inspector sees; `ask_office` marks a local rule to ask about."""

    key: str
    must_be: str
    section: str
    sheet: str = ""
    ask_office: bool = False


@dataclass(frozen=True)
class Stage:
    """One inspection and what must be true at it."""

    key: str
    name: str
    items: tuple[InspectionItem, ...]


@dataclass(frozen=True)
class Permit:
    """Sheet G: the permit and the inspections.

    Parameters
    ----------
    office, phone, fee : str
    documents : tuple of PermitDocument
    questions : tuple of PermitQuestion
        Each printed with a line for the answer.
    stages : tuple of Stage
    dates : tuple of Fact
        The days by which to apply, to order, to call and to be ready, in order.
    """

    letter: ClassVar[str] = "G"
    stem: ClassVar[str] = "permit"

    office: str
    phone: str
    fee: str
    documents: tuple[PermitDocument, ...]
    questions: tuple[PermitQuestion, ...]
    stages: tuple[Stage, ...]
    dates: tuple[Fact, ...] = ()


# ----------------------------------------------------------------------------- H one-line


@dataclass(frozen=True)
class SideSymbol:
    """What hangs off the trunk of the diagram beside a symbol.

    Parameters
    ----------
    kind : str
        ``electrode`` (grounding electrode), ``bonding`` (bonding jumper), ``apart`` (two
        bars that are not joined), ``loads`` (existing circuits, drawn as an arrow) or
        ``manager`` (a system that watches the current).
    number, name : str
        Item number and name, as in the table under the drawing.
    rating : str, optional
        Second line.
    state : State
    conductor : str, optional
        For the table.
    inside : bool
        Drawn to the right, inside the enclosure; else to the left, outside it.
    letters : str, optional
        What stands in the symbol.
    """

    kind: Literal["electrode", "bonding", "apart", "loads", "manager"]
    number: str
    name: str
    rating: str = ""
    state: State = "existing"
    conductor: str = ""
    inside: bool = False
    letters: str = ""


@dataclass(frozen=True)
class Symbol:
    """One thing the power passes, from the utility down.

    Parameters
    ----------
    kind : str
        ``utility``, ``meter``, ``breaker``, ``switch``, ``bus``, ``box``, ``receptacle`` or
        ``fixed`` (equipment connected without a plug).
    number, name : str
        Item number and name, used alike in the table and on sheets D, E and F.
    rating : str, optional
        Second line of the label.
    state : State
    conductor : str, optional
        Conductors that lead down to it; for the table.
    ways : tuple of str
        Cable or raceway of each part of the way to it, with its length; for the table.
    run : str, optional
        Short text beside the line that leads down to it, such as ``3 × 6 AWG + ground``.
    enclosure : str, optional
        Name of the panel or building it sits in; neighbours with one name share one outline.
    sides : tuple of SideSymbol
    letters : str, optional
        What stands in the symbol.
    """

    kind: Literal["utility", "meter", "breaker", "switch", "bus", "box", "receptacle", "fixed"]
    number: str
    name: str
    rating: str = ""
    state: State = "existing"
    conductor: str = ""
    run: str = ""
    enclosure: str = ""
    sides: tuple[SideSymbol, ...] = ()
    letters: str = ""
    ways: tuple[str, ...] = ()


@dataclass(frozen=True)
class OneLine:
    """Sheet H: the one-line diagram with its item table and title block.

    Parameters
    ----------
    symbols : tuple of Symbol
        In the order the power flows.
    """

    letter: ClassVar[str] = "H"
    stem: ClassVar[str] = "one_line"

    symbols: tuple[Symbol, ...]


# ---------------------------------------------------------------------------- J directory


@dataclass(frozen=True)
class DirectoryCell:
    """What one device serves.

    Parameters
    ----------
    text : str
        Amperes, place and purpose; ``spare`` or ``blank`` for an empty space.
    rows : int
        Spaces it takes in its column.
    change : str
        Empty where nothing changes (the "after" column then says "same"), else ``new``
        or ``moved``.
    """

    text: str
    rows: int = 1
    change: Literal["", "new", "moved"] = ""


@dataclass(frozen=True)
class DirectoryRow:
    """One space of the panel; None where the device above reaches over it."""

    number: str
    before: DirectoryCell | None
    after: DirectoryCell | None


@dataclass(frozen=True)
class PanelDevice:
    """One breaker as the picture of the panel shows it.

    Parameters
    ----------
    spaces : tuple of int
    rating, serves : str
    half : str
        ``upper`` or ``lower`` for one circuit of a tandem breaker, else empty.
    new : bool
        It is not there before the work.
    """

    spaces: tuple[int, ...]
    rating: str
    serves: str
    half: Literal["", "upper", "lower"] = ""
    new: bool = False


@dataclass(frozen=True)
class Directory:
    """Sheet J: the panel directory before and after, and a card for the door.

    Parameters
    ----------
    panel, location, fed_from, rating : str
    left, right : tuple of DirectoryRow
        Odd and even spaces, of equal length.
    spaces : int
    devices : tuple of PanelDevice
    empty : str
        Word for a space without a breaker; these three are for the picture of the panel.
    as_it_stands : bool
        After the work: no column of what was there before.
    dated : str, optional
        Date on the card for the door; the date of issue where it is empty.
    """

    letter: ClassVar[str] = "J"
    stem: ClassVar[str] = "directory"

    panel: str
    location: str
    fed_from: str
    rating: str
    left: tuple[DirectoryRow, ...]
    right: tuple[DirectoryRow, ...]
    spaces: int = 0
    devices: tuple[PanelDevice, ...] = ()
    empty: str = ""
    as_it_stands: bool = False
    dated: str = ""

    @property
    def pairs(self) -> list[tuple[DirectoryRow, DirectoryRow]]:
        """Rows of the door: a left and a right space."""
        return list(zip(self.left, self.right, strict=True))

    @property
    def is_tall(self) -> bool:
        """Whether picture and table each take a page of their own."""
        return self.spaces > 24

    @property
    def groups(self) -> list[list[tuple[DirectoryRow, DirectoryRow]]]:
        """Rows that no page may part, because a cell of them reaches over several."""
        found: list[list[tuple[DirectoryRow, DirectoryRow]]] = []
        for pair in self.pairs:
            goes_on = any(cell is None for row in pair for cell in (row.before, row.after))
            if goes_on and found:
                found[-1].append(pair)
            else:
                found.append([pair])
        return found


# --------------------------------------------------------------------------------- K load


@dataclass(frozen=True)
class LoadLine:
    """One line of a load calculation.

    Parameters
    ----------
    number, item : str
    how : str
        The arithmetic, as it can be redone: ``1,840 ft² × 3 VA/ft²``.
    amount : str
        With unit.
    source : str
        Section, or ``given``.
    kind : str
        ``plain``, ``subtotal`` or ``total``.
    """

    number: str
    item: str
    how: str
    amount: str
    source: str
    kind: Literal["plain", "subtotal", "total"] = "plain"


@dataclass(frozen=True)
class LoadMethod:
    """One way to calculate the load, from first line to result.

    Parameters
    ----------
    name, section : str
    governs : bool
        The method the packet rests on.
    lines : tuple of LoadLine
    limit, used, left : str
        Rating of the service or feeder, calculated load, what is left, in amperes.
    fits : bool or None
        None where an input is missing.
    readings : tuple of ReadingTaken
        Points of this method on which books or offices differ.
    """

    name: str
    section: str
    governs: bool
    lines: tuple[LoadLine, ...]
    limit: str
    used: str
    left: str
    fits: bool | None
    readings: tuple[ReadingTaken, ...] = ()


@dataclass(frozen=True)
class ReadingTaken:
    """A point that books or offices read differently: the side taken, and the other.

    Parameters
    ----------
    point, taken, source : str
        ``vehicle charging``, ``counted in full``, and the section.
    other : str
        What the other side gives.
    fits : bool or None
        Whether that fits; None where it is not a load.
    """

    point: str
    taken: str
    source: str
    other: str
    fits: bool | None = None


@dataclass(frozen=True)
class MethodNotUsed:
    """A method that does not apply here, and why."""

    name: str
    section: str
    reason: str


@dataclass(frozen=True)
class LoadWorksheet:
    """Sheet K: the load of the dwelling by each method that applies.

    Parameters
    ----------
    floor_area, service : str
    why_governs : str
        Why the governing method was taken.
    methods : tuple of LoadMethod
        The governing one first.
    not_used : tuple of MethodNotUsed
    room : tuple of Fact
        What the service could still carry.
    readings : tuple of ReadingTaken
        Points beside the load on which books or offices differ.
    agreed_with : str
        Who at the office agrees to a side that is not the safe one; may be empty.
    """

    letter: ClassVar[str] = "K"
    stem: ClassVar[str] = "load"

    floor_area: str
    service: str
    why_governs: str
    methods: tuple[LoadMethod, ...]
    not_used: tuple[MethodNotUsed, ...] = ()
    room: tuple[Fact, ...] = ()
    readings: tuple[ReadingTaken, ...] = ()
    agreed_with: str = ""


# ------------------------------------------------------------------------- L calculations


@dataclass(frozen=True)
class CalculationInput:
    """One number that goes into a formula.

    Parameters
    ----------
    symbol, meaning, value : str
    origin : str
        ``given``, ``label``, ``L-4``, or the code section with table, column and row.
    """

    symbol: str
    meaning: str
    value: str
    origin: str


@dataclass(frozen=True)
class Calculation:
    """One result.

    Parameters
    ----------
    number, title : str
        ``L-7``, ``Smallest rating of the breaker``.
    formula, numbers : str
        The formula in symbols and with its numbers; empty for a value looked up or chosen.
    inputs : tuple of CalculationInput
        Symbols explained; for a choice, what limited it.
    result : str
    source : str
        The rule that asks for it.
    limit : str, optional
        What the result is held against.
    verdict : str
        ``fits``, ``does not fit``, ``not known``, or empty where there is no limit.
    used_on : str, optional
        ``A, D-2.3, E-1``.
    """

    number: str
    title: str
    formula: str
    numbers: str
    inputs: tuple[CalculationInput, ...]
    result: str
    source: str
    limit: str = ""
    verdict: Literal["", "fits", "does not fit", "not known"] = ""
    used_on: str = ""


@dataclass(frozen=True)
class CalculationGroup:
    """Calculations of one subject."""

    name: str
    blocks: tuple[Calculation, ...]


@dataclass(frozen=True)
class Finding:
    """One question an inspector would ask, answered.

    Parameters
    ----------
    question, answer, source : str
    verdict : str
        ``meets``, ``falls short``, ``ask`` or ``note``.
    """

    question: str
    answer: str
    verdict: Literal["meets", "falls short", "ask", "note"]
    source: str


@dataclass(frozen=True)
class Unconfirmed:
    """A figure that was not read in the published document itself."""

    figure: str
    source: str
    remark: str


@dataclass(frozen=True)
class Calculations:
    """Sheet L: every check, every calculation, and what is still to be confirmed.

    `for_review` says that only what the checks rest on is printed.
    """

    letter: ClassVar[str] = "L"
    stem: ClassVar[str] = "calculations"

    findings: tuple[Finding, ...]
    groups: tuple[CalculationGroup, ...]
    unconfirmed: tuple[Unconfirmed, ...] = ()
    for_review: bool = False


# ----------------------------------------------------------------------------- M as-built


@dataclass(frozen=True)
class AsBuiltRow:
    """Something that was planned, with room for how it was built.

    Parameters
    ----------
    key : str
        Names the fields of the row, the same in every packet.
    number : str
        Row number, counting through the sheet.
    item, planned : str
    see : str
        Sheet, or rows of a sheet, where it stands.
    """

    key: str
    number: str
    item: str
    planned: str
    see: str


@dataclass(frozen=True)
class AsBuiltGroup:
    """Rows of one subject."""

    name: str
    rows: tuple[AsBuiltRow, ...]


@dataclass(frozen=True)
class AsBuilt:
    """Sheet M: what was built, written beside what was planned; kept with the panel."""

    letter: ClassVar[str] = "M"
    stem: ClassVar[str] = "as_built"

    groups: tuple[AsBuiltGroup, ...]


# ----------------------------------------------------------------------- R record of the work


@dataclass(frozen=True)
class RecordRow:
    """One torque or reading: what was expected, what was written, how it stands.

    `note` is optional; `good` says that nothing is left to do about it.
    """

    number: str
    item: str
    expect: str
    written: str
    standing: str
    good: bool
    note: str = ""


@dataclass(frozen=True)
class Outside:
    """Something outside its band; `action`, and optionally `rule`, say what to do."""

    number: str
    item: str
    says: str
    action: str
    rule: str = ""


@dataclass(frozen=True)
class LikelyFault:
    """A fault that explains the readings; `source` says where the pattern is told."""

    name: str
    means: str
    do: str
    source: str


@dataclass(frozen=True)
class RecordOfWork:
    """Sheet R: what was written on a packet, judged.

    Parameters
    ----------
    verdict : str
        ``complete``, ``not_complete`` or ``do_not_use``.
    verdict_words, says : str
    address, owner, did, finished : str
    counts : tuple of str
    outside : tuple of Outside
    missing : tuple of str
        Blanks, and what cannot be read, each as one line.
    faults : tuple of LikelyFault
    evidence : tuple of Fact
        What the readings under load give.
    evidence_says : tuple of str
        What those numbers mean, or which readings they need; nothing where none are taken.
    torques, readings : tuple of RecordRow
    """

    letter: ClassVar[str] = "R"
    stem: ClassVar[str] = "record"

    verdict: Literal["complete", "not_complete", "do_not_use"]
    verdict_words: str
    says: str
    address: str
    owner: str
    did: str
    finished: str
    counts: tuple[str, ...]
    outside: tuple[Outside, ...]
    missing: tuple[str, ...]
    faults: tuple[LikelyFault, ...]
    evidence: tuple[Fact, ...]
    evidence_says: tuple[str, ...]
    torques: tuple[RecordRow, ...]
    readings: tuple[RecordRow, ...]


# ------------------------------------------------------------------ S scope (client set)


@dataclass(frozen=True)
class WorkItem:
    """Something that will be done, with a result the client can see."""

    text: str
    result: str


@dataclass(frozen=True)
class Assumption:
    """What the price rests on; `otherwise` says what happens if it is not so."""

    text: str
    otherwise: str


@dataclass(frozen=True)
class PriceLine:
    """One line of the price: what for, how it was reckoned (optional), and how much."""

    item: str
    how: str
    amount: str


@dataclass(frozen=True)
class Payment:
    """A part of the price: when it falls due, its share of the whole, and how much."""

    when: str
    share: str
    amount: str


@dataclass(frozen=True)
class Scope:
    """Sheet S: what is done for a client, and for how much; a scope, not a contract.

    Parameters
    ----------
    kind : str
        ``offer`` by an electrician, or ``request`` where the owner does the work: then
        every price and the contractor are blanks for whoever is asked to quote.
    intro : str
        What the sheet is.
    contractor, client : Party
    address : str
        Where the work is.
    valid_until, starts, ends : str
        Of the offer; a request leaves them to whoever offers.
    work : tuple of WorkItem
    included, not_included : tuple of str
    assumptions : tuple of Assumption
    open : tuple of OpenQuestion
        What is still to be found out; the price is not firm until then.
    permit_by : str
        Who gets and pays the permit.
    power_off : str
        How long the power is off.
    materials : str
        Standard of the materials and the rule for equal ones.
    prices : tuple of PriceLine
    total : str
    payments : tuple of Payment
        Empty where no terms were given: then a line to write on.
    warranty : str
    inspected : str
        Day before which the final inspection does not come; on an offer only.
    """

    letter: ClassVar[str] = "S"
    stem: ClassVar[str] = "scope"

    kind: Literal["offer", "request"]
    intro: str
    contractor: Party
    client: Party
    address: str
    valid_until: str
    starts: str
    ends: str
    work: tuple[WorkItem, ...]
    included: tuple[str, ...]
    not_included: tuple[str, ...]
    assumptions: tuple[Assumption, ...]
    open: tuple[OpenQuestion, ...]
    permit_by: str
    power_off: str
    materials: str
    prices: tuple[PriceLine, ...]
    total: str
    payments: tuple[Payment, ...]
    warranty: str
    inspected: str = ""


# ------------------------------------------------------------ P permit summary (permit set)


@dataclass(frozen=True)
class Answer:
    """One answer of an application; an empty value is a blank to write in."""

    caption: str
    value: str


@dataclass(frozen=True)
class PermitRow:
    """One line for the plan review.

    Parameters
    ----------
    item, value : str
    section : str, optional
    see : str, optional
        Sheet, line or row of this set that shows it.
    """

    item: str
    value: str
    section: str = ""
    see: str = ""


@dataclass(frozen=True)
class PermitSummary:
    """Sheet P: the first page of the permit set, and never more than one.

    Parameters
    ----------
    description : str
        The work in one sentence.
    answers : tuple of Answer
        Place, office, owner and contractor, as an application asks for them.
    rows : tuple of PermitRow
        What is there, what is added, and the sections it rests on; at most 15.
    open : tuple of str
        Questions to answer before this is handed in; at most 4.
    """

    letter: ClassVar[str] = "P"
    stem: ClassVar[str] = "permit_summary"

    description: str
    answers: tuple[Answer, ...]
    rows: tuple[PermitRow, ...]
    open: tuple[str, ...] = ()


# --------------------------------------------------------------------- Q survey (no job yet)


@dataclass(frozen=True)
class SurveyAnswer:
    """How a question is answered on paper.

    Parameters
    ----------
    kind : str
        ``ticks`` (one box for each of `choices`), ``yes_no`` (the same, but one box for yes where
        many stand beside each other), ``blank``, or ``long`` for a text.
    choices : tuple of str
    units : str, optional
        Printed small in the blank: the units to choose among.
    by_number : bool
        Whether the number of a choice is written in a cell that has no room for boxes.
    """

    kind: Literal["ticks", "yes_no", "blank", "long"]
    choices: tuple[str, ...] = ()
    units: str = ""
    by_number: bool = False


@dataclass(frozen=True)
class SurveyQuestion:
    """One question.

    Parameters
    ----------
    ask, look : str
        The question, and where to look.
    answer : SurveyAnswer
    only_with : str, optional
        Answers given before under which it is asked.
    short : str, optional
        Head of its column in a table of lines.
    """

    ask: str
    look: str
    answer: SurveyAnswer
    only_with: str = ""
    short: str = ""


@dataclass(frozen=True)
class SurveyLines:
    """Questions that are asked of each of several things.

    Parameters
    ----------
    ask, look : str
        Whether there is such a thing, and where.
    questions : tuple of SurveyQuestion
    blocks : tuple of tuple of int
        Numbers of the things: each block is a table. Where every question has a short head,
        there is one block, with a row for each thing; else a column for each.
    """

    ask: str
    look: str
    questions: tuple[SurveyQuestion, ...]
    blocks: tuple[tuple[int, ...], ...]

    @property
    def in_rows(self) -> bool:
        """Whether each thing has a row."""
        return all(question.short for question in self.questions)


@dataclass(frozen=True)
class SurveyGroup:
    """Questions of one subject, in runs: single ones, or those of several things."""

    title: str
    runs: tuple[tuple[SurveyQuestion, ...] | SurveyLines, ...]


@dataclass(frozen=True)
class SurveyStation:
    """A place where one stands, and what to bring there."""

    title: str
    bring: str
    groups: tuple[SurveyGroup, ...]


@dataclass(frozen=True)
class Survey:
    """Sheet Q: every question a job file answers, to be carried to the house.

    Parameters
    ----------
    intro : str
    caution : Hazard
    stop_if : tuple of str
        When to stop and call a licensed electrician.
    stations : tuple of SurveyStation
    """

    letter: ClassVar[str] = "Q"
    stem: ClassVar[str] = "survey"

    intro: str
    caution: Hazard
    stop_if: tuple[str, ...]
    stations: tuple[SurveyStation, ...]


# ------------------------------------------------------------------------------- W options


@dataclass(frozen=True)
class OptionRow:
    """One option, with the figures it is held against others by.

    Parameters
    ----------
    number : str, optional
        Its place among the options that nothing beats; empty where it is none of them.
    what : tuple of str
        What is built: charger, wiring, place, load calculation, who.
    cost, hours, charging, drop, spare : str
        Empty where it is not known.
    outcome : Outcome
    beaten_by : str, optional
        Number of an option that beats it: it is struck out.
    alike : str, optional
        How many others have the same figures.
    remarks : tuple of str, optional
        What it falls short of, or what is still open.
    """

    number: str
    what: tuple[str, ...]
    cost: str
    hours: str
    charging: str
    drop: str
    spare: str
    outcome: Outcome
    beaten_by: str = ""
    alike: str = ""
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True)
class ReasonRow:
    """A way to fall short: the question, one answer as it was found, and for how many options."""

    asks: str
    says: str
    count: str
    source: str


@dataclass(frozen=True)
class ChoiceRow:
    """A choice with its cheapest option; `reason` where every option that has it falls short."""

    question: str
    choice: str
    row: OptionRow | None = None
    reason: ReasonRow | None = None


@dataclass(frozen=True)
class CordRow:
    """A cord with the cheapest place that it reaches from; empty where it reaches from none.

    `number` is the option that has the place, or `beaten_by` the one that beats it.
    """

    cord: str
    place: str = ""
    needed: str = ""
    part_length: str = ""
    cost: str = ""
    number: str = ""
    beaten_by: str = ""


@dataclass(frozen=True)
class KeysToChange:
    """What to write into the job file for one option."""

    number: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class WorkedValue:
    """A value of one option with its formula, the formula in numbers, and its source."""

    label: str
    formula: str
    numbers: str
    result: str
    source: str


@dataclass(frozen=True)
class Options:
    """Sheet W: what could be built instead, side by side.

    Parameters
    ----------
    counts : tuple of Fact
        How many options were worked out, and how they ended.
    own : OptionRow
        The job file as it stands.
    kept : tuple of OptionRow
        Options that no other one beats, the cheapest first.
    choices : tuple of ChoiceRow
        Every choice once, by question.
    cords : tuple of CordRow
    reasons : tuple of ReasonRow
        Why options fall short, the most frequent first.
    keys : tuple of KeysToChange
    worked : tuple of WorkedValue
    worked_for : str, optional
        Number of the option that `worked` is of; empty for the job file as it stands.
    assumptions : tuple of str
    """

    letter: ClassVar[str] = "W"
    stem: ClassVar[str] = "options"

    counts: tuple[Fact, ...]
    own: OptionRow
    kept: tuple[OptionRow, ...]
    choices: tuple[ChoiceRow, ...]
    cords: tuple[CordRow, ...]
    reasons: tuple[ReasonRow, ...]
    keys: tuple[KeysToChange, ...]
    worked: tuple[WorkedValue, ...]
    worked_for: str
    assumptions: tuple[str, ...]


# ----------------------------------------------------------------------------------- a set

Sheet = (
    Summary
    | Buy
    | Carry
    | Procedure
    | Torque
    | Readings
    | Permit
    | OneLine
    | Directory
    | LoadWorksheet
    | Calculations
    | AsBuilt
    | Scope
    | PermitSummary
    | Survey
    | RecordOfWork
    | Options
)
"""Any sheet; each knows its `letter` and the `stem` of its template and style."""


@dataclass(frozen=True)
class SheetSet:
    """The sheets of one file, for one reader.

    Parameters
    ----------
    frame : Frame
    outcome : Outcome
        Of the whole packet.
    sheets : tuple of Sheet
        In the order of :data:`SHEET_ORDER`.
    reader : Reader
    answers : mapping, optional
        Name of a field -> what was written there; then blanks are printed as filled in.

    Raises
    ------
    ValueError
        When there is no sheet, when sheets are out of order or repeated, when the summary
        tells another outcome, or when something falls short and another sheet than
        summary, load worksheet and calculations would be printed.
    """

    frame: Frame
    outcome: Outcome
    sheets: tuple[Sheet, ...]
    reader: Reader = Reader.CLIPBOARD
    answers: Mapping[str, str] | None = field(default=None, hash=False)

    def __post_init__(self) -> None:
        places = [SHEET_ORDER.index(sheet.letter) for sheet in self.sheets]
        if not places or places != sorted(set(places)):
            raise ValueError(f"sheets {self.letters or 'none'} are not in the order {SHEET_ORDER}")
        if self.outcome is Outcome.DO_NOT_START and not SHORTFALL_SHEETS.issuperset(self.letters):
            raise ValueError(f"work may not start: sheets {self.letters} must not be printed")
        for sheet in self.sheets:
            if isinstance(sheet, Summary) and sheet.outcome is not self.outcome:
                raise ValueError("the summary does not tell the outcome of its packet")

    @property
    def letters(self) -> str:
        """The letters of the sheets, in order."""
        return "".join(sheet.letter for sheet in self.sheets)

    @property
    def explains_terms(self) -> bool:
        """Whether its readers may not know the trade, or have not read a packet before."""
        return self.reader not in (Reader.PERMIT, Reader.RECORD)
