"""Every rule is proven from outside: by a published example, or by a test that names its source."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
import yaml

TESTS = Path(__file__).parents[1]
RULES = TESTS.parent / "packet" / "rules"
FOLDERS = ("rules", "worked_examples", "codebook", "plans")
EXEMPT = TESTS / "hygiene" / "rules_without_outside.yaml"

SOURCE = re.compile(
    r"\b\d{3}\.\d|\bArticle \d{3}|\bTable \d|\bAnnex [A-Z]|\bChapter 9|\bNEC\b|EC&M|Mike Holt"
    r"|\bIEC\b|\bUL \d|ANSI"
    r"|International Residential Code|Building Code Forum|maker's|course|manual|handbook|Handbook"
    r"|power-grid-model|numpy|[Cc]ommon practice, no source|newsletter|E\d{4}\b|\.com\b|by hand"
)
"""What a docstring says where it names a source: a section, a table, a publication, a library."""

PUBLISHED = re.compile(r"\bPUBLISHED\b|\bFACTS\b|\bANNEX\b|\bexamples\(")
"""How a test takes its values from the files of published examples."""

HELPERS = ("givens.py", "houses.py", "installation.py")


@dataclass(frozen=True)
class Function:
    """A function with the names it uses and its text, comments and parameters with it."""

    name: str
    uses: frozenset[str]
    text: str


def functions(text: str) -> dict[str, Function]:
    """Return the module-level functions of a Python text by name, and its constants like them."""
    lines = text.splitlines()
    found = {}
    for node in ast.parse(text).body:
        if isinstance(node, ast.FunctionDef):
            first = min([node.lineno, *(one.lineno for one in node.decorator_list)])
            body = "\n".join(lines[first - 1 : node.end_lineno])
            found[node.name] = Function(node.name, frozenset(_names(node)), body)
        elif isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None:
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            for target in targets:
                if isinstance(target, ast.Name):
                    found[target.id] = Function(target.id, frozenset(_names(node.value)), "")
    return found


def _names(tree: ast.AST) -> set[str]:
    return {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)} | {
        node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)
    }


def reached(name: str, known: dict[str, Function]) -> set[str]:
    """Return every name that a function uses, through the known functions it calls."""
    seen, todo = set(), [name]
    while todo:
        function = known.get(todo.pop())
        fresh = (function.uses if function else frozenset()) - seen
        seen |= fresh
        todo += fresh
    return seen


def rules() -> dict[str, Function]:
    """Return every function of the rule modules; those without an underscore are rules."""
    found: dict[str, Function] = {}
    for path in RULES.rglob("*.py"):
        found |= functions(path.read_text("utf-8"))
    return found


def proven(text: str, known: dict[str, Function], *, published: bool) -> set[str]:
    """Return every name that the tests of one module reach that have an outside source.

    Parameters
    ----------
    text : str
        Of the module.
    known : dict of Function
        Rules and the helpers of tests.
    published : bool
        Whether all tests of the module hold published examples. So they do where its
        docstring names a source.
    """
    own = functions(text)
    found: set[str] = set()
    of_module = SOURCE.search(ast.get_docstring(ast.parse(text)) or "")
    for name, function in own.items():
        by_file = published or "examples" in function.uses or PUBLISHED.search(function.text)
        if name.startswith("test_") and (by_file or of_module or SOURCE.search(function.text)):
            found |= reached(name, known | own)
    return found


def everything_proven() -> set[str]:
    """Return every name that some test with an outside source reaches."""
    known = rules()
    for helper in HELPERS:
        known |= functions((TESTS / "rules" / helper).read_text("utf-8"))
    found: set[str] = set()
    for folder in FOLDERS:
        for path in sorted((TESTS / folder).rglob("test_*.py")):
            published = folder == "worked_examples"
            found |= proven(path.read_text("utf-8"), known, published=published)
    return found


def faults(public: set[str], named: set[str], exempt: dict[str, str]) -> Iterator[str]:
    """Yield what is wrong between the rules, the proofs and the list of exceptions."""
    for rule in sorted(public - named - exempt.keys()):
        yield f"`{rule}` is proven by no published example and no test that names a source"
    for rule in sorted(exempt.keys() & named):
        yield f"`{rule}` is proven, and still stands among the exceptions"
    for rule in sorted(exempt.keys() - public):
        yield f"`{rule}` is an exception and no rule"
    yield from (f"`{rule}`: no reason" for rule, why in sorted(exempt.items()) if not why)


def test_every_rule_is_proven_from_outside() -> None:
    public = {name for name, one in rules().items() if one.text and not name.startswith("_")}
    exempt = yaml.safe_load(EXEMPT.read_text("utf-8"))
    assert not (found := list(faults(public, everything_proven(), exempt))), "\n".join(found)


RULE = "def drop(book):\n    return _part(book)\n\n\ndef _part(book):\n    return share(book)\n"
TEST = 'def test_a_drop() -> None:\n    """{said}"""\n    assert helped(1)\n'
HELPER = "def helped(number):\n    return drop(number)\n"


@pytest.mark.parametrize(
    ("said", "published", "found"),
    [
        ("Table 310.16", False, True),
        ("EC&M, April 2022", False, True),
        ("common practice, no source", False, True),
        ("it is right", False, False),
        ("it is right", True, True),
    ],
)
def test_a_rule_counts_as_proven_only_where_a_source_is_named(
    said: str, published: bool, found: bool
) -> None:
    """Through a helper, and down to the rules that the rule itself calls."""
    known = functions(RULE) | functions(HELPER)
    names = proven(TEST.format(said=said), known, published=published)
    assert ({"drop", "share"} <= names) is found


def test_a_rule_without_a_source_and_a_stale_exception_are_caught() -> None:
    found = list(faults({"drop", "share"}, {"share"}, {"share": "why", "gone": "why", "x": ""}))
    assert "`drop` is proven by no published example and no test that names a source" in found
    assert "`share` is proven, and still stands among the exceptions" in found
    assert "`gone` is an exception and no rule" in found
    assert "`x`: no reason" in found
