"""The standard load calculation of a dwelling, and the load of its neutral."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from packet.codebook import Book
from packet.ledger import Check, Entry, Verdict, chosen, computed, decimal_of, total
from packet.rules.load.cooking import Appliance, cooking_demand
from packet.rules.load.dwelling import (
    CHARGER,
    COMFORT,
    COOKING,
    COOLING,
    DRYER,
    HEATING,
    MOTORS,
    NEVER_ON_NEUTRAL,
    SAFE_SIDES,
    DwellingLoads,
    Line,
    Load,
    Pool,
    Readings,
    Supply,
    Worksheet,
    close,
    disputed,
    finished,
    general_lines,
    managed,
)

METHOD = "standard"
CLASSED = COOKING | COMFORT | {DRYER, CHARGER}
"""Kinds that have a rule of their own; all others are fastened appliances or other loads."""


@dataclass(frozen=True)
class _Parts:
    """The summands of the method; a part that the dwelling does not have is None."""

    general: Entry
    cooking: Entry | None
    dryers: Entry | None
    fastened: Entry | None
    other: Entry | None
    comfort: Entry | None
    motor: Entry | None


def standard_worksheet(
    book: Book,
    loads: DwellingLoads,
    supply: Supply,
    readings: Readings = SAFE_SIDES,
    *,
    doubtful: bool = True,
) -> Worksheet:
    """Return the standard calculation: each class of load at its own demand.

    Parameters
    ----------
    book : Book
    loads : DwellingLoads
    supply : Supply
    readings : Readings
        Whether a fastened charger is one of the fastened appliances, where the edition
        leaves that open.
    doubtful : bool
        Whether a space that nobody has judged adaptable is counted.

    Returns
    -------
    Worksheet
        In VA and A.

    Rule
    ----
    standard_method
    """
    head = general_lines(
        book, loads, doubtful=doubtful, whole=supply.carries_whole_dwelling is not False
    )
    parts = _parts(book, loads, [line.entry for line in head])
    chargers = [(load, _charger(book, load, supply)) for load in loads.of(CHARGER)]
    open_point = _open_point(book, loads, chargers)
    among = open_point if readings.fastened_charger == "pool" else None
    apart = [(load, entry) for load, entry in chargers if not (among and load.fastened)]
    if among:
        parts = replace(parts, fastened=among.demand)
    summands = [entry for entry in vars(parts).values() if entry is not None]
    summands += [entry for _, entry in apart]
    charging = [entry for _, entry in chargers]
    foot = close(book, METHOD, supply, summands, book.cite("standard_method"), charging, readings)
    lines = (
        *head,
        *(Line(entry, name=load.name) for load, entry in chargers if (load, entry) not in apart),
        *(Line(entry, subtotal=True) for entry in vars(parts).values() if entry is not None),
        *(Line(entry, name=load.name) for load, entry in apart),
        Line(foot.total, subtotal=True),
    )
    points = []
    if open_point:
        other = _other_total(book, open_point, foot.total, taken=among is not None)
        side = "among" if among else "apart"
        points.append(
            disputed(book, METHOD, "fastened_charger", side, supply, other, charging, readings)
        )
    return finished(
        book,
        METHOD,
        supply,
        lines,
        foot,
        chargers,
        points,
        least_new_load=book.figure("vehicle_charger_minimum_load")
        if book.has("vehicle_charger_minimum_load")
        else None,
        pool=among.pool
        if among and any(load.new and load.fastened for load, _ in chargers)
        else None,
    )


@dataclass(frozen=True)
class _Among:
    """Fastened chargers as further fastened appliances; `pool` where they count at a share."""

    chargers: tuple[Entry, ...]
    without: Entry | None
    demand: Entry
    pool: Pool | None


def _open_point(
    book: Book, loads: DwellingLoads, chargers: list[tuple[Load, Entry]]
) -> _Among | None:
    """Return the fastened appliances with the fastened chargers, None where that is settled."""
    fast = [(load, entry) for load, entry in chargers if load.fastened]
    if not fast or book.has("charger_is_no_fastened_appliance"):
        return None
    appliances = [one for one in loads.loads if one.is_fastened]
    many = _large_ones(book, appliances)
    with_them = many + sum(int(decimal_of(load.count)) for load, _ in fast)
    entries = [entry for _, entry in fast]
    name = "load.standard.fastened_demand"
    demand = _fastened(book, f"{name}_with_charger", appliances, with_them, entries)
    if demand is None:  # pragma: no cover - there is a charger
        raise AssertionError
    cite, pool = book.cite("fastened_appliance_demand"), None
    if with_them >= decimal_of(book.figure("fastened_appliance_count")):
        together = [*(one.connected(book) for one in appliances), *entries]
        pool = Pool(
            total("load.standard.fastened_with_charger", cite, "S", together),
            demand,
            total("load.standard.fastened_in_full", cite, "S", []),
            book.figure("fastened_appliance_demand"),
        )
    return _Among(tuple(entries), _fastened(book, name, appliances, many), demand, pool)


def _other_total(book: Book, point: _Among, whole: Entry, *, taken: bool) -> Entry:
    """Return the total with the fastened chargers on the other side [VA]."""
    symbols = {f"E{number}": entry for number, entry in enumerate(point.chargers, 1)}
    chargers = " + ".join(symbols)
    symbols |= {"W": whole, "G": point.demand}
    formula = f"W - G + {chargers}" if taken else f"W - ({chargers}) + G"
    if point.without is not None:
        symbols["F"] = point.without
        formula += " + F" if taken else " - F"
    cite = book.cite("fastened_appliance_demand")
    return computed("load.standard.fastened_charger_other_total", formula, cite, **symbols)


def _parts(book: Book, loads: DwellingLoads, head: list[Entry]) -> _Parts:
    comfort, counted = _comfort(book, loads)
    fastened = [one for one in loads.loads if one.is_fastened]
    return _Parts(
        general=_general(book, head),
        cooking=_cooking(book, loads),
        dryers=_dryers(book, loads),
        fastened=_fastened(
            book, "load.standard.fastened_demand", fastened, _large_ones(book, fastened)
        ),
        other=_full(book, "load.standard.other", [one for one in loads.loads if _is_other(one)]),
        comfort=comfort,
        motor=_motor(book, counted),
    )


def _general(book: Book, head: list[Entry]) -> Entry:
    """Lighting, small-appliance and laundry loads after the demand table, step by step."""
    table = book.table("lighting_demand")
    group = total("load.standard.general", table.cite, "S", head)
    steps: list[Entry] = []
    for number, row in enumerate(table.rows(), 1):
        if group.value <= row["over"]:
            break
        steps.append(_step(book, number, row, group))
    return total("load.standard.general_demand", table.cite, "D", steps)


def _step(book: Book, number: int, row: dict[str, Any], group: Entry) -> Entry:
    table, stem = book.table("lighting_demand"), f"load.standard.step.{number}"
    inputs = {
        "S": group,
        "o": table.entry(f"{stem}.over", "over", row),
        "f": table.entry(f"{stem}.factor", "factor", row),
    }
    if row["up_to"] is None or group.value <= row["up_to"]:
        return computed(f"{stem}.demand", "f * (S - o)", table.cite, **inputs)
    inputs["u"] = table.entry(f"{stem}.up_to", "up_to", row)
    return computed(f"{stem}.demand", "f * (u - o)", table.cite, **{k: inputs[k] for k in "fou"})


def _cooking(book: Book, loads: DwellingLoads) -> Entry | None:
    cooking = loads.of(*COOKING)
    if not cooking:
        return None
    return cooking_demand(book, tuple(Appliance(one.each(book), one.count) for one in cooking))


def _dryers(book: Book, loads: DwellingLoads) -> Entry | None:
    dryers = loads.of(DRYER)
    if not dryers:
        return None
    table, stem = book.table("dryer_demand"), "load.standard.dryer"
    number = total(f"{stem}.count", table.cite, "n", [one.count for one in dryers])
    row = next(row for row in table.rows() if row["to"] is None or number.value <= row["to"])
    inputs = {"f": table.entry(f"{stem}.factor", "factor", row)}
    factor = "f"
    if row["less_each"] is not None:
        factor = "(f - g * (n - b))"
        inputs["n"] = number
        inputs["g"] = table.entry(f"{stem}.less_each", "less_each", row)
        inputs["b"] = table.entry(f"{stem}.beyond", "beyond", row)
    sum_of_dryers = total(
        f"{stem}.sum", table.cite, "S", [_raised_dryer(book, one) for one in dryers]
    )
    return computed(f"{stem}_demand", f"{factor} * S", table.cite, S=sum_of_dryers, **inputs)


def _raised_dryer(book: Book, load: Load) -> Entry:
    return computed(
        f"dwelling.load.{load.number}.dryer",
        "n * larger(S, d)",
        book.cite("dryer_minimum_load"),
        n=load.count,
        S=load.each(book),
        d=book.figure("dryer_minimum_load"),
    )


def _fastened(
    book: Book, name: str, appliances: list[Load], many: int, chargers: Sequence[Entry] = ()
) -> Entry | None:
    """Appliances fastened in place: where `many` large ones are enough, those count at a share."""
    if not appliances and not chargers:
        return None
    cite, least = book.cite("fastened_appliance_demand"), book.figure("fastened_appliance_count")
    large = [one.connected(book) for one in appliances if _is_large(book, one)] + [*chargers]
    small = [one.connected(book) for one in appliances if not _is_large(book, one)]
    if not large or many < decimal_of(least):
        every = [*(one.connected(book) for one in appliances), *chargers]
        return total(name, cite, "S", every)
    reduced = {f"S{i}": one for i, one in enumerate(large, 1)}
    full = {f"T{i}": one for i, one in enumerate(small, 1)}
    formula = " + ".join([f"f * ({' + '.join(reduced)})", *full])
    share = book.figure("fastened_appliance_demand")
    return computed(name, formula, cite, f=share, **reduced, **full)


def _large_ones(book: Book, appliances: list[Load]) -> int:
    return sum(int(decimal_of(one.count)) for one in appliances if _is_large(book, one))


def _is_large(book: Book, load: Load) -> bool:
    if not book.has("fastened_appliance_least_rating"):
        return True
    least = book.figure("fastened_appliance_least_rating")
    return bool(load.each(book).value >= least.value)


def _is_other(load: Load) -> bool:
    return load.kind not in CLASSED and not load.is_fastened


def _full(book: Book, name: str, loads: list[Load]) -> Entry | None:
    if not loads:
        return None
    return total(name, book.cite("nameplate_load"), "S", [one.connected(book) for one in loads])


def _comfort(book: Book, loads: DwellingLoads) -> tuple[Entry | None, tuple[Load, ...]]:
    """Heating or cooling, whichever is larger; and the loads whose motors may be the largest."""
    cite = book.cite("noncoincident_loads")
    cooling = [one.connected(book) for one in loads.of(*COOLING)]
    heating = _heating(book, loads)
    motors = tuple(one for one in loads.loads if one.kind in MOTORS)
    name = "load.standard.comfort"
    if not cooling and heating is None:
        return None, motors
    if heating is None:
        return total(name, cite, "S", cooling), motors
    if loads.heating_and_cooling_together:
        air = [one.connected(book) for one in loads.of("air conditioning")]
        return total(name, cite, "S", [heating, *air]), motors
    if not cooling:
        return computed(name, "H", cite, H=heating), motors
    cold = total("load.standard.cooling", book.cite("nameplate_load"), "S", cooling)
    larger = computed(name, "larger(H, K)", cite, H=heating, K=cold)
    if cold.value < heating.value and not book.has("noncoincident_motor_addition"):
        motors = tuple(one for one in motors if one.kind != "air conditioning")
    return larger, motors


def _heating(book: Book, loads: DwellingLoads) -> Entry | None:
    name, cite = "load.standard.heating", book.cite("space_heating_load")
    pump = [one.connected(book) for one in loads.of("heat pump")]
    strips = [one.connected(book) for one in loads.of("supplemental heat")]
    other = [one.connected(book) for one in loads.of("central heat", "room heater")]
    if not strips and not other:
        return None if not pump else total(name, cite, "S", pump)
    if pump and strips and loads.supplemental_heat_with_compressor is False:
        pumps = total("load.standard.compressors", cite, "S", pump)
        strip = total("load.standard.strips", cite, "S", strips)
        one = computed("load.standard.pump_or_strips", "larger(P, S)", cite, P=pumps, S=strip)
        return total(name, cite, "S", [one, *other])
    return total(name, cite, "S", [*pump, *strips, *other])


def _motor(book: Book, candidates: tuple[Load, ...], stem: str = "load.standard") -> Entry | None:
    if not candidates:
        return None
    cite = book.cite("largest_motor_addition")
    largest = max((one.each(book) for one in candidates), key=lambda one: one.value)
    motor = chosen(f"{stem}.largest_motor", largest.value, cite, load=largest)
    share = book.figure("largest_motor_addition")
    return computed(f"{stem}.motor_addition", "f * M", cite, f=share, M=motor)


def _charger(book: Book, load: Load, supply: Supply) -> Entry:
    """One vehicle charger: its nameplate, not less than the edition's least load."""
    name, cite = f"dwelling.load.{load.number}.charger", book.cite("vehicle_charger_load")
    inputs = {"n": load.count, "S": load.each(book)}
    formula = "n * S"
    if book.has("vehicle_charger_minimum_load"):
        inputs["m"] = book.figure("vehicle_charger_minimum_load")
        formula = "n * larger(S, m)"
    return managed(book, load, supply, computed(name, formula, cite, **inputs))


def heating_and_cooling_settled(book: Book, loads: DwellingLoads) -> Check | None:
    """Ask whether heating and cooling run together, where the smaller is left out unasked.

    Returns
    -------
    Check or None
        ``heating_and_cooling_settled``; None where the dwelling has only one of them, or
        the answer is given.

    Rule
    ----
    noncoincident_loads
    """
    cooling, heating = loads.of("air conditioning"), loads.of(*sorted(HEATING))
    if loads.heating_and_cooling_together is not None or not (cooling and heating):
        return None
    cite = (book.cite("noncoincident_loads"),)
    return Check("heating_and_cooling_settled", Verdict.ASK, cite)


def neutral_load(book: Book, loads: DwellingLoads, supply: Supply) -> tuple[Line, ...]:
    """Return the load of the service neutral: what is connected from a hot wire to it.

    Cooking appliances and dryers count at a share, and so does what lies above a limit.
    Loads that nobody says are for two hot wires only are taken to use the neutral.

    Parameters
    ----------
    book : Book
    loads : DwellingLoads
    supply : Supply

    Returns
    -------
    tuple of Line
        The parts, then the neutral's load [VA], then its current [A].

    Rule
    ----
    neutral_load
    """
    cite = book.cite("neutral_load")
    head = general_lines(book, loads, whole=supply.carries_whole_dwelling is not False)
    parts = _parts(book, loads, [line.entry for line in head])
    share = book.figure("neutral_cooking_and_dryer_share")
    entries = [parts.general]
    for name, part in (("cooking", parts.cooking), ("dryers", parts.dryers)):
        if part is not None:
            entries.append(computed(f"load.neutral.{name}", "f * D", cite, f=share, D=part))
    fastened = [one for one in loads.loads if one.is_fastened]
    here = [one for one in loads.loads if _on_neutral(one, supply)]
    entries += [
        entry
        for entry in (
            _fastened(
                book,
                "load.neutral.fastened_demand",
                [one for one in here if one.is_fastened],
                _large_ones(book, fastened),
            ),
            _full(book, "load.neutral.other", [one for one in here if _is_other(one)]),
            _full(book, "load.neutral.comfort", [one for one in here if one.kind in COMFORT]),
            _motor(book, tuple(one for one in here if one.kind in MOTORS), "load.neutral"),
        )
        if entry is not None
    ]
    connected = total("load.neutral.connected", cite, "D", entries)
    current = computed(
        "load.neutral.connected_current", "S / V", cite, S=connected, V=supply.voltage
    )
    return (
        *(Line(entry) for entry in entries),
        Line(connected, subtotal=True),
        Line(_reduced_neutral(book, current), subtotal=True),
    )


def _reduced_neutral(book: Book, current: Entry) -> Entry:
    limit, cite = book.figure("neutral_full_up_to"), book.cite("neutral_share_above")
    if current.value <= limit.value:
        return computed("load.neutral.current", "I", book.cite("neutral_load"), I=current)
    share = book.figure("neutral_share_above")
    return computed("load.neutral.current", "l + f * (I - l)", cite, l=limit, f=share, I=current)


def _on_neutral(load: Load, supply: Supply) -> bool:
    """Say whether a load runs between a hot conductor and the neutral, as far as is known."""
    if load.volts is None:
        return load.kind not in NEVER_ON_NEUTRAL
    own, between_hots = load.volts.value, supply.voltage.value
    return bool(abs(own - between_hots / 2) < abs(own - between_hots))
