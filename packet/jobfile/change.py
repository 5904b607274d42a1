"""A job file with some of its values changed, as if the person had typed them."""

from __future__ import annotations

from collections.abc import Mapping as Map
from dataclasses import replace

from packet.jobfile.read import Document, Items, Mapping, Node, Text
from packet.problems import Span

Changes = Map[str, str | None]
"""Path of a key -> the text to write there; None to delete it. Lines of lists count from 1."""

_ByHead = dict[str, dict[tuple[str, ...], str | None]]


def changed(document: Document, changes: Changes, span: Span) -> Document:
    """Return `document` with `changes` written into it.

    Parameters
    ----------
    document : Document
    changes : mapping of str to str or None
        Such as ``{"route.2.length": "15 ft", "circuit.configuration": None}``. Sections
        that are not there are made; what is not there need not be deleted. Numbers of
        lines are those before the change.
    span : Span
        What messages and the ledger point at for the values that are new.
    """
    steps = {tuple(path.split(".")): text for path, text in changes.items()}
    top = _changed(document.top, steps, span)
    if not isinstance(top, Mapping):
        raise ValueError("the changes leave no job")
    return replace(document, top=top)


def holds(document: Document, path: str) -> bool:
    """Say whether something stands at `path` of a job file."""
    node: Node | None = document.top
    for step in path.split("."):
        if isinstance(node, Mapping):
            node = node.get(step)
        elif isinstance(node, Items) and step.isdecimal() and int(step) <= len(node.items):
            node = node.items[int(step) - 1]
        else:
            return False
    return node is not None


def _changed(node: Node, steps: Map[tuple[str, ...], str | None], span: Span) -> Node | None:
    if () in steps:
        text = steps[()]
        return None if text is None else Text(text, span)
    by_head: _ByHead = {}
    for (head, *rest), text in steps.items():
        by_head.setdefault(head, {})[tuple(rest)] = text
    if isinstance(node, Items):
        lines = (
            _changed(item, by_head[str(number)], span) if str(number) in by_head else item
            for number, item in enumerate(node.items, 1)
        )
        return replace(node, items=tuple(line for line in lines if line is not None))
    pairs = node.pairs if isinstance(node, Mapping) else ()
    kept = [
        (key, _changed(value, by_head.pop(key.value), span) if key.value in by_head else value)
        for key, value in pairs
    ]
    kept += [
        (Text(head, span), _changed(Mapping((), span), below, span))
        for head, below in by_head.items()
        if any(text is not None for text in below.values())
    ]
    at = node.span if isinstance(node, Mapping) else span
    return Mapping(tuple((key, value) for key, value in kept if value is not None), at)
