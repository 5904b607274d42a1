"""Feed the reader and the whole check with job files made wrong, and report what breaks.

`python .ci/fuzz.py --cases 100000` changes the demos in their tree and in their text
(`tests/jobfile/mutations.py`) and holds each against `tests/jobfile/judging.py`. The cases come
in batches of 250; a batch is made again from its seed: `--seed 17 --cases 250`. What broke is
printed once for each way through the code, with its seed and its changes; `--keep DIR` writes
the files. Ctrl-C ends it with the figures so far. The end status is 0 when nothing broke.
No part of `.ci/run`.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
import traceback
from collections import Counter
from concurrent.futures import ProcessPoolExecutor, as_completed
from dataclasses import dataclass, field
from pathlib import Path
from zlib import crc32

ROOT = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(ROOT))

from hypothesis import HealthCheck, Phase, given, seed, settings  # noqa: E402

from tests.jobfile.judging import judged  # noqa: E402
from tests.jobfile.mutations import Case, any_case  # noqa: E402

BATCH = 250

SHEETS = 10
"""Of how many sound jobs the sheets of one are laid out too."""

SLOW = 5.0
"""Seconds of the processor after which a case counts as broken."""

BROKEN = "broken"


@dataclass
class Found:
    """How the cases ended, and what broke: way through the code -> first seed, case, trace."""

    ends: Counter[str] = field(default_factory=Counter)
    codes: Counter[str] = field(default_factory=Counter)
    broken: dict[str, tuple[int, Case, str]] = field(default_factory=dict)
    slowest: float = 0.0

    def add(self, other: Found) -> dict[str, tuple[int, Case, str]]:
        """Take in what a batch found; return what broke for the first time."""
        new = {way: one for way, one in other.broken.items() if way not in self.broken}
        self.ends += other.ends
        self.codes += other.codes
        self.broken |= new
        self.slowest = max(self.slowest, other.slowest)
        return new


def run(number: int, cases: int) -> Found:
    """Try the cases of one seed."""
    found = Found()
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "job.yaml"

        @seed(number)
        @settings(
            max_examples=cases,
            database=None,
            deadline=None,
            phases=[Phase.generate],
            suppress_health_check=list(HealthCheck),
        )
        @given(any_case())
        def each(case: Case) -> None:
            _try(found, number, case, file)

        each()
    return found


def _try(found: Found, number: int, case: Case, file: Path) -> None:
    content = case.content()
    file.write_bytes(content)
    start = time.process_time()
    try:
        end = judged(file, sheets=crc32(content) % SHEETS == 0)
        took = time.process_time() - start
        if took > SLOW:
            raise TimeoutError(f"{took:.1f} s")
    except Exception as fault:  # whatever it is, it is what we look for
        found.ends[BROKEN] += 1
        steps = traceback.extract_tb(fault.__traceback__)
        ours = [step for step in steps if "/packet/" in step.filename] or list(steps)
        way = " ".join(f"{Path(step.filename).name}:{step.lineno}" for step in ours[-4:])
        trace = "".join(traceback.format_exception(fault)[-4:])
        found.broken.setdefault(f"{type(fault).__name__} {way}", (number, case, trace))
    else:
        found.slowest = max(found.slowest, took)
        is_refused = end[-1:].isdigit()
        found.ends["refused" if is_refused else end] += 1
        found.codes.update(end.split() if is_refused else ())


def main() -> int:
    """Run all batches; return 1 when anything broke."""
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("--cases", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1, help="of the first batch")
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--keep", type=Path, help="folder for the files that broke something")
    options = parser.parse_args()
    start = time.monotonic()
    whole = Found()
    seeds = range(options.seed, options.seed + -(-options.cases // BATCH))
    pool = ProcessPoolExecutor(options.workers, max_tasks_per_child=40)
    try:
        waiting = [pool.submit(run, number, min(BATCH, options.cases)) for number in seeds]
        for done, batch in enumerate(as_completed(waiting), 1):
            for way, (number, case, trace) in whole.add(batch.result()).items():
                _tell(f"\n== {way}\nseed {number}: {case}\n{trace}")
                if options.keep:
                    options.keep.mkdir(parents=True, exist_ok=True)
                    name = f"{crc32(way.encode()):08x}.yaml"
                    (options.keep / name).write_bytes(case.content())
            if done % 4 == 0 or done == len(seeds):
                took = time.monotonic() - start
                broken = whole.ends[BROKEN]
                _tell(f"{whole.ends.total()} cases in {took:.0f} s; broken {broken}")
    except KeyboardInterrupt:
        pool.shutdown(wait=False, cancel_futures=True)
    _tell(f"seeds {seeds.start} to {seeds.stop - 1}; slowest case {whole.slowest:.2f} s")
    _tell(f"ends {dict(whole.ends)}")
    _tell(f"codes {dict(sorted(whole.codes.items()))}")
    return 1 if whole.broken else 0


def _tell(text: str) -> None:
    sys.stdout.write(text + "\n")
    sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main())
