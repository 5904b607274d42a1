"""The optional load calculation of a whole dwelling."""

from __future__ import annotations

from packet.codebook import Book
from packet.ledger import Citation, Entry, computed, decimal_of, total
from packet.rules.load.dwelling import (
    DwellingLoads,
    Line,
    Pool,
    Readings,
    Supply,
    Worksheet,
    close,
    disputed,
    finished,
    general_lines,
    managed_chargers,
    neither_comfort_nor_charger,
    tiered,
    total_of_other_reading,
)

METHOD = "optional"


def optional_worksheet(
    book: Book,
    loads: DwellingLoads,
    supply: Supply,
    readings: Readings,
    *,
    doubtful: bool = True,
) -> Worksheet:
    """Return the optional calculation: a pool at two steps, and the largest of heating or cooling.

    Parameters
    ----------
    book : Book
    loads : DwellingLoads
    supply : Supply
    readings : Readings
        Whether vehicle chargers stand in the pool, where the edition leaves that open.
    doubtful : bool
        Whether a space that nobody has judged adaptable is counted.

    Returns
    -------
    Worksheet
        In VA and A.

    Rule
    ----
    optional_method
    """
    cite = book.cite("optional_method")
    head = general_lines(book, loads, doubtful=doubtful)
    other_lines = neither_comfort_nor_charger(book, loads)
    chargers = managed_chargers(book, loads, supply)
    settled = book.has("charger_outside_optional_pool")
    pooled = readings.charger == "pool" and not settled
    charger_lines = [Line(entry, name=load.name) for load, entry in chargers]
    in_pool = [*head, *other_lines, *(charger_lines if pooled else ())]
    pool = pool_of(book, METHOD, [line.entry for line in in_pool], cite)
    comfort_lines, comfort = _comfort(book, loads)
    full = [] if pooled else [entry for _, entry in chargers]
    full += [comfort] if comfort else []
    charging = [entry for _, entry in chargers]
    foot = close(book, METHOD, supply, [pool.demand, *full], cite, charging, readings)
    lines = (
        *in_pool,
        Line(pool.load, subtotal=True),
        Line(pool.demand, subtotal=True),
        *comfort_lines,
        *(() if pooled else charger_lines),
        Line(foot.total, subtotal=True),
    )
    points = []
    if chargers and not settled:
        other = total_of_other_reading(
            METHOD, "charger", cite, pool, foot.total, charging, pooled=pooled
        )
        points.append(
            disputed(book, METHOD, "charger", readings.charger, supply, other, charging, readings)
        )
    used = pool if pooled else None
    return finished(book, METHOD, supply, lines, foot, chargers, points, pool=used)


def pool_of(book: Book, method: str, parts: list[Entry], cite: Citation) -> Pool:
    """Return the loads that count in full up to a limit and at a share above it."""
    first, rest = book.figure(f"{method}_first"), book.figure(f"{method}_rest")
    load = total(f"load.{method}.pool", cite, "S", parts)
    return Pool(load, tiered(f"load.{method}.demand", cite, load, first, rest), first, rest)


def _comfort(book: Book, loads: DwellingLoads) -> tuple[list[Line], Entry | None]:
    """Every selection of heating or cooling that the dwelling has, and the largest of them."""
    cite = book.cite("optional_heating_or_cooling")
    selections = [
        entry
        for entry in (
            _sum(book, loads, "load.optional.cooling", "air conditioning"),
            _heat_pump(book, loads),
            _central(book, loads),
            _room_heaters(book, loads),
        )
        if entry is not None
    ]
    if not selections:
        return [], None
    symbols = {f"S{i}": one for i, one in enumerate(selections, 1)}
    formula = f"larger({', '.join(symbols)})" if len(symbols) > 1 else "S1"
    largest = computed("load.optional.comfort", formula, cite, **symbols)
    return [*(Line(one) for one in selections), Line(largest, subtotal=True)], largest


def _sum(book: Book, loads: DwellingLoads, name: str, *kinds: str) -> Entry | None:
    found = [one.connected(book) for one in loads.of(*kinds)]
    return total(name, book.cite("optional_heating_or_cooling"), "S", found) if found else None


def _heat_pump(book: Book, loads: DwellingLoads) -> Entry | None:
    cite = book.cite("optional_heating_or_cooling")
    pump = _sum(book, loads, "load.optional.heat_pump", "heat pump")
    strips = _sum(book, loads, "load.optional.strips", "supplemental heat")
    if strips is None:
        return pump
    share = book.figure("optional_electric_heat_share")
    name = "load.optional.heat_pump_and_strips"
    if pump is None:
        return computed(name, "f * S", cite, f=share, S=strips)
    if loads.supplemental_heat_with_compressor is False:
        return computed(name, "larger(P, f * S)", cite, P=pump, f=share, S=strips)
    return computed(name, "P + f * S", cite, P=pump, f=share, S=strips)


def _central(book: Book, loads: DwellingLoads) -> Entry | None:
    heat = _sum(book, loads, "load.optional.central_heat_connected", "central heat")
    if heat is None:
        return None
    return computed(
        "load.optional.central_heat",
        "f * S",
        book.cite("optional_heating_or_cooling"),
        f=book.figure("optional_electric_heat_share"),
        S=heat,
    )


def _room_heaters(book: Book, loads: DwellingLoads) -> Entry | None:
    heat = _sum(book, loads, "load.optional.room_heaters_connected", "room heater")
    if heat is None:
        return None
    cite = book.cite("optional_heating_or_cooling")
    number = total(
        "load.optional.room_heater_count", cite, "n", [one.count for one in loads.of("room heater")]
    )
    many = decimal_of(number) >= decimal_of(book.figure("optional_many_heaters"))
    share = "optional_many_heaters_share" if many else "optional_electric_heat_share"
    return computed("load.optional.room_heaters", "f * S", cite, f=book.figure(share), S=heat)
