"""What labels and instructions allow, against what the job puts there."""

from __future__ import annotations

from packet.codebook import Book
from packet.ledger import Check, Entry, Verdict, compare


def equipment_allows_device(book: Book, rating: Entry, most: Entry) -> Check:
    """Judge the breaker against the largest one that label or instructions allow.

    Both in amperes.

    Rule
    ----
    listed_as_instructed
    """
    cite = book.cite("listed_as_instructed")
    return compare("equipment_allows_device", rating, "<=", most, cite, remedy=most)


def terminal_takes_size(
    book: Book, at: str, size: Entry, smallest: Entry, largest: Entry
) -> tuple[Check, Check]:
    """Judge a conductor against the smallest and largest size that a terminal is marked for.

    Rule
    ----
    listed_as_instructed
    """
    cite = book.cite("listed_as_instructed")
    return (
        compare(f"{at}.not_too_small", size, ">=", smallest, cite, remedy=smallest),
        compare(f"{at}.not_too_large", size, "<=", largest, cite, remedy=largest),
    )


def terminal_takes_metal(book: Book, at: str, material: Entry, marked: Entry | None) -> Check:
    """Judge a conductor's metal against the marking of its terminal; aluminum unmarked is asked.

    Parameters
    ----------
    material : Entry
        `copper` or `aluminum`.
    marked : Entry, optional
        `copper`, `aluminum` or `copper and aluminum`; left out where nobody has read it.

    Rule
    ----
    listed_as_instructed
    """
    cite = (book.cite("listed_as_instructed"),)
    name = f"{at}.takes_metal"
    if marked is None:
        asked = Verdict.ASK if material.value == "aluminum" else Verdict.MEETS
        return Check(name, asked, cite, left=material)
    holds = str(material.value) in str(marked.value)
    verdict = Verdict.MEETS if holds else Verdict.FALLS_SHORT
    return Check(name, verdict, cite, left=material, right=marked)


def neutral_stands_alone(book: Book, at: str, allowed: Entry) -> Check:
    """Note that a neutral has a terminal to itself, though the label allows several conductors.

    Parameters
    ----------
    allowed : Entry
        Conductors that the label allows under one screw.

    Rule
    ----
    neutral_terminal
    """
    most = book.figure("neutral_terminal")
    name = f"{at}.neutral_stands_alone"
    return compare(name, allowed, "<=", most, most.cite, otherwise=Verdict.NOTE)


def safe_from_damage(book: Book, at: str, method: Entry, exposed: bool | None) -> Check:
    """Judge wiring where a car or a tool could strike it; ask where nobody has said.

    Rule
    ----
    methods_against_damage
    """
    tough = book.figure("methods_against_damage")
    name = f"{at}.safe_from_damage"
    strong = str(method.value) in str(tough.value).split(", ")
    if strong or exposed is False:
        return Check(name, Verdict.MEETS, tough.cite, method, facts=(tough,))
    verdict = Verdict.ASK if exposed is None else Verdict.FALLS_SHORT
    return Check(name, verdict, tough.cite, method, remedy=tough)
