"""A job as given: frozen, every value with its place in the file, absence kept as None.

The fields are those of ``schema.yaml``, under the same names; the table says what each
means, in which units it may be typed and what may be left out. Nothing here has a default.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any, Generic, Literal, TypeAlias, TypeVar

from packet.problems import Span
from packet.quantities import ConductorSize, TradeSize

T = TypeVar("T")

Quantity: TypeAlias = Any
"""A quantity of the one registry, in the unit that was typed; a count is in ``each``."""


@dataclass(frozen=True)
class Given(Generic[T]):
    """One value that was given.

    Parameters
    ----------
    value : T
    span : Span
        The text of the value in the file, quotation marks included.
    path : str
        Where it stands in the job, lines of lists counted from 1: ``route.2.length``.
    """

    value: T
    span: Span
    path: str

    @property
    def unknown(self) -> Literal[False]:
        """Say that this value is known."""
        return False


@dataclass(frozen=True)
class Unknown:
    """The answer ``unknown``: someone can tell, and the packet asks."""

    span: Span
    path: str

    @property
    def value(self) -> None:
        """There is none."""
        return

    @property
    def unknown(self) -> Literal[True]:
        """Say that this value is not known yet."""
        return True


@dataclass(frozen=True)
class Section:
    """What all parts have: `span` is the key they begin with, `path` where they stand."""

    span: Span
    path: str

    def __bool__(self) -> Literal[True]:
        """Say that a part that stands is there; only None is not."""
        return True


@dataclass(frozen=True)
class Work(Section):
    """What the packet is for, and when."""

    number: Given[str]
    title: Given[str]
    written: Given[date]
    planned_start: Given[date]


@dataclass(frozen=True)
class Person(Section):
    """Someone to call."""

    name: Given[str]
    phone: Given[str] | None


@dataclass(frozen=True)
class Installer(Section):
    """The licensed electrician who answers for the work."""

    name: Given[str]
    company: Given[str] | None
    address: Given[str] | None
    phone: Given[str] | None
    licence: Given[str] | None


@dataclass(frozen=True)
class People(Section):
    """Who owns the house and who does the work."""

    work_by: Given[str]
    owner: Person
    installer: Installer | None
    second_person: Person | None


@dataclass(frozen=True)
class Site(Section):
    """Where the work is."""

    address: Given[str]
    county: Given[str] | None
    parcel: Given[str] | None
    building: Given[str] | None
    owner_lives_here: Given[bool] | Unknown | None


@dataclass(frozen=True)
class Authority(Section):
    """The building office, and what it has adopted."""

    code_edition: Given[str]
    office: Given[str]
    phone: Given[str] | None
    address: Given[str] | None
    permit_number: Given[str] | None
    permit_fee: Given[Quantity] | None
    permit_lead_time: Given[Quantity] | None
    owner_may_do_work: Given[bool] | Unknown | None
    early_gfci_rule_adopted: Given[bool] | Unknown | None
    outdoor_gfci_rule_adopted: Given[bool] | Unknown | None
    inspections: Given[tuple[str, ...]] | None
    inspection_notice: Given[Quantity] | None


@dataclass(frozen=True)
class Utility(Section):
    """The electric utility."""

    name: Given[str]
    phone: Given[str] | None
    locate_phone: Given[str] | None
    available_fault_current: Given[Quantity] | Unknown | None


@dataclass(frozen=True)
class CodeReadings(Section):
    """Sides taken where books and offices read the code differently."""

    agreed_with: Given[str] | None
    vehicle_charger: Given[str] | None
    fastened_charger: Given[str] | None
    existing_heating_and_cooling: Given[str] | None
    continuous_share: Given[str] | None
    solar_and_a_year_of_data: Given[str] | None
    adjustable_charger: Given[str] | None
    enlarged_grounding_conductor: Given[str] | None
    insulation_resistance: Given[str] | None


@dataclass(frozen=True)
class Load(Section):
    """One appliance that is there today, from its nameplate."""

    name: Given[str]
    kind: Given[str]
    rating: Given[Quantity]
    volts: Given[Quantity] | None
    count: Given[Quantity] | None
    fastened: Given[bool] | None
    own_circuit: Given[bool] | None
    on_subpanel: Given[bool] | None


@dataclass(frozen=True)
class MeasuredDemand(Section):
    """The highest demand measured at the service."""

    peak: Given[Quantity]
    record: Given[str]
    days: Given[Quantity]
    interval: Given[Quantity]
    solar_or_peak_shaving: Given[bool] | Unknown | None
    seasonal_load_included: Given[bool] | Unknown | None
    occupied: Given[bool] | Unknown | None


@dataclass(frozen=True)
class Dwelling(Section):
    """The house as the load calculation sees it."""

    floor_area: Given[Quantity]
    garage_area: Given[Quantity] | None
    garage_adaptable: Given[bool] | Unknown | None
    unfinished_area: Given[Quantity] | None
    unfinished_adaptable: Given[bool] | Unknown | None
    small_appliance_circuits: Given[Quantity]
    laundry_circuits: Given[Quantity]
    heating_and_cooling_together: Given[bool] | Unknown | None
    supplemental_heat_with_compressor: Given[bool] | Unknown | None
    loads: tuple[Load, ...]
    measured_demand: MeasuredDemand | None


@dataclass(frozen=True)
class EnergyManagement(Section):
    """A system that holds the current of the service below a limit."""

    limit: Given[Quantity]
    installed: Given[bool] | None
    listed: Given[bool] | Unknown | None
    access_restricted: Given[bool] | Unknown | None
    monitors_service: Given[bool] | Unknown | None


@dataclass(frozen=True)
class Service(Section):
    """What comes into the house."""

    rating: Given[Quantity]
    system: Given[str] | Unknown
    conductor: Given[ConductorSize] | Unknown | None
    material: Given[str] | Unknown | None
    conductor_type: Given[str] | None
    electrode_conductor: Given[ConductorSize] | Unknown | None
    disconnect_location: Given[str] | None
    energy_management: EnergyManagement | None


@dataclass(frozen=True)
class Breaker(Section):
    """One overcurrent device in the panel today."""

    spaces: Given[tuple[int, ...]]
    rating: Given[Quantity]
    serves: Given[str]
    tandem: Given[str] | None


@dataclass(frozen=True)
class WorkingSpace(Section):
    """The free space in front of the panel."""

    width: Given[Quantity] | None
    depth: Given[Quantity] | None
    height: Given[Quantity] | None
    door_opens: Given[Quantity] | None
    clear_of_pipes_and_ducts: Given[bool] | Unknown | None


@dataclass(frozen=True)
class FeederLoads(Section):
    """The part of the house behind the subpanel."""

    floor_area: Given[Quantity]
    small_appliance_circuits: Given[Quantity]
    laundry_circuits: Given[Quantity]


@dataclass(frozen=True)
class Feeder(Section):
    """What feeds the subpanel."""

    rating: Given[Quantity]
    source_panel: Given[str]
    source_location: Given[str] | None
    size: Given[ConductorSize] | Unknown
    conductors_in_parallel: Given[Quantity] | None
    neutral: Given[ConductorSize] | Unknown | None
    equipment_grounding: Given[ConductorSize] | Unknown | None
    material: Given[str] | Unknown
    method: Given[str] | Unknown
    insulation: Given[str] | Unknown | None
    length: Given[Quantity]
    place: Given[str] | None
    ambient: Given[Quantity] | None
    carries_whole_dwelling: Given[bool] | Unknown | None
    serves: FeederLoads | None


@dataclass(frozen=True)
class Panel(Section):
    """The panel that the new circuit starts from."""

    name: Given[str]
    kind: Given[str]
    main_rating: Given[Quantity] | Unknown | None
    bus_rating: Given[Quantity] | Unknown
    interrupting_rating: Given[Quantity] | Unknown | None
    enclosure: Given[str] | None
    place: Given[str] | None
    location: Given[str] | None
    spaces: Given[Quantity]
    maximum_poles: Given[Quantity] | Unknown | None
    tandem_breakers_marked: Given[bool] | Unknown | None
    new_breaker_listed_for_panel: Given[bool] | Unknown | None
    breakers: tuple[Breaker, ...]
    working_space: WorkingSpace | None
    highest_handle: Given[Quantity] | None
    neutral_apart_from_ground: Given[bool] | Unknown | None
    grounding_bar: Given[bool] | Unknown | None
    directory_complete: Given[bool] | None
    feeder: Feeder | None


@dataclass(frozen=True)
class Setting(Section):
    """A lower current that the equipment is set to."""

    current: Given[Quantity]
    access: Given[str] | Unknown
    on_label: Given[bool] | Unknown | None


@dataclass(frozen=True)
class Equipment(Section):
    """The equipment on the new circuit, from its nameplate and instructions."""

    name: Given[str] | None
    nameplate_current: Given[Quantity]
    setting: Setting | None
    fastened: Given[bool] | None
    listed: Given[bool] | Unknown | None
    indoor_charging_listed: Given[bool] | Unknown | None
    maximum_overcurrent_device: Given[Quantity] | None
    neutral: Given[bool] | Unknown | None


@dataclass(frozen=True)
class Dryer(Section):
    """A clothes dryer, from its nameplate."""

    name: Given[str] | None
    rating: Given[Quantity]
    listed: Given[bool] | Unknown | None
    maximum_overcurrent_device: Given[Quantity] | None


@dataclass(frozen=True)
class WaterHeater(Section):
    """A water heater, from its nameplate."""

    name: Given[str] | None
    kind: Given[str]
    rating: Given[Quantity]
    volume: Given[Quantity] | Unknown | None
    listed: Given[bool] | Unknown | None
    maximum_overcurrent_device: Given[Quantity] | None


@dataclass(frozen=True)
class Welder(Section):
    """An arc welder, from its nameplate, and whether its receptacle serves nothing else."""

    name: Given[str] | None
    kind: Given[str]
    primary_current: Given[Quantity]
    duty_cycle: Given[Quantity]
    effective_current: Given[Quantity] | None
    nothing_else: Given[bool] | Unknown | None
    listed: Given[bool] | Unknown | None
    maximum_overcurrent_device: Given[Quantity] | None


@dataclass(frozen=True)
class CoolingUnit(Section):
    """A heat pump, mini-split or air conditioner, from its nameplate."""

    name: Given[str] | None
    kind: Given[str]
    minimum_ampacity: Given[Quantity]
    maximum_overcurrent_device: Given[Quantity] | Unknown
    compressor_current: Given[Quantity] | None
    other_current: Given[Quantity] | None
    receptacle_distance: Given[Quantity] | Unknown | None
    listed: Given[bool] | Unknown | None


@dataclass(frozen=True)
class CookingUnit(Section):
    """One range, cooktop or wall oven; `tap` is its conductor from the shared circuit."""

    name: Given[str]
    kind: Given[str]
    rating: Given[Quantity]
    tap: Given[ConductorSize] | None


@dataclass(frozen=True)
class Cooking(Section):
    """The cooking units of one circuit, from their nameplates."""

    name: Given[str] | None
    units: tuple[CookingUnit, ...]
    neutral: Given[bool] | Unknown | None
    listed: Given[bool] | Unknown | None
    maximum_overcurrent_device: Given[Quantity] | None


@dataclass(frozen=True)
class Circuit(Section):
    """The new branch circuit; what is left out is chosen later."""

    serves: Given[str]
    connection: Given[str]
    configuration: Given[str] | None
    receptacle_grade: Given[str] | Unknown | None
    place: Given[str]
    weather: Given[str] | None
    sink_distance: Given[Quantity] | Unknown | None
    location: Given[str] | None
    height: Given[Quantity] | None
    detached_building: Given[bool] | None
    building_has_other_supply: Given[bool] | Unknown | None
    equipment: Equipment | None
    dryer: Dryer | None
    water_heater: WaterHeater | None
    welder: Welder | None
    cooling_unit: CoolingUnit | None
    cooking: Cooking | None
    overcurrent_device: Given[Quantity] | None
    device_kind: Given[str] | None
    device_interrupting_rating: Given[Quantity] | Unknown | None
    spaces: Given[tuple[int, ...]] | None
    conductor: Given[ConductorSize] | None
    conductors_in_parallel: Given[Quantity] | None
    equipment_grounding: Given[ConductorSize] | None
    material: Given[str] | None
    power_factor: Given[Quantity] | None
    insulation_test: Given[bool] | None
    load_method: Given[str] | None
    disconnect_in_sight: Given[bool] | Unknown | None


@dataclass(frozen=True)
class RoutePart(Section):
    """One part of the way from the panel to the outlet."""

    name: Given[str]
    method: Given[str]
    length: Given[Quantity]
    place: Given[str]
    ambient: Given[Quantity] | None
    insulation: Given[str] | None
    trade_size: Given[TradeSize] | None
    bends: Given[Quantity] | None
    pull_points: Given[Quantity] | None
    wet: Given[bool] | None
    buried: Given[bool] | None
    cover: Given[Quantity] | None
    above: Given[str] | None
    current_carrying_extra: Given[Quantity] | None
    cables_together: Given[Quantity] | None
    bundled_length: Given[Quantity] | None
    hole_sealed: Given[bool] | Unknown | None
    insulation_contact: Given[bool] | Unknown | None
    edge_distance: Given[Quantity] | None
    above_roof: Given[Quantity] | None
    subject_to_damage: Given[bool] | Unknown | None
    through_rated_wall: Given[bool] | Unknown | None
    support_spacing: Given[Quantity] | None
    bend_radius: Given[Quantity] | None
    cable_diameter: Given[Quantity] | None
    fastened_to: Given[str] | None


@dataclass(frozen=True)
class Box(Section):
    """One box on the way or at its end."""

    name: Given[str]
    role: Given[str]
    after: Given[str] | None
    material: Given[str]
    volume: Given[Quantity] | Unknown | None
    ring_volume: Given[Quantity] | Unknown | None
    internal_clamps: Given[bool] | Unknown | None
    gangs: Given[Quantity] | None
    opening: Given[Quantity] | None
    width: Given[Quantity] | None
    height: Given[Quantity] | None
    depth: Given[Quantity] | None
    pull: Given[str] | None
    entry_spacing: Given[Quantity] | None
    listed_for_wet: Given[bool] | Unknown | None


@dataclass(frozen=True)
class WireRange(Section):
    """Sizes that a terminal takes."""

    smallest: Given[ConductorSize]
    largest: Given[ConductorSize]


@dataclass(frozen=True)
class Terminal(Section):
    """One terminal as its label or instructions state it."""

    at: Given[str]
    torque: Given[Quantity] | Unknown | None
    temperature: Given[Quantity] | Unknown | None
    wire_range: WireRange | None
    marked_for: Given[str] | Unknown | None
    conductors_allowed: Given[Quantity] | Unknown | None
    drive: Given[str] | None
    recess_width: Given[TradeSize] | None
    slot_length: Given[str] | None
    slot_width: Given[str] | None
    source: Given[str] | None


@dataclass(frozen=True)
class PriceLine(Section):
    """The price of one material."""

    item: Given[str]
    price: Given[Quantity]
    per: Given[str]
    pack: Given[Quantity] | None
    stock: Given[tuple[Quantity, ...]] | None
    lead_time: Given[Quantity] | None
    shop: Given[str] | None


@dataclass(frozen=True)
class Prices(Section):
    """What things cost, and since when."""

    dated: Given[date]
    sales_tax: Given[Quantity] | None
    waste: Given[Quantity] | None
    first_order_day: Given[date] | None
    items: tuple[PriceLine, ...]


@dataclass(frozen=True)
class Labour(Section):
    """Hours and their price."""

    hourly_rate: Given[Quantity] | None
    hours_factor: Given[Quantity] | None
    hours: Given[Quantity] | None


@dataclass(frozen=True)
class OfferItem(Section):
    """Something sold beside the planned materials and the hours."""

    what: Given[str]
    kind: Given[str]
    price: Given[Quantity]


@dataclass(frozen=True)
class OfferPayment(Section):
    """A share of the price and when it falls due."""

    when: Given[str]
    share: Given[Quantity]


@dataclass(frozen=True)
class OfferExclusion(Section):
    """Something that the price does not cover."""

    what: Given[str]


@dataclass(frozen=True)
class Offer(Section):
    """The terms of the electrician's offer."""

    valid_for: Given[Quantity] | None
    permit_by: Given[str] | None
    tax_on: Given[str] | None
    markup: Given[Quantity] | None
    warranty: Given[str] | None
    items: tuple[OfferItem, ...] | None
    payments: tuple[OfferPayment, ...] | None
    exclusions: tuple[OfferExclusion, ...] | None


@dataclass(frozen=True)
class Vehicle(Section):
    """The vehicle, how far it is driven, and what energy that takes."""

    distance: Given[Quantity]
    consumption: Given[Quantity]
    consumption_at: Given[str]
    charging_efficiency: Given[Quantity] | None
    largest_current: Given[Quantity] | None


@dataclass(frozen=True)
class OutletPlaces(Section):
    """Where along a wall the outlet may stand, and where the parked vehicle's inlet is."""

    first: Given[Quantity]
    last: Given[Quantity]
    step: Given[Quantity]
    now: Given[Quantity]
    wire_comes_at: Given[Quantity]
    part: Given[str]
    inlet_along: Given[Quantity]
    inlet_out: Given[Quantity]
    inlet_height: Given[Quantity]
    cords: Given[tuple[Quantity, ...]]


@dataclass(frozen=True)
class ChargerChoice(Section):
    """A charger that could be bought, and how it could be set."""

    nameplate_current: Given[Quantity]
    setting: Given[Quantity] | None
    connection: Given[str] | None
    configuration: Given[str] | None


@dataclass(frozen=True)
class MethodChoice(Section):
    """A cable or raceway that could be used above ground."""

    method: Given[str]
    insulation: Given[str] | None
    bends: Given[Quantity] | None


@dataclass(frozen=True)
class ManagementChoice(Section):
    """An energy management system that could be put in."""

    price: Given[Quantity] | None


@dataclass(frozen=True)
class ByOwner(Section):
    """The owner does the work."""

    hours_factor: Given[Quantity] | None


@dataclass(frozen=True)
class ByElectrician(Section):
    """A licensed electrician does the work."""

    name: Given[str]
    hourly_rate: Given[Quantity] | None
    hours_factor: Given[Quantity] | None


@dataclass(frozen=True)
class Options(Section):
    """What could be built instead."""

    vehicle: Vehicle
    outlet: OutletPlaces | None
    chargers: tuple[ChargerChoice, ...] | None
    methods: tuple[MethodChoice, ...] | None
    materials: Given[tuple[str, ...]] | None
    load_methods: Given[tuple[str, ...]] | None
    management: ManagementChoice | None
    owner: ByOwner | None
    electrician: ByElectrician | None


@dataclass(frozen=True)
class Job(Section):
    """The whole job file; `lines` is its text, for messages about values found wanting."""

    lines: tuple[str, ...]
    work: Work
    people: People
    site: Site
    authority: Authority
    utility: Utility | None
    readings_of_the_code: CodeReadings | None
    dwelling: Dwelling
    service: Service
    panel: Panel
    circuit: Circuit
    route: tuple[RoutePart, ...]
    boxes: tuple[Box, ...] | None
    terminals: tuple[Terminal, ...] | None
    prices: Prices | None
    labour: Labour | None
    offer: Offer | None
    options: Options | None


SECTIONS: dict[str, type[Section]] = {
    "": Job,
    "work": Work,
    "people": People,
    "people.owner": Person,
    "people.installer": Installer,
    "people.second_person": Person,
    "site": Site,
    "authority": Authority,
    "utility": Utility,
    "readings_of_the_code": CodeReadings,
    "dwelling": Dwelling,
    "dwelling.loads.*": Load,
    "dwelling.measured_demand": MeasuredDemand,
    "service": Service,
    "service.energy_management": EnergyManagement,
    "panel": Panel,
    "panel.breakers.*": Breaker,
    "panel.working_space": WorkingSpace,
    "panel.feeder": Feeder,
    "panel.feeder.serves": FeederLoads,
    "circuit": Circuit,
    "circuit.equipment": Equipment,
    "circuit.equipment.setting": Setting,
    "circuit.dryer": Dryer,
    "circuit.water_heater": WaterHeater,
    "circuit.welder": Welder,
    "circuit.cooling_unit": CoolingUnit,
    "circuit.cooking": Cooking,
    "circuit.cooking.units.*": CookingUnit,
    "route.*": RoutePart,
    "boxes.*": Box,
    "terminals.*": Terminal,
    "terminals.*.wire_range": WireRange,
    "prices": Prices,
    "prices.items.*": PriceLine,
    "labour": Labour,
    "offer": Offer,
    "offer.items.*": OfferItem,
    "offer.payments.*": OfferPayment,
    "offer.exclusions.*": OfferExclusion,
    "options": Options,
    "options.vehicle": Vehicle,
    "options.outlet": OutletPlaces,
    "options.chargers.*": ChargerChoice,
    "options.methods.*": MethodChoice,
    "options.management": ManagementChoice,
    "options.owner": ByOwner,
    "options.electrician": ByElectrician,
}
"""The class of each section of the table, by path."""
