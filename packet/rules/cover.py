"""Burial depth: earth over a buried cable or raceway, by method and place."""

from __future__ import annotations

from packet.codebook import Book
from packet.ledger import Check, Entry, Verdict, chosen, compare, computed
from packet.rules.support import words_of

LOCATIONS = {
    "open ground": "all other locations",
    "under two inches of concrete": "trench under 2 in of concrete",
    "under building": "under a building",
    "under slab no vehicles": "under 4 in exterior slab, no vehicles",
    "street": "street, road, alley or parking lot",
}
"""What lies over a buried part, in a word -> row of the table where it has another name."""


def method_may_be_buried(book: Book, at: str, location: Entry, method: Entry) -> Check:
    """Judge whether a cable or raceway may lie in the earth at all, under what is over it.

    Parameters
    ----------
    location, method : Entry
        As for :func:`minimum_cover`.

    Returns
    -------
    Check
        ``method_may_be_buried``; the remedy is what may.

    Rule
    ----
    burial_cover, buried_direct_burial, buried_rigid_metal, buried_nonmetallic
    """
    table = book.table("burial_cover")
    row = table.row(location=LOCATIONS.get(str(location.value), str(location.value)))
    raceways = ("buried_rigid_metal", "buried_nonmetallic")
    columns = raceways if row["raceway_only"] else ("buried_direct_burial", *raceways)
    figures = [book.figure(column) for column in columns]
    cite = (table.cite, *(one for figure in figures for one in figure.cite))
    allowed = [method_word for figure in figures for method_word in words_of(figure)]
    remedy = chosen(f"{at}.methods_for_burial", ", ".join(allowed), cite, above=location)
    holds = method.value in allowed
    return Check(
        f"{at}.method_may_be_buried",
        Verdict.MEETS if holds else Verdict.FALLS_SHORT,
        cite,
        left=method,
        right=location,
        remedy=None if holds else remedy,
    )


def minimum_cover(
    book: Book,
    at: str,
    location: str,
    method: str,
    volts: Entry,
    rating: Entry,
    gfci: Entry,
) -> Entry:
    """Return the least earth over a buried cable or raceway [in].

    The low column for protected circuits is open to 120 V branch circuits alone, so a
    240 V circuit never gets it.

    Parameters
    ----------
    location : str
        What lies over it: ``open ground``, ``dwelling driveway`` and the like; a row of
        the table, or a key of :data:`LOCATIONS`.
    method : str
        Method word, such as ``UF-B``.
    volts : Entry
        Between the conductors of the circuit. [V]
    rating : Entry
        Of the overcurrent device. [A]
    gfci : Entry
        Whether the circuit has GFCI protection (bool).

    Raises
    ------
    LookupError
        For a method that may not be buried, or a cable where only raceways may go.

    Rule
    ----
    burial_cover, protected_cover_volts, protected_cover_rating
    """
    table = book.table("burial_cover")
    row = table.row(location=LOCATIONS.get(location, location))
    column = _column(book, method)
    if column == "direct_burial" and row["raceway_only"]:
        raise LookupError(f"{table.cite.section} allows {method} {location} only in a raceway")
    name = f"{at}.minimum_cover"
    plain = table.entry(name, column, row)
    protected = (
        gfci.value
        and volts.value <= book.figure("protected_cover_volts").value
        and rating.value <= book.figure("protected_cover_rating").value
    )
    if not protected:
        return plain
    low = table.entry(name, "protected_120v", row)
    return low if low.value < plain.value else plain


def cover_deep_enough(book: Book, at: str, given: Entry | None, need: Entry) -> Check:
    """Judge the planned cover; ask when none is planned [in]."""
    name = f"{at}.cover_deep_enough"
    if given is None:
        return Check(name, Verdict.ASK, (book.table("burial_cover").cite,), right=need)
    return compare(name, given, ">=", need, need.cite, remedy=need)


def trench_depth(book: Book, at: str, cover: Entry, outside_diameter: Entry) -> Entry:
    """Return how deep to dig: the cover plus what is laid, since cover counts from its top [in]."""
    cite = book.table("burial_cover").cite
    return computed(f"{at}.trench_depth", "c + d", cite, c=cover, d=outside_diameter)


def riser_protected_from(book: Book, at: str, cover: Entry) -> Entry:
    """Return how far below grade an emerging cable or raceway is protected [in]."""
    limit = book.figure("riser_protection_depth")
    return computed(f"{at}.riser_below_grade", "smaller(c, m)", limit.cite, c=cover, m=limit)


def riser_protected(book: Book, at: str, riser: Entry | None) -> Check:
    """Judge what an emerging cable or raceway is protected with; ask when nothing is named.

    Parameters
    ----------
    riser : Entry, optional
        Method word of the pipe from the trench up.

    Rule
    ----
    riser_methods, riser_protection_height, riser_protection_depth
    """
    name = f"{at}.riser_protected"
    methods = book.figure("riser_methods")
    facts = (
        methods,
        book.figure("riser_protection_height"),
        book.figure("riser_protection_depth"),
    )
    if riser is None:
        return Check(name, Verdict.ASK, methods.cite, right=methods, facts=facts)
    holds = riser.value in words_of(methods)
    verdict = Verdict.MEETS if holds else Verdict.FALLS_SHORT
    remedy = None if holds else methods
    return Check(name, verdict, methods.cite, riser, right=methods, remedy=remedy, facts=facts)


def _column(book: Book, method: str) -> str:
    for column in ("direct_burial", "rigid_metal", "nonmetallic"):
        if method in words_of(book.figure(f"buried_{column}")):
            return column
    raise LookupError(f"{method} may not be buried")
