"""Every job gets a whole procedure in a safe order: dead before touch, ground before hots.

The order is that of making work dead (29 CFR 1910.333(b)(2); NFPA 70E 120.5: find all
sources, open, lock and tag, prove dead live-dead-live on all pairs) and common practice
for the rest.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import pairwise, product
from typing import Any

import pytest

from packet.procedure import Block, Gate, Procedure, Reading, Rows

Build = Callable[..., Procedure]

KINDS = ("cable", "receptacle", "service", "buried", "metal", "neutral")
COMBINATIONS = [
    dict(zip(KINDS, truths, strict=True)) for truths in product((False, True), repeat=6)
]
FURTHER = ("breaker_is_gfci", "is_aluminum", "has_splices", "has_insulation_test")
DEAD = [f"dead_{pair}" for pair in ("l1_l2", "l1_n", "l2_n", "l1_g", "l2_g", "n_g")]
IN_THE_PANEL = ("enter_panel", "connect_ground", "connect_hots", "dead_tests", "close_panel")
STANDING = {
    "prove_dead": "unproved_panel",
    "live_tests": "live_outlet",
    "live_to_ground": "open_charger_live",
    "live_to_neutral": "open_charger_live",
    "live_between_lines": "open_charger_live",
    "connect_outlet": "loose_terminal",
    "connect_hots": "loose_terminal",
}
"""Phase -> panel that holds for all of its steps."""


SWITCHING = ("switch_off", "energize")


def job(kind: dict[str, bool], **more: bool) -> dict[str, Any]:
    """Return the facts of one combination."""
    word = "cable" if kind["cable"] else "raceway"
    return {
        "parts": (word, f"buried {word}") if kind["buried"] else (word,),
        "boxes": ((kind["metal"], kind["cable"]),),
        "is_receptacle": kind["receptacle"],
        "source_is_service_panel": kind["service"],
        "has_metal_box": kind["metal"],
        "has_metal_outlet_box": kind["metal"],
        "has_neutral": kind["neutral"],
        "white_wire_is_hot": kind["cable"] and not kind["neutral"],
        "has_loaded_reading": True,
        **more,
    }


def order_faults(procedure: Procedure, kind: dict[str, bool]) -> Iterator[str]:
    """Yield every way in which the order of a procedure is unsafe."""
    items = [item for phase in procedure.phases for item in phase.items]
    names = [item.id if isinstance(item, Gate) else item.step.id for item in items]
    place = {name: number for number, name in enumerate(names)}
    steps = {item.step.id: item for item in items if isinstance(item, Block)}

    def before(first: str, then: str) -> Iterator[str]:
        if first not in place:
            yield f"no {first}"
        elif then not in place:
            yield f"no {then}"
        elif place[first] >= place[then]:
            yield f"{first} is not before {then}"

    def chain(*links: str) -> Iterator[str]:
        for first, then in pairwise(links):
            yield from before(first, then)

    supply, power = ("main", "main_on") if kind["service"] else ("feeder", "feeder_on")
    lugs = "supply_lugs_live" if kind["service"] else "feeder_lugs_live"
    cover = [panel.id for panel in steps["remove_cover"].hazards]
    if lugs not in cover or any(panel.word != "danger" for panel in steps["remove_cover"].hazards):
        yield "the cover comes off without its DANGER"
    for phase in procedure.phases:
        there = {panel.id for panel in phase.standing}
        wanted = {STANDING.get(phase.id, "")}
        if kind["service"]:
            opened = phase.id in IN_THE_PANEL or (phase.id == "test_wires" and not kind["cable"])
            wanted |= {"supply_lugs_live"} if opened else set()
        if missing := wanted - there - {""}:
            yield f"{phase.id} lacks {missing}"
    yield from unguarded_points(procedure)
    yield from chain("permit", "mark_outlet", "rough_signed", "trained_person", f"{supply}_off")
    yield from chain("place_extinguisher", "note_breakers_off", "note_light")
    yield from chain("note_light", "branch_breakers_off", f"{supply}_off", f"lock_{supply}")
    yield from chain(f"lock_{supply}", f"try_{supply}_lock", "hang_tag", "try_power")
    yield from chain("try_power", "end_try", "remove_cover")
    yield from chain("guard_for_tests", "unplug_all", "dead_again_tests", "no_short_l1_l2")
    yield from chain("grounding_path", "dead_again_close", "clear_panel")
    yield from chain("remove_cover", "proof_before", *DEAD, "proof_after", "proved_dead")
    for phase in procedure.phases:
        for item in phase.items:
            if phase.id in IN_THE_PANEL and isinstance(item, Block):
                yield from before("proved_dead", item.step.id)
    for end in ("outlet", "panel"):
        yield from chain(f"ground_{end}", f"torque_ground_{end}", f"line_1_{end}")
        yield from chain(f"line_1_{end}", f"torque_line_1_{end}", f"line_2_{end}")
        yield from chain(f"line_2_{end}", f"torque_line_2_{end}", f"pull_{end}")
        if kind["neutral"]:
            neutral = "neutral_breaker" if f"neutral_{end}" not in place else f"neutral_{end}"
            yield from chain(f"torque_ground_{end}", neutral, f"line_1_{end}")
    yield from chain("breaker_to_off", "mount_breaker", "line_1_panel")
    if "pigtail_panel" in place:
        yield from chain("mount_breaker", "pigtail_panel", "torque_neutral_bar", "line_1_panel")
    for name, block in steps.items():
        if block.step.torque:
            yield from before(name, "torque_done")
        if name.startswith(("apart_", "insulation_", "no_short_", "grounding_path")):
            yield from before(name, "before_power")
    if sum(name.startswith("apart_") for name in names) != (6 if kind["neutral"] else 3):
        yield "not every pair is tested apart"
    yield from chain(
        "pull_panel", "unplug_all", "grounding_path", "clear_panel", "open_slots", "torque_done"
    )
    yield from chain("torque_done", "fit_cover", "cover_screws", "before_power", power)
    yield from chain("before_power", "tag_off", power, "old_circuits_on")
    first_on = "new_breaker_on" if kind["receptacle"] else "on_l1_g"
    yield from chain("old_circuits_on", first_on, "leg_difference", "check_current")
    yield from chain("check_current", "start_load", "loaded_reading", "live_in_band")
    yield from chain("start_load", "full_load", "loaded_reading", "feel_loaded", "off_after_load")
    yield from chain("off_after_load", "live_in_band", "call_final", "cover_final", "final_signed")
    yield from chain("final_signed", "on_last")
    if "loose_terminal" not in {panel.id for panel in steps["start_load"].hazards}:
        yield "the load starts without the panel on loose terminals"
    if kind["receptacle"]:
        yield from chain(first_on, "off_to_plug", "plug_in", "on_plugged", "check_current")
    yield from chain("spread_ends", "bare_ends", "probes_together", "apart_l1_l2")
    yield from chain("live_in_band", "directory_entry", "call_final", "final_signed", "hand_packet")
    if first_on in steps and not steps[first_on].step.cannot_be_undone:
        yield f"{first_on} is not marked as a point of no return"
    yield from unwarned_steps(procedure)
    if kind["buried"]:
        yield from chain("call_locate", "see_marks", "dig_trench.2", "measure_cover.2")
        yield from before(
            "measure_cover.2", "free_length_cable.1" if kind["cable"] else "call_rough"
        )
        yield from chain("measure_cover.2", "rough_signed", "warning_tape.2", "backfill.2")
    if kind["cable"]:
        yield from chain(
            "sheath_into_box.1", "tighten_clamp_box.1" if kind["metal"] else "call_rough"
        )
        yield from chain("clamp_panel", "tape_ends", "cable_into_panel", "tighten_clamp_panel")
        yield from chain("mark_outlet", "look_behind.1", "drill_holes.1", "pull_cable.1")
        yield from chain("pull_cable.1", "cut_cable_box.1", "strip_sheath_box.1", "cut_at_panel")
        yield from chain("cut_at_panel", "bare_panel_end", "spread_panel", "apart_l1_l2")
        yield from chain("apart_l1_l2", "rough_signed", "close_wall", "ground_outlet")
        yield from chain("tape_ends", "untape_ground", "ground_panel")
        yield from chain("sheath_into_box.1", "support_cable_ends.1", "rough_signed")
        yield from chain("off_where_drilling", "tester_near_cut", "open_wall", "drill_holes.1")
        yield from chain("rough_signed", "off_to_close", "close_wall", "on_after_closing")
        yield from chain("final_signed", "off_last_wall", "tester_last_wall", "close_last_wall")
        yield from chain("close_last_wall", "on_last")
        yield from before("ground_outlet", f"{supply}_off")
        if kind["metal"]:
            yield from chain("clamp_box.1", "sheath_into_box.1")
    else:
        yield from chain(
            "proved_dead", "last_length", "locknut_panel", "bushing_panel", "pull_line"
        )
        yield from chain("still_dead", "dead_again_ground", "route_wires")
        yield from chain("end_raceway_at_panel", "rough_signed", "proved_dead")
        yield from chain("pull_line", "pull_wires", "apart_l1_l2", "ground_outlet", "still_dead")
    if kind["metal"]:
        yield from chain("bond_box.1", "rough_signed")
        yield from chain("ground_outlet", "box_bond", "before_power")
        if kind["cable"]:
            yield from chain("bond_box.1", "join_ground_rough", "rough_signed")
        else:
            yield from chain("pull_wires", "join_ground_outlet", "ground_outlet")
    if kind["cable"] and not kind["neutral"]:
        for end in ("outlet", "panel"):
            yield from before(f"mark_white_{end}", f"line_1_{end}")
    entry = "cable_into_panel" if kind["cable"] else "pull_wires"
    yield from chain(entry, "route_wires", "cut_panel", "strip_panel", "ground_panel")
    bond = "look_bond_service" if kind["service"] else "look_bond_subpanel"
    yield from before(bond, "ground_panel")
    if not kind["service"]:
        hazards = {panel.id for panel in steps["ground_panel"].hazards}
        if "neutral_ground_joined" not in hazards:
            yield "a subpanel's ground lands without the panel on neutral and ground"


def unwarned_steps(procedure: Procedure) -> Iterator[str]:
    """Yield steps without the panel or the PPE of what can burn or kill at them."""
    listed = {tool.id: places(procedure, tool.steps) for tool in procedure.protective}
    for phase in procedure.phases:
        blocks = [item for item in phase.items if isinstance(item, Block)]
        opened = False
        for block in blocks:
            step = block.step
            opened = opened or step.id == "remove_cover"
            there = {panel.id for panel in (*block.hazards, *phase.standing)}
            switched = phase.id in SWITCHING and step.verb in ("Turn on", "Turn off")
            if switched and "breaker_arc" not in there:
                yield f"{step.id} has no panel on the arc of a breaker"
            if step.torque and "loose_terminal" not in there:
                yield f"{step.id} has no panel on loose terminals"
            if switched or opened:
                worn = ("rubber_gloves", "face_shield")
                yield from (f"{step.id} lacks {w}" for w in worn if step.number not in listed[w])


def places(procedure: Procedure, steps: str) -> set[str]:
    """Return every step number of a list such as `1.4 to 2.1, 2.6`."""
    order = list(procedure.numbers.values())
    ends = [run.split(" to ") for run in steps.split(", ")]
    return {n for run in ends for n in order[order.index(run[0]) : order.index(run[-1]) + 1]}


def unguarded_points(procedure: Procedure) -> Iterator[str]:
    """Yield points of no return with no hold point and no check right before them."""
    for phase in procedure.phases:
        before: Block | Gate | None = None
        for item in phase.items:
            if isinstance(item, Block) and item.step.cannot_be_undone:
                stops = isinstance(before, Gate) or (before is not None and before.branches)
                filled = item.step.id.startswith("backfill")
                if not (stops or filled):
                    yield f"nothing stops the reader before {item.step.id}"
            before = item


def renamed(procedure: Procedure) -> Procedure:
    """Give the two ways to land the ground one name, so that one rule speaks of both."""

    def name(item: Block | Gate) -> Block | Gate:
        if isinstance(item, Block):
            plain = re.sub(r"^(ground_panel)_(service|subpanel)$", r"\1", item.step.id)
            return replace(item, step=replace(item.step, id=plain))
        return item

    return replace(
        procedure,
        phases=tuple(
            replace(
                phase,
                parts=tuple(
                    replace(part, items=tuple(name(item) for item in part.items))
                    for part in phase.parts
                ),
            )
            for phase in procedure.phases
        ),
    )


@pytest.mark.parametrize("more", [False, True], ids=["least", "most"])
@pytest.mark.parametrize(
    "kind", COMBINATIONS, ids=lambda k: "-".join(n for n in k if k[n]) or "none"
)
def test_every_job_is_done_in_a_safe_order(build: Build, kind: dict[str, bool], more: bool) -> None:
    procedure = build(**job(kind, **dict.fromkeys(FURTHER, more)))
    assert [p.id for p in procedure.phases if sum(isinstance(i, Block) for i in p.items) > 15] == []
    assert list(order_faults(renamed(procedure), kind)) == []
    assert list(reference_faults(procedure)) == []


def reference_faults(procedure: Procedure) -> Iterator[str]:
    """Yield references that lead nowhere, and numbers given twice."""
    steps = set(procedure.numbers.values())
    exits = {exit_.number for exit_ in procedure.exits}
    if len(steps) != len(procedure.numbers):
        yield "a number is given twice"
    if [gate.number for gate in procedure.gates] != [
        str(n) for n in range(1, len(list(procedure.gates)) + 1)
    ]:
        yield "the gates are not counted through"
    numbers = [phase.number for phase in procedure.phases]
    if numbers != [str(n) for n in range(1, len(numbers) + 1)]:
        yield f"phases {numbers}"
    for phase in procedure.phases:
        for place, block in enumerate((i for i in phase.items if isinstance(i, Block)), 1):
            if block.step.number != f"{phase.number}.{place}":
                yield f"{block.step.id} is {block.step.number}"
    for phase in procedure.phases:
        for item in phase.items:
            if isinstance(item, Block) and len(item.hazards) + len(phase.standing) > 2:
                yield f"{item.step.id} has more than two panels"
    for block in procedure.blocks:
        for branch in block.branches:
            known = exits if branch.action.endswith("under rule") else steps
            if branch.target not in known:
                yield f"{block.step.id} sends the reader to {branch.target}"
    for text in texts(procedure):
        for number in re.findall(r"\bstep (\d+\.\d+)", text):
            if number not in steps:
                yield f"`{text}`"
        if re.search(r"\{\{|\}\}|\{%|\bNone\b|\bUndefined\b|\*|  ", text):
            yield f"`{text}`"
    for tool in (*procedure.protective, *procedure.tools):
        if not tool.steps:
            yield f"{tool.id} is used nowhere"


def texts(procedure: Procedure) -> Iterator[str]:
    for phase in procedure.phases:
        yield from (phase.name, phase.place, phase.power, phase.complete, phase.exit_line)
        yield from phase.needs
        yield from (part.heading for part in phase.parts)
        for item in phase.items:
            if isinstance(item, Gate):
                yield from (item.title, *item.go_on, *item.stop_if)
            else:
                step = item.step
                yield from (step.lead, step.verb, step.rest, step.why, step.see, step.expect)
                yield from (well.caption for well in step.wells)
                yield from (f"{b.condition} {b.action} {b.target}" for b in item.branches)
                for panel in item.hazards:
                    yield from (panel.what, panel.harm, panel.avoid)
    for tool in (*procedure.protective, *procedure.tools):
        yield from (tool.name, tool.steps, tool.check)
    for stage in procedure.stages:
        yield from (seen.text for seen in stage.seen)
    yield from (question.text for question in procedure.questions)
    for group in procedure.record:
        for row in group.rows:
            yield from (row.item, row.planned, row.see)


# ----------------------------------------------------------- the checks can fail

FULL = {"cable": True, "receptacle": True, "service": True, "buried": True} | {
    "metal": True,
    "neutral": True,
}


def without(procedure: Procedure, gone: str) -> Procedure:
    """Return the procedure with one step or gate left out."""

    def stays(item: Block | Gate) -> bool:
        return (item.id if isinstance(item, Gate) else item.step.id) != gone

    return replace(
        procedure,
        phases=tuple(
            replace(
                phase,
                parts=tuple(
                    replace(part, items=tuple(filter(stays, part.items))) for part in phase.parts
                ),
            )
            for phase in procedure.phases
        ),
    )


@pytest.mark.parametrize(
    "gone",
    [
        *("permit", "rough_signed", "lock_main", "hang_tag", "proof_before", *DEAD, "proof_after"),
        *("proved_dead", "clamp_box.1", "clamp_panel", "bond_box.1", "ground_panel"),
        *("torque_line_1_panel", "torque_done", "before_power", "live_in_band", "final_signed"),
        *("apart_n_g", "look_bond_service", "directory_entry", "call_locate", "see_marks"),
        *("off_to_close", "off_last_wall", "tester_last_wall", "off_after_load", "off_to_plug"),
        *("bare_ends", "probes_together", "full_load", "cover_final", "open_wall"),
        *("look_behind.1", "untape_ground", "cut_at_panel", "check_current", "outlet_ready"),
        *("try_main_lock", "note_breakers_off", "dead_again_tests", "dead_again_close"),
    ],
)
def test_leaving_one_out_is_caught(build: Build, gone: str) -> None:
    procedure = renamed(build(**job(FULL)))
    assert list(order_faults(procedure, FULL)) == []
    assert list(order_faults(without(procedure, gone), FULL)), gone


def test_swapped_phases_are_caught(build: Build) -> None:
    """Each pair of neighbours stands in its order for a reason, but for parts of the route."""
    procedure = renamed(build(**job(FULL)))
    unseen = []
    for number in range(len(procedure.phases) - 1):
        phases = list(procedure.phases)
        phases[number : number + 2] = reversed(phases[number : number + 2])
        if not list(order_faults(replace(procedure, phases=tuple(phases)), FULL)):
            unseen.append((procedure.phases[number].id, procedure.phases[number + 1].id))
    assert unseen == [("run_route.1", "run_route.2")]


def test_a_cover_without_its_danger_is_caught(build: Build) -> None:
    procedure = renamed(build(**job(FULL)))

    def bare(item: Block | Gate) -> Block | Gate:
        if isinstance(item, Block) and item.step.id == "remove_cover":
            return replace(item, hazards=())
        return item

    phases = tuple(
        replace(
            phase,
            parts=tuple(
                replace(part, items=tuple(bare(item) for item in part.items))
                for part in phase.parts
            ),
        )
        for phase in procedure.phases
    )
    assert "the cover comes off without its DANGER" in list(
        order_faults(replace(procedure, phases=phases), FULL)
    )


def test_a_reference_that_leads_nowhere_is_caught(build: Build) -> None:
    procedure = build(**job(FULL))
    gone = {name: n for name, n in procedure.numbers.items() if name != "proof_before"}
    assert list(reference_faults(replace(procedure, numbers=gone)))


@pytest.mark.parametrize(
    "fact", ["fact.has_neutral", "fact.source_is_service_panel", "fact.route.1.is_buried"]
)
def test_a_missing_fact_is_never_taken_as_false(build: Build, fact: str) -> None:
    with pytest.raises(KeyError, match=re.escape(fact)):
        build(leave_out=fact, **job(FULL))


def test_a_row_that_sheet_e_or_f_does_not_have_is_refused(build: Build) -> None:
    with pytest.raises(KeyError, match="outlet ground"):
        build(rows=Rows({}, AnyReading()), **job(FULL))
    with pytest.raises(KeyError, match="apart-l1-l2"):
        build(rows=Rows({}, {}), **job(FULL))


class AnyReading(dict[str, Reading]):
    def __missing__(self, name: str) -> Reading:
        return Reading("F-1", "0 to 7 V", "V")


# ------------------------------------------------------------------ some exact places


def step_text(procedure: Procedure, name: str) -> str:
    (found,) = (block.step for block in procedure.blocks if block.step.id == name)
    return " ".join(part for part in (found.lead, found.verb, found.rest) if part)


def test_a_subpanel_never_sends_the_ground_to_the_neutral_bar(build: Build) -> None:
    kind = FULL | {"service": False}
    procedure = build(**job(kind))
    assert "never in the neutral bar" in step_text(procedure, "ground_panel_subpanel")
    assert "ground_panel_service" not in procedure.numbers
    assert "lock_feeder" in procedure.numbers
    assert "main_off" not in procedure.numbers


def test_a_gfci_breaker_takes_the_neutral_and_its_white_lead_the_bar(build: Build) -> None:
    procedure = build(**job(FULL, breaker_is_gfci=True))
    assert {"neutral_breaker", "pigtail_panel", "torque_neutral_bar"} <= procedure.numbers.keys()
    assert "neutral_panel" not in procedure.numbers
    two_wire = build(**job(FULL | {"neutral": False}, breaker_is_gfci=True))
    assert {"pigtail_panel", "torque_neutral_bar"} <= two_wire.numbers.keys()
    assert "neutral_breaker" not in two_wire.numbers
    standard = build(**job(FULL | {"neutral": False}))
    assert "torque_neutral_bar" not in standard.numbers


def test_a_trip_at_first_energizing_names_the_right_stop_rule(build: Build) -> None:
    for gfci, rule in ((True, "gfci_trips"), (False, "not_proved_dead")):
        procedure = build(**job(FULL, breaker_is_gfci=gfci))
        numbers = {exit_.id: exit_.number for exit_ in procedure.exits}
        (block,) = (b for b in procedure.blocks if b.step.id == "new_breaker_on")
        assert block.branches[0].target == numbers[rule]


def test_an_owner_stops_at_bare_supply_lugs_and_an_electrician_guards_them(build: Build) -> None:
    owner = build(**job(FULL, owner_does_work=True))
    (block,) = (b for b in owner.blocks if b.step.id.startswith("look_supply_lugs"))
    assert block.branches[0].action.endswith("under rule")
    electrician = build(**job(FULL))
    (block,) = (b for b in electrician.blocks if b.step.id.startswith("look_supply_lugs"))
    assert block.branches[0].target == electrician.numbers["look_inside"]


def test_the_worst_panel_stands_first(build: Build) -> None:
    gravity = ["danger", "warning", "caution", "notice"]
    for kind in (FULL, FULL | {"cable": False, "service": False}):
        for block in build(**job(kind)).blocks:
            words = [gravity.index(panel.word) for panel in block.hazards]
            assert words == sorted(words), block.step.id


def test_all_thirteen_stop_rules_are_there(build: Build) -> None:
    procedure = build(**job(FULL))
    assert [exit_.number for exit_ in procedure.exits] == [str(n) for n in range(1, 14)]
    assert procedure.who_to_call


def test_tools_say_where_they_are_used_in_order_of_first_use(build: Build) -> None:
    procedure = build(**job(FULL))
    order = list(procedure.numbers.values())
    for tools in (procedure.protective, procedure.tools):
        first = [order.index(re.split(r"[ ,]", tool.steps)[0]) for tool in tools]
        assert first == sorted(first)
    (torque,) = (tool for tool in procedure.tools if tool.id == "torque_tool")
    numbers = procedure.numbers
    assert torque.steps.startswith(
        f"{numbers['torque_ground_outlet']}, {numbers['torque_neutral_outlet']}"
    )
    (meter,) = (tool for tool in procedure.tools if tool.id == "meter")
    assert meter.steps.startswith(f"{numbers['proof_before']} to {numbers['proof_after']}")


def test_the_inspection_list_prints_sections_of_the_edition(build: Build) -> None:
    procedure = build(**job(FULL))
    assert [stage.id for stage in procedure.stages] == ["rough", "trench", "final"]
    final = {seen.text: seen for seen in procedure.stages[-1].seen}
    assert final["The panel directory names the new circuit"].section == "408.4(A)"
    for stage in procedure.stages:
        for seen in stage.seen:
            assert bool(seen.section) is not seen.ask_office or seen.section, seen.text
    dry = build(**job(FULL | {"buried": False}))
    assert [stage.id for stage in dry.stages] == ["rough", "final"]


def test_each_step_has_the_rows_of_the_other_sheets(build: Build) -> None:
    procedure = build(**job(FULL))
    torque = [block.step.torque for block in procedure.blocks if block.step.torque]
    assert len(torque) == len(set(torque)) == 8
    (proof,) = (b.step for b in procedure.blocks if b.step.id == "proof_before")
    assert proof.wells[0].caption == proof.reading
    assert proof.wells[0].unit == "V"
