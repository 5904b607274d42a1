"""The load calculation of a dwelling by every method that applies, against its service."""

from packet.rules.load.dwelling import (
    SAFE_SIDES,
    Disputed,
    DwellingLoads,
    Line,
    Load,
    Management,
    MeasuredDemand,
    Readings,
    Space,
    Supply,
    Worksheet,
)
from packet.rules.load.existing import existing_worksheet
from packet.rules.load.measured import measured_demand_counts, measured_worksheet
from packet.rules.load.optional import optional_worksheet
from packet.rules.load.service import LoadCalculation, Remedies, calculate, remedies
from packet.rules.load.standard import (
    heating_and_cooling_settled,
    neutral_load,
    standard_worksheet,
)

__all__ = [
    "SAFE_SIDES",
    "Disputed",
    "DwellingLoads",
    "Line",
    "Load",
    "LoadCalculation",
    "Management",
    "MeasuredDemand",
    "Readings",
    "Remedies",
    "Space",
    "Supply",
    "Worksheet",
    "calculate",
    "existing_worksheet",
    "heating_and_cooling_settled",
    "measured_demand_counts",
    "measured_worksheet",
    "neutral_load",
    "optional_worksheet",
    "remedies",
    "standard_worksheet",
]
