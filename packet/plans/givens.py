"""What the job file gives, as ledger entries that remember their line."""

from __future__ import annotations

from typing import Any, TypeVar

from packet.codebook import Book
from packet.jobfile.model import FeederLoads, Given, Job, RoutePart, Terminal, Unknown
from packet.ledger import Entry, Kind, Ledger, computed
from packet.quantities import quantity
from packet.rules.ampacity import ConductorConditions, current_carrying_conductors
from packet.rules.load import (
    DwellingLoads,
    Load,
    Management,
    MeasuredDemand,
    Space,
    Supply,
)

T = TypeVar("T")

Leaf = Given[Any] | Unknown | None


def given(name: str, leaf: Leaf) -> Entry | None:
    """Return a given value as an entry; None where it was left out or is not known."""
    if leaf is None or isinstance(leaf, Unknown):
        return None
    value = leaf.value
    if isinstance(value, tuple):
        value = ", ".join(str(part) for part in value)
    return Entry(name, value, Kind.GIVEN, span=leaf.span)


def must(name: str, leaf: Leaf) -> Entry:
    """Return a value that the reader made sure is given."""
    entry = given(name, leaf)
    if entry is None:
        raise LookupError(f"`{name}` is not given")
    return entry


def enter(ledger: Ledger, name: str, leaf: Leaf) -> None:
    """Enter a given value into the ledger, if it was given."""
    entry = given(name, leaf)
    if entry is not None:
        ledger.add(entry)


def truth(leaf: Given[bool] | Unknown | None) -> bool | None:
    """Return a given truth; None where it was left out or is not known."""
    return leaf.value if isinstance(leaf, Given) else None


def counted(name: str, number: int, like: Entry) -> Entry:
    """Return a count that follows from a given value, citing that value's line."""
    return Entry(name, quantity(number), Kind.GIVEN, span=like.span)


def count(name: str, leaf: Given[Any] | Unknown | None, otherwise: int, like: Entry) -> Entry:
    """Return a given count, or the count that its absence means."""
    return given(name, leaf) or counted(name, otherwise, like)


def dwelling_loads(job: Job, new: tuple[Load, ...]) -> DwellingLoads:
    """Return everything the load calculation asks, the new loads among it."""
    house = job.dwelling
    listed = tuple(_load(number, one) for number, one in enumerate(house.loads, 1))
    measured = house.measured_demand
    return DwellingLoads(
        must("dwelling.floor_area", house.floor_area),
        must("dwelling.small_appliance_circuits", house.small_appliance_circuits),
        must("dwelling.laundry_circuits", house.laundry_circuits),
        (*listed, *new),
        _space("dwelling.garage_area", house.garage_area, house.garage_adaptable),
        _space("dwelling.unfinished_area", house.unfinished_area, house.unfinished_adaptable),
        truth(house.heating_and_cooling_together),
        truth(house.supplemental_heat_with_compressor),
        measured
        and MeasuredDemand(
            must(_by_kind("dwelling.measured_demand.peak", measured.peak, "_power"), measured.peak),
            measured.record.value,  # type: ignore[arg-type]
            must("dwelling.measured_demand.days", measured.days),
            must("dwelling.measured_demand.interval", measured.interval),
            truth(measured.solar_or_peak_shaving),
            truth(measured.seasonal_load_included),
            truth(measured.occupied),
        ),
    )


def feeder_loads(job: Job, part: FeederLoads, new: tuple[Load, ...]) -> DwellingLoads:
    """Return what is fed through the subpanel, the new loads among it.

    A load counts unless the job says that it is fed from elsewhere.
    """
    house = job.dwelling
    behind = tuple(
        _load(number, one)
        for number, one in enumerate(house.loads, 1)
        if truth(one.on_subpanel) is not False
    )
    return DwellingLoads(
        must("feeder.floor_area", part.floor_area),
        must("feeder.small_appliance_circuits", part.small_appliance_circuits),
        must("feeder.laundry_circuits", part.laundry_circuits),
        (*behind, *new),
        heating_and_cooling_together=truth(house.heating_and_cooling_together),
        supplemental_heat_with_compressor=truth(house.supplemental_heat_with_compressor),
    )


def _load(number: int, load: Any) -> Load:
    at = f"dwelling.load.{number}"
    in_amperes = load.rating.value.check("[current]")
    rating = must(f"{at}.current" if in_amperes else f"{at}.rating", load.rating)
    return Load(
        number,
        load.kind.value,
        must(f"{at}.name", load.name),
        rating,
        count(f"{at}.count", load.count, 1, rating),
        given(f"{at}.volts", load.volts),
        truth(load.fastened),
    )


def _by_kind(name: str, leaf: Given[Any], suffix: str) -> str:
    """Return the ledger name for a current, or with `suffix` for a power."""
    return name if leaf.value.check("[current]") else name + suffix


def _space(
    name: str, area: Given[Any] | None, adaptable: Given[bool] | Unknown | None
) -> Space | None:
    entry = given(name, area)
    return Space(entry, truth(adaptable)) if entry else None


def supply(book: Book, job: Job) -> Supply:
    """Return the service that is asked to carry the dwelling's load."""
    managed = job.service.energy_management
    rating = must("service.rating", job.service.rating)
    main = given("panel.main_rating", job.panel.main_rating)
    if job.panel.kind.value == "service" and main is not None and main.value < rating.value:
        cite = book.cite("supply_carries_load")
        rating = computed("service.usable_rating", "smaller(R, M)", cite, R=rating, M=main)
    return Supply(
        rating,
        book.figure("nominal_voltage"),
        management=managed
        and Management(
            must("service.management_limit", managed.limit),
            truth(managed.listed),
            truth(managed.access_restricted),
            truth(managed.monitors_service),
        ),
    )


def conditions(
    book: Book, number: int, part: RoutePart, hots: int, neutrals: int
) -> ConductorConditions | None:
    """Return what one part of the route does to its conductors; None without its temperature."""
    at = f"route.{number}"
    method = must(f"{at}.method", part.method)
    ambient = given(f"{at}.ambient", part.ambient)
    insulation = given(f"{at}.insulation", part.insulation)
    if ambient is None:
        return None
    return ConductorConditions(
        number,
        method,
        ambient,
        current_carrying_conductors(
            book,
            number,
            counted(f"{at}.ungrounded_conductors", hots, method),
            counted(f"{at}.neutrals", neutrals, method),
            _extra(book, at, part, method),
        ),
        insulation,
        given(f"{at}.above_roof", part.above_roof),
        given(f"{at}.bundled_length", part.bundled_length) or _own_length(number, part),
        given(f"{at}.cables_together", part.cables_together),
        given(f"{at}.hole_sealed", part.hole_sealed),
        given(f"{at}.insulation_contact", part.insulation_contact),
    )


def _extra(book: Book, at: str, part: RoutePart, method: Entry) -> Entry:
    """Return the current-carrying conductors of other circuits; neighbors count if uncounted."""
    name = f"{at}.current_carrying_extra"
    together = given(f"{at}.cables_together", part.cables_together)
    if part.current_carrying_extra is not None or together is None:
        return count(name, part.current_carrying_extra, 0, method)
    each = book.figure("conductors_of_a_neighbor")
    return computed(name, "(n - 1) * k", each.cite, n=together, k=each)


def _own_length(number: int, part: RoutePart) -> Entry | None:
    """Conductors of one circuit alone lie together over the whole length of the part."""
    return given(f"route.{number}.bundled_length", part.length)


def terminal_at(job: Job, place: str) -> Terminal | None:
    """Return what was read off the terminal at `place`, if it was read."""
    found = [one for one in job.terminals or () if one.at.value == place]
    return found[0] if found else None
