"""Imports point down the flow only, and no reader's figure stands in a rule."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[2] / "packet"

LAYERS = (
    ("cli", "__main__"),
    ("commands",),
    ("batch",),
    ("printing",),
    ("render", "finish"),
    ("drawings",),
    ("sheets",),
    ("procedure",),
    ("plans",),
    ("findings", "facts"),
    ("rules",),
    ("asking",),
    ("jobfile", "returned"),
    ("codebook",),
    ("showing", "listing"),
    ("ledger",),
    ("versions",),
    ("words", "problems", "quantities", "resources"),
    ("files", "libraries", "mark", "pint_alone", "textdata", "workers"),
    ("language",),
)
"""Top to bottom; a module may import from its own layer and from those below."""

MAY_NOT_SEE = {
    "rules": {"jobfile"},
    "drawings": {"rules", "jobfile", "plans", "ledger", "showing", "words"},
    "sheets": {"rules", "jobfile"},
    "procedure": {"rules", "jobfile", "plans"},
}
"""A rule never sees the job; a sheet never calls a rule; a picture sees views alone."""


def layer_of(module: str) -> int:
    for depth, names in enumerate(LAYERS):
        if module in names:
            return depth
    raise AssertionError(f"packet.{module} is in no layer")


def imports(path: Path) -> set[str]:
    """Return the first name below `packet` of everything `path` imports."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.ImportFrom) and node.module:
            if node.module == "packet":
                found |= {alias.name for alias in node.names if alias.name != "__version__"}
            elif node.module.startswith("packet."):
                found.add(node.module.split(".")[1])
        elif isinstance(node, ast.Import):
            found |= {a.name.split(".")[1] for a in node.names if a.name.startswith("packet.")}
    return found


def faults(module: str, seen: set[str]) -> list[str]:
    """Return what `module` imports and may not."""
    own = layer_of(module)
    return sorted(
        name for name in seen if layer_of(name) < own or name in MAY_NOT_SEE.get(module, ())
    )


MODULES = sorted(
    path for path in PACKAGE.rglob("*.py") if path.name != "__init__.py" or path.parent != PACKAGE
)


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_imports_point_down(path: Path) -> None:
    """An upward import once lets a page recompute a value; then two pages disagree."""
    module = path.relative_to(PACKAGE).parts[0].removesuffix(".py")
    assert faults(module, imports(path)) == []


def test_the_check_itself_catches_an_upward_import() -> None:
    assert faults("rules", {"sheets", "ledger"}) == ["sheets"]
    assert faults("rules", {"jobfile"}) == ["jobfile"]
    assert faults("sheets", {"rules"}) == ["rules"]


HEAVY = {"weasyprint", "pypdf"}


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(PACKAGE)))
def test_only_render_imports_the_renderer_at_the_top(path: Path) -> None:
    """`check` must not pay for the renderer: heavy imports stand inside functions or in render."""
    if path.name == "render.py":
        return
    tops = ast.parse(path.read_text("utf-8")).body
    names = {a.name.split(".")[0] for n in tops if isinstance(n, ast.Import) for a in n.names}
    names |= {(n.module or "").split(".")[0] for n in tops if isinstance(n, ast.ImportFrom)}
    assert not names & HEAVY


@pytest.mark.parametrize("path", sorted((PACKAGE / "rules").rglob("*.py")), ids=lambda p: p.name)
def test_no_figure_stands_in_a_rule(path: Path) -> None:
    """A figure typed into a rule has no citation and no edition; it belongs in the code book."""
    strange = [
        (node.value, node.lineno)
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Constant)
        and isinstance(node.value, int | float)
        and not isinstance(node.value, bool)
        and node.value not in (0, 1, 2)
    ]
    assert strange == []
