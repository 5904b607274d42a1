"""Ampacity in one part of the route: terminals, insulation, heat, and conductors together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from packet.codebook import Book, Table
from packet.ledger import Check, Entry, Verdict, chosen, compare, computed, decimal_of
from packet.quantities import quantity
from packet.rules.overcurrent import overcurrent_limit
from packet.rules.support import words_of

CABLE_INSULATION = {
    "NM-B": "nm_b_insulation_temperature",
    "UF-B": "uf_b_insulation_temperature",
    "SER": "ser_insulation_temperature",
    "MC": "mc_insulation_temperature",
}
"""Cable -> figure of the temperature rating of the conductors inside."""

CONDUCTOR_INSULATION = {
    "THHN/THWN-2": "thhn_thwn_2_insulation_temperature",
    "XHHW-2": "xhhw_2_insulation_temperature",
}
"""Marking of a conductor in a raceway -> figure of its temperature rating."""

CABLE_LIMIT = {
    "NM-B": "nm_b_ampacity_limit_temperature",
    "UF-B": "uf_b_ampacity_limit_temperature",
}
"""Cable -> figure of the column its ampacity may not exceed."""

CABLES = frozenset(CABLE_INSULATION)
"""Wiring methods that bring their conductors with them."""


@dataclass(frozen=True)
class ConductorConditions:
    """What one part of the route does to the conductors.

    Parameters
    ----------
    number : int
        Number of the route part, from 1.
    method : Entry
        Cable or raceway.
    ambient : Entry
        Highest air temperature. [degC]
    current_carrying : Entry
        Current-carrying conductors in the raceway, cable or bundle, all circuits. [each]
    insulation : Entry, optional
        Marking of the conductors; needed in a raceway.
    above_roof : Entry, optional
        Height above a roof in the sun. [in]
    bundled_length : Entry, optional
        Length over which the conductors lie together; left out: longer than the relief. [in]
    cables_together : Entry, optional
        Cables in the bundle or hole, this one counted; left out: this one only. [each]
    hole_sealed, insulation_contact : Entry, optional
        True or False; left out: not known, and taken as true.
    at : str, optional
        Ledger place where it is no part of the route, such as ``feeder``.
    """

    number: int
    method: Entry
    ambient: Entry
    current_carrying: Entry
    insulation: Entry | None = None
    above_roof: Entry | None = None
    bundled_length: Entry | None = None
    cables_together: Entry | None = None
    hole_sealed: Entry | None = None
    insulation_contact: Entry | None = None
    at: str = ""

    def named(self, quality: str) -> str:
        """Return the ledger name of a quality of this route part."""
        return f"{self.at or f'route.{self.number}'}.{quality}"


@dataclass(frozen=True)
class PartAmpacity:
    """Ampacity of one size in one part of the route, step by step [A]."""

    number: int
    table_ampacity: Entry
    ambient_factor: Entry
    adjustment_factor: Entry
    corrected_ampacity: Entry
    termination_ampacity: Entry
    uncorrected_ampacity: Entry
    usable_ampacity: Entry
    overcurrent_limit: Entry


def current_carrying_conductors(
    book: Book, number: int, ungrounded: Entry, neutrals: Entry, extra: Entry
) -> Entry:
    """Current-carrying conductors that lie together in one part of the route.

    Parameters
    ----------
    number : int
        Number of the route part.
    ungrounded : Entry
        Hot conductors of the circuit. [each]
    neutrals : Entry
        Neutrals that carry only the unbalanced current of a 120/240 V circuit. [each]
    extra : Entry
        Current-carrying conductors of other circuits. [each]

    Rule
    ----
    counted_share_of_balanced_neutral
    """
    return computed(
        f"route.{number}.current_carrying",
        "n_h + s * n_n + n_x",
        book.cite("counted_share_of_balanced_neutral"),
        n_h=ungrounded,
        s=book.figure("counted_share_of_balanced_neutral"),
        n_n=neutrals,
        n_x=extra,
    )


def termination_temperature(book: Book, rating: Entry, marks: Sequence[Entry | None]) -> Entry:
    """Temperature by which the terminals of the circuit take the conductors.

    Parameters
    ----------
    rating : Entry
        Rating of the overcurrent device. [A]
    marks : sequence of Entry or None
        Temperature marked at each terminal of the hot conductors; None where unmarked. [degC]

    Returns
    -------
    termination_temperature : Entry
        The lowest at any terminal. [degC]

    Rule
    ----
    termination_rating_limit, unmarked_termination_temperature,
    highest_termination_temperature
    """
    limits = {"t_max": book.figure("highest_termination_temperature")}
    if unmarked_terminal_matters(book, rating, marks):
        limits["t_0"] = book.figure("unmarked_termination_temperature")
    for number, mark in enumerate(filter(None, marks), 1):
        limits[f"t_{number}"] = mark
    formula = f"smaller({', '.join(limits)})" if len(limits) > 1 else "t_max"
    cite = book.cite("termination_rating_limit")
    return computed("termination_temperature", formula, cite, **limits)


def unmarked_terminal_matters(book: Book, rating: Entry, marks: Sequence[Entry | None]) -> bool:
    """Say whether a terminal without a mark holds the conductors to the lower temperature.

    Rule
    ----
    termination_rating_limit
    """
    unmarked = not marks or None in marks
    return unmarked and bool(rating.value <= book.figure("termination_rating_limit").value)


def insulation_temperature(book: Book, conditions: ConductorConditions) -> Entry:
    """Temperature rating of the insulation in one part of the route [degC].

    Raises
    ------
    LookupError
        When the conductors of a raceway have no marking, or one that is not encoded.

    Rule
    ----
    the figures of CABLE_INSULATION and CONDUCTOR_INSULATION
    """
    figure = CABLE_INSULATION.get(conditions.method.value)
    if figure is None:
        marking = conditions.insulation.value if conditions.insulation else None
        if marking not in CONDUCTOR_INSULATION:
            raise LookupError(f"no temperature rating for the insulation {marking}")
        figure = CONDUCTOR_INSULATION[marking]
    return book.figure(figure, conditions.named("insulation_temperature"))


def insulation_marked(book: Book, conditions: ConductorConditions) -> Check:
    """Check that the marking of conductors pulled into a raceway is known.

    Rule
    ----
    the figures of CONDUCTOR_INSULATION
    """
    known = conditions.method.value in CABLES or conditions.insulation is not None
    return Check(
        conditions.named("insulation_marked"),
        Verdict.MEETS if known else Verdict.ASK,
        (book.cite("thhn_thwn_2_insulation_temperature"),),
    )


def ambient_known(book: Book, number: int, ambient: Entry | None) -> Check:
    """Check that the highest temperature around one part of the route is known.

    Rule
    ----
    ambient_correction
    """
    return Check(
        f"route.{number}.ambient_known",
        Verdict.ASK if ambient is None else Verdict.MEETS,
        (book.table("ambient_correction").cite,),
        left=ambient,
    )


def ambient_within_table(book: Book, conditions: ConductorConditions) -> Check:
    """Check that the place is cool enough for this insulation to have an ampacity.

    Rule
    ----
    ambient_correction
    """
    table = book.table("ambient_correction")
    column = _factor_column(insulation_temperature(book, conditions))
    last = [row for row in table.rows() if row[column] is not None][-1]
    hottest = replace(
        table.entry(conditions.named("hottest_ambient"), column, last), value=last["up_to"]
    )
    return compare(
        conditions.named("ambient_within_table"),
        ambient_of_part(book, conditions),
        "<=",
        hottest,
        hottest.cite,
        facts=(conditions.method,),
    )


def seal_known(book: Book, conditions: ConductorConditions) -> Check:
    """Check that it is known whether several cables share a sealed hole, or touch insulation.

    Where it is not, the ampacity is taken as if it were: the answer can only help.

    Rule
    ----
    cables_together_without_adjustment
    """
    unknown = None in (conditions.hole_sealed, conditions.insulation_contact)
    return Check(
        conditions.named("seal_known"),
        Verdict.ASK if unknown and many_cables(book, conditions) else Verdict.MEETS,
        (book.cite("cables_together_without_adjustment"),),
        left=conditions.cables_together,
    )


def ambient_of_part(book: Book, conditions: ConductorConditions) -> Entry:
    """Ambient temperature of one part, with the heat of a roof close below it [degC].

    Rule
    ----
    roof_temperature_adder, roof_clearance_limit, roof_adder_exempt_insulation
    """
    if conditions.above_roof is None:
        return conditions.ambient
    exempt = book.figure("roof_adder_exempt_insulation").value
    if conditions.insulation is not None and conditions.insulation.value == exempt:
        return conditions.ambient
    if conditions.above_roof.value >= book.figure("roof_clearance_limit").value:
        return conditions.ambient
    return computed(
        conditions.named("ambient_above_roof"),
        "t_a + t_r",
        (book.cite("roof_temperature_adder"), book.cite("roof_clearance_limit")),
        t_a=conditions.ambient,
        t_r=book.figure("roof_temperature_adder"),
    )


def ambient_factor(book: Book, conditions: ConductorConditions) -> Entry:
    """Factor by which heat, or cold, changes the table ampacity in one part of the route.

    Raises
    ------
    LookupError
        When it is hotter than the table goes for this insulation.

    Rule
    ----
    ambient_correction
    """
    table = book.table("ambient_correction")
    ambient = ambient_of_part(book, conditions).value
    column = _factor_column(insulation_temperature(book, conditions))
    for row in table.rows():
        if ambient <= row["up_to"]:
            return table.entry(conditions.named("ambient_factor"), column, row)
    raise LookupError(f"{table.cite.section} ends below {ambient}")


def adjustment_factor(book: Book, conditions: ConductorConditions) -> Entry:
    """Factor for more current-carrying conductors together than the table holds for.

    Over a short length there is none, except for several cables in a sealed hole or in
    thermal insulation.

    Rule
    ----
    ccc_adjustment, adjustment_relief_length, cables_together_without_adjustment
    """
    table = book.table("ccc_adjustment")
    name = conditions.named("adjustment_factor")
    count = conditions.current_carrying
    reached = [row for row in table.rows() if decimal_of(count) >= row["from"].magnitude]
    if not reached:
        held = book.figure("table_current_carrying")
        return chosen(name, quantity(1), table.cite, n=count, n_max=held)
    if _short(book, conditions):
        relief = book.figure("adjustment_relief_length")
        return chosen(name, quantity(1), relief.cite, n=count, L_max=relief)
    return table.entry(name, "factor", reached[-1])


def method_limit_temperature(
    book: Book, conditions: ConductorConditions, size: Entry
) -> Entry | None:
    """Column that the ampacity of the wiring method may not exceed, if it has one [degC].

    Rule
    ----
    the figures of CABLE_LIMIT, ser_in_insulation_limit_temperature
    """
    method = conditions.method.value
    figure = CABLE_LIMIT.get(method)
    if method == "SER" and size.value <= book.figure("ser_in_insulation_limit_size").value:
        figure = "ser_in_insulation_limit_temperature" if _in_insulation(conditions) else None
    return book.figure(figure, conditions.named("method_temperature")) if figure else None


def part_ampacity(
    book: Book,
    conditions: ConductorConditions,
    size: Entry,
    material: Entry,
    termination: Entry,
    several_receptacles: Entry,
) -> PartAmpacity:
    """Work out the ampacity of one size in one part of the route.

    Parameters
    ----------
    size, material : Entry
        Conductor size, and `copper` or `aluminum`.
    termination : Entry
        Temperature by which the terminals take the conductors. [degC]
    several_receptacles : Entry
        True where the circuit feeds several receptacles for portable loads.

    Raises
    ------
    LookupError
        When the tables have no ampacity for this size, metal or heat.

    Rule
    ----
    conductor_ampacity, ampacity_correction, ambient_correction, ccc_adjustment
    """
    table = book.table("conductor_ampacity")
    row = table.row(size=size.value)
    named = conditions.named

    def in_column(name: str, temperature: Entry) -> Entry:
        column = _column_for(table, material, temperature)
        return table.entry(named(name), column, row)

    table_ampacity = in_column("table_ampacity", insulation_temperature(book, conditions))
    termination_ampacity = in_column("termination_ampacity", termination)
    heat, together = ambient_factor(book, conditions), adjustment_factor(book, conditions)
    corrected = computed(
        named("corrected_ampacity"),
        "I_t * f_a * f_n",
        book.cite("ampacity_correction"),
        I_t=table_ampacity,
        f_a=heat,
        f_n=together,
    )
    limits = {"I_e": termination_ampacity}
    cite = [book.cite("termination_rating_limit")]
    limit = method_limit_temperature(book, conditions, size)
    if limit is not None:
        limits["I_m"] = in_column("method_ampacity", limit)
        cite.extend(limit.cite)
    uncorrected = computed(
        named("uncorrected_ampacity"),
        "smaller(I_e, I_m)" if limit else "I_e",
        tuple(cite),
        **limits,
    )
    usable = computed(
        named("usable_ampacity"),
        "smaller(I_c, I_e, I_m)" if limit else "smaller(I_c, I_e)",
        (book.cite("ampacity_correction"), *cite),
        I_c=corrected,
        **limits,
    )
    return PartAmpacity(
        conditions.number,
        table_ampacity,
        heat,
        together,
        corrected,
        termination_ampacity,
        uncorrected,
        usable,
        overcurrent_limit(book, named("overcurrent_limit"), usable, several_receptacles),
    )


def _column_for(table: Table, material: Entry, temperature: Entry) -> str:
    """Return the hottest column of the metal that is no hotter than `temperature`.

    A terminal may be marked with a temperature for which the table has no column.
    """
    metal = f"{material.value}_"
    heats = [int(name.removeprefix(metal)) for name in table.columns if name.startswith(metal)]
    return f"{metal}{max(heat for heat in heats if heat <= decimal_of(temperature))}"


def _factor_column(insulation: Entry) -> str:
    return f"conductor_{decimal_of(insulation):f}"


def _in_insulation(conditions: ConductorConditions) -> bool:
    contact = conditions.insulation_contact
    return contact is None or bool(contact.value)


def many_cables(book: Book, conditions: ConductorConditions) -> bool:
    """Say whether more cables share a hole or lie together than need no adjustment.

    Rule
    ----
    cables_together_without_adjustment, cables_counted_in_a_sealed_hole
    """
    together = conditions.cables_together
    few = book.figure("cables_together_without_adjustment")
    return (
        conditions.method.value in words_of(book.figure("cables_counted_in_a_sealed_hole"))
        and together is not None
        and bool(together.value > few.value)
    )


def _short(book: Book, conditions: ConductorConditions) -> bool:
    sealed = conditions.hole_sealed is None or bool(conditions.hole_sealed.value)
    if many_cables(book, conditions) and (sealed or _in_insulation(conditions)):
        return False
    length = conditions.bundled_length
    relief = book.figure("adjustment_relief_length")
    return length is not None and bool(length.value <= relief.value)
