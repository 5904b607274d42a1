"""The means to take power off equipment before it is opened: whether it is there, how large."""

from __future__ import annotations

from collections.abc import Iterator

from packet.codebook import Book
from packet.ledger import Check, Entry, Verdict, computed


def charger_disconnect(
    book: Book,
    connection: str,
    current: Entry,
    voltage_to_ground: Entry,
    *,
    in_sight: bool | None,
) -> Iterator[Check]:
    """Judge the disconnect of a charger.

    A plug is a disconnect. A permanently connected charger needs one of its own above a
    current or voltage, in the newest edition always; one out of sight must lock open and
    be named on a plaque. Below the limits the breaker serves, and a lock for it is advised.

    Parameters
    ----------
    book : Book
    connection : str
        ``receptacle`` or ``hardwired``.
    current : Entry
        Rating of the charger [A].
    voltage_to_ground : Entry
        [V].
    in_sight : bool or None
        Whether a disconnect is within sight of the charger; None where nobody says.

    Yields
    ------
    Check
        ``charger_has_disconnect``; ``remote_disconnect_has_plaque`` where one out of sight
        needs it; for the newest edition also ``emergency_shutoff_is_settled``.

    Rule
    ----
    charger_disconnect
    """
    name = "charger_has_disconnect"
    sight = book.figure("within_sight_distance")
    facts = (current, voltage_to_ground, sight)
    cite = (book.cite("charger_disconnect"), *sight.cite)
    if connection == "receptacle":
        yield Check(name, Verdict.MEETS, (book.cite("plug_is_disconnect"),), facts=facts)
        return
    if in_sight:
        yield Check(name, Verdict.MEETS, cite, facts=facts)
    elif disconnect_required(book, current, voltage_to_ground):
        verdict = Verdict.ASK if in_sight is None else Verdict.NOTE
        yield Check(name, verdict, cite, facts=facts)
        if book.has("remote_disconnect_plaque"):
            plaque = (book.cite("remote_disconnect_plaque"),)
            yield Check("remote_disconnect_has_plaque", Verdict.NOTE, plaque)
    else:
        lock = (book.cite("appliance_disconnect"), *sight.cite)
        yield Check(name, Verdict.NOTE, lock, facts=facts)
    if book.has("charger_emergency_shutoff"):
        shutoff = (book.cite("charger_emergency_shutoff"),)
        yield Check("emergency_shutoff_is_settled", Verdict.ASK, shutoff)


def disconnect_required(book: Book, current: Entry, voltage_to_ground: Entry) -> bool:
    """Say whether a permanently connected charger needs a disconnect of its own."""
    if not book.has("charger_disconnect_above_current"):
        return True
    amperes = book.figure("charger_disconnect_above_current")
    volts = book.figure("charger_disconnect_above_voltage")
    return bool(current.value > amperes.value or voltage_to_ground.value > volts.value)


def least_switch_rating(
    book: Book, name: str, device: Entry, unit_current: Entry | None = None
) -> Entry:
    """Return the least rating of a switch without fuses, as `name` [A].

    Parameters
    ----------
    name : str
        Ledger name of the result.
    device : Entry
        Rating of the circuit's overcurrent device. [A]
    unit_current : Entry, optional
        What a heating or cooling unit draws, whose switch has a factor of its own. [A]

    Rule
    ----
    unit_disconnect_factor, switch_carries_circuit
    """
    if unit_current is None:
        return computed(name, "I_d", book.cite("switch_carries_circuit"), I_d=device)
    k = book.figure("unit_disconnect_factor")
    return computed(name, "k * I", k.cite, k=k, I=unit_current)


def switch_wiring_space(book: Book, at: str) -> Check:
    """Say that the room in a switch's enclosure is not worked out; ``{at}.is_a_switch``.

    Rule
    ----
    switch_wiring_space
    """
    return Check(f"{at}.is_a_switch", Verdict.NOTE, (book.cite("switch_wiring_space"),))
