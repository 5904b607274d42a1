"""Many jobs in one run: none stops the others, all are added up, what is finished is skipped."""

from __future__ import annotations

import csv
import io
import os
import re
import signal
import threading
import time
from concurrent.futures import BrokenExecutor, Executor, Future, ProcessPoolExecutor
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from packet import batch, cli, workers
from packet.commands import build
from packet.ledger import Verdict
from packet.printing import Material, Result, Settings

ROOT = Path(__file__).parents[2]
JOBS = ROOT / "jobs"


def copies(folder: Path, *names: str) -> list[Path]:
    """Return copies of the smallest packet's job: two pages for the client."""
    folder.mkdir(exist_ok=True)
    paths = [folder / f"{name}.yaml" for name in names]
    for number, path in enumerate(paths):
        text = (JOBS / "full-service.yaml").read_text()
        path.write_text(text.replace("PEN-0057", f"PEN-{number:04}"))
    return paths


class AtOnce(Executor):
    """Does the work here and now; a job named `lost` loses its process, one named `bug` fails."""

    def submit(self, work: Any, /, job: Path, *arguments: Any) -> Future[Any]:  # type: ignore[override]
        future: Future[Any] = Future()
        if job.stem == "lost":
            future.set_exception(BrokenExecutor("killed"))
        elif job.stem == "bug":
            future.set_exception(ZeroDivisionError("by hand"))
        else:
            future.set_result(work(job, *arguments))
        return future


def test_a_job_that_fails_stops_no_other(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("packet.printing._pdf", lambda one: one.sheets.letters.encode())
    real = batch.print_jobs
    monkeypatch.setattr(
        batch, "print_jobs", lambda jobs, settings, **_: real(jobs, settings, AtOnce())
    )
    jobs = copies(tmp_path, "lost", "bug", "good", "faulty", "folder")
    jobs[3].write_text("work: 1\n")
    out = tmp_path / "out"
    (out / "folder-client.pdf").mkdir(parents=True)
    status = cli.main(["build", *map(str, jobs), "--for", "client", "--out", str(out)])
    said = capsys.readouterr()
    verdicts = dict(re.findall(r"(\w+)\.yaml +(.+?)(?:  |$)", said.out, flags=re.MULTILINE))
    assert verdicts == {
        "lost": "NOT PRINTED: faults",
        "bug": "NOT PRINTED: faults",
        "good": "DO NOT START",
        "faulty": "NOT PRINTED: faults",
        "folder": "NOT PRINTED: not written",
    }
    assert "lost.yaml: nothing was printed: its process was ended" in said.err
    assert "ZeroDivisionError: by hand" in said.err
    assert "faulty.yaml:1:7: error[" in said.err
    assert "something that is no file has this name" in said.err
    assert status == 2
    assert [path.name for path in out.iterdir() if path.is_file()] == ["good-client.pdf"]


@pytest.mark.parametrize(
    ("endings", "status"),
    [
        ((("printed", Verdict.MEETS), ("printed", Verdict.ASK)), 0),
        ((("printed", Verdict.MEETS), ("printed", Verdict.FALLS_SHORT)), 3),
        ((("printed", Verdict.FALLS_SHORT), ("faults", None), ("printed", Verdict.MEETS)), 1),
        ((("faults", None), ("not written", Verdict.MEETS)), 2),
    ],
)
def test_the_worst_job_decides_how_the_command_ends(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, endings: Any, status: int
) -> None:
    jobs = [tmp_path / f"{number}.yaml" for number in range(len(endings))]
    results = [
        Result(job, ending, verdict=verdict)
        for job, (ending, verdict) in zip(jobs, endings, strict=True)
    ]
    monkeypatch.setattr(batch, "print_jobs", lambda *_, **__: reversed(results))
    assert cli.main(["build", *map(str, jobs)]) == status


def test_a_killed_worker_loses_no_job_and_finished_ones_are_skipped(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first run is hit while it prints; the second finds everything done."""
    made: list[ProcessPoolExecutor] = []
    real = workers.pool

    def pool(count: int) -> ProcessPoolExecutor:
        made.append(real(count))
        return made[-1]

    def kill() -> None:
        while not made or not made[0]._processes:
            time.sleep(0.01)
        time.sleep(0.3)
        os.kill(next(iter(made[0]._processes)), signal.SIGKILL)

    monkeypatch.setattr(workers, "pool", pool)
    jobs = copies(tmp_path / "jobs", "a", "b")
    settings = Settings(tmp_path / "out", ("client",))
    threading.Thread(target=kill).start()
    first = {result.job: result for result in batch.print_jobs(jobs, settings, at_once=1)}
    assert len(made) > 1
    assert {job: result.said for job, result in first.items()} == dict.fromkeys(jobs, "")
    assert sorted(path.name for path in settings.folder.iterdir()) == [
        "a-client.pdf",
        "b-client.pdf",
    ]
    second = list(batch.print_jobs(jobs, settings, AtOnce()))
    assert all(result.unchanged == result.files for result in second)


def line(article: str, needed: str, cost: str | None, bought_in: str = "pieces") -> Material:
    price = None if cost is None else Decimal(cost)
    return Material(article, Decimal(needed), "pieces", Decimal(needed), bought_in, price)


RESULTS = (
    Result(
        Path("a.yaml"),
        "printed",
        verdict=Verdict.MEETS,
        files=(Path("out/a-client.pdf"), Path("out/a-permit.pdf")),
        cost=Decimal("1234.5"),
        materials=(line("staple", "11", "7.40"), line("strap", "2.001", "1")),
    ),
    Result(
        Path("=b.yaml"),
        "printed",
        verdict=Verdict.ASK,
        files=(Path("out/=b-client.pdf"),),
        unchanged=(Path("out/=b-client.pdf"),),
        materials=(
            line("staple", "9", "2.60"),
            line("strap", "3", None),
            line("staple", "1", "9", "packs"),
        ),
    ),
    Result(Path("c.yaml"), "faults", "c.yaml: no"),
)


def test_materials_are_added_up_by_article() -> None:
    sums = {
        (t.material.article, t.material.bought_in): (t.material.needed, t.material.cost, t.jobs)
        for t in batch.totals(RESULTS)
    }
    assert sums == {
        ("staple", "pieces"): (20, 10, 2),
        ("staple", "packs"): (1, 9, 1),
        ("strap", "pieces"): (Decimal("5.001"), None, 2),
    }


def test_the_table_of_many_jobs() -> None:
    assert (
        batch.as_table(RESULTS)
        == """\
job      verdict              materials   files
a.yaml   READY TO START       $ 1,234.50  2 new, 0 unchanged
=b.yaml  READY, IF ...                    0 new, 1 unchanged
c.yaml   NOT PRINTED: faults

article  jobs  needed       to buy       cost before tax
staple   1     1 pieces     1 packs      $ 9.00
staple   2     20 pieces    20 pieces    $ 10.00
strap    2     5.01 pieces  5.01 pieces

NOT PRINTED: faults: 1; READY TO START: 1; READY, IF ...: 1"""
    )


def test_the_summary_is_a_table_that_no_spreadsheet_takes_for_formulas() -> None:
    head, *rows = csv.reader(io.StringIO(batch.as_csv(RESULTS)))
    assert head == list(batch.CSV_COLUMNS)
    assert rows == [
        [
            "job",
            "a.yaml",
            "READY TO START",
            "1",
            "",
            "",
            "",
            "",
            "1234.5",
            "a-client.pdf a-permit.pdf",
        ],
        ["job", "'=b.yaml", "READY, IF ...", "1", "", "", "", "", "", "'=b-client.pdf"],
        ["job", "c.yaml", "NOT PRINTED: faults", "1", "", "", "", "", "", ""],
        ["material", "staple", "", "1", "1", "pieces", "1", "packs", "9", ""],
        ["material", "staple", "", "2", "20", "pieces", "20", "pieces", "10", ""],
        ["material", "strap", "", "2", "5.01", "pieces", "5.01", "pieces", "", ""],
    ]


def test_the_sums_are_those_of_the_shopping_lists(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A job that may not start buys nothing; the others' costs are those of their summaries."""
    from tests.demos.conftest import planned

    monkeypatch.setattr("packet.printing._pdf", lambda _: b"")
    real = batch.print_jobs
    monkeypatch.setattr(
        batch, "print_jobs", lambda jobs, settings, **_: real(jobs, settings, AtOnce())
    )
    summary = tmp_path / "sums" / "all.csv"
    arguments = ["build", str(JOBS), "--out", str(tmp_path / "out"), "--summary", str(summary)]
    assert cli.main(arguments) == 3
    assert capsys.readouterr().out.splitlines()[-1] == str(summary)
    rows = [row for row in csv.DictReader(io.StringIO(summary.read_text())) if row["kind"] == "job"]
    found = {Path(row["name"]).stem: row["cost in USD"] for row in rows}
    for name, cost in found.items():
        plan = planned(name)
        if plan.ledger.verdict is Verdict.FALLS_SHORT:
            assert cost == ""
        elif plan.shopping and plan.shopping.total:
            assert Decimal(cost) == plan.shopping.total.value.magnitude
    assert len(found) == len(list(JOBS.glob("*.yaml")))


def test_two_jobs_of_one_name_are_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    one, other = copies(tmp_path / "a", "job")[0], copies(tmp_path / "b", "job")[0]
    assert cli.main(["build", str(one), str(other), "--out", str(tmp_path / "out")]) == 2
    assert capsys.readouterr().err == (
        f"packet: `{one}` and `{other}` would both be printed to `job-clipboard.pdf`; rename one of"
        " them, or print it to another folder\n"
    )
    assert not (tmp_path / "out").exists()


def test_a_job_named_twice_is_one_job(tmp_path: Path) -> None:
    (one,) = copies(tmp_path, "job")
    assert build._job_files([one, tmp_path, tmp_path / "." / "job.yaml"]) == [one]


def test_a_folder_without_jobs_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / ".hidden.yaml").write_text("")
    assert cli.main(["build", str(tmp_path)]) == 2
    assert f"no job file (*.yaml) is in the folder `{tmp_path}`" in capsys.readouterr().err


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_a_terminal_shows_how_long_the_rest_takes(monkeypatch: pytest.MonkeyPatch) -> None:
    now = iter((100.0, 130.0, 7300.0))
    monkeypatch.setattr("packet.commands.build.time.monotonic", lambda: next(now))
    terminal = Terminal()
    countdown = build._Countdown(4, terminal)
    countdown.clear()
    countdown.show(1)
    countdown.clear()
    countdown.show(3)
    countdown.clear()
    countdown.show(4)
    lines = terminal.getvalue().split("\r\x1b[K")
    assert lines == [
        "0 of 4 jobs done",
        "1 of 4 jobs done, about 2 min left",
        "3 of 4 jobs done, about 40 min left",
        "",
    ]


def test_what_is_no_terminal_shows_nothing() -> None:
    stream = io.StringIO()
    countdown = build._Countdown(2, stream)
    countdown.show(1)
    countdown.clear()
    assert stream.getvalue() == ""


def test_a_cluster_prints_the_same_bytes(tmp_path: Path) -> None:
    distributed = pytest.importorskip("distributed")
    jobs = copies(tmp_path / "jobs", "a", "b")
    cluster = distributed.LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None)
    with cluster, distributed.Client(cluster) as client, client.get_executor() as executor:
        settings = Settings(tmp_path / "cluster", ("client",))
        results = list(batch.print_jobs([*jobs, tmp_path / "none.yaml"], settings, executor))
    assert sorted(result.ending for result in results) == ["faults", "printed", "printed"]
    list(batch.print_jobs(jobs[:1], Settings(tmp_path / "here", ("client",)), AtOnce()))
    (here,) = (tmp_path / "here").iterdir()
    assert here.read_bytes() == (tmp_path / "cluster" / here.name).read_bytes()
