"""The receptacle at the end of an individual branch circuit."""

from __future__ import annotations

from dataclasses import dataclass

from packet import words
from packet.codebook import Book
from packet.ledger import Check, Entry, Verdict, chosen, compare

OPEN_AIR = frozenset({"outdoors", "carport"})


@dataclass(frozen=True)
class Configuration:
    """What the standard says of a receptacle: rating [A], volts [V], wires, neutral (bool)."""

    rating: Entry
    highest_voltage: Entry
    wires: Entry
    neutral: Entry
    for_new_work: Entry


def configuration(book: Book, name: str) -> Configuration:
    """Return what the blade configuration `name` stands for, for example ``14-50``.

    The wires count the equipment grounding conductor.

    Raises
    ------
    LookupError
        When the standard's table has no such configuration.
    """
    table = book.table("receptacle_configuration")
    row = table.row(configuration=name)
    return Configuration(
        table.entry("receptacle.rating", "rating", row),
        table.entry("receptacle.highest_voltage", "highest_volts", row),
        table.entry("receptacle.wires", "wires", row),
        table.entry("receptacle.neutral", "neutral", row),
        table.entry("receptacle.for_new_work", "for_new_work", row),
    )


def receptacle_suits_voltage(book: Book, receptacle: Configuration, voltage: Entry) -> Check:
    """Judge whether the receptacle is made for the circuit's voltage.

    Returns
    -------
    Check
        ``receptacle_suits_voltage``.
    """
    return compare(
        "receptacle_suits_voltage",
        receptacle.highest_voltage,
        ">=",
        voltage,
        book.cite("receptacle_suits_voltage"),
    )


def receptacle_is_for_new_work(book: Book, receptacle: Configuration) -> Check:
    """Judge whether the configuration has a grounding contact, as new work must.

    Returns
    -------
    Check
        ``receptacle_is_for_new_work``.
    """
    verdict = Verdict.MEETS if receptacle.for_new_work.value else Verdict.FALLS_SHORT
    cite = (book.cite("grounding_receptacle"),)
    return Check("receptacle_is_for_new_work", verdict, cite, facts=(receptacle.for_new_work,))


def receptacle_carries_circuit(book: Book, rating: Entry, device: Entry) -> Check:
    """Judge a single receptacle on its individual circuit: not rated below the circuit.

    Parameters
    ----------
    book : Book
    rating : Entry
        Of the receptacle [A].
    device : Entry
        Rating of the circuit's overcurrent device [A].

    Returns
    -------
    Check
        ``receptacle_carries_circuit``; the remedy is the largest device it allows.

    Rule
    ----
    single_receptacle
    """
    return compare(
        "receptacle_carries_circuit",
        rating,
        ">=",
        device,
        book.cite("single_receptacle"),
        remedy=rating,
    )


def receptacle_matches_circuit(
    book: Book, rating: Entry, device: Entry, *, charging: bool = True
) -> Check:
    """Judge a receptacle rated above its circuit, which invites more load than the circuit has.

    Parameters
    ----------
    book : Book
    rating : Entry
        Of the receptacle [A].
    device : Entry
        Rating of the circuit's overcurrent device [A].
    charging : bool
        Whether a vehicle is charged there.

    Returns
    -------
    Check
        ``receptacle_matches_circuit``: falls short where the edition forbids it for vehicle
        charging, meets for the one pair that the table of receptacles has, else is noted.

    Rule
    ----
    charging_receptacle_matches_circuit, larger_receptacle_circuit
    """
    name = "receptacle_matches_circuit"
    strict = "charging_receptacle_matches_circuit"
    rule = (book.cite(strict if charging else "single_receptacle"),)
    if rating.value <= device.value:
        return Check(name, Verdict.MEETS, rule, rating, "=", device)
    if charging and book.has(strict):
        return Check(name, Verdict.FALLS_SHORT, rule, rating, "=", device, rating)
    circuit, larger = book.figure("larger_receptacle_circuit"), book.figure("larger_receptacle")
    paired = device.value == circuit.value and rating.value == larger.value
    verdict = Verdict.MEETS if paired else Verdict.NOTE
    return Check(name, verdict, circuit.cite, rating, "=", device)


def receptacle_is_tamper_resistant(book: Book, rating: Entry, height: Entry | None) -> Check | None:
    """Note that a small receptacle in a dwelling is of the tamper-resistant type.

    Parameters
    ----------
    book : Book
    rating : Entry
        Of the receptacle [A].
    height : Entry or None
        Above the floor [in]; None where nobody says, and it is taken as in a child's reach.

    Returns
    -------
    Check or None
        ``receptacle_is_tamper_resistant``; None for a larger receptacle.

    Rule
    ----
    tamper_resistant_up_to, tamper_resistant_height
    """
    limit, reach = book.figure("tamper_resistant_up_to"), book.figure("tamper_resistant_height")
    if rating.value > limit.value:
        return None
    high = height is not None and height.value > reach.value
    verdict = Verdict.MEETS if high else Verdict.NOTE
    name = "receptacle_is_tamper_resistant"
    return Check(name, verdict, limit.cite, left=rating, facts=(reach,))


@dataclass(frozen=True)
class Cover:
    """The cover of a receptacle in damp or wet, and whether it is of the weather-resistant type."""

    cover: Entry
    weather_resistant: Entry


def receptacle_cover(
    book: Book, place: str, weather: str | None, rating: Entry, *, unattended: bool = True
) -> tuple[Cover | None, Check | None]:
    """Return the cover that the place asks for.

    Parameters
    ----------
    book : Book
    place : str
        Where the receptacle is, for example ``garage`` or ``outdoors``.
    weather : str or None
        ``dry``, ``damp`` or ``wet``; None where nobody says.
    rating : Entry
        Of the receptacle [A].
    unattended : bool
        Whether the plug stays in while nobody is there, as in vehicle charging.

    Returns
    -------
    tuple of Cover or None, and Check or None
        No cover in the dry of a building; under a roof in the open air it is damp at least.
        ``receptacle_weather_is_known`` asks, where the place is in the open air and nobody
        says how wet it is, and the cover is then the one for wet places.

    Rule
    ----
    receptacle_cover_damp, receptacle_cover_wet
    """
    exposed = place in OPEN_AIR
    if not exposed and weather in ("dry", None):
        return None, None
    small = rating.value <= book.figure("weather_resistant_up_to").value
    wet = weather not in ("damp", "dry")
    rule = "receptacle_cover_wet" if wet else "receptacle_cover_damp"
    in_use = wet and (small or unattended)
    kind = "in_use" if in_use else "closed"
    cite = book.cite(rule)
    cover = Cover(
        chosen("receptacle.cover", words.word(f"receptacle.cover.{kind}").label, cite, I=rating),
        chosen(
            "receptacle.weather_resistant",
            small,
            book.cite("weather_resistant_up_to"),
            I=rating,
        ),
    )
    if weather is None:
        return cover, Check("receptacle_weather_is_known", Verdict.ASK, (cite,))
    return cover, None
