"""The project's own data files: YAML in which every scalar is text, read without detours."""

from __future__ import annotations

from typing import Any

import yaml


class _Nodes(yaml.CBaseLoader):
    """Gives nodes; asks nobody what a scalar could mean, which takes as long as the parsing."""

    def resolve(self, kind: Any, value: Any, implicit: Any) -> str:  # noqa: ARG002
        return ""

    def descend_resolver(self, current_node: Any, current_index: Any) -> None:
        pass

    def ascend_resolver(self) -> None:
        pass


def load(text: str) -> Any:
    """Return a data file as dicts, lists and texts; None for an empty one.

    Raises
    ------
    ValueError
        When one name stands twice in a mapping: the second would hide the first.
    yaml.YAMLError
        When `text` is no YAML.
    """
    top = _Nodes(text).get_single_node()
    return None if top is None else _plain(top)


def _plain(node: Any) -> Any:
    if isinstance(node, yaml.ScalarNode):
        return node.value
    if isinstance(node, yaml.SequenceNode):
        return [_plain(item) for item in node.value]
    found = {key.value: _plain(value) for key, value in node.value}
    if len(found) < len(node.value):
        names = [key.value for key, _ in node.value]
        name = next(name for name in names if names.count(name) > 1)
        raise ValueError(f"`{name}` stands twice, line {node.start_mark.line + 1}")
    return found
