"""Raceway fill, the size that holds the conductors, and the bends between pull points."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packet.codebook import Book
from packet.ledger import Check, Entry, Verdict, chosen, compare, computed, decimal_of, total

INSULATED = {"THHN/THWN-2": "thhn", "XHHW-2": "xhhw", "RHW-2": "rhw"}
"""Conductor insulation -> its columns in the table of conductor dimensions."""

BARE = {"bare solid": "solid", "bare stranded": "stranded"}
"""Bare conductor -> its stranding in the table of bare conductors."""


@dataclass(frozen=True)
class ConductorGroup:
    """Like conductors in one raceway: how many, of which size, in which insulation.

    `insulation` is a key of :data:`INSULATED`, or of :data:`BARE`.
    """

    count: Entry
    size: Entry
    insulation: str


@dataclass(frozen=True)
class RacewayFill:
    """One raceway part: its trade size, what fills it, and whether that is allowed.

    `count_limit` is set where all conductors are alike, and is then what decides.
    """

    trade_size: Entry
    conductors_area: Entry
    fill_share: Entry
    usable_area: Entry
    count_limit: Entry | None
    check: Check


def raceway_fill(
    book: Book,
    at: str,
    raceway: str,
    groups: Sequence[ConductorGroup],
    length: Entry,
    trade_size: Entry | None = None,
) -> RacewayFill:
    """Check a raceway's fill, or choose the smallest trade size that holds the conductors.

    Parameters
    ----------
    at : str
        Ledger place of the route part, such as ``route.2``.
    raceway : str
        Method word, such as ``EMT``.
    groups : sequence of ConductorGroup
        Everything inside, the equipment grounding conductor too.
    length : Entry
        Raceway between enclosures; a short nipple may be filled further. [ft]
    trade_size : Entry, optional
        Given trade size; chosen when left out. Where no listed size holds the
        conductors, the largest is returned and its check falls short.

    Rule
    ----
    raceway_fill, raceway_dimensions, conductor_dimensions, annex_c_counts
    """
    area = conductors_area(book, at, groups)
    count = total(
        f"{at}.conductor_count",
        book.table("raceway_fill").cite,
        "n",
        [group.count for group in groups],
    )
    share = fill_share(book, at, count, length)
    sizes = [row["trade_size"] for row in book.table("raceway_dimensions").where(raceway=raceway)]

    def judged(size: Entry, remedy: Entry | None = None) -> RacewayFill:
        usable = usable_area(book, at, raceway, size, share)
        limit = None
        if _alike(groups) and decimal_of(share) != decimal_of(_share_row(book, at, "nipple")):
            limit = same_size_limit(book, at, raceway, size, groups[0])
        left, right = (area, usable) if limit is None else (count, limit)
        check = compare(
            f"{at}.conductors_fit_raceway",
            left,
            "<=",
            right,
            right.cite[0],
            remedy=remedy,
            facts=(size, area, usable),
        )
        return RacewayFill(size, area, share, usable, limit, check)

    def smallest(name: str) -> RacewayFill | None:
        cite = book.table("raceway_dimensions").cite
        for size in sizes:
            fill = judged(chosen(name, size, cite, conductors=area, share=share))
            if fill.check.verdict is Verdict.MEETS:
                return fill
        return None

    if trade_size is None:
        largest = chosen(f"{at}.trade_size", sizes[-1], book.table("raceway_dimensions").cite)
        return smallest(f"{at}.trade_size") or judged(largest)
    better = smallest(f"{at}.smallest_trade_size")
    return judged(trade_size, better.trade_size if better else None)


def conductors_area(book: Book, at: str, groups: Sequence[ConductorGroup]) -> Entry:
    """Return the sum of the conductors' cross sections [in²].

    Raises
    ------
    LookupError
        For an insulation or size without a printed area.
    """
    inputs: dict[str, Entry] = {}
    for number, group in enumerate(groups, 1):
        inputs[f"n{number}"] = group.count
        inputs[f"a{number}"] = _conductor_area(book, f"{at}.conductors.{number}.area", group)
    formula = " + ".join(f"n{number} * a{number}" for number in range(1, len(groups) + 1))
    return computed(
        f"{at}.conductors_area", formula, book.cite("mixed_conductors_by_area"), **inputs
    )


def fill_share(book: Book, at: str, count: Entry, length: Entry) -> Entry:
    """Return the share of the raceway that `count` conductors may fill [%].

    Raises
    ------
    ValueError
        For an empty raceway.
    """
    if length.value <= book.figure("nipple_length").value:
        return _share_row(book, at, "nipple")
    for number, word in ((1, "one"), (2, "two")):
        if decimal_of(count) == number:
            return _share_row(book, at, word)
    if not decimal_of(count):
        raise ValueError(f"no conductors in {at}")
    return _share_row(book, at, "more")


def usable_area(book: Book, at: str, raceway: str, trade_size: Entry, share: Entry) -> Entry:
    """Return the area that conductors may take up in a raceway [in²]."""
    inside = _inside_area(book, at, raceway, trade_size)
    return computed(f"{at}.usable_area", "p * A", share.cite, p=share, A=inside)


def same_size_limit(
    book: Book, at: str, raceway: str, trade_size: Entry, group: ConductorGroup
) -> Entry:
    """Return how many conductors like those of `group` a raceway may hold.

    The printed table decides where it has the raceway; elsewhere the areas do, and a
    quotient is taken up to the next whole number from the printed decimal on.

    Rule
    ----
    annex_c_counts, count_rounds_up_from
    """
    name = f"{at}.count_limit"
    table = book.table("annex_c_counts")
    keys = {
        "raceway": raceway,
        "insulation": group.insulation,
        "size": group.size.value,
        "trade_size": trade_size.value,
    }
    for row in table.where(**keys):
        return table.entry(name, "count", row)
    return count_by_areas(book, at, raceway, trade_size, group)


def count_by_areas(
    book: Book, at: str, raceway: str, trade_size: Entry, group: ConductorGroup
) -> Entry:
    """Return how many conductors like those of `group` fit by their areas alone.

    Rule
    ----
    raceway_fill, count_rounds_up_from
    """
    name = f"{at}.count_limit"
    inside = _inside_area(book, at, raceway, trade_size)
    each = _conductor_area(book, f"{at}.conductors.1.area", group)
    threshold = book.figure("count_rounds_up_from")

    def limit(word: str, formula: str) -> Entry:
        return computed(
            name,
            formula,
            book.cite("count_rounds_up_from"),
            p=_share_row(book, at, word),
            A=inside,
            a=each,
            k=threshold,
        )

    quotient = "round_down(p * A / a + 1 - k)"
    many, pair = limit("more", quotient), limit("two", quotient)
    if decimal_of(many) > 2:
        return many
    return pair if decimal_of(pair) >= 2 else limit("one", f"smaller({quotient}, 1)")


def bends_between_pull_points(book: Book, at: str, bends: Entry | None) -> Check:
    """Judge the sum of the bends between two pull points; ask when it is not given [°]."""
    name = f"{at}.bends_allow_pulling"
    limit = book.figure("greatest_bend_sum")
    if bends is None:
        return Check(name, Verdict.ASK, limit.cite, right=limit)
    return compare(name, bends, "<=", limit, limit.cite, remedy=limit)


def jam_ratio(
    book: Book, at: str, raceway: str, trade_size: Entry, group: ConductorGroup
) -> tuple[Entry, Check]:
    """Return inside diameter over conductor diameter, and whether three alike may jam.

    Only for three insulated conductors of one size pulled together; the check is a
    note, since the code book only informs.
    """
    dimensions = book.table("raceway_dimensions")
    row = dimensions.row(raceway=raceway, trade_size=trade_size.value)
    conductors = book.table("conductor_dimensions")
    ratio = computed(
        f"{at}.jam_ratio",
        "D / d",
        book.cite("jam_ratio_low"),
        D=dimensions.entry(f"{at}.inside_diameter", "internal_diameter", row),
        d=conductors.entry(
            f"{at}.conductor_diameter",
            f"{INSULATED[group.insulation]}_diameter",
            conductors.row(size=group.size.value),
        ),
    )
    low, high = book.figure("jam_ratio_low"), book.figure("jam_ratio_high")
    jams = low.value <= ratio.value <= high.value
    verdict = Verdict.NOTE if jams else Verdict.MEETS
    return ratio, Check(f"{at}.pull_does_not_jam", verdict, low.cite, left=ratio, facts=(low, high))


def _alike(groups: Sequence[ConductorGroup]) -> bool:
    return len({(group.size.value, group.insulation) for group in groups}) == 1


def _share_row(book: Book, at: str, word: str) -> Entry:
    table = book.table("raceway_fill")
    return table.entry(f"{at}.fill_share", "fill", table.row(conductors=word))


def _inside_area(book: Book, at: str, raceway: str, trade_size: Entry) -> Entry:
    table = book.table("raceway_dimensions")
    row = table.row(raceway=raceway, trade_size=trade_size.value)
    return table.entry(f"{at}.inside_area", "area", row)


def _conductor_area(book: Book, name: str, group: ConductorGroup) -> Entry:
    if group.insulation in BARE:
        table = book.table("bare_conductor_dimensions")
        row = table.row(size=group.size.value, stranding=BARE[group.insulation])
        return table.entry(name, "area", row)
    if group.insulation not in INSULATED:
        raise LookupError(f"no conductor dimensions for insulation {group.insulation}")
    table = book.table("conductor_dimensions")
    return table.entry(
        name, f"{INSULATED[group.insulation]}_area", table.row(size=group.size.value)
    )
