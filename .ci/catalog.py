"""Bring the catalogs up to date with the texts: `python .ci/catalog.py [LANGUAGE ...]`.

Every text that a reader may see is collected from the templates, the text files, the
glossary, the choices of the job file and the words of the code book. What a catalog has
already is kept; a text that was changed keeps its old translation marked as fuzzy, which
counts as missing until a person has looked at it. A LANGUAGE without a catalog gets one.
"""

from __future__ import annotations

import difflib
import io
import re
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po, write_po
from jinja2.ext import babel_extract

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from packet import codebook, resources, words  # noqa: E402
from packet.jobfile import schema  # noqa: E402
from packet.language import read_catalog  # noqa: E402

CALLS = ["_", "gettext", "ngettext", "pgettext"]

IS_WORD = re.compile(r"[a-z]{2}")
"""Trade names such as NM-B and configurations such as 14-50 are the same in every language."""


@dataclass(frozen=True)
class Text:
    """A text that a reader may see; `forms` are the text and its plural, where it has one."""

    place: str
    forms: tuple[str, ...]
    context: str | None = None
    remark: str = ""


def texts() -> Iterator[Text]:
    """Yield every text that a reader may see, in English."""
    templates = resources.folder("templates")
    for path in sorted(templates.rglob("*.html")):
        with path.open("rb") as file:
            found = babel_extract(file, CALLS, [], {"silent": "false", "newstyle_gettext": "true"})
            for _, call, text, _ in found:
                forms = tuple(filter(None, [text] if isinstance(text, str) else text))
                if call == "pgettext":
                    yield Text(_named(path), forms[1:], context=forms[0])
                else:
                    yield Text(_named(path), forms)
    for path in sorted(templates.rglob("*.yaml")):
        for text in resources.sentences(path):
            yield Text(_named(path), (text,))
    for line in words.glossary().values():
        forms = tuple(str(line[key]) for key in ("label", "plural") if key in line)
        yield Text(f"packet/glossary/{line['subject']}.yaml", forms)
    for key in schema.keys().values():
        for choice in filter(IS_WORD.search, key.choices):
            yield Text("packet/jobfile/schema.yaml", (choice,), remark=f"a choice of {key.path}")
    for path in sorted((ROOT / "packet/codebook").glob("[ft]*/*.yaml")):  # figures, tables
        for text in _of_codebook(codebook.read(path.read_text("utf-8"))):
            yield Text(_named(path), (text,))


def _of_codebook(node: Any, key: str = "") -> Iterator[str]:
    """Yield the words among the figures, and the remarks on what is still to be confirmed."""
    if isinstance(node, dict):
        if "editions" in node and not {"unit", "type", "columns"} & node.keys():
            for line in node["editions"].values():
                yield from filter(IS_WORD.search, str(line.get("value", "")).split(", "))
        for name, value in node.items():
            yield from _of_codebook(value, "confirmed" if key == "confirmed" else name)
    elif isinstance(node, list):
        for value in node:
            yield from _of_codebook(value, key)
    elif key == "confirmed" and str(node).startswith(f"{codebook.MEMORY}: "):
        yield str(node).partition(": ")[2]


def _named(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def template(language: str) -> Catalog:
    """Return a catalog of `language` with every text and no translation."""
    catalog = Catalog(locale=language)
    for text in texts():
        catalog.add(
            text.forms if len(text.forms) > 1 else text.forms[0],
            locations=[(text.place, 0)],
            auto_comments=[text.remark] if text.remark else [],
            context=text.context,
        )
    for message in catalog:
        message.locations = list(dict.fromkeys(message.locations))
    return catalog


def brought_up_to_date(path: Path, language: str) -> str:
    """Return the text of a catalog file with every text of today, and what it has already."""
    catalog = Catalog(locale=language)
    if path.exists():
        with path.open("rb") as file:
            catalog = read_po(file, locale=language)
    catalog.update(template(language), no_fuzzy_matching=True)
    _propose(catalog)
    catalog.obsolete.clear()
    written = io.BytesIO()
    write_po(written, catalog, width=96, omit_header=True, include_lineno=False)
    return (
        'msgid ""\nmsgstr ""\n'
        '"Content-Type: text/plain; charset=utf-8\\n"\n'
        f'"Language: {language}\\n"\n'
        f'"Plural-Forms: {catalog.plural_forms}\\n"\n\n'
    ) + written.getvalue().decode("utf-8")


def _propose(catalog: Catalog) -> None:
    """Give each new text the translation of the one most like it that is no more, as fuzzy.

    Babel's own proposals hold each new text against all others, which takes minutes.
    """
    single = (one for one in catalog.obsolete.values() if isinstance(one.id, str))
    gone = {one.id: one for one in single if one.string}
    for message in catalog:
        if message.string or not message.id or not isinstance(message.id, str):
            continue
        for near in difflib.get_close_matches(message.id, gone, 1):
            message.string = gone[near].string
            message.flags.add("fuzzy")


def main(languages: list[str]) -> None:
    """Write the catalog of each of `languages`, or of all that are there."""
    for language in languages or resources.languages()[1:]:
        path = resources.catalog_file(language)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(brought_up_to_date(path, language), "utf-8")
        missing = read_catalog(path, language).missing
        sys.stdout.write(f"{_named(path)}: {missing} texts without translation\n")


if __name__ == "__main__":
    main(sys.argv[1:])
