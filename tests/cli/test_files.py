"""Files are written whole or not at all, whatever goes wrong, and nothing is left behind."""

from __future__ import annotations

import errno
import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from packet import files

NAMES = ("job-clipboard.pdf", "job-client.pdf", "job-permit.pdf")
OLD = dict.fromkeys(NAMES, b"yesterday")
NEW = dict.fromkeys(NAMES, b"today")


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def test_all_files_are_written_and_nothing_else(tmp_path: Path) -> None:
    folder = tmp_path / "new" / "folder"
    assert files.write_all(folder, NEW) == [folder / name for name in NAMES]
    assert contents(folder) == NEW


def test_older_files_are_replaced(tmp_path: Path) -> None:
    files.write_all(tmp_path, OLD)
    files.write_all(tmp_path, NEW)
    assert contents(tmp_path) == NEW


class Failing:
    """Calls `real`, and fails with `error` at the call number `at`."""

    def __init__(self, real: Callable[..., Any], error: int, at: int) -> None:
        self.real, self.error, self.left = real, error, at

    def __call__(self, *arguments: Any, **options: Any) -> Any:
        self.left -= 1
        if self.left == 0:
            raise OSError(self.error, os.strerror(self.error))
        return self.real(*arguments, **options)


@pytest.mark.parametrize("at", [1, 2, 3])
@pytest.mark.parametrize(
    ("owner", "name", "error"),
    [
        (os, "open", errno.EACCES),
        (os, "fdopen", errno.ENOSPC),
        (os, "fsync", errno.ENOSPC),
        (os, "link", errno.EIO),
        (Path, "replace", errno.ENOSPC),
    ],
)
def test_of_three_files_all_are_written_or_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, owner: Any, name: str, error: int, at: int
) -> None:
    """A new offer beside an old permit set would be two prices for two jobs."""
    files.write_all(tmp_path, OLD)
    failing = Failing(getattr(owner, name), error, at)
    with monkeypatch.context() as patched:
        patched.setattr(owner, name, lambda *a, **o: failing(*a, **o))
        with pytest.raises(OSError, match=os.strerror(error)):
            files.write_all(tmp_path, NEW)
    assert contents(tmp_path) == OLD
    files.write_all(tmp_path, NEW)
    assert contents(tmp_path) == NEW


def test_a_disk_that_is_full_in_the_middle_of_a_file(tmp_path: Path) -> None:
    """The limit on the size of a file stands in for the disk: the write itself fails."""
    files.write_all(tmp_path, OLD)
    program = (
        "import resource, signal; from pathlib import Path; from packet.files import write_all;"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN);"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, 100_000));"
        f"write_all(Path({str(tmp_path)!r}), {{name: b'x' * 150_000 for name in {NAMES!r}}})"
    )
    done = subprocess.run(  # noqa: S603
        [sys.executable, "-c", program], capture_output=True, text=True, check=False
    )
    assert "File too large" in done.stderr
    assert contents(tmp_path) == OLD


def test_new_files_that_had_no_older_ones_are_taken_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    failing = Failing(Path.replace, errno.EIO, 2)
    with monkeypatch.context() as patched:
        patched.setattr(Path, "replace", lambda *a: failing(*a))
        with pytest.raises(OSError, match="Input/output error"):
            files.write_all(tmp_path, NEW)
    assert list(tmp_path.iterdir()) == []


def test_a_file_system_without_second_names(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def link(*_: object, **__: object) -> None:
        raise OSError(errno.EPERM, "no hard links here")

    files.write_all(tmp_path, OLD)
    failing = Failing(Path.replace, errno.EIO, 3)
    with monkeypatch.context() as patched:
        patched.setattr(os, "link", link)
        patched.setattr(Path, "replace", lambda *a: failing(*a))
        with pytest.raises(OSError, match="Input/output error"):
            files.write_all(tmp_path, NEW)
    assert contents(tmp_path) == OLD


def test_a_folder_with_the_name_of_a_file_stops_all(tmp_path: Path) -> None:
    files.write_all(tmp_path, {NAMES[0]: b"yesterday"})
    (tmp_path / NAMES[2]).mkdir()
    with pytest.raises(IsADirectoryError):
        files.write_all(tmp_path, NEW)
    assert contents(tmp_path) == {NAMES[0]: b"yesterday"}


def test_a_link_is_replaced_and_what_it_leads_to_is_not(tmp_path: Path) -> None:
    elsewhere = tmp_path / "elsewhere.txt"
    elsewhere.write_bytes(b"mine")
    target = tmp_path / "out" / NAMES[0]
    target.parent.mkdir()
    target.symlink_to(elsewhere)
    files.write_all(target.parent, {NAMES[0]: b"today"})
    assert elsewhere.read_bytes() == b"mine"
    assert not target.is_symlink()


WRITER = """
import sys
from pathlib import Path
from packet.files import write_all
number = 0
while True:
    number += 1
    content = f"{number:09}".encode() * 40_000
    write_all(Path(sys.argv[1]), {name: content for name in sys.argv[2:]})
    print(number, flush=True)
"""


def killed_while_writing(folder: Path, after: float) -> None:
    """Kill a process that writes without end; hold that each file is whole, then clear away."""
    writer = subprocess.Popen(  # noqa: S603
        [sys.executable, "-c", WRITER, str(folder), *NAMES], stdout=subprocess.PIPE
    )
    assert writer.stdout is not None
    writer.stdout.readline()
    time.sleep(after)
    writer.send_signal(signal.SIGKILL)
    writer.communicate()
    for name in NAMES:
        content = (folder / name).read_bytes()
        assert content == content[:9] * 40_000
    files.clear_left_overs(folder)
    assert sorted(contents(folder)) == sorted(NAMES)


def test_a_killed_process_leaves_whole_files_and_nothing_else(tmp_path: Path) -> None:
    moments = random.Random(4)  # noqa: S311
    for _ in range(6):
        killed_while_writing(tmp_path, moments.uniform(0, 0.03))


def test_only_left_overs_of_ours_are_cleared_away(tmp_path: Path) -> None:
    (tmp_path / ".packet-0123456789abcdef.part").write_bytes(b"half")
    others = {".packet-notes.part": b"a", "job.pdf.part": b"b", ".packet-0.part": b"c"}
    for name, content in others.items():
        (tmp_path / name).write_bytes(content)
    secret = tmp_path / "secret"
    secret.write_bytes(b"d")
    (tmp_path / ".packet-fedcba9876543210.part").symlink_to(secret)
    (tmp_path / ".packet-00000000000000ff.part").mkdir()
    with files._part(tmp_path, b"being written") as part:
        files.clear_left_overs(tmp_path)
        assert part.read_bytes() == b"being written"
    left = {path.name for path in tmp_path.iterdir()}
    assert ".packet-0123456789abcdef.part" not in left
    assert {*others, "secret", ".packet-00000000000000ff.part"} <= left
    assert secret.read_bytes() == b"d"


def test_a_temporary_folder_goes_with_its_process_or_with_the_next(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    program = (
        "import tempfile, time; from packet.files import own_folder;"
        f"tempfile.tempdir = {str(tmp_path)!r}; print(own_folder('packet-try-'), flush=True);"
        "time.sleep(60)"
    )
    other = subprocess.Popen(  # noqa: S603
        [sys.executable, "-c", program], stdout=subprocess.PIPE, text=True
    )
    assert other.stdout is not None
    of_other = Path(other.stdout.readline().strip())
    (of_other / "font").write_bytes(b"font")
    mine = tmp_path / "mine"
    mine.mkdir()
    (tmp_path / "packet-try-link").symlink_to(mine)
    (tmp_path / "packet-try-file").write_bytes(b"")
    own = files.own_folder("packet-try-")
    assert of_other.is_dir()
    other.kill()
    other.communicate()
    assert files.own_folder("packet-try-") != own
    assert not of_other.exists()
    assert own.is_dir()
    assert mine.is_dir()
    assert (tmp_path / "packet-try-file").is_file()
