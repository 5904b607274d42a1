"""Voltage under load, three-wire legs and fault current against two general libraries.

power-grid-model (LF Energy) solves the power flow of the two-wire run; numpy solves the node
equations of the three-wire run and of the short circuit. Neither knows a figure of ours but the
impedance of the run.
"""

from __future__ import annotations

from decimal import Decimal
from itertools import product
from typing import Any

import numpy as np
import pytest
from power_grid_model import LoadGenType, PowerGridModel, initialize_array

from packet.codebook import Book
from packet.ledger import decimal_of
from packet.rules.fault_current import panel_fault_current
from packet.rules.voltage_drop import (
    Load,
    Loop,
    RunPart,
    constant_impedance_voltage,
    constant_power_voltage,
    loaded_leg_voltage,
    route_loop,
    voltage_drop,
)
from tests.rules.givens import COPPER, METALS, given, size

BOOK = Book("2023")
VOLTS = 240
WITHIN = 1e-4
"""Volts by which two solutions may differ: the iteration of the power flow ends there."""

CASES = [
    # conductor, method, feet, amperes, power factor
    ("6", "NM-B", 40, 40, 1),
    ("6", "NM-B", 250, 40, 1),
    ("10", "NM-B", 150, 24, 1),
    ("6", "PVC-40", 250, 40, 0.85),
    ("8", "EMT", 230, 40, 0.85),
    ("2", "RMC", 300, 60, 0.95),
    ("4", "PVC-80", 120, 48, 0.99),
]


def of_run(conductor: str, method: str, feet: int, amperes: int, factor: float) -> Any:
    part = RunPart("route.1", given("route.1.method", method), given("route.1.length", feet, "ft"))
    loop = route_loop(BOOK, [part], size("conductor_size", conductor), COPPER)
    load = Load(
        given("nominal_voltage", VOLTS, "V"),
        given("voltage_drop_current", amperes, "A"),
        given("circuit.power_factor", Decimal(str(factor)), ""),
    )
    return loop, load


def flow(loop: Loop, amperes: float, factor: float, kind: Any) -> float:
    """Return the volts at the load by power-grid-model, for a load of one kind."""
    node = initialize_array("input", "node", 2)
    node["id"], node["u_rated"] = [1, 2], [VOLTS, VOLTS]
    line = initialize_array("input", "line", 1)
    line["id"], line["from_node"], line["to_node"] = [3], [1], [2]
    line["from_status"], line["to_status"] = [1], [1]
    line["r1"], line["x1"] = (
        [float(decimal_of(loop.resistance))],
        [float(decimal_of(loop.reactance))],
    )
    line["c1"], line["tan1"], line["i_n"] = [0], [0], [1000]
    power = VOLTS * amperes * factor
    load = initialize_array("input", "sym_load", 1)
    load["id"], load["node"], load["status"], load["type"] = [4], [2], [1], [kind]
    load["p_specified"] = [power]
    load["q_specified"] = [power * np.tan(np.arccos(factor))]
    source = initialize_array("input", "source", 1)
    source["id"], source["node"], source["status"] = [5], [1], [1]
    source["u_ref"], source["sk"] = [1.0], [1e20]
    grid = {"node": node, "line": line, "sym_load": load, "source": source}
    model = PowerGridModel(grid, system_frequency=60)
    found = model.calculate_power_flow(error_tolerance=1e-12, max_iterations=100)
    return float(found["node"]["u"][1])


@pytest.mark.parametrize("case", CASES, ids=lambda case: " ".join(str(one) for one in case))
def test_the_voltage_at_the_load_is_that_of_the_power_flow(
    case: tuple[str, str, int, int, float],
) -> None:
    """Constant power, impedance and current: each of our three against the library's."""
    _, _, _, amperes, factor = case
    loop, load = of_run(*case)
    ours = {
        LoadGenType.const_power: constant_power_voltage(BOOK, load, loop),
        LoadGenType.const_impedance: constant_impedance_voltage(BOOK, load, loop),
        LoadGenType.const_current: voltage_drop(BOOK, load, loop).outlet_voltage,
    }
    for kind, entry in ours.items():
        theirs = flow(loop, amperes, factor, kind)
        assert abs(float(decimal_of(entry)) - theirs) < WITHIN, kind


def test_the_comparison_can_fail() -> None:
    """One percent more of the run's resistance is seen."""
    loop, load = of_run(*CASES[1])
    more = given("loop_resistance", decimal_of(loop.resistance) * Decimal("1.01"), "Ω")
    theirs = flow(Loop(more, loop.reactance), 40, 1, LoadGenType.const_current)
    ours = voltage_drop(BOOK, load, loop).outlet_voltage
    assert abs(float(decimal_of(ours)) - theirs) > 100 * WITHIN


def three_wire(
    hot: float, neutral: float, leg_1: float, leg_2: float, both: float
) -> tuple[Any, float, float]:
    """Return node voltages L1, L2, N at the load and the amperes of both hots, by node equations.

    Loads of constant impedance, given in amperes at nominal voltage; ohms one way.
    """
    leg = VOLTS / 2
    y_hot, y_neutral = 1 / hot, 1 / neutral
    y_1, y_2, y_both = leg_1 / leg, leg_2 / leg, both / VOLTS
    matrix = np.array(
        [
            [y_hot + y_1 + y_both, -y_both, -y_1],
            [-y_both, y_hot + y_2 + y_both, -y_2],
            [-y_1, -y_2, y_neutral + y_1 + y_2],
        ]
    )
    nodes = np.linalg.solve(matrix, np.array([leg * y_hot, -leg * y_hot, 0.0]))
    return nodes, (leg - nodes[0]) / hot, (leg + nodes[1]) / hot


@pytest.mark.parametrize("loads", list(product((0, 10, 30), (0, 10, 30), (0, 20, 40)))[1:], ids=str)
def test_the_legs_of_a_three_wire_run_with_unequal_loads(loads: tuple[int, int, int]) -> None:
    """6 AWG copper, 100 ft, 0.491 ohm a thousand feet; the currents are those of the solution."""
    ohms = 0.0491
    nodes, one, two = three_wire(ohms, ohms, *loads)
    for own, other, leg in ((one, two, nodes[0] - nodes[2]), (two, one, nodes[2] - nodes[1])):
        ours = loaded_leg_voltage(
            BOOK,
            given("nominal_voltage_to_ground", VOLTS // 2, "V"),
            given("leg_current", Decimal(str(float(own))), "A"),
            given("other_leg_current", Decimal(str(float(other))), "A"),
            given("leg_resistance", Decimal(str(ohms)), "Ω"),
            given("neutral_resistance", Decimal(str(ohms)), "Ω"),
        )
        assert abs(float(decimal_of(ours)) - float(leg)) < WITHIN


def test_the_unequal_legs_worked_out_elsewhere() -> None:
    """30 A and 10 A on the legs, 20 A across: 116.6587 V, 119.4879 V, 236.1466 V, 0.9431 V.

    A hand solution and another power-flow engine agree on these to 0.0001 V.
    """
    nodes, _, _ = three_wire(0.0491, 0.0491, 30, 10, 20)
    found = (nodes[0] - nodes[2], nodes[2] - nodes[1], nodes[0] - nodes[1], abs(nodes[2]))
    for ours, theirs in zip(found, (116.6587, 119.4879, 236.1466, 0.9431), strict=True):
        assert abs(ours - theirs) < WITHIN


@pytest.mark.parametrize("material", METALS, ids=lambda metal: str(metal.value))
@pytest.mark.parametrize(("available", "feet"), list(product((5000, 10000, 22000), (10, 45, 150))))
def test_no_source_angle_gives_more_fault_current_than_we_say(
    material: Any, available: int, feet: int
) -> None:
    """The source's impedance turned through every angle: the largest current is the one taken."""
    fault = panel_fault_current(
        BOOK,
        given("available_fault_current", available, "A"),
        given("nominal_voltage", VOLTS, "V"),
        RunPart("feeder", given("feeder.method", "SER"), given("feeder.length", feet, "ft")),
        size("feeder.size", "2"),
        material,
    )
    inputs = dict(fault.inputs)
    run = complex(float(decimal_of(inputs["R"])), float(decimal_of(inputs["X"])))
    angles = np.radians(np.arange(0, 90.01, 0.5))
    currents = VOLTS / np.abs(VOLTS / available * np.exp(1j * angles) + run)
    assert float(decimal_of(fault)) == pytest.approx(float(currents.max()), rel=1e-9)
