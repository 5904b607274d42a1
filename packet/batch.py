"""Many jobs: spread over processes, and added up."""

from __future__ import annotations

import csv
import secrets
import traceback
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import BrokenExecutor, Executor, Future, ThreadPoolExecutor, as_completed
from dataclasses import dataclass, replace
from decimal import Decimal
from io import StringIO
from pathlib import Path

from packet import workers
from packet.printing import Material, Result, Settings, print_job
from packet.problems import plain
from packet.quantities import round_shown
from packet.resources import texts


def print_jobs(
    jobs: Sequence[Path],
    settings: Settings,
    executor: Executor | None = None,
    at_once: int | None = None,
) -> Iterator[Result]:
    """Print many jobs, and yield how each ended, in the order in which they end.

    No job stops the others, whatever happens to it or to the process that prints it.

    Parameters
    ----------
    jobs : sequence of path
    settings : Settings
    executor : Executor, optional
        Any executor of :mod:`concurrent.futures`; it stays open. Its workers read the job
        files and write the PDFs at the same paths as this process. Threads gain nothing.
    at_once : int, optional
        Number of processes where no `executor` is given; all cores if left out.

    Yields
    ------
    Result
    """
    if executor is not None:
        for job, result in _spread(executor, jobs, settings):
            yield result or _lost(job)
        return
    at_once = min(at_once or workers.cores(), len(jobs))
    left: list[Path] = []
    with workers.pool(at_once) as pool:
        for job, result in _spread(pool, jobs, settings):
            if result is None:
                left.append(job)
            else:
                yield result
    # A process that is killed takes down its pool; each job that was in it gets one of its own.
    with ThreadPoolExecutor(at_once) as threads:
        for waiting in as_completed([threads.submit(_alone, job, settings) for job in left]):
            yield waiting.result()


def _spread(
    executor: Executor, jobs: Iterable[Path], settings: Settings
) -> Iterator[tuple[Path, Result | None]]:
    """Yield each job with its result, or with None where its process was lost."""
    run = secrets.token_hex(8)
    waiting: dict[Future[Result], Path] = {}
    for job in jobs:
        try:
            waiting[executor.submit(_work, job, settings, run)] = job
        except BrokenExecutor:
            yield job, None
    for future in as_completed(waiting):
        job = waiting.pop(future)
        try:
            yield job, future.result()
        except BrokenExecutor:
            yield job, None
        except Exception as fault:
            trace = "".join(traceback.format_exception(fault)).rstrip()
            yield (
                job,
                Result(job, "faults", f"packet: {plain(str(job))}: nothing was printed:\n{trace}"),
            )


def _work(job: Path, settings: Settings, run: str) -> Result:  # noqa: ARG001
    """Print one job; `run` keeps a cluster from answering with what an earlier run returned."""
    return print_job(job, settings)


def _alone(job: Path, settings: Settings) -> Result:
    with workers.pool(1) as pool:
        ((_, result),) = _spread(pool, [job], settings)
    return result or _lost(job)


def _lost(job: Path) -> Result:
    said = f"packet: {job}: nothing was printed: its process was ended (out of memory?)"
    return Result(job, "faults", said)


@dataclass(frozen=True)
class Total:
    """One material over all jobs: `jobs` of them take it. `cost` is None if one has no price."""

    material: Material
    jobs: int


def totals(results: Iterable[Result]) -> list[Total]:
    """Return every material over all jobs, by article.

    What is counted in another way (by the piece, by the pack) stays a line of its own.
    """
    sums: dict[tuple[str, str, str], Material] = {}
    jobs: Counter[tuple[str, str, str]] = Counter()
    for line in (line for result in results for line in result.materials):
        key = (line.article, line.needed_in, line.bought_in)
        before = sums.get(key)
        sums[key] = _added(before, line) if before else line
        jobs[key] += 1
    return [Total(sums[key], jobs[key]) for key in sorted(sums)]


def _added(one: Material, other: Material) -> Material:
    cost = None if one.cost is None or other.cost is None else one.cost + other.cost
    return replace(
        one, needed=one.needed + other.needed, bought=one.bought + other.bought, cost=cost
    )


def as_table(results: Sequence[Result]) -> str:
    """Return what a terminal shows: a line for each job, then the materials of all together."""
    jobs = [
        (plain(str(result.job)), _verdict(result), _dollars(result.cost), _files(result))
        for result in results
    ]
    parts = [_columns([("job", "verdict", "materials", "files"), *jobs])]
    bought = [("article", "jobs", "needed", "to buy", "cost before tax")]
    for total in totals(results):
        line = total.material
        bought.append(
            (
                line.article,
                str(total.jobs),
                f"{_number(line.needed)} {line.needed_in}",
                f"{_number(line.bought)} {line.bought_in}",
                _dollars(line.cost),
            )
        )
    if len(bought) > 1:
        parts.append(_columns(bought))
    counts = Counter(map(_verdict, results))
    parts.append("; ".join(f"{name}: {count}" for name, count in sorted(counts.items())))
    return "\n\n".join(parts)


CSV_COLUMNS = (
    "kind",
    "name",
    "verdict",
    "jobs",
    "needed",
    "needed in",
    "to buy",
    "to buy in",
    "cost in USD",
    "files",
)


def as_csv(results: Sequence[Result]) -> str:
    """Return the same for a spreadsheet: rows of kind ``job``, then rows of kind ``material``.

    The cost of a job is with tax, that of a material before tax; a cost that is not known is empty.
    """
    text = StringIO()
    table = csv.writer(text)
    table.writerow(CSV_COLUMNS)
    for result in results:
        files = " ".join(path.name for path in result.files)
        job = ("job", str(result.job), _verdict(result), "1", "", "", "", "")
        table.writerow(map(_cell, (*job, _number(result.cost), files)))
    for total in totals(results):
        line = total.material
        needed = (_number(line.needed), line.needed_in)
        bought = (_number(line.bought), line.bought_in)
        row = ("material", line.article, "", str(total.jobs), *needed, *bought, _number(line.cost))
        table.writerow(map(_cell, (*row, "")))
    return text.getvalue()


def _verdict(result: Result) -> str:
    if result.ending == "faults":
        return "NOT PRINTED: faults"
    if result.ending == "not written":
        return "NOT PRINTED: not written"
    return str(texts("verdict")[result.verdict.name.lower()]) if result.verdict else ""


def _files(result: Result) -> str:
    if not result.files:
        return ""
    return f"{len(result.files) - len(result.unchanged)} new, {len(result.unchanged)} unchanged"


def _dollars(cost: Decimal | None) -> str:
    return "" if cost is None else f"$ {cost:,.2f}"


def _number(number: Decimal | None) -> str:
    """Return a number as a spreadsheet reads it; no need becomes smaller by rounding."""
    return "" if number is None else f"{round_shown(number, 2, 'up').normalize():f}"


def _cell(text: str) -> str:
    """Return a cell that a spreadsheet takes for text or a number, never for a formula."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@") else text


def _columns(rows: Sequence[tuple[str, ...]]) -> str:
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    return "\n".join(
        "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
        for row in rows
    )
