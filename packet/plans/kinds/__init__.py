"""The kinds of work: each module provides one frozen object, and this is the list of them.

A new kind is its module here with a line in `KINDS`, its section in
``packet/jobfile/schema.yaml`` with the class in ``packet/jobfile/model.py``, its words in
``packet/glossary/equipment.yaml``, the steps and findings that only it needs, and a demo.
"""

from __future__ import annotations

from packet.jobfile.model import Job
from packet.plans.kinds.cooking import COOKING
from packet.plans.kinds.cooling_unit import COOLING_UNIT
from packet.plans.kinds.dryer import DRYER
from packet.plans.kinds.kind import WORDS, Case, Demand, KindOfWork
from packet.plans.kinds.vehicle_charging import VEHICLE_CHARGING
from packet.plans.kinds.water_heater import WATER_HEATER
from packet.plans.kinds.welder import WELDER

KINDS: dict[str, KindOfWork] = {
    kind.serves: kind
    for kind in (VEHICLE_CHARGING, DRYER, WATER_HEATER, WELDER, COOLING_UNIT, COOKING)
}
"""Every kind of work by the word of the job file."""


def kind_of(job: Job) -> KindOfWork:
    """Return the kind of work that a job asks for."""
    return KINDS[job.circuit.serves.value]


def own_facts(case: Case, kind: KindOfWork, demand: Demand) -> dict[str, bool]:
    """Return the facts that single kinds make true, all of them: those of the others are false."""
    facts = dict.fromkeys((name for one in KINDS.values() for name in one.fact_names), False)
    steady = case.ledger.get("continuous_load")
    facts["is_continuous"] = steady is not None and bool(steady.value.magnitude)
    return {**facts, **kind.facts(case, demand)}


__all__ = ["KINDS", "WORDS", "Case", "Demand", "KindOfWork", "kind_of", "own_facts"]
