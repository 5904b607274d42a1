"""Equipment grounding conductor, electrode conductor, bonding, and where neutral meets ground."""

from __future__ import annotations

from dataclasses import dataclass

from packet.codebook import Book, Table
from packet.ledger import Check, Entry, Verdict, chosen, compare, computed

RIGID_METAL = {"EMT", "RMC"}
"""Raceways that are a ground path by themselves."""

ELECTRODE_LIMIT = {
    ("rod", "copper"): "rod_electrode_conductor_copper",
    ("rod", "aluminum"): "rod_electrode_conductor_aluminum",
    ("concrete-encased", "copper"): "concrete_electrode_conductor_copper",
}
"""Kind of electrode and metal -> figure of the largest conductor it asks for."""


@dataclass(frozen=True)
class EquipmentGrounding:
    """The smallest equipment grounding conductor, and how it came about.

    `required_area` is set where the circuit conductors are enlarged [cmil]; `unenlarged`
    is then the smallest by the table alone.
    """

    by_table: Entry
    required_area: Entry | None
    minimum: Entry
    unenlarged: Entry


def table_equipment_grounding(book: Book, rating: Entry, material: Entry) -> Entry:
    """Equipment grounding conductor by the rating of the overcurrent device.

    Parameters
    ----------
    rating : Entry
        Rating of the overcurrent device. [A]
    material : Entry
        `copper` or `aluminum`.

    Raises
    ------
    LookupError
        When the table ends below the rating.

    Rule
    ----
    equipment_grounding
    """
    table = book.table("equipment_grounding")
    for row in table.rows():
        if rating.value <= row["device_up_to"]:
            return table.entry("table_equipment_grounding", material.value, row)
    raise LookupError(f"{table.cite.section} ends below {rating.value}")


def equipment_grounding_base(book: Book, uncorrected: Entry, corrected: Entry) -> Entry:
    """Smallest circuit conductor that an enlargement is measured from.

    Parameters
    ----------
    uncorrected : Entry
        Smallest size that meets without correction and adjustment.
    corrected : Entry
        Smallest size that meets with them.

    Rule
    ----
    enlargement_measured_from
    """
    rule = book.figure("enlargement_measured_from")
    base = uncorrected if rule.value == "before correction" else corrected
    return chosen("equipment_grounding_base", base.value, rule.cite, rule=rule, size=base)


def equipment_grounding(
    book: Book, rating: Entry, size: Entry, base: Entry, material: Entry
) -> EquipmentGrounding:
    """Work out the smallest equipment grounding conductor of wire.

    It comes from the table, grows with enlarged circuit conductors by the ratio of their
    circular mils, and need not be larger than they are.

    Parameters
    ----------
    rating : Entry
        Rating of the overcurrent device. [A]
    size, base : Entry
        Circuit conductors in use, and the smallest that would do.
    material : Entry
        Metal of the equipment grounding conductor.

    Rule
    ----
    equipment_grounding, equipment_grounding_size, equipment_grounding_enlargement,
    conductor_resistance
    """
    by_table = table_equipment_grounding(book, rating, material)
    cite = (book.cite("equipment_grounding_size"), *by_table.cite)
    least = min(by_table.value, size.value)
    if size.value <= base.value:
        minimum = chosen("minimum_equipment_grounding", least, cite, table=by_table, circuit=size)
        return EquipmentGrounding(by_table, None, minimum, minimum)
    unenlarged = chosen("unenlarged_equipment_grounding", least, cite, table=by_table, circuit=size)
    areas = book.table("conductor_resistance")
    required = computed(
        "required_equipment_grounding_area",
        "A_t * A_u / A_m",
        book.cite("equipment_grounding_enlargement"),
        A_t=_area(areas, "table_equipment_grounding_area", by_table),
        A_u=_area(areas, "conductor_area", size),
        A_m=_area(areas, "base_conductor_area", base),
    )
    enough = (row["size"] for row in areas.rows() if row["area"] >= required.value)
    minimum = chosen(
        "minimum_equipment_grounding",
        min(next(enough, size.value), size.value),
        (book.cite("equipment_grounding_enlargement"), *cite),
        A_min=required,
        circuit=size,
    )
    return EquipmentGrounding(by_table, required, minimum, unenlarged)


def equipment_grounding_checks(
    book: Book,
    given: Entry,
    size: Entry,
    needed: EquipmentGrounding,
    *,
    by_qualified_person: bool = False,
    agreed: bool = False,
) -> tuple[Check, ...]:
    """Check the equipment grounding conductor, by the table and for an enlargement.

    Where the edition lets a qualified person size it otherwise, and the job takes that side,
    a conductor that only the enlargement finds small is a question for the authority until
    it agrees.

    Parameters
    ----------
    given : Entry
        Equipment grounding conductor in use, of wire or inside a cable.
    size : Entry
        Circuit conductors in use.
    by_qualified_person, agreed : bool
        Whether the job uses the exception, and whether the office agrees to it.

    Rule
    ----
    equipment_grounding_size, equipment_grounding_enlargement,
    enlargement_exception_for_qualified_persons
    """
    cite = (book.cite("equipment_grounding_size"), *needed.by_table.cite)
    full = given.value >= size.value
    by_table = compare(
        "equipment_grounding_meets_table",
        given,
        ">=",
        size if full else needed.by_table,
        cite,
        remedy=needed.minimum,
    )
    if needed.required_area is None:
        return (by_table,)
    excepted = by_qualified_person and enlargement_is_disputed(book)
    otherwise = (Verdict.NOTE if agreed else Verdict.ASK) if excepted else Verdict.FALLS_SHORT
    enlarged = compare(
        "equipment_grounding_enlarged",
        given,
        ">=",
        needed.minimum,
        (
            book.cite("equipment_grounding_enlargement"),
            book.cite("enlargement_exception_for_qualified_persons"),
        ),
        otherwise=otherwise,
        remedy=needed.minimum,
        facts=(needed.required_area,),
    )
    return (by_table, enlarged)


def enlargement_is_disputed(book: Book) -> bool:
    """Say whether the edition lets a qualified person size an enlarged circuit's conductor."""
    return book.has("enlargement_exception_for_qualified_persons")


def cable_equipment_grounding(
    book: Book, method: Entry, material: Entry, size: Entry
) -> Entry | None:
    """Equipment grounding conductor that a cable of this size usually has inside.

    Returns
    -------
    cable_equipment_grounding : Entry or None
        None where none is on record: read the print on the cable.

    Rule
    ----
    cable_equipment_grounding
    """
    table = book.table("cable_equipment_grounding")
    for row in table.where(method=method.value, material=material.value, size=size.value):
        return table.entry("cable_equipment_grounding", "equipment_grounding", row)
    return None


def raceway_grounds(
    book: Book,
    number: int,
    method: Entry,
    rating: Entry,
    length: Entry,
    trade_size: Entry | None = None,
) -> tuple[Check, ...]:
    """Check that a raceway may be the ground path of the circuit without a wire inside.

    Parameters
    ----------
    number : int
        Number of the route part.
    method : Entry
        Raceway.
    rating : Entry
        Rating of the overcurrent device. [A]
    length : Entry
        Length of flexible raceway in the ground path. [ft]
    trade_size : Entry, optional
        Trade size; needed for liquidtight flexible metal conduit.

    Rule
    ----
    metal_raceway_grounds, flexible_raceway_grounding_length, fmc_grounding_rating,
    small_lfmc_grounding_rating, lfmc_grounding_rating
    """
    name = f"route.{number}.raceway_grounds"
    rule = (book.cite("metal_raceway_grounds"),)
    if method.value in RIGID_METAL:
        return (Check(name, Verdict.MEETS, rule, left=method),)
    if method.value == "LFMC" and trade_size is None:
        return (Check(name, Verdict.ASK, (book.cite("lfmc_grounding_rating"),), left=method),)
    figure = _flexible_rating(book, method, trade_size)
    if figure is None:
        return (Check(name, Verdict.FALLS_SHORT, rule, left=method),)
    limit = book.figure(figure, "raceway_grounding_rating")
    longest = book.figure("flexible_raceway_grounding_length")
    return (
        compare(name, rating, "<=", limit, limit.cite, facts=(method,)),
        compare(f"route.{number}.flexible_ground_path_short", length, "<=", longest, longest.cite),
    )


def box_bonding_jumper(book: Book, needed: EquipmentGrounding) -> Entry:
    """Smallest jumper from the joined equipment grounding conductors to a metal box.

    Rule
    ----
    box_bonding_jumper
    """
    cite = (book.cite("box_bonding_jumper"), *needed.by_table.cite)
    return chosen(
        "box_bonding_jumper", needed.minimum.value, cite, equipment_grounding=needed.minimum
    )


def electrode_conductor(
    book: Book, service: Entry, service_material: Entry, material: Entry, electrode: Entry
) -> Entry:
    """Smallest grounding electrode conductor.

    Parameters
    ----------
    service, service_material : Entry
        Largest hot conductor of the service, and its metal.
    material : Entry
        Metal of the grounding electrode conductor.
    electrode : Entry
        `rod` and `concrete-encased`, where the conductor goes nowhere else, cap its size;
        any other kind does not.

    Rule
    ----
    grounding_electrode_conductor_size, grounding_electrode_conductor,
    rod_electrode_conductor_copper, rod_electrode_conductor_aluminum,
    concrete_electrode_conductor_copper
    """
    table = book.table("grounding_electrode_conductor")
    column = f"service_{service_material.value}_up_to"
    row = next(row for row in table.rows() if row[column] is None or service.value <= row[column])
    by_table = table.entry("electrode_conductor", material.value, row)
    figure = ELECTRODE_LIMIT.get((electrode.value, material.value))
    limit = book.figure(figure, "electrode_conductor") if figure else by_table
    least = min(by_table, limit, key=lambda entry: entry.value.rank)
    cite = (book.cite("grounding_electrode_conductor_size"), *least.cite)
    return chosen("electrode_conductor", least.value, cite, service=service, electrode=electrode)


def neutral_and_ground(book: Book, panel_kind: Entry) -> Entry:
    """How neutral and equipment grounding conductors stand to each other in a panel.

    Parameters
    ----------
    panel_kind : Entry
        `service` or `subpanel`.

    Rule
    ----
    neutral_at_service, neutral_after_service
    """
    return book.figure(_neutral_rule(panel_kind), "neutral_and_ground")


def neutral_stands_right(book: Book, panel_kind: Entry, apart: Entry | None) -> Check:
    """Check that neutral and ground are joined in the service panel, and apart in any other.

    Parameters
    ----------
    panel_kind : Entry
        `service` or `subpanel`.
    apart : Entry, optional
        True where neutrals and grounds are on bars of their own with no bond between;
        left out: not known.

    Rule
    ----
    neutral_at_service, neutral_after_service
    """
    rule = neutral_and_ground(book, panel_kind)
    right = apart is not None and bool(apart.value) == (panel_kind.value != "service")
    wrong = Verdict.ASK if apart is None else Verdict.FALLS_SHORT
    return Check(
        "neutral_stands_right",
        Verdict.MEETS if right else wrong,
        rule.cite,
        left=apart,
        right=rule,
        facts=(panel_kind,),
    )


def _neutral_rule(panel_kind: Entry) -> str:
    rules = {"service": "neutral_at_service", "subpanel": "neutral_after_service"}
    return rules[panel_kind.value]


def _flexible_rating(book: Book, method: Entry, trade_size: Entry | None) -> str | None:
    if method.value == "FMC":
        return "fmc_grounding_rating"
    if method.value != "LFMC" or trade_size is None:
        return None
    if trade_size.value <= book.figure("small_lfmc_trade_size").value:
        return "small_lfmc_grounding_rating"
    if trade_size.value <= book.figure("largest_lfmc_trade_size").value:
        return "lfmc_grounding_rating"
    return None


def _area(table: Table, name: str, size: Entry) -> Entry:
    return table.entry(name, "area", table.row(size=size.value))
