"""Equipment whose nameplate sizes its circuit: welders, and units with a sealed compressor.

Sources: NEC 630.11 and 630.12; 210.21(B)(1) Exception 2; NEC 440.4(B), 440.14, 440.22 and
440.33; 210.63.
"""

from __future__ import annotations

from packet.codebook import Book
from packet.ledger import Check, Entry, Verdict, chosen, compare, computed
from packet.rules.appliance import next_rating
from packet.rules.overcurrent import standard_ratings


def welder_minimum_ampacity(book: Book, primary: Entry, duty: Entry, kind: str) -> Entry:
    """Return what the supply conductors of one welder carry at least [A].

    Parameters
    ----------
    primary : Entry
        Rated primary current. [A]
    duty : Entry
        Duty cycle of the nameplate; between two rows of the table the higher one counts. [%]
    kind : str
        ``nonmotor_generator`` or ``motor_generator``.

    Raises
    ------
    ValueError
        For a duty cycle above 100 %.

    Rule
    ----
    welder_duty
    """
    table = book.table("welder_duty")
    for row in table.rows():
        if row["up_to"] >= duty.value:
            factor = table.entry("welder.duty_factor", kind, row)
            return computed("welder.minimum_ampacity", "m * I_1", table.cite, m=factor, I_1=primary)
    raise ValueError("a duty cycle is at most 100 %")


def welder_device_limit(book: Book, primary: Entry) -> Entry:
    """Return the largest overcurrent device of a welder, before the next standard rating [A].

    Rule
    ----
    welder_overcurrent_factor
    """
    k = book.figure("welder_overcurrent_factor")
    return computed("welder.device_limit", "k * I_1", k.cite, k=k, I_1=primary)


def welder_conductor_device_limit(book: Book, ampacity: Entry) -> Entry:
    """Return the largest overcurrent device of a welder's conductors [A].

    Rule
    ----
    welder_overcurrent_factor
    """
    k = book.figure("welder_overcurrent_factor")
    return computed("welder.conductor_device_limit", "k * I_z", k.cite, k=k, I_z=ampacity)


def unit_minimum_ampacity(book: Book, compressor: Entry, others: Entry) -> Entry:
    """Return the minimum circuit ampacity of a unit: largest compressor and other loads [A].

    Rule
    ----
    compressor_conductor_factor
    """
    k = book.figure("compressor_conductor_factor")
    return computed(
        "unit.minimum_ampacity", "k * I_r + I_f", k.cite, k=k, I_r=compressor, I_f=others
    )


def unit_device_limit(book: Book, compressor: Entry, others: Entry) -> Entry:
    """Return the limit of a unit's overcurrent device, before a standard rating is taken [A].

    Rule
    ----
    compressor_device_factor
    """
    k = book.figure("compressor_device_factor")
    return computed("unit.device_limit", "k * I_r + I_f", k.cite, k=k, I_r=compressor, I_f=others)


def unit_maximum_device(book: Book, compressor: Entry, others: Entry) -> Entry:
    """Return the largest standard overcurrent device that a unit allows [A].

    Raises
    ------
    ValueError
        Where even the smallest standard rating is too large.

    Rule
    ----
    compressor_device_factor, standard_ratings
    """
    limit = unit_device_limit(book, compressor, others)
    allowed = [rating for rating in standard_ratings(book) if rating <= limit.value]
    if not allowed:
        raise ValueError("no standard rating is so small")
    return chosen(
        "unit.maximum_device", max(allowed), book.table("standard_ratings").cite, limit=limit
    )


def largest_welder_device(book: Book, primary: Entry) -> Entry:
    """Return the largest standard overcurrent device of a welder, ``welder.largest_device`` [A].

    Rule
    ----
    welder_overcurrent_factor, standard_ratings
    """
    limit = welder_device_limit(book, primary)
    return chosen("welder.largest_device", next_rating(book, limit), limit.cite, limit=limit)


def least_welder_device(book: Book, primary: Entry) -> Entry:
    """Return the least standard overcurrent device that a welder's arc does not open [A].

    Rule
    ----
    standard_ratings
    """
    cite = book.table("standard_ratings").cite
    return chosen("selected_overcurrent_rating", next_rating(book, primary), cite, primary=primary)


def welder_device_holds(book: Book, device: Entry, primary: Entry) -> Check | None:
    """Note a device below the current of the arc, ``welder_device_holds``; None for others.

    Parameters
    ----------
    device : Entry
        Of the circuit. [A]
    primary : Entry
        Rated primary current. [A]

    Rule
    ----
    welder_conductors
    """
    if device.value >= primary.value:
        return None
    cite = (book.cite("welder_conductors"),)
    return Check("welder_device_holds", Verdict.NOTE, cite, left=device, right=primary)


def effective_current(
    book: Book, primary: Entry, duty: Entry, kind: str, marked: Entry | None
) -> Entry:
    """Return what a welder's conductors carry: the marked effective current, or by duty cycle [A].

    Parameters
    ----------
    marked : Entry, optional
        Effective current of the nameplate. [A]

    Returns
    -------
    Entry
        ``welder.minimum_ampacity``.

    Rule
    ----
    welder_conductors, welder_duty
    """
    if marked is None:
        return welder_minimum_ampacity(book, primary, duty, kind)
    cite = book.cite("welder_conductors")
    return computed("welder.minimum_ampacity", "I_e", cite, I_e=marked)


def welder_conductor_limit(book: Book, name: str, ampacity: Entry) -> Entry:
    """Return the largest overcurrent device of a welder's conductors, as `name` [A].

    The next standard rating above is allowed too, and not used.

    Rule
    ----
    welder_overcurrent_factor
    """
    k = book.figure("welder_overcurrent_factor")
    return computed(name, "k * I_z", k.cite, k=k, I_z=ampacity)


def welder_receptacle(book: Book, rating: Entry, device: Entry, least: Entry) -> Check:
    """Judge the rating of a receptacle for a welder alone.

    Parameters
    ----------
    rating : Entry
        Of the receptacle. [A]
    device : Entry
        Of the circuit's overcurrent device. [A]
    least : Entry
        ``welder.minimum_ampacity``. [A]

    Returns
    -------
    Check
        ``receptacle_carries_circuit`` where it has the rating of the circuit, else
        ``receptacle_carries_welder``.

    Rule
    ----
    single_receptacle, welder_receptacle
    """
    if rating.value >= device.value:
        cite = book.cite("single_receptacle")
        return compare("receptacle_carries_circuit", rating, ">=", device, cite)
    cite = book.cite("welder_receptacle")
    return compare("receptacle_carries_welder", rating, ">=", least, cite, facts=(device,))


def unit_by_nameplate(book: Book, name: str, ampacity: Entry) -> Entry:
    """Return what the nameplate of a unit asks of conductors or device, as `name` [A].

    Rule
    ----
    unit_nameplate
    """
    return computed(name, "I", book.cite("unit_nameplate"), I=ampacity)


def unit_conductor_limit(book: Book, name: str, device: Entry | None, ampacity: Entry) -> Entry:
    """Return the largest overcurrent device of a unit's conductors, as `name` [A].

    What the nameplate allows may be more than they carry; what they carry is always allowed.

    Parameters
    ----------
    device : Entry, optional
        Maximum overcurrent protection of the nameplate. [A]
    ampacity : Entry
        Of the conductors. [A]

    Rule
    ----
    unit_conductor_protection
    """
    cite = book.cite("unit_conductor_protection")
    if device is None:
        return computed(name, "I_z", cite, I_z=ampacity)
    return computed(name, "larger(I_d, I_z)", cite, I_d=device, I_z=ampacity)


def largest_standard_within(book: Book, name: str, device: Entry) -> Entry | None:
    """Return the largest standard rating within the maximum of a nameplate, as `name` [A].

    Rule
    ----
    unit_nameplate, standard_ratings
    """
    within = [rating for rating in standard_ratings(book) if rating <= device.value]
    cite = (book.cite("unit_nameplate"), book.table("standard_ratings").cite)
    return chosen(name, max(within), cite, marked=device) if within else None


def unit_nameplate_agrees(
    book: Book, ampacity: Entry, device: Entry | None, compressor: Entry, others: Entry
) -> tuple[Check, ...]:
    """Ask where the nameplate's figures do not fit its own compressor: one may be misread.

    Returns
    -------
    tuple of Check
        ``unit_ampacity_agrees`` and ``unit_device_agrees``.

    Rule
    ----
    compressor_conductor_factor, compressor_device_factor
    """
    least = unit_minimum_ampacity(book, compressor, others)
    rounded = computed("unit.least_marking", "round_down(I)", least.cite, I=least)
    ask = Verdict.ASK
    checks = [compare("unit_ampacity_agrees", ampacity, ">=", rounded, least.cite, otherwise=ask)]
    limit = unit_device_limit(book, compressor, others)
    if device is not None and min(standard_ratings(book)) <= limit.value:
        most = unit_maximum_device(book, compressor, others)
        checks += [compare("unit_device_agrees", device, "<=", most, most.cite, otherwise=ask)]
    return tuple(checks)


def unit_device_fits_ampacity(book: Book, ampacity: Entry, device: Entry) -> Check:
    """Ask where a nameplate's device is more than its minimum ampacity can go with.

    Parameters
    ----------
    ampacity, device : Entry
        Minimum circuit ampacity and maximum overcurrent protection of the nameplate. [A]

    Returns
    -------
    Check
        ``unit_device_agrees``: with nothing but the compressor, the two stand in the
        proportion of their factors, and every other load brings them nearer together.

    Rule
    ----
    compressor_conductor_factor, compressor_device_factor
    """
    k_d, k_c = book.figure("compressor_device_factor"), book.figure("compressor_conductor_factor")
    smallest = book.table("standard_ratings").entry(
        "unit.smallest_device", "rating", next(iter(book.table("standard_ratings").rows()))
    )
    most = computed(
        "unit.device_limit",
        "larger(k_d / k_c * I, I_s)",
        (*k_d.cite, *k_c.cite),
        k_d=k_d,
        k_c=k_c,
        I=ampacity,
        I_s=smallest,
    )
    return compare("unit_device_agrees", device, "<=", most, most.cite, otherwise=Verdict.ASK)


def unit_disconnect(book: Book, *, in_sight: bool | None) -> Check:
    """Judge the disconnect of a heating or cooling unit; ``unit_has_disconnect``.

    Rule
    ----
    unit_disconnect
    """
    verdict = {True: Verdict.MEETS, False: Verdict.FALLS_SHORT, None: Verdict.ASK}[in_sight]
    sight = book.figure("within_sight_distance")
    cite = (book.cite("unit_disconnect"), *sight.cite)
    return Check("unit_has_disconnect", verdict, cite, facts=(sight,))


def unit_disconnect_is_guarded(book: Book) -> Check | None:
    """Say that a unit's disconnect opens with a tool or takes a lock; None where no rule asks.

    Rule
    ----
    unit_enclosure_guarded
    """
    if not book.has("unit_enclosure_guarded"):
        return None
    cite = (book.cite("unit_enclosure_guarded"),)
    return Check("unit_disconnect_is_guarded", Verdict.NOTE, cite)


def service_receptacle(book: Book, distance: Entry | None) -> Check:
    """Judge how far the nearest receptacle is from a unit; ``unit_has_service_receptacle``.

    Rule
    ----
    service_receptacle_distance
    """
    most, name = book.figure("service_receptacle_distance"), "unit_has_service_receptacle"
    if distance is None:
        return Check(name, Verdict.ASK, most.cite, right=most)
    return compare(name, distance, "<=", most, most.cite, remedy=most)
