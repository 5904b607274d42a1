"""The text files of the procedure as they stand, with their keys checked."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from packet import language, resources

_STEP_KEYS = frozenset(
    {"id", "when", "hazards", "do", "why", "expect", "see", "torque", "record", "no_return"}
    | {"tools", "if_outside"}
)
_ITEM_KEYS = {
    "step": (_STEP_KEYS, {"id", "do"}),
    "gate": (frozenset({"gate", "when"}), {"gate"}),
    "for_each": (frozenset({"for_each", "heading", "steps"}), {"for_each", "heading", "steps"}),
}
_PHASE_KEYS = frozenset(["name", "place", "power", "need", "complete", "exit", "steps"])
_STANDING_KEYS = frozenset(["panel", "when", "tools"])


@dataclass(frozen=True)
class Library:
    """The text files as they stand; see the module's first lines."""

    order: list[dict[str, Any]]
    phases: dict[str, dict[str, Any]]
    kinds: dict[str, str]
    panels: dict[str, dict[str, Any]]
    gates: dict[str, dict[str, Any]]
    exits: dict[str, str]
    phrases: dict[str, str]
    tools: dict[str, dict[str, dict[str, Any]]]
    permit: dict[str, Any]
    as_built: dict[str, Any]

    def items(self, phase: str) -> Iterator[tuple[str, dict[str, Any]]]:
        """Yield each step and gate of a phase with what it is repeated for, or nothing."""
        for item in self.phases[phase]["steps"]:
            if "for_each" in item:
                for inner in item["steps"]:
                    yield item["for_each"], inner
            else:
                yield "", item


@language.cached
def library() -> Library:
    """Read the text files.

    Raises
    ------
    ValueError
        When a phase, step or gate has an unknown key or lacks one.
    """
    texts = {path.stem: resources.read_texts(path) for path in resources.templates("procedure")}
    order = texts.pop("phases")
    hazards = texts.pop("hazards")
    gates, exits, phrases = (texts.pop(name) for name in ("gates", "exits", "phrases"))
    for name, phase in texts.items():
        _check_keys(name, phase, _PHASE_KEYS | {"standing"}, _PHASE_KEYS)
        for panel in phase.get("standing", ()):
            _check_keys(name, panel, _STANDING_KEYS, {"panel"})
        for item in phase["steps"]:
            _check_item(item)
            for inner in item.get("steps", ()):
                _check_item(inner)
    folder = resources.folder("templates")
    return Library(
        order,
        texts,
        hazards["kinds"],
        hazards["panels"],
        gates,
        exits,
        phrases,
        resources.read_texts(folder / "tools.yaml"),
        resources.read_texts(folder / "permit.yaml"),
        resources.read_texts(folder / "as_built.yaml"),
    )


def _check_item(item: Mapping[str, Any]) -> None:
    kind = next((kind for kind in ("gate", "for_each") if kind in item), "step")
    allowed, needed = _ITEM_KEYS[kind]
    _check_keys(str(item.get("id", item.get(kind, "?"))), item, allowed, needed)


def _check_keys(
    name: str, item: Mapping[str, Any], allowed: frozenset[str], needed: Iterable[str]
) -> None:
    wrong = sorted(item.keys() - allowed) + sorted(set(needed) - item.keys())
    if wrong:
        raise ValueError(f"`{name}` of the procedure: look at {', '.join(wrong)}")
