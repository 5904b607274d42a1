"""Which method the permit rests on, what the service has left, and what would put it right."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from packet.codebook import Book
from packet.ledger import Check, Entry, Kind, Verdict, chosen, compare, computed, total
from packet.quantities import quantity
from packet.rules.load.dwelling import (
    SAFE_SIDES,
    DwellingLoads,
    Management,
    Pool,
    Readings,
    Supply,
    Worksheet,
    area_is_doubtful,
    nameplate_is_usual,
    needed_rating,
)
from packet.rules.load.existing import existing_worksheet
from packet.rules.load.measured import measured_demand_counts, measured_worksheet
from packet.rules.load.optional import optional_worksheet
from packet.rules.load.standard import standard_worksheet


@dataclass(frozen=True)
class LoadCalculation:
    """All methods side by side, the one chosen, and what the service still has room for.

    `worksheets` holds every method that can be worked out, `qualifying` the names of those
    that the code allows here. `headroom` is what the supply has left [A], `room_for_charging`
    what of it a charger may draw beside its continuous share [A];
    `largest_continuous_current` is the same, and nothing where the method counts more than
    that for any charger; `fitting_settings` are the usual settings within it.
    """

    worksheets: tuple[Worksheet, ...]
    qualifying: tuple[str, ...]
    method: Entry
    worksheet: Worksheet
    checks: tuple[Check, ...]
    headroom: Entry | None
    room_for_charging: Entry | None
    largest_continuous_current: Entry | None
    fitting_settings: tuple[Entry, ...]


@dataclass(frozen=True)
class Remedies:
    """What would put a load right that the service does not carry; each may be None.

    Parameters
    ----------
    setting : Entry or None
        The largest usual charging setting that fits [A].
    management_limit : Entry or None
        What an energy management system would hold the charger to [A].
    method : Entry or None
        Another method that is allowed here and carries the load.
    measured_peak : Entry or None
        The measured demand up to which the measured method would carry it [A].
    service : Entry or None
        The smallest standard service that carries it [A].
    """

    setting: Entry | None
    management_limit: Entry | None
    method: Entry | None
    measured_peak: Entry | None
    service: Entry | None


def calculate(
    book: Book,
    loads: DwellingLoads,
    supply: Supply,
    given: Entry | None = None,
    sides: Readings = SAFE_SIDES,
) -> LoadCalculation:
    """Work out every method, choose one, and judge the service by it.

    Parameters
    ----------
    book : Book
    loads : DwellingLoads
    supply : Supply
    given : Entry, optional
        The method that the permit is to rest on; left out, the qualifying method with the
        smallest load is taken.
    sides : Readings
        The sides taken where readers of the code differ.

    Returns
    -------
    LoadCalculation

    Rule
    ----
    load_method_choice
    """
    sheets = tuple(_worksheets(book, loads, supply, sides))
    qualifying = tuple(
        sheet.method for sheet in sheets if _qualifies(book, sheet.method, loads, supply, sides)
    )
    method, sheet, method_checks = _method(book, loads, supply, sides, sheets, qualifying, given)
    checks = (
        *method_checks,
        sheet.check,
        *_continuous_share(book, sheet, supply),
        *_dispute_checks(sheet, supply, sides),
        *_doubtful_area(book, loads, supply, sides, sheet),
        *(_management_checks(book, supply.management) if supply.management else ()),
        *(check for load in loads.loads if (check := nameplate_is_usual(book, load))),
    )
    left = headroom(book, sheet, supply)
    room = left and room_for_charging(book, sheet, supply, left)
    largest = room and largest_continuous_current(book, sheet, supply, room)
    settings = charging_settings(book, largest) if largest else ()
    return LoadCalculation(sheets, qualifying, method, sheet, checks, left, room, largest, settings)


def _worksheets(
    book: Book, loads: DwellingLoads, supply: Supply, sides: Readings, *, doubtful: bool = True
) -> Iterator[Worksheet]:
    yield standard_worksheet(book, loads, supply, sides, doubtful=doubtful)
    if supply.carries_whole_dwelling is False:
        return
    yield optional_worksheet(book, loads, supply, sides, doubtful=doubtful)
    existing = existing_worksheet(book, loads, supply, sides, doubtful=doubtful)
    if existing is not None:
        yield existing
    measured = measured_worksheet(book, loads, supply, sides)
    if measured is not None:
        yield measured


def _qualifies(
    book: Book, method: str, loads: DwellingLoads, supply: Supply, sides: Readings
) -> bool:
    if method == "standard":
        return True
    if not supply.carries_whole_dwelling:
        return False
    if method == "optional":
        return bool(supply.rating.value >= book.figure("optional_least_rating").value)
    if not supply.existing:
        return False
    if method == "existing":
        return True
    return loads.measured is not None and all(
        one.verdict in (Verdict.MEETS, Verdict.NOTE)
        for one in measured_demand_counts(book, loads.measured, sides)
    )


def _method(
    book: Book,
    loads: DwellingLoads,
    supply: Supply,
    sides: Readings,
    sheets: tuple[Worksheet, ...],
    qualifying: tuple[str, ...],
    given: Entry | None,
) -> tuple[Entry, Worksheet, tuple[Check, ...]]:
    """Return the method to rest on, its worksheet, and the checks of its conditions."""
    cite = book.cite("load_method_choice")
    lawful = [sheet for sheet in sheets if sheet.method in qualifying]
    smallest = min(lawful, key=lambda sheet: sheet.deciding.value)
    totals = {sheet.method: sheet.deciding for sheet in lawful}
    if given is None:
        method = chosen("load.method", smallest.method, cite, **totals)
        return method, smallest, _conditions(book, loads, sides, smallest.method)
    wanted = next((sheet for sheet in sheets if sheet.method == given.value), None)
    conditions = _conditions(book, loads, sides, str(given.value))
    verdict = _given_verdict(given, wanted, supply, qualifying, conditions)
    sheet = smallest if wanted is None or verdict is Verdict.FALLS_SHORT else wanted
    method = chosen("load.method", sheet.method, cite, given=given, **totals)
    remedy = chosen("load.method_that_applies", smallest.method, cite, **totals)
    check = Check(
        "load_method_applies",
        verdict,
        (cite, book.cite(f"{given.value}_method")),
        left=given,
        remedy=remedy if verdict is Verdict.FALLS_SHORT else None,
        facts=(method, supply.rating),
    )
    return method, sheet, (check, *(conditions if sheet is wanted else ()))


def _given_verdict(
    given: Entry,
    wanted: Worksheet | None,
    supply: Supply,
    qualifying: tuple[str, ...],
    conditions: tuple[Check, ...],
) -> Verdict:
    if given.value in qualifying:
        return Verdict.MEETS
    if given.value != "optional" and not supply.existing:
        return Verdict.FALLS_SHORT
    if supply.carries_whole_dwelling is None:
        return Verdict.ASK
    if wanted is None:
        shares_unknown = given.value == "existing" and supply.carries_whole_dwelling
        return Verdict.ASK if shares_unknown else Verdict.FALLS_SHORT
    short = any(one.verdict is Verdict.FALLS_SHORT for one in conditions)
    return Verdict.ASK if conditions and not short else Verdict.FALLS_SHORT


def _conditions(
    book: Book, loads: DwellingLoads, sides: Readings, method: str
) -> tuple[Check, ...]:
    if method != "measured" or loads.measured is None:
        return ()
    return measured_demand_counts(book, loads.measured, sides)


def _continuous_share(book: Book, sheet: Worksheet, supply: Supply) -> Iterator[Check]:
    """Judge the supply with the continuous share of vehicle charging, where it is added."""
    if sheet.with_share is None:
        return
    yield compare(
        "service_carries_continuous_share",
        sheet.with_share,
        "<=",
        supply.rating,
        book.cite("continuous_share_of_service"),
        remedy=needed_rating(book, sheet.with_share),
    )


def _dispute_checks(sheet: Worksheet, supply: Supply, sides: Readings) -> Iterator[Check]:
    """Tell where the other reading of the code would turn the verdict.

    Where the supply carries the load by the side taken only, and nobody says that the
    office agrees to that side, it is an open question.
    """
    for point in sheet.disputed:
        same = (point.other_amperes.value <= supply.rating.value) is sheet.carries
        unsettled = sheet.carries and not sides.agreed
        turned = Verdict.ASK if unsettled else Verdict.NOTE
        yield Check(
            f"{point.name}_reading_does_not_decide",
            Verdict.MEETS if same else turned,
            point.other_total.cite,
            left=point.other_amperes,
            right=supply.rating,
            facts=(point.taken, point.other_total),
        )


def _doubtful_area(
    book: Book, loads: DwellingLoads, supply: Supply, sides: Readings, sheet: Worksheet
) -> Iterator[Check]:
    """Ask about a space that nobody has judged adaptable only where it turns the verdict."""
    if not area_is_doubtful(book, loads) or sheet.method == "measured":
        return
    without = next(
        one
        for one in _worksheets(book, loads, supply, sides, doubtful=False)
        if one.method == sheet.method
    )
    turns = without.carries is not sheet.carries
    spaces = tuple(
        space.area
        for space in (loads.garage, loads.unfinished)
        if space is not None and space.adaptable is None
    )
    yield Check(
        "counted_area_is_settled",
        Verdict.ASK if turns else Verdict.NOTE,
        (book.cite("floor_area"),),
        facts=spaces,
    )


def _management_checks(book: Book, management: Management) -> Iterator[Check]:
    """Judge whether the limit counts: three things must be known of the system."""
    answers = (management.listed, management.access_restricted, management.monitors_supply)
    if all(answers):
        verdict = Verdict.MEETS
    else:
        verdict = Verdict.NOTE if any(answer is False for answer in answers) else Verdict.ASK
    yield Check(
        "energy_management_counts",
        verdict,
        (book.cite("energy_management"),),
        left=management.limit,
    )


def headroom(book: Book, sheet: Worksheet, supply: Supply) -> Entry | None:
    """Return the current that the supply has left for the new load; below zero it is overloaded.

    The method is turned round: all other loads stay as they are, and where the new load
    counts at a share, the share is undone.

    Parameters
    ----------
    book : Book
    sheet : Worksheet
    supply : Supply

    Returns
    -------
    Entry or None
        ``load.headroom`` [A]; None where the worksheet has no new load.
    """
    new = sheet.new_load
    if new is None:
        return None
    cite, name = book.cite("supply_carries_load"), "load.headroom"
    inputs = {"R": supply.rating, "V": supply.voltage}
    if sheet.pool is None:
        return computed(name, "(R * V - (W - E)) / V", cite, W=sheet.total, E=new, **inputs)
    pool, room = sheet.pool, _room_for_pool(book, sheet, supply, sheet.pool)
    shared = {"G": room, "P": pool.load, "E": new, "V": supply.voltage}
    if room.value <= pool.first.value:
        return computed(name, "(G - (P - E)) / V", cite, **shared)
    formula = "(t + (G - t) / r - (P - E)) / V"
    return computed(name, formula, cite, t=pool.first, r=pool.rest, **shared)


def room_for_charging(book: Book, sheet: Worksheet, supply: Supply, left: Entry) -> Entry:
    """Return what the new charger may draw, its continuous share beside it.

    The supply of `headroom` is shared between the charging current and the shares of all
    chargers, where the share is added.

    Parameters
    ----------
    book : Book
    sheet : Worksheet
        With a new load.
    supply : Supply
    left : Entry
        From `headroom` [A].

    Returns
    -------
    Entry
        ``load.room_for_charging`` [A].
    """
    name, new = "load.room_for_charging", sheet.new_load
    if new is None:
        raise ValueError("a worksheet without a new load has no room for it")
    if sheet.with_share is None:
        return computed(name, "I", book.cite("supply_carries_load"), I=left)
    cite = book.cite("continuous_share_of_service")
    others = total(
        "load.other_chargers", cite, "E", [one for one in sheet.chargers if one is not new]
    )
    factor = book.figure("continuous_load_factor")
    common = {"k": factor, "C": others, "V": supply.voltage}
    if sheet.pool is None:
        return computed(name, "(I - (k - 1) * C / V) / k", cite, I=left, **common)
    pool, room = sheet.pool, _room_for_pool(book, sheet, supply, sheet.pool)
    common |= {"G": room, "P": pool.load, "E": new}
    first = computed(name, "(G - (P - E) - (k - 1) * C) / (V * k)", cite, **common)
    if pool.load.value - new.value + first.value * supply.voltage.value <= pool.first.value:
        return first
    formula = "(G - t - (P - E - t) * r - (k - 1) * C) / (V * (r + k - 1))"
    return computed(name, formula, cite, t=pool.first, r=pool.rest, **common)


def _room_for_pool(book: Book, sheet: Worksheet, supply: Supply, pool: Pool) -> Entry:
    return computed(
        "load.room_for_pool",
        "R * V - (W - D)",
        book.cite("supply_carries_load"),
        R=supply.rating,
        V=supply.voltage,
        W=sheet.total,
        D=pool.demand,
    )


def largest_continuous_current(book: Book, sheet: Worksheet, supply: Supply, room: Entry) -> Entry:
    """Return the largest charging current that the supply carries under this method [A].

    Nothing fits where the room is less than the least load that the method counts for a charger.

    Parameters
    ----------
    book : Book
    sheet : Worksheet
    supply : Supply
    room : Entry
        From `room_for_charging` [A].

    Returns
    -------
    Entry
        ``load.largest_continuous_current`` [A].
    """
    name, cite = "load.largest_continuous_current", book.cite("supply_carries_load")
    limits = {"room": room}
    least = quantity(0, "VA")
    if sheet.least_new_load is not None:
        limits["least"] = sheet.least_new_load
        least = sheet.least_new_load.value
    if room.value * supply.voltage.value < least:
        return chosen(name, quantity(0, "A"), cite, **limits)
    return computed(name, "I", cite, I=room)


def charging_settings(book: Book, largest: Entry) -> tuple[Entry, ...]:
    """Return the usual charging settings that are not above `largest` [A], smallest first."""
    figure = book.figure("charging_settings")
    return tuple(
        Entry(f"charging_setting.{number}.current", value, Kind.FIGURE, figure.cite)
        for number, value in enumerate(figure.value, 1)
        if value <= largest.value
    )


def remedies(book: Book, calculation: LoadCalculation, supply: Supply) -> Remedies:
    """Return what would put right a load that the supply does not carry.

    Parameters
    ----------
    book : Book
    calculation : LoadCalculation
    supply : Supply

    Returns
    -------
    Remedies
    """
    sheet = calculation.worksheet
    setting = None
    if calculation.fitting_settings and calculation.largest_continuous_current:
        setting = chosen(
            "load.setting_that_fits",
            calculation.fitting_settings[-1].value,
            calculation.fitting_settings[-1].cite,
            largest=calculation.largest_continuous_current,
        )
    return Remedies(
        setting,
        _management_limit(book, calculation.room_for_charging),
        _method_that_carries(book, calculation),
        _measured_peak(book, calculation, supply),
        needed_rating(book, sheet.deciding) if not sheet.carries else None,
    )


def _management_limit(book: Book, room: Entry | None) -> Entry | None:
    least = min(book.figure("charging_settings").value)
    if room is None or room.value < least:
        return None
    return computed(
        "load.management_limit", "round_down(I)", book.cite("energy_management"), I=room
    )


def _method_that_carries(book: Book, calculation: LoadCalculation) -> Entry | None:
    fitting = [
        sheet
        for sheet in calculation.worksheets
        if sheet.carries
        and sheet.method in calculation.qualifying
        and sheet.method != calculation.worksheet.method
    ]
    if not fitting:
        return None
    best = min(fitting, key=lambda sheet: sheet.deciding.value)
    return chosen(
        "load.method_that_carries", best.method, book.cite("load_method_choice"), I=best.deciding
    )


def _measured_peak(book: Book, calculation: LoadCalculation, supply: Supply) -> Entry | None:
    """Up to this measured peak the measured method would carry the new load."""
    new = calculation.worksheet.new_load
    measured = any(sheet.method == "measured" for sheet in calculation.worksheets)
    if new is None or measured or not supply.existing or not supply.carries_whole_dwelling:
        return None
    shared = calculation.worksheet.with_share is not None
    share = {"c": book.figure("continuous_load_factor")} if shared else {}
    peak = computed(
        "load.measured_peak_that_carries",
        "(R - c * E / V) / k" if shared else "(R - E / V) / k",
        book.cite("measured_demand_factor"),
        R=supply.rating,
        E=new,
        V=supply.voltage,
        k=book.figure("measured_demand_factor"),
        **share,
    )
    return peak if peak.value > quantity(0, "A") else None
