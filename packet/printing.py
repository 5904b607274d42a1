"""One job from its file to the finished PDFs in their folder."""

from __future__ import annotations

import errno
import gc
import hashlib
import re
from collections.abc import Iterator, Sequence
from concurrent.futures import BrokenExecutor
from contextlib import contextmanager
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cached_property
from pathlib import Path
from typing import Literal

from packet import __version__, files, mark, resources, versions, workers
from packet.finish import Attached
from packet.jobfile import JobFaults, load_job
from packet.language import speaking
from packet.ledger import Ledger, Verdict, decimal_of
from packet.listing import as_json
from packet.plans.branch_circuit import Plan, plan
from packet.problems import plain
from packet.quantities import magnitude
from packet.resources import language_of
from packet.rules.materials import MaterialLine
from packet.sheets.sets import SETS
from packet.sheets.views import SheetSet

PIECES, PACKS, FEET = "pieces", "packs", "ft"

_WAY_OUT = "packet: move it, name another folder with --out, or say --replace"


@dataclass(frozen=True)
class Settings:
    """What to print of each job, and where.

    Parameters
    ----------
    folder : path
        Where the PDFs go.
    readers : tuple of str
        Of :data:`packet.sheets.sets.SETS`.
    paper, print_size, language : str
        One of :data:`packet.resources.PAPERS`, :data:`packet.resources.PRINTS` and
        :func:`packet.resources.languages`.
    replace : bool
        Print anew what is unchanged, and replace even what is newer or was filled in.
    """

    folder: Path
    readers: tuple[str, ...] = ("clipboard",)
    paper: str = "letter"
    print_size: str = "regular"
    language: str = "en"
    replace: bool = False

    def file_name(self, job: Path, reader: str) -> str:
        """Return the name of the file that holds one set of a job."""
        ending = "" if self.language == "en" else f"-{self.language}"
        ending += "" if self.print_size == "regular" else f"-{self.print_size}"
        return f"{job.stem}-{reader}{ending}.pdf"


@dataclass(frozen=True)
class Material:
    """One line of a shopping list, as numbers to be added up.

    Parameters
    ----------
    article : str
        Key of the material, such as ``nm-b-6-3-cable``.
    needed, bought : Decimal
        In `needed_in` and `bought_in`: ``pieces``, ``packs`` or ``ft``.
    cost : Decimal or None
        Before tax; None while there is no price. [USD]
    """

    article: str
    needed: Decimal
    needed_in: str
    bought: Decimal
    bought_in: str
    cost: Decimal | None


Ending = Literal["printed", "faults", "not written"]


@dataclass(frozen=True)
class Result:
    """How the printing of one job ended.

    Parameters
    ----------
    job : path
    ending : str
        ``printed``; ``faults``, the job or its pages have faults; ``not written``, the files
        could not be written or may not be replaced.
    said : str
        What went wrong, for the reader; empty when nothing did.
    verdict : Verdict or None
        None where the job could not be worked out.
    files : tuple of path
        All files of the job, in the order of the readers; empty where it did not end `printed`.
    unchanged : tuple of path
        Those of them that stood there already, printed from the same.
    cost : Decimal or None
        Of all materials with tax; None where nothing may be bought or a price is missing. [USD]
    materials : tuple of Material
        Empty where the verdict is DO NOT START.
    """

    job: Path
    ending: Ending
    said: str = ""
    verdict: Verdict | None = None
    files: tuple[Path, ...] = ()
    unchanged: tuple[Path, ...] = ()
    cost: Decimal | None = None
    materials: tuple[Material, ...] = ()


@dataclass(frozen=True)
class _Set:
    """One set to be printed: its pages in words, and what they are printed with."""

    path: Path
    sheets: SheetSet
    attached: tuple[Attached, ...]
    settings: Settings

    @cached_property
    def made_from(self) -> str:
        """A digest of everything that the PDF depends on."""
        settings = (self.settings.paper, self.settings.print_size, self.settings.language)
        whole = repr((versions.tool(), settings, self.sheets, self.attached))
        return hashlib.sha256(whole.encode()).hexdigest()

    @cached_property
    def older(self) -> bytes | None:
        """The file that stands under this name; None where there is none."""
        if not self.path.exists():
            return None
        if not self.path.is_file():
            raise OSError(errno.EEXIST, "something that is no file has this name", str(self.path))
        return self.path.read_bytes()

    @cached_property
    def older_made_from(self) -> str | None:
        """What the file that stands there was made from; None if that cannot be told."""
        return mark.made_from(self.older) if self.older is not None else None

    def objections(self) -> Iterator[str]:
        """Yield why the file that stands there may not be replaced."""
        if self.older is None:
            return
        if self.older_made_from is None:
            yield (
                f"packet: `{self.path}` was not replaced: it is not as this tool printed it"
                " (filled in on screen, or another file)"
            )
            return
        issued, version = mark.issue(self.older)
        own = self.sheets.frame.issued
        if issued > own or _ordered(version) > _ordered(__version__):
            yield (
                f"packet: `{self.path}` was not replaced: it is newer, issued {issued} by packet"
                f" {version}; this one is issued {own} by packet {__version__}"
            )


def _ordered(version: str) -> tuple[int, ...]:
    return tuple(int(number) for number in re.findall(r"\d+", version))


def print_job(job: Path, settings: Settings, at_once: int = 1) -> Result:
    """Read, work out and print one job.

    A file that was printed from the same stays as it is; one that is newer, or is not as this
    tool wrote it, is not replaced unless `settings` say so.

    Parameters
    ----------
    job : path
    settings : Settings
    at_once : int
        Number of processes for the sets of the job; 1 prints them here, one after the other.

    Returns
    -------
    Result
        Also where the job has faults or its files cannot be written.

    Raises
    ------
    jinja2.UndefinedError, KeyError
        When a page asks for what its job does not have, which is a fault of this tool.
    """
    try:
        planned = plan(load_job(job))
    except JobFaults as faults:
        return Result(job, "faults", str(faults))
    with speaking(language_of(settings.language)):
        sets = list(_sets(job, planned, settings))
    try:
        settings.folder.mkdir(parents=True, exist_ok=True)
        new = [one for one in sets if settings.replace or one.made_from != one.older_made_from]
        objections = [] if settings.replace else [text for one in new for text in one.objections()]
    except OSError as fault:
        return _ended(job, planned, "not written", cannot_write(settings.folder, fault))
    if objections:
        return _ended(job, planned, "not written", "\n".join([*objections, _WAY_OUT]))
    if new:
        from packet.render import RenderFault  # it loads the renderer

        try:
            files.write_all(settings.folder, _printed(new, at_once))
        except RenderFault as fault:
            return _ended(job, planned, "faults", f"packet: nothing was printed: {fault}")
        except OSError as fault:
            return _ended(job, planned, "not written", cannot_write(settings.folder, fault))
    return replace(
        _ended(job, planned, "printed"),
        files=tuple(one.path for one in sets),
        unchanged=tuple(one.path for one in sets if one not in new),
    )


def _sets(job: Path, planned: Plan, settings: Settings) -> Iterator[_Set]:
    for reader in settings.readers:
        inside = attached(job, planned.ledger) if reader == "clipboard" else ()
        path = settings.folder / settings.file_name(job, reader)
        yield _Set(path, SETS[reader](planned), inside, settings)


def attached(job: Path, ledger: Ledger) -> tuple[Attached, ...]:
    """Return what travels inside the clipboard set: the job file as typed, and every value.

    The other sets go to people who are not shown what the electrician pays and adds.
    """
    says = resources.texts("attached")
    values = f"{as_json(ledger)}\n".encode()
    return (
        Attached(job.name, job.read_bytes(), "application/yaml", says["job"], "Source"),
        Attached(f"{job.stem}-values.json", values, "application/json", says["values"], "Data"),
    )


def cannot_write(folder: Path, fault: OSError) -> str:
    """Return what is said where files could not be written to `folder`."""
    at = f" (`{fault.filename}`)" if fault.filename and Path(fault.filename) != folder else ""
    return plain(
        f"packet: cannot write to `{folder}`: {fault.strerror}{at}; what was there stands as it was"
    )


def _printed(sets: Sequence[_Set], at_once: int) -> dict[str, bytes]:
    """Return each set as a PDF by its file name; the first is printed here."""
    first, *others = sets
    if at_once == 1 or not others:
        return {one.path.name: _pdf(one) for one in sets}
    with workers.pool(min(at_once - 1, len(others))) as pool:
        waiting = [(one, pool.submit(_pdf, one)) for one in others]
        contents = {first.path.name: _pdf(first)}
        for one, content in waiting:
            try:
                contents[one.path.name] = content.result()
            except BrokenExecutor:  # its process was ended from outside
                contents[one.path.name] = _pdf(one)
    return contents


def _pdf(one: _Set) -> bytes:
    from packet.render import pdf

    settings = one.settings
    with speaking(language_of(settings.language)), _no_collection():
        content = pdf(one.sheets, settings.paper, one.attached, settings.print_size)
    return mark.signed(content, one.made_from)


@contextmanager
def _no_collection() -> Iterator[None]:
    """Spare a render the search for garbage: its 10^5 objects all live until its end."""
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def _ended(job: Path, planned: Plan, ending: Ending, said: str = "") -> Result:
    result = Result(job, ending, said, planned.ledger.verdict)
    if result.verdict is Verdict.FALLS_SHORT or planned.shopping is None:
        return result
    whole = planned.shopping.total
    return replace(
        result,
        cost=magnitude(whole.value, "USD") if whole else None,
        materials=tuple(_material(line) for line in planned.shopping.bill.lines),
    )


def _material(line: MaterialLine) -> Material:
    by_length = line.needed.value.check("[length]")
    bought_in = FEET if by_length else PACKS if "packs" in line.bought.name else PIECES
    return Material(
        line.id,
        decimal_of(line.needed),
        FEET if by_length else PIECES,
        decimal_of(line.bought),
        bought_in,
        decimal_of(line.cost) if line.cost else None,
    )
