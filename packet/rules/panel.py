"""The panel that a circuit starts from: its spaces, its ratings, and the room before it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from packet.codebook import Book
from packet.ledger import Check, Entry, Kind, Verdict, chosen, compare, computed, decimal_of
from packet.quantities import quantity
from packet.rules.load import (
    SAFE_SIDES,
    Disputed,
    DwellingLoads,
    Line,
    Readings,
    Supply,
    Worksheet,
    standard_worksheet,
)

BETWEEN_POLES = 2
"""Spaces of one column of a panel are numbered odd or even; neighbours differ by two and
stand on opposite legs."""


@dataclass(frozen=True)
class Spaces:
    """The spaces of a panel, numbered odd down the left column and even down the right.

    Parameters
    ----------
    count : Entry
        How many full spaces there are.
    occupied : frozenset of int
        Numbers of those that hold a breaker.
    """

    count: Entry
    occupied: frozenset[int]

    @property
    def numbers(self) -> range:
        """Every space by its number."""
        return range(1, int(decimal_of(self.count)) + 1)

    @property
    def free(self) -> tuple[int, ...]:
        """The numbers of the spaces without a breaker."""
        return tuple(number for number in self.numbers if number not in self.occupied)

    @property
    def free_pairs(self) -> tuple[tuple[int, int], ...]:
        """Free neighbours of one column, which a two-pole breaker takes."""
        free = set(self.free)
        return tuple((n, n + BETWEEN_POLES) for n in self.free if n + BETWEEN_POLES in free)

    def room_for(self, poles: int) -> tuple[tuple[int, ...], ...]:
        """Return the free spaces that a breaker of one pole or of two may take."""
        return self.free_pairs if poles > 1 else tuple((number,) for number in self.free)


def free_spaces(book: Book, spaces: Spaces) -> Entry:
    """Return how many spaces are free, ``panel.free_spaces``."""
    occupied = Entry(
        "panel.occupied_spaces", quantity(len(spaces.numbers) - len(spaces.free)), Kind.GIVEN
    )
    return computed(
        "panel.free_spaces", "n - m", book.cite("panel_spaces"), n=spaces.count, m=occupied
    )


def selected_spaces(book: Book, spaces: Spaces, poles: int = 2) -> tuple[Entry | None, Check]:
    """Choose the first free space, or the first two that stand one below the other.

    Parameters
    ----------
    book : Book
    spaces : Spaces
    poles : int
        Of the new breaker.

    Returns
    -------
    tuple of Entry or None, and Check
        ``selected_spaces`` as text, and ``panel_has_space``.

    Rule
    ----
    panel_spaces
    """
    free, cite = free_spaces(book, spaces), book.cite("panel_spaces")
    name = "panel_has_space"
    room = spaces.room_for(poles)
    if not room:
        return None, Check(name, Verdict.FALLS_SHORT, (cite,), left=free)
    found = chosen("selected_spaces", _text(room[0]), cite, free=free)
    return found, Check(name, Verdict.MEETS, (cite,), left=free, facts=(found,))


def given_spaces(
    book: Book, spaces: Spaces, given: tuple[int, ...], entry: Entry, poles: int = 2
) -> tuple[Check, ...]:
    """Judge the spaces that the job names for the new breaker.

    Parameters
    ----------
    book : Book
    spaces : Spaces
    given : tuple of int
    entry : Entry
        The same as given text.
    poles : int
        Of the new breaker.

    Returns
    -------
    tuple of Check
        ``spaces_are_a_pair``: two, in the panel, one below the other, so that each pole is on
        its own leg, which is not asked of a single pole; ``spaces_are_free``. The remedy is
        the first room that would do.
    """
    cite = (book.cite("panel_spaces"),)
    remedy = selected_spaces(book, spaces, poles)[0]
    pair = (
        len(given) == BETWEEN_POLES
        and max(given) - min(given) == BETWEEN_POLES
        and all(number in spaces.numbers for number in given)
    )
    free = not spaces.occupied & set(given)
    return tuple(
        Check(
            name,
            Verdict.MEETS if holds else Verdict.FALLS_SHORT,
            cite,
            left=entry,
            remedy=None if holds else remedy,
        )
        for name, holds in (("spaces_are_a_pair", pair), ("spaces_are_free", free))
        if poles > 1 or name == "spaces_are_free"
    )


def _text(spaces: tuple[int, ...]) -> str:
    return ", ".join(str(number) for number in spaces)


def poles_within_label(book: Book, poles: Entry, most: Entry | None) -> Check:
    """Judge the number of poles after the work against the most the label allows.

    Parameters
    ----------
    book : Book
    poles : Entry
        Of all breakers, the new one among them.
    most : Entry or None
        As the label has it; None where nobody has read it.

    Returns
    -------
    Check
        ``poles_within_label``.
    """
    cite = book.cite("panel_spaces")
    if most is None:
        return Check("poles_within_label", Verdict.NOTE, (cite,), left=poles)
    return compare("poles_within_label", poles, "<=", most, cite)


def breaker_is_listed_for_panel(book: Book, *, listed: bool | None) -> Check:
    """Judge whether the panel's label names the new breaker's type; an unread label is asked for.

    Returns
    -------
    Check
        ``breaker_is_listed_for_panel``.
    """
    cite = (book.cite("breaker_listed_for_panel"),)
    return Check("breaker_is_listed_for_panel", _answer(listed), cite)


def panel_carries_device(book: Book, bus: Entry | None, device: Entry) -> Check:
    """Judge the new device against the rating of the panel it sits in.

    Parameters
    ----------
    book : Book
    bus : Entry or None
        Rating of the panel [A]; None where the label has not been read.
    device : Entry
        Rating of the new overcurrent device [A].

    Returns
    -------
    Check
        ``panel_carries_device``.
    """
    cite = book.cite("panel_rating")
    if bus is None:
        return Check("panel_carries_device", Verdict.ASK, (cite,), right=device)
    return compare("panel_carries_device", bus, ">=", device, cite)


def panel_is_protected(book: Book, bus: Entry | None, protection: Entry | None) -> Check:
    """Judge whether main breaker or feeder breaker protects the panel at its rating.

    Parameters
    ----------
    book : Book
    bus : Entry or None
        Rating of the panel [A].
    protection : Entry or None
        Rating of the main, or of the breaker that feeds it [A].

    Returns
    -------
    Check
        ``panel_is_protected``.
    """
    cite = book.cite("panel_rating")
    if bus is None or protection is None:
        return Check("panel_is_protected", Verdict.ASK, (cite,))
    return compare("panel_is_protected", bus, ">=", protection, cite)


def service_is_not_small(book: Book, rating: Entry) -> Check:
    """Note a service below the least rating for a one-family dwelling, ``service_is_not_small``."""
    least = book.figure("least_service_rating")
    return compare("service_is_not_small", rating, ">=", least, least.cite, otherwise=Verdict.NOTE)


@dataclass(frozen=True)
class WorkingSpace:
    """The free space before a panel as measured; None where nobody has measured."""

    width: Entry | None = None
    depth: Entry | None = None
    height: Entry | None = None
    door_opens: Entry | None = None
    clear_of_pipes_and_ducts: bool | None = None


def working_space(
    book: Book, space: WorkingSpace, voltage_to_ground: Entry, service_rating: Entry
) -> Iterator[Check]:
    """Judge the room that a person needs before a live panel.

    The height over an existing dwelling panel of a small service may be less, so a lower
    one there is noted only. What has not been measured is asked for.

    Parameters
    ----------
    book : Book
    space : WorkingSpace
    voltage_to_ground : Entry
        [V].
    service_rating : Entry
        [A].

    Yields
    ------
    Check
        ``panel_depth_is_clear``, ``panel_width_is_clear``, ``panel_height_is_clear``,
        ``panel_door_opens``, ``panel_space_is_free_of_pipes``.

    Rule
    ----
    working_space, working_space_width, working_space_height, panel_door_opening, dedicated_space
    """
    table = book.table("working_space")
    row = next(row for row in table.rows() if voltage_to_ground.value <= row["volts"])
    depth = table.entry("working_space_depth", "depth", row)
    relief = book.figure("low_headroom_service")
    existing_small = service_rating.value <= relief.value
    yield _measured("panel_depth_is_clear", space.depth, depth)
    yield _measured("panel_width_is_clear", space.width, book.figure("working_space_width"))
    yield _measured(
        "panel_height_is_clear",
        space.height,
        book.figure("working_space_height"),
        Verdict.NOTE if existing_small else Verdict.FALLS_SHORT,
    )
    yield _measured("panel_door_opens", space.door_opens, book.figure("panel_door_opening"))
    above = book.figure("dedicated_space_height")
    verdict = _answer(space.clear_of_pipes_and_ducts)
    yield Check("panel_space_is_free_of_pipes", verdict, above.cite, facts=(above,))


def _measured(
    name: str,
    measured: Entry | None,
    least: Entry,
    otherwise: Verdict = Verdict.FALLS_SHORT,
) -> Check:
    if measured is None:
        return Check(name, Verdict.ASK, least.cite, right=least)
    return compare(name, measured, ">=", least, least.cite, otherwise=otherwise, remedy=least)


def highest_handle(book: Book, height: Entry | None) -> Check:
    """Judge the highest breaker handle, its grip's centre, above the floor.

    Parameters
    ----------
    book : Book
    height : Entry or None
        [in]; None where nobody has measured.

    Returns
    -------
    Check
        ``highest_handle_is_in_reach``.
    """
    limit, name = book.figure("highest_handle"), "highest_handle_is_in_reach"
    if height is None:
        return Check(name, Verdict.ASK, limit.cite, right=limit)
    return compare(name, height, "<=", limit, limit.cite, remedy=limit)


def panel_place_is_allowed(book: Book, place: Entry | None) -> Check:
    """Judge the kind of room the panel is in.

    Parameters
    ----------
    book : Book
    place : Entry or None
        For example ``garage``; None where nobody says.

    Returns
    -------
    Check
        ``panel_place_is_allowed``.
    """
    barred = book.figure("places_barred_to_panels")
    name = "panel_place_is_allowed"
    if place is None:
        return Check(name, Verdict.ASK, barred.cite, right=barred)
    allowed = place.value not in str(barred.value).split(", ")
    verdict = Verdict.MEETS if allowed else Verdict.FALLS_SHORT
    return Check(name, verdict, barred.cite, left=place, right=barred)


def directory_is_complete(book: Book, *, complete: bool) -> Check:
    """Note a directory that does not tell what each circuit is for; ``directory_is_complete``.

    Rule
    ----
    panel_directory
    """
    verdict = Verdict.MEETS if complete else Verdict.NOTE
    return Check("directory_is_complete", verdict, (book.cite("panel_directory"),))


def feeder_worksheet(
    book: Book, loads: DwellingLoads, feeder: Supply, sides: Readings = SAFE_SIDES
) -> Worksheet:
    """Return the standard calculation of what a subpanel's feeder carries.

    A feeder to a part of the house may use no other method, and its device is rated for the
    continuous share of vehicle charging in any case. The entries are those of the
    service's worksheet under names of their own, so that both stand in one ledger.

    Parameters
    ----------
    book : Book
    loads : DwellingLoads
        Only what is fed through the subpanel, the new load among it.
    feeder : Supply
    sides : Readings
        The sides taken where readers of the code differ.

    Returns
    -------
    Worksheet
        Its check is ``feeder_carries_load``.

    Rule
    ----
    standard_method, continuous_share_of_feeder
    """
    part = replace(feeder, carries_whole_dwelling=False)
    sheet = standard_worksheet(book, loads, part, replace(sides, continuous_share_added=True))
    check = sheet.check
    cite = (*check.cite, book.cite("continuous_share_of_feeder"))
    return Worksheet(
        sheet.method,
        tuple(Line(_of_feeder(line.entry), line.subtotal, line.name) for line in sheet.lines),
        _of_feeder(sheet.total),
        _of_feeder(sheet.amperes),
        _of_feeder(sheet.whole_amperes),
        compare(
            "feeder_carries_load",
            _of_feeder(sheet.deciding),
            "<=",
            feeder.rating,
            cite,
            remedy=_of_feeder(check.remedy) if check.remedy else None,
        ),
        _of_feeder(sheet.with_share) if sheet.with_share else None,
        tuple(_of_feeder(one) for one in sheet.chargers),
        _of_feeder(sheet.new_load) if sheet.new_load else None,
        sheet.least_new_load,
        disputed=tuple(
            Disputed(
                point.name,
                _of_feeder(point.taken),
                _of_feeder(point.other_total),
                _of_feeder(point.other_amperes),
            )
            for point in sheet.disputed
            if point.name != "continuous_share"
        ),
    )


def _of_feeder(entry: Entry) -> Entry:
    """Return the same entry under a feeder's name; what was given keeps its own."""
    inputs = tuple((symbol, _of_feeder(source)) for symbol, source in entry.inputs)
    own = entry.kind is not Kind.GIVEN and entry.name.startswith(("load.", "dwelling."))
    name = f"feeder.{entry.name}" if own else entry.name
    return replace(entry, name=name, inputs=inputs)


def feeder_load_is_known(book: Book, *, known: bool) -> Check:
    """Ask what else the feeder carries, where the job does not say; ``feeder_load_is_known``."""
    verdict = Verdict.MEETS if known else Verdict.ASK
    return Check("feeder_load_is_known", verdict, (book.cite("supply_carries_load"),))


def feeder_carries_charger(book: Book, rating: Entry, current: Entry) -> Check:
    """Judge the least that can be said: the feeder against the new continuous load alone.

    Parameters
    ----------
    book : Book
    rating : Entry
        Of the feeder's overcurrent device [A].
    current : Entry
        ``charging_current`` [A].

    Returns
    -------
    Check
        ``feeder_carries_charger``; the remedy is the largest charging current [A].
    """
    cite = book.cite("supply_carries_load")
    factor = book.figure("continuous_load_factor")
    need = computed("feeder.charger_share", "k * I", cite, k=factor, I=current)
    most = computed("feeder.largest_charging_current", "R / k", cite, R=rating, k=factor)
    return compare("feeder_carries_charger", rating, ">=", need, cite, remedy=most)


def _answer(holds: bool | None) -> Verdict:
    if holds is None:
        return Verdict.ASK
    return Verdict.MEETS if holds else Verdict.FALLS_SHORT
