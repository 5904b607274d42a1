"""Kill runs at random moments, and hold that no packet is lost, halved or left in parts.

`python .ci/kills.py 200` kills 200 runs of `packet build` anywhere between start and end, and
five times as many writers in the act of writing. It takes minutes, and is no part of `.ci/run`.
"""

from __future__ import annotations

import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from packet import files, mark  # noqa: E402
from tests.cli.test_files import killed_while_writing  # noqa: E402

JOB = ROOT / "jobs" / "full-service.yaml"


def job(folder: Path, number: int) -> Path:
    """Return the demo under another number, so that every run has something new to print."""
    path = folder / JOB.name
    path.write_text(JOB.read_text().replace("PEN-0057", f"PEN-{number:04}"))
    return path


def command(folder: Path, number: int) -> subprocess.Popen[bytes]:
    """Start a run."""
    arguments = ["build", str(job(folder, number)), "--out", str(folder), "--for", "client"]
    return subprocess.Popen(  # noqa: S603
        [sys.executable, "-m", "packet", *arguments],
        cwd=ROOT,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )


def main(count: int) -> None:
    """Kill and look."""
    moments = random.Random(7)  # noqa: S311
    ended = killed = parts = 0
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        packet = folder / "full-service-client.pdf"
        start = time.monotonic()
        command(folder, 0).wait()
        usual = time.monotonic() - start
        for number in range(1, count + 1):
            before = packet.read_bytes()
            run = command(folder, number)
            try:
                run.wait(moments.uniform(0, 1.1 * usual))
                ended += 1
            except subprocess.TimeoutExpired:
                run.kill()
                run.wait()
                killed += 1
            after = packet.read_bytes()
            if mark.made_from(after) is None:
                raise SystemExit(f"run {number} left half a packet")
            if run.returncode == 3 and after == before:
                raise SystemExit(f"run {number} ended well and printed nothing")
            parts += len(list(folder.glob(".packet-*")))
            files.clear_left_overs(folder)
            if list(folder.glob(".packet-*")):
                raise SystemExit(f"run {number} left a part that is not cleared away")
        print(f"runs killed: {killed}, ended before: {ended}, parts cleared away: {parts}")
    for _ in range(5 * count):
        with tempfile.TemporaryDirectory() as name:
            killed_while_writing(Path(name), moments.uniform(0, 0.03))
    print(f"writers killed: {5 * count}; every file whole")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
