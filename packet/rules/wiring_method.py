"""Where a wiring method may be used, wet insulation, and growth of long plastic runs."""

from __future__ import annotations

from packet.codebook import Book
from packet.ledger import Check, Entry, Verdict, chosen, compare, computed
from packet.quantities import quantity
from packet.rules.support import words_of

METHODS = (
    "NM-B",
    "UF-B",
    "SER",
    "MC",
    "EMT",
    "PVC-40",
    "PVC-80",
    "RMC",
    "FMC",
    "LFMC",
    "LFNC-B",
    "ENT",
)
"""Every wiring method that the code book knows, cables first."""


def method_suits_place(book: Book, at: str, method: Entry, place: Entry) -> Check:
    """Judge whether a wiring method may be used in a place.

    Meets where the code book allows it as it stands, asks where it allows it on a
    condition that the part's marking or the authority decides, else falls short.

    Parameters
    ----------
    method : Entry
        Method word, such as ``NM-B``.
    place : Entry
        Place word, such as ``exterior wall``.

    Raises
    ------
    EditionNotEncoded
        For a method that is not in the code book.

    Rule
    ----
    places_nm_b and the like figures of the other methods
    """
    name = f"{at}.method_suits_place"
    allowed, asked = _places(book, str(method.value))
    if place.value in words_of(allowed):
        verdict = Verdict.MEETS
    elif asked is not None and place.value in words_of(asked):
        verdict = Verdict.ASK
    else:
        verdict = Verdict.FALLS_SHORT
    remedy = methods_for_place(book, at, place) if verdict is Verdict.FALLS_SHORT else None
    return Check(name, verdict, allowed.cite, left=method, right=place, remedy=remedy)


def methods_for_place(book: Book, at: str, place: Entry) -> Entry:
    """Return the wiring methods that may be used in a place, as one list of words."""
    fit = [method for method in METHODS if place.value in words_of(_places(book, method)[0])]
    cite = book.cite("method_by_place")
    return chosen(f"{at}.methods_for_place", ", ".join(fit), cite, place=place)


def method_suits_moisture(book: Book, at: str, method: Entry, wet: Entry | None) -> Check:
    """Judge whether a wiring method may be used where it gets wet; ask when nobody said.

    `wet` is a truth. Underground and outdoors are wet by themselves: see
    :func:`inside_is_wet`.
    """
    name = f"{at}.method_suits_moisture"
    methods = book.figure("methods_for_wet_places")
    if wet is None:
        return Check(name, Verdict.ASK, methods.cite, method, facts=(methods,))
    if not wet.value or method.value in words_of(methods):
        return Check(name, Verdict.MEETS, methods.cite, method, facts=(methods,))
    return Check(name, Verdict.FALLS_SHORT, methods.cite, method, remedy=methods)


def inside_is_wet(book: Book, at: str, place: Entry, wet: Entry) -> Entry:
    """Return whether conductors at a place count as in a wet location, raceway or not."""
    wet_places = book.figure("wet_places")
    value = bool(wet.value) or place.value in words_of(wet_places)
    return chosen(f"{at}.inside_is_wet", value, wet_places.cite, place=place, wet=wet)


def insulation_suits_wet(book: Book, at: str, insulation: Entry, wet: Entry) -> Check:
    """Judge whether conductors in a wet raceway have insulation listed for it.

    `wet` is the answer of :func:`inside_is_wet`.
    """
    name = f"{at}.insulation_suits_wet"
    types = book.figure("wet_insulation_types")
    if not wet.value or insulation.value in words_of(types):
        return Check(name, Verdict.MEETS, types.cite, insulation, facts=(wet, types))
    return Check(name, Verdict.FALLS_SHORT, types.cite, insulation, remedy=types, facts=(wet,))


def run_length_change(book: Book, at: str, length: Entry, temperature_change: Entry) -> Entry:
    """Return how much a straight run of PVC conduit grows and shrinks [in].

    Parameters
    ----------
    length : Entry
        Straight run between fixed points. [ft]
    temperature_change : Entry
        Coldest to hottest over the year. [°C, a difference]
    """
    cite = book.cite("pvc_growth")
    grown = computed(
        f"{at}.length_change_metric",
        "g * (L / L0) * (t / t0)",
        cite,
        g=book.figure("pvc_growth"),
        L=computed(f"{at}.straight_length_metric", "L", cite, L=length),
        L0=book.figure("pvc_growth_length"),
        t=temperature_change,
        t0=book.figure("pvc_growth_temperature"),
    )
    return computed(f"{at}.length_change", "d", cite, d=grown)


def expansion_fittings(book: Book, at: str, change: Entry | None) -> Entry | None:
    """Return how many expansion fittings a PVC run takes; None when the change is unknown."""
    if change is None:
        return None
    limit = book.figure("expansion_fitting_from")
    number = quantity(1 if change.value >= limit.value else 0)
    return chosen(f"{at}.expansion_fittings", number, limit.cite, change=change, limit=limit)


def run_free_to_grow(book: Book, at: str, change: Entry | None, fittings: Entry | None) -> Check:
    """Judge whether a PVC run has the expansion fitting it needs; ask when nobody knows.

    Parameters
    ----------
    change : Entry, optional
        The answer of :func:`run_length_change`. [in]
    fittings : Entry, optional
        Expansion fittings planned in the run.
    """
    name = f"{at}.run_free_to_grow"
    limit = book.figure("expansion_fitting_from")
    need = expansion_fittings(book, at, change)
    if need is None or fittings is None:
        return Check(name, Verdict.ASK, limit.cite, left=change, right=limit)
    return compare(name, fittings, ">=", need, limit.cite, remedy=need, facts=(limit,))


def _places(book: Book, method: str) -> tuple[Entry, Entry | None]:
    key = method.lower().replace("-", "_")
    asked = f"asked_places_{key}"
    return (
        book.figure(f"places_{key}"),
        book.figure(asked) if book.has(asked) else None,
    )
