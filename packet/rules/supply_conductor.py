"""Conductors that supply a panel: those of the service, and those of a feeder."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from packet.codebook import Book
from packet.ledger import Check, Entry, Verdict, chosen, compare, computed, decimal_of
from packet.rules.ampacity import (
    ConductorConditions,
    PartAmpacity,
    ambient_within_table,
    part_ampacity,
    termination_temperature,
)
from packet.rules.conductor import (
    conductor_sizes,
    dwelling_supply_conductor,
    dwelling_supply_rule_applies,
)
from packet.rules.grounding import table_equipment_grounding
from packet.rules.overcurrent import overcurrent_limit, small_conductor_limit


def service_conductor_carries_rating(
    book: Book, rating: Entry, size: Entry | None, material: Entry | None
) -> Check:
    """Judge the service conductors against the rating of the service.

    Within the range of the rule for a whole dwelling they carry its share; outside they
    carry the rating like any other conductor, and a small one then hangs on its terminals.

    Parameters
    ----------
    rating : Entry
        Of the service [A].
    size, material : Entry or None
        None where nobody has read them.

    Returns
    -------
    Check
        ``service_conductor_carries_rating``.

    Rule
    ----
    dwelling_supply_share, conductor_protected_at_its_ampacity, next_size_up_limit
    """
    name = "service_conductor_carries_rating"
    cite = (book.table("conductor_ampacity").cite,)
    if size is None or material is None:
        return Check(name, Verdict.ASK, cite, left=size)
    whole = chosen("service.carries_whole_dwelling", True, book.cite("dwelling_supply_share"))
    if dwelling_supply_rule_applies(book, rating, whole).verdict is Verdict.MEETS:
        need: Entry | None = dwelling_supply_conductor(book, rating, material)
        least = need
    else:
        need = _ordinary_conductor(book, rating, material, ())
        least = _ordinary_conductor(book, rating, material, _marked(book))
    if need is None or least is None:
        return Check(name, Verdict.ASK, cite, left=size)
    unsure = least.value <= size.value < need.value
    return compare(
        name,
        size,
        ">=",
        need,
        need.cite,
        otherwise=Verdict.ASK if unsure else Verdict.FALLS_SHORT,
    )


def _marked(book: Book) -> tuple[Entry, ...]:
    return (book.figure("highest_termination_temperature"),)


def _ordinary_conductor(
    book: Book, rating: Entry, material: Entry, marks: Sequence[Entry]
) -> Entry | None:
    """Return the smallest conductor that a device of this rating protects; None where none is."""
    table = book.table("conductor_ampacity")
    column = f"{material.value}_{decimal_of(termination_temperature(book, rating, marks)):f}"
    one_end = chosen("feeder.carries_several", False, book.cite("next_size_up_limit"))
    for row in table.rows():
        if row[column] is None:
            continue
        ampacity = table.entry("service.ampacity", column, row)
        limit = overcurrent_limit(book, "service.overcurrent_limit", ampacity, one_end)
        if limit.value >= rating.value:
            return chosen("service.conductor_needed", row["size"], limit.cite, ampacity=ampacity)
    return None


@dataclass(frozen=True)
class Feeder:
    """A feeder as it is: what it runs through, its wires, and the marks at both ends.

    Parameters
    ----------
    conditions : ConductorConditions
        With ``at`` set to ``feeder``.
    rating : Entry
        Of its overcurrent device [A].
    marks : sequence of Entry or None
        Temperature marked at each end [degC]; None where nobody has read it.
    whole : bool
        Whether it carries the whole dwelling.
    """

    conditions: ConductorConditions
    size: Entry
    material: Entry
    rating: Entry
    marks: Sequence[Entry | None]
    whole: bool = False


@dataclass(frozen=True)
class FeederLoad:
    """The calculated load of a feeder, and the same with its continuous share on top [A]."""

    amperes: Entry
    with_share: Entry


def feeder_conductor_checks(book: Book, feeder: Feeder, load: FeederLoad | None) -> Iterator[Check]:
    """Judge a feeder's hot conductors where they run: protection, load, continuous share.

    Parameters
    ----------
    load : FeederLoad or None
        None where what the feeder serves is not known.

    Yields
    ------
    Check
        ``feeder_cool_enough``; ``feeder_protected``; with a load also
        ``feeder_conductor_carries_load`` (not for a whole dwelling, whose rule holds for
        its load too).

    Rule
    ----
    conductor_ampacity, ampacity_correction, next_size_up_limit, small_conductor_limit,
    dwelling_supply_share, continuous_load_factor
    """
    if feeder.size.value not in conductor_sizes(book, feeder.material):
        cite = (book.table("conductor_ampacity").cite,)
        yield Check("feeder_conductor_known", Verdict.ASK, cite, left=feeder.size)
        return
    heat = ambient_within_table(book, feeder.conditions)
    yield Check("feeder_cool_enough", heat.verdict, heat.cite, heat.left, heat.op, heat.right)
    if heat.verdict is not Verdict.MEETS:
        return
    part = _ampacity(book, feeder, feeder.marks)
    # the unread marks taken as the highest
    marked = _ampacity(book, feeder, [mark for mark in feeder.marks if mark] or _marked(book))
    limit, hoped = _limit(book, feeder, part), _limit(book, feeder, marked)
    yield compare(
        "feeder_protected",
        feeder.rating,
        "<=",
        limit,
        limit.cite,
        otherwise=_short_or_ask(hoped.value >= feeder.rating.value),
        facts=(part.usable_ampacity,),
    )
    if load is None or _is_whole(book, feeder):
        return
    # the tighter of the two tests is the one that is told
    left, right = min(_against(part, load), key=lambda pair: pair[0].value - pair[1].value)
    hoping = _against(marked, load)
    yield compare(
        "feeder_conductor_carries_load",
        left,
        ">=",
        right,
        book.cite("continuous_share_of_feeder"),
        otherwise=_short_or_ask(all(one.value >= other.value for one, other in hoping)),
    )


def _against(part: PartAmpacity, load: FeederLoad) -> tuple[tuple[Entry, Entry], ...]:
    return (part.usable_ampacity, load.amperes), (part.uncorrected_ampacity, load.with_share)


def _short_or_ask(marks_would_help: bool) -> Verdict:
    return Verdict.ASK if marks_would_help else Verdict.FALLS_SHORT


def _ampacity(book: Book, feeder: Feeder, marks: Sequence[Entry | None]) -> PartAmpacity:
    return part_ampacity(
        book,
        feeder.conditions,
        feeder.size,
        feeder.material,
        termination_temperature(book, feeder.rating, marks),
        chosen("feeder.carries_several", False, book.cite("next_size_up_limit")),
    )


def _is_whole(book: Book, feeder: Feeder) -> bool:
    whole = chosen(
        "feeder.carries_whole_dwelling", feeder.whole, book.cite("dwelling_supply_share")
    )
    rule = dwelling_supply_rule_applies(book, feeder.rating, whole)
    return rule.verdict is Verdict.MEETS


def _limit(book: Book, feeder: Feeder, part: PartAmpacity) -> Entry:
    """Return the largest device for the feeder's conductors [A]."""
    limit = part.overcurrent_limit
    small = small_conductor_limit(book, feeder.size, feeder.material)
    if small is not None and small.value < limit.value:
        limit = small
    if not _is_whole(book, feeder):
        return limit
    of_share = computed(
        "feeder.whole_dwelling_limit",
        "I_z / s",
        book.cite("dwelling_supply_share"),
        I_z=part.usable_ampacity,
        s=book.figure("dwelling_supply_share"),
    )
    return max(limit, of_share, key=lambda entry: entry.value)


def feeder_neutral_is_large_enough(book: Book, feeder: Feeder, neutral: Entry | None) -> Check:
    """Judge the feeder's neutral without a calculation of its load.

    As large as the hot conductors it carries any load of the feeder; below the table of
    equipment grounding conductors it is too small for any; between, somebody calculates.

    Parameters
    ----------
    neutral : Entry or None
        Its size; None where there is none, or nobody knows.

    Returns
    -------
    Check
        ``feeder_neutral_is_large_enough``.

    Rule
    ----
    feeder_neutral_size, equipment_grounding
    """
    name, cite = "feeder_neutral_is_large_enough", book.cite("feeder_neutral_size")
    if neutral is None:
        return Check(name, Verdict.ASK, (cite,), right=feeder.size)
    least = table_equipment_grounding(book, feeder.rating, feeder.material)
    between = least.value <= neutral.value
    return compare(
        name,
        neutral,
        ">=",
        feeder.size,
        cite,
        otherwise=Verdict.ASK if between else Verdict.FALLS_SHORT,
    )
