"""Overcurrent protection: the rating a load needs, and the rating a conductor may have."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from packet.codebook import Book
from packet.ledger import Check, Entry, Verdict, chosen, compare, computed


def minimum_overcurrent_rating(book: Book, continuous: Entry, noncontinuous: Entry) -> Entry:
    """Smallest rating of the overcurrent device for the load of the circuit.

    Parameters
    ----------
    continuous, noncontinuous : Entry
        Load expected for hours on end, and the rest. [A]

    Returns
    -------
    minimum_overcurrent_rating : Entry
        [A]

    Rule
    ----
    continuous_load_factor, overcurrent_device_carries_load
    """
    return computed(
        "minimum_overcurrent_rating",
        "k_c * I_c + I_n",
        book.cite("overcurrent_device_carries_load"),
        k_c=book.figure("continuous_load_factor"),
        I_c=continuous,
        I_n=noncontinuous,
    )


def selected_overcurrent_rating(book: Book, minimum: Entry) -> Entry:
    """Smallest standard rating that carries the load and may serve equipment.

    Parameters
    ----------
    minimum : Entry
        Smallest rating for the load. [A]

    Returns
    -------
    selected_overcurrent_rating : Entry
        [A]

    Raises
    ------
    LookupError
        When no standard rating is that large.

    Rule
    ----
    standard_ratings, smallest_power_circuit_rating
    """
    smallest = book.figure("smallest_power_circuit_rating")
    needed = max(minimum.value, smallest.value)
    for rating in standard_ratings(book):
        if rating >= needed:
            return chosen(
                "selected_overcurrent_rating",
                rating,
                book.table("standard_ratings").cite,
                I_min=minimum,
                I_s=smallest,
            )
    raise LookupError(f"no standard rating reaches {needed}")


def overcurrent_rating_checks(
    book: Book, rating: Entry, minimum: Entry, selected: Entry
) -> tuple[Check, ...]:
    """Check that a breaker has a standard rating, enough for the load and for equipment.

    Where the largest that a nameplate allows is less than what it asks for, no rating is right:
    the nameplate is asked for again.

    Parameters
    ----------
    rating, minimum, selected : Entry
        The device's rating, the smallest for the load, and the standard one to use. [A]

    Rule
    ----
    standard_ratings, overcurrent_device_carries_load, smallest_power_circuit_rating
    """
    standard = rating.value in standard_ratings(book)
    contradicted = selected.value < minimum.value
    smallest = book.figure("smallest_power_circuit_rating")
    return (
        Check(
            "overcurrent_rating_is_standard",
            Verdict.MEETS if standard else Verdict.FALLS_SHORT,
            (book.table("standard_ratings").cite,),
            left=rating,
            remedy=None if standard else selected,
        ),
        compare(
            "overcurrent_carries_load",
            rating,
            ">=",
            minimum,
            book.cite("overcurrent_device_carries_load"),
            remedy=None if contradicted else selected,
            otherwise=Verdict.ASK if contradicted else Verdict.FALLS_SHORT,
        ),
        compare(
            "overcurrent_serves_equipment",
            rating,
            ">=",
            smallest,
            book.cite("smallest_power_circuit_rating"),
            remedy=selected,
        ),
    )


def overcurrent_limit(book: Book, name: str, ampacity: Entry, several_receptacles: Entry) -> Entry:
    """Largest overcurrent device rating for conductors of this ampacity.

    The next standard rating above the ampacity may be used up to the limit of that rule,
    unless the circuit feeds several receptacles for cord-connected portable loads.

    Parameters
    ----------
    name : str
        Ledger name of the result.
    ampacity : Entry
        Usable ampacity of the conductors. [A]
    several_receptacles : Entry
        True where the circuit feeds several receptacles for portable loads.

    Returns
    -------
    Entry
        [A]

    Rule
    ----
    next_size_up_limit, conductor_protected_at_its_ampacity, standard_ratings
    """
    largest = book.figure("next_size_up_limit")
    above = next((one for one in standard_ratings(book) if one >= ampacity.value), None)
    if several_receptacles.value or above is None or above > largest.value:
        return computed(name, "I_z", book.cite("conductor_protected_at_its_ampacity"), I_z=ampacity)
    cite = (book.cite("next_size_up_limit"), book.table("standard_ratings").cite)
    return chosen(name, above, cite, I_z=ampacity, I_max=largest)


def small_conductor_limit(book: Book, size: Entry, material: Entry) -> Entry | None:
    """Largest overcurrent device for a small conductor, whatever its ampacity.

    Returns
    -------
    small_conductor_limit : Entry or None
        [A]; None where the size is not one of the small ones.

    Rule
    ----
    small_conductor_limit
    """
    table = book.table("small_conductor_limit")
    for row in table.where(material=material.value, size=size.value):
        return table.entry("small_conductor_limit", "limit", row)
    return None


def small_conductor_protected(
    book: Book, rating: Entry, size: Entry, material: Entry, remedy: Entry | None
) -> Check | None:
    """Check that the breaker is within the limit for a small conductor, where one applies.

    Parameters
    ----------
    rating : Entry
        Rating of the overcurrent device. [A]
    size, material, remedy : Entry
        Conductor in use, its metal, and the size that would meet.

    Rule
    ----
    small_conductor_limit
    """
    limit = small_conductor_limit(book, size, material)
    if limit is None:
        return None
    return compare(
        "small_conductor_protected",
        rating,
        "<=",
        limit,
        limit.cite,
        remedy=remedy,
        facts=(size, material),
    )


def standard_ratings(book: Book) -> Iterator[Any]:
    """Yield every standard rating of overcurrent devices, the smallest first [A]; 240.6(A)."""
    return (row["rating"] for row in book.table("standard_ratings").rows())
