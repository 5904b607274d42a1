"""A packet read back: what was typed into its fields, and the files that travel inside it.

A PDF that comes back may have been through any viewer, or be no packet at all. Whatever is
wrong with it ends in one sentence, and nothing in it decides where a file is written.
"""

from __future__ import annotations

import codecs
import logging
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from packet.returned import NotReadable, Returned
from packet.returned.made import Made, made_of

if TYPE_CHECKING:
    from pypdf import PdfReader

LARGEST_MIB = 64
"""No packet comes near it, with photographs put in by a viewer or without."""

LARGEST_FILE_KIB = 4096
"""A job file has at most 256 KiB, and the values of the largest job less than a tenth of this."""

OURS = re.compile(r"[A-Z](\.[a-z0-9_]+)+")
"""Name of a field of ours; viewers and stampers add others."""

STAMP = re.compile(r"\b[0-9A-F]{4}-[0-9A-F]{2}\b")
"""The check code as it is printed at the foot of a page."""

VALUES_END = "-values.json"
_DEEPEST = 12
_FILE_NAME = re.compile(r"[^\s./\\:*?\"<>|][^/\\:*?\"<>|]*")


@dataclass(frozen=True)
class Inside:
    """The files of a clipboard set: the job file by its name, and the values as text."""

    job_name: str
    job: bytes
    values: bytes
    made: Made

    @property
    def values_name(self) -> str:
        """Name of the file of values."""
        return f"{Path(self.job_name).stem}{VALUES_END}"


def filled_packet(path: Path) -> Returned:
    """Return what was filled in on screen, and which packet it was.

    Raises
    ------
    NotReadable
        When the file is no packet with fields.
    """
    with _opened(path) as reader:
        fields = dict(_fields(reader))
        if not fields:
            raise NotReadable(
                "it has no fields to read; if it was filled in, a viewer has printed or flattened"
                " it: save a copy instead of printing, or write the readings into a YAML file"
            )
        inside = _inside(reader)
        printed = _printed_stamp(reader)
    stamp = (inside.made.stamp if inside else "") or printed
    if not stamp:
        raise NotReadable("no check code stands at the foot of its first page")
    if printed and stamp != printed:
        raise NotReadable(
            f"its pages are of packet {printed}, and the values inside are of packet {stamp}"
        )
    written = {name: text for name, text in fields.items() if text}
    return Returned(stamp, written, inside.made if inside else None)


def files_inside(path: Path) -> Inside:
    """Return the job file and the values that a packet carries.

    Raises
    ------
    NotReadable
        When the file is no packet that carries them.
    """
    with _opened(path) as reader:
        found = _inside(reader)
    if found is None:
        raise NotReadable(
            "it carries no job file; only the clipboard set does, the packet that `packet build`"
            " prints without `--for`"
        )
    return found


@contextmanager
def _opened(path: Path) -> Iterator[PdfReader]:
    """Open a PDF; whatever its reader stumbles over in the block is one kind of fault."""
    from pypdf import PdfReader
    from pypdf.errors import WrongPasswordError

    logger = logging.getLogger("pypdf")
    before, logger.disabled = logger.disabled, True
    try:
        if not path.is_file():
            raise NotReadable("there is no such file")
        if path.stat().st_size > LARGEST_MIB * 2**20:
            raise NotReadable(f"it is larger than {LARGEST_MIB} MiB, and no packet is")
        with path.open("rb") as file:
            if b"%PDF-" not in file.read(1024):
                raise NotReadable("it is no PDF")
            reader = PdfReader(file)
            if reader.is_encrypted:
                raise NotReadable("it is locked with a password: save it without one")
            yield reader
    except NotReadable:
        raise
    except OSError as fault:
        raise NotReadable(f"it cannot be read: {(fault.strerror or str(fault)).lower()}") from fault
    except WrongPasswordError as fault:
        raise NotReadable("it is locked with a password: save it without one") from fault
    except Exception as fault:  # a broken PDF can break its reader anywhere
        raise NotReadable("it is a damaged PDF, or only a part of one") from fault
    finally:
        logger.disabled = before


# ---------------------------------------------------------------------------------- fields


def _fields(reader: PdfReader) -> Iterator[tuple[str, str]]:
    """Yield each field of ours with what was written, empty where it is blank."""
    for page in reader.pages:
        notes = page.get("/Annots")
        for one in notes.get_object() if notes is not None else ():
            widget = one.get_object()
            if widget.get("/Subtype") == "/Widget":
                levels = list(_levels(widget))
                name = ".".join(str(level["/T"]) for level in reversed(levels) if "/T" in level)
                if OURS.fullmatch(name):
                    yield name, _written(levels)


def _levels(widget: Any) -> Iterator[Any]:
    """Yield a field and the levels above it."""
    level = widget
    for _ in range(_DEEPEST):
        yield level
        above = level.get("/Parent")
        if above is None:
            return
        level = above.get_object()
    raise NotReadable("the names of its fields are nested without an end")


def _written(levels: list[Any]) -> str:
    """Return the value of a field: its own, or that of the level it takes it from."""
    found = [level["/V"].get_object() for level in levels if "/V" in level]
    value = found[0] if found else None
    if any(level.get("/FT") == "/Btn" for level in levels):
        state = _text(value) or _text(levels[0].get("/AS"))
        return "" if state in ("", "Off", "No", "false", "0") else "yes"
    return " ".join(_text(value).split())


def _text(value: Any) -> str:
    """Return a text as any viewer may leave it: string, name, number, bytes or stream."""
    if value is None or type(value).__name__ == "NullObject":
        return ""
    if hasattr(value, "get_data"):
        return _decoded(value.get_data())
    if isinstance(value, bytes):
        return _decoded(value)
    text = str(value)
    if text.startswith("/"):
        return text[1:]
    if text[:2] in ("\xfe\xff", "\xff\xfe") or text[:3] == "\xef\xbb\xbf":
        return _decoded(text.encode("latin-1", "replace"))
    return text.replace("\ufeff", "").replace("\0", "")


def _decoded(raw: bytes) -> str:
    for mark, name in (
        (codecs.BOM_UTF8, "utf-8-sig"),
        (codecs.BOM_UTF16_BE, "utf-16"),
        (codecs.BOM_UTF16_LE, "utf-16"),
    ):
        if raw.startswith(mark):
            return raw.decode(name, "replace")
    return raw.decode("latin-1")


def _printed_stamp(reader: PdfReader) -> str:
    codes = STAMP.findall(reader.pages[0].extract_text())
    return str(codes[-1]) if codes else ""


# ----------------------------------------------------------------------------------- files


def _inside(reader: PdfReader) -> Inside | None:
    """Return the files of ours, None where the PDF has none; others may travel along."""
    files: dict[str, Any] = {}
    for one in reader.attachment_list:
        name = one.alternative_name or one.name or ""
        if name in files:
            raise NotReadable(f"two files inside it are called `{name[:60]}`")
        files[name] = one
    lists = [name for name in files if name.endswith(VALUES_END)]
    if not lists:
        return None
    if len(lists) > 1:
        raise NotReadable(f"it carries {len(lists)} lists of values")
    stem = lists[0].removesuffix(VALUES_END)
    jobs = [name for name in files if name != lists[0] and name.rpartition(".")[0] == stem]
    if len(jobs) != 1:
        raise NotReadable(f"it carries `{lists[0][:60]}`, and not one job file beside it")
    for name in (*jobs, *lists):
        if not _FILE_NAME.fullmatch(name) or not name.isprintable() or len(name) > 200:
            raise NotReadable(f"a file inside it has a name that is no file name: `{name[:60]!a}`")
    job, values = (_content(files[name], name) for name in (jobs[0], lists[0]))
    try:
        return Inside(jobs[0], job, values, made_of(values))
    except ValueError as fault:
        raise NotReadable(f"its list of values cannot be read: {str(fault)[:80]}") from fault


def _content(file: Any, name: str) -> bytes:
    from pypdf.errors import LimitReachedError

    try:
        content: bytes = file.content
    except LimitReachedError:
        content = bytes(LARGEST_FILE_KIB * 1024 + 1)
    if len(content) > LARGEST_FILE_KIB * 1024:
        raise NotReadable(f"`{name[:60]}` inside it is larger than {LARGEST_FILE_KIB} KiB")
    return content
