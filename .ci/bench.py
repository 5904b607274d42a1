"""How fast the tool is, as medians and as ratios to what lies below it.

    python .ci/bench.py check          the command against Python with the YAML reader
    python .ci/bench.py core           jobs a second, after import
    python .ci/bench.py build          the command against the bare renderer, and Chromium
    python .ci/bench.py many 20        jobs made from the demos, by number of processes

Nothing here passes or fails: a machine is quiet or it is not. Processor time (user and system,
with all children) stands beside wall time; what is compared is run turn about, and a ratio is
the median of the paired ratios of processor time.
"""

from __future__ import annotations

import argparse
import os
import random
import re
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from packet.render import PackageFiles

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))
DEMOS = sorted((ROOT / "jobs").glob("*.yaml"))
ENVIRONMENT = {**os.environ, "PYTHONPATH": str(ROOT)}

Times = tuple[float, float]
"""Wall and processor time of one run. [s]"""

PLAIN = """
import sys, weasyprint
from packet.render import PackageFiles
html = open(sys.argv[1], encoding="utf-8").read()
page = weasyprint.HTML(string=html, base_url="packet:", url_fetcher=PackageFiles())
page.write_pdf(sys.argv[2], **eval(sys.argv[3]))
"""
"""The straightforward render: the same HTML, styles and fonts in a plain process."""


def run(command: Sequence[str]) -> Times:
    """Run a command to its end."""
    before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.monotonic()
    subprocess.run(  # noqa: S603
        command,
        cwd=ROOT,
        env=ENVIRONMENT,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        check=False,
    )
    wall, after = time.monotonic() - start, resource.getrusage(resource.RUSAGE_CHILDREN)
    return wall, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def compare(commands: dict[str, Callable[[], Times]], times: int) -> None:
    """Run all turn about; print each with its ratio to the first."""
    found: dict[str, list[Times]] = {name: [] for name in commands}
    for _ in range(times):
        for name, command in commands.items():
            found[name].append(command())
    first = next(iter(found.values()))
    for name, runs in found.items():
        wall, used = (statistics.median(one) for one in zip(*runs, strict=True))
        ratios = [[a[n] / b[n] for a, b in zip(runs, first, strict=True)] for n in (0, 1)]
        by_wall, by_used = map(statistics.median, ratios)
        print(
            f"{name:52} wall {wall:7.3f} s (x {by_wall:5.2f})"
            f"  processor {used:7.3f} s (x {by_used:5.2f})"
        )


def python(*arguments: str) -> Callable[[], Times]:
    """Return a run of this Python."""
    return lambda: run([sys.executable, *arguments])


def check(times: int) -> None:
    """Compare `check` of each demo, whole process."""
    commands = {
        "python -c pass, with import of yaml": python("-c", "import yaml"),
        "python -c pass": python("-c", "pass"),
    }
    for demo in DEMOS:
        commands[f"packet check {demo.name}"] = python("-m", "packet", "check", str(demo))
    compare(commands, times)


def core(times: int) -> None:
    """Count jobs read, worked out and judged in a second, on one core after import."""
    from packet.findings import worst_first
    from packet.jobfile import load_job
    from packet.plans.branch_circuit import plan

    for demo in DEMOS:
        used = []
        for _ in range(times + 2):
            start = time.process_time()
            job = load_job(demo)
            read = time.process_time()
            list(worst_first(plan(job).ledger))
            used.append((time.process_time() - start, read - start))
        whole, reading = (statistics.median(one) for one in zip(*used[2:], strict=True))
        print(
            f"{demo.name:28} {1 / whole:6.1f} jobs/s   reading {reading * 1e3:6.2f} ms,"
            f" working out {(whole - reading) * 1e3:6.2f} ms"
        )


def build(times: int, name: str, reader: str) -> None:
    """Compare `build` of one set with renderers given the same HTML."""
    from packet.jobfile import load_job
    from packet.plans.branch_circuit import plan
    from packet.render import PackageFiles, html
    from packet.sheets.sets import SETS

    demo = ROOT / "jobs" / f"{name}.yaml"
    with tempfile.TemporaryDirectory() as temporary:
        folder = Path(temporary)
        planned = plan(load_job(demo))
        readers = list(SETS) if reader == "all" else [reader]
        pages = [folder / f"{one}.html" for one in readers]
        for one, page in zip(readers, pages, strict=True):
            page.write_text(html(SETS[one](planned), "letter"), "utf-8")

        def plain(options: str) -> Callable[[], Times]:
            def each() -> Times:
                runs = [
                    run([sys.executable, "-c", PLAIN, str(page), str(folder / "x.pdf"), options])
                    for page in pages
                ]
                return sum(one[0] for one in runs), sum(one[1] for one in runs)

            return each

        out = ["--out", str(folder), "--for", reader]
        commands = {
            "plain render, tagged, with fields": plain(
                "{'pdf_variant': 'pdf/ua-1', 'pdf_forms': True}"
            ),
            "plain render, neither": plain("{}"),
            f"packet build {name} --for {reader}": python(
                "-m", "packet", "build", str(demo), *out, "--replace"
            ),
            "  the same again, unchanged": python("-m", "packet", "build", str(demo), *out),
        }
        if reader == "all":
            one_process = [*out, "--replace", "--processes", "1"]
            commands["  the same in one process"] = python(
                "-m", "packet", "build", str(demo), *one_process
            )
        browser = shutil.which("chromium")
        if browser is None:
            print("chromium is not installed: no comparison with it")
        else:
            fetch = PackageFiles()
            for page in pages:
                page.with_suffix(".c.html").write_text(
                    _for_browser(page.read_text("utf-8"), folder, fetch), "utf-8"
                )
            commands["chromium --headless, the same HTML"] = lambda: _sum(
                run(
                    [
                        browser,
                        "--headless",
                        "--no-sandbox",
                        "--disable-gpu",
                        f"--print-to-pdf={folder / 'c.pdf'}",
                        str(page.with_suffix(".c.html")),
                    ]
                )
                for page in pages
            )
        compare(commands, times)


def _sum(runs: Sequence[Times]) -> Times:
    found = list(runs)
    return sum(one[0] for one in found), sum(one[1] for one in found)


def _for_browser(text: str, folder: Path, fetch: PackageFiles) -> str:
    """Write the styles and fonts beside the page, and point it at them."""
    from packet.render import FONTS
    from packet.resources import folder as of

    for style in of("styles").iterdir():
        content = (
            style.read_text("utf-8").replace("packet:styles/", "").replace("packet:fonts/", "font-")
        )
        (folder / style.name).write_text(content, "utf-8")
    for name in FONTS:
        (folder / f"font-{name}").write_bytes(fetch.fetch(f"packet:fonts/{name}").read())
    return text.replace("packet:styles/", "")


def made(folder: Path, count: int) -> list[Path]:
    """Write `count` jobs made from the demos: other numbers, lengths, loads and areas."""
    folder.mkdir(parents=True, exist_ok=True)
    draw = random.Random(11)  # noqa: S311
    paths = []
    for number in range(count):
        demo = DEMOS[number % len(DEMOS)]
        text = re.sub(r"(?m)^(  number: ).*", rf"\g<1>JOB-{number:04}", demo.read_text(), count=1)
        for key, unit in (("length", "ft"), ("floor_area", "ft2"), ("garage_area", "ft2")):
            text = re.sub(
                rf"(\b{key}: )(\d+)(?:\.\d+)? {unit}\b",
                lambda found, unit=unit: (
                    f"{found[1]}{max(2, round(int(found[2]) * draw.uniform(0.8, 1.1)))} {unit}"
                ),
                text,
            )
        path = folder / f"job-{number:04}.yaml"
        path.write_text(text)
        paths.append(path)
    return paths


def many(counts: Sequence[int], reader: str, processes: int) -> None:
    """Print jobs made from the demos; report packets a minute and memory of the workers."""
    for count in counts:
        with tempfile.TemporaryDirectory() as temporary:
            folder = Path(temporary)
            made(folder / "jobs", count)
            command = ["-m", "packet", "build", str(folder / "jobs"), "--out", str(folder / "out")]
            start = time.monotonic()
            running = subprocess.Popen(  # noqa: S603
                [
                    sys.executable,
                    *command,
                    "--for",
                    reader,
                    "--processes",
                    str(processes),
                    "--summary",
                    str(folder / "s.csv"),
                ],
                cwd=ROOT,
                env=ENVIRONMENT,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                start_new_session=True,
            )
            seen: dict[int, tuple[int, int]] = {}
            while running.poll() is None:
                time.sleep(0.5)
                for pid, size, used in _processes(running.pid):
                    seen[pid] = (max(size, seen.get(pid, (0, 0))[0]), used)
            wall = time.monotonic() - start
            used = sum(used for _, used in seen.values())
            printed = len(list((folder / "out").glob("*.pdf")))
            sizes = sorted((size // 1024 for size, _ in seen.values()), reverse=True)
            print(
                f"{count} jobs, {printed} packets, ends {running.returncode}: {wall:.1f} s wall,"
                f" {used} s processor; {printed / wall * 60:.1f} packets/min,"
                f" {printed / max(used, 1) * 60:.1f} per minute of a core;"
                f" largest processes {sizes[: processes + 2]} MiB",
                flush=True,
            )


def _processes(session: int) -> list[tuple[int, int, int]]:
    """Return number, resident size [KiB] and processor time [s] of each process of a session."""
    listed = subprocess.run(  # noqa: S603
        ["/bin/ps", "-o", "pid=,rss=,cputimes=", "-s", str(session)],
        capture_output=True,
        text=True,
        check=False,
    )
    rows = (line.split() for line in listed.stdout.splitlines())
    return [(int(pid), int(size), int(used)) for pid, size, used in rows]


def main() -> None:
    """Take the command line."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("what", choices=["check", "core", "build", "many"])
    parser.add_argument(
        "counts", nargs="*", type=int, default=[1, 5, 20], help="of jobs, for `many`"
    )
    parser.add_argument("--times", type=int, default=7)
    parser.add_argument("--job", default="garage-receptacle")
    parser.add_argument("--for", dest="reader", default="clipboard")
    parser.add_argument("--processes", type=int, default=len(os.sched_getaffinity(0)))
    options = parser.parse_args()
    if options.what == "check":
        check(options.times)
    elif options.what == "core":
        core(options.times)
    elif options.what == "build":
        build(options.times, options.job, options.reader)
    else:
        many(options.counts, options.reader, options.processes)


if __name__ == "__main__":
    main()
