"""The words of the work: steps selected by facts, numbered, and rendered to plain strings.

The library is ``templates/procedure``: one file for each phase, whose ``standing`` panels hold
for all of its steps, ``phases.yaml`` for their order and for what a phase is repeated,
``hazards.yaml``, ``gates.yaml``, ``exits.yaml``; beside it ``tools.yaml``, ``permit.yaml`` and
``as_built.yaml``. Nothing here words anything or decides anything
electrical: a step is in or out by the facts, and every number comes from the ledger or
from the rows of sheets E and F. The shape of the files is described in DEVELOPERS.md and
held by tests/procedure.

Facts
-----
Each fact is a ledger entry whose value is True or False, entered by the plan. All of
these must be there; none has a default. `route` and `box` facts are counted from 1
without a gap; route parts stand in the order from the panel to the outlet, and there is
at least one, while there may be no box at all.

====================================  ====================================================
fact.owner_does_work                  the owner works, not a licensed electrician
fact.source_is_service_panel          main bond is here; False for a subpanel
fact.is_receptacle                    False for equipment that is wired in
fact.has_neutral                      the new circuit has a neutral conductor
fact.uses_cable, fact.uses_raceway    some route part is so
fact.cable_at_panel                   the route part that enters the panel is cable
fact.is_buried, fact.is_inside_wall   some route part is so
fact.has_metal_box                    some box is metal
fact.has_metal_outlet_box             the box at the outlet is metal
fact.has_metal_pull_box               wires pass a metal box in one piece
fact.has_splices                      a box between the ends joins conductors
fact.has_disconnect_box               a disconnect switch stands on the way
fact.is_outdoors                      the outlet is outdoors
fact.is_aluminum, fact.is_stranded    what the circuit conductors are made of
fact.white_wire_is_hot                a cable without neutral uses its white wire as a hot
fact.breaker_is_gfci                  the new breaker has the GFCI
fact.is_charger, .is_dryer, ...       the kind of equipment: one of them
fact.is_continuous                    its load is continuous
fact.setting_is_restricted            the circuit was sized for a locked lower setting
fact.has_insulation_test              the optional insulation test is on sheet F
fact.has_loaded_reading               the readings under load are on sheet F
fact.route.N.is_cable, .is_raceway    one of the two
fact.route.N.is_solvent_joined        PVC
fact.route.N.is_buried                in the ground
fact.route.N.is_inside_wall           concealed in framing: holes are drilled
fact.route.N.is_open_to_nails         not of the methods that need no steel plates
fact.route.N.is_above_reach           needs a ladder
fact.route.N.is_attic                 in an attic (then also above reach)
fact.box.N.is_metal                   a metal box, without the panel and the equipment
fact.box.N.takes_cable                a cable enters it
fact.box.N.takes_raceway              a raceway enters it
====================================  ====================================================
"""

from __future__ import annotations

from packet.codebook import Book
from packet.ledger import Ledger
from packet.procedure.library import library
from packet.procedure.model import (
    Block,
    Branch,
    Exit,
    Gate,
    Panel,
    Phase,
    Procedure,
    Reading,
    Rows,
    Stage,
    Step,
    Tool,
    Well,
)
from packet.procedure.writer import write

__all__ = [
    "Block",
    "Branch",
    "Exit",
    "Gate",
    "Panel",
    "Phase",
    "Procedure",
    "Reading",
    "Rows",
    "Stage",
    "Step",
    "Tool",
    "Well",
    "build_procedure",
]


def build_procedure(ledger: Ledger, rows: Rows, book: Book) -> Procedure:
    """Return the procedure that fits the facts of `ledger`.

    Parameters
    ----------
    ledger : Ledger
        With every fact of the list above, and every value that a selected step prints.
    rows : Rows
    book : Book
        For the sections on the inspection lists.

    Raises
    ------
    KeyError
        When a selected text names a fact, value, row, step, gate, phase, stop rule,
        panel or tool that is not there.
    """
    return write(ledger, rows, book, library())
