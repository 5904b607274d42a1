"""Files written whole or not at all; what a killed run left behind is cleared away."""

from __future__ import annotations

import errno
import fcntl
import os
import re
import secrets
import shutil
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import ExitStack, contextmanager, suppress
from pathlib import Path

_PART = re.compile(r"\.packet-[0-9a-f]{16}\.part")

_NO_SECOND_NAMES = {errno.EPERM, errno.ENOTSUP, errno.EOPNOTSUPP, errno.EMLINK, errno.ENOSYS}
"""What a file system answers that knows no hard links."""


def clear_left_overs(folder: Path) -> None:
    """Delete what killed runs of this tool left in `folder`, and nothing else.

    What cannot be deleted stays; whether the folder can be written to shows when it is.
    """
    with suppress(OSError):
        for name in os.listdir(folder):  # noqa: PTH208 - no path object for each of many packets
            if _PART.fullmatch(name):
                _clear(folder / name)


def own_folder(prefix: str) -> Path:
    """Return a new temporary folder of this process, which is locked while the process lives.

    Folders of the same user and `prefix` whose process is gone are deleted: no process that is
    killed can do that itself.
    """
    for name in Path(tempfile.gettempdir()).glob(f"{prefix}*"):
        _clear_folder(name)
    while True:
        folder = Path(tempfile.mkdtemp(prefix=prefix))
        with suppress(FileNotFoundError):
            opened = os.open(folder, os.O_RDONLY | os.O_CLOEXEC)
            if _locked(opened) and folder.is_dir():
                return folder
            os.close(opened)


def _clear_folder(folder: Path) -> None:
    with suppress(OSError):
        opened = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_NOFOLLOW | os.O_CLOEXEC)
        try:
            if os.fstat(opened).st_uid == os.geteuid() and _locked(opened):
                shutil.rmtree(folder, ignore_errors=True)
        finally:
            os.close(opened)


def write_all(folder: Path, contents: Mapping[str, bytes]) -> list[Path]:
    """Write all files whole or none; older ones stay until every new one is on the disk.

    A run that is killed leaves each file either old or new, never a part of one.

    Parameters
    ----------
    folder : path
    contents : mapping of str to bytes
        Content by file name.

    Returns
    -------
    list of Path

    Raises
    ------
    OSError
        When a file cannot be written; then every older file stands as it was.
    """
    folder.mkdir(parents=True, exist_ok=True)
    targets = [folder / name for name in contents]
    with ExitStack() as parts:
        written = [parts.enter_context(_part(folder, content)) for content in contents.values()]
        for target in targets:
            if target.is_dir():
                raise IsADirectoryError(errno.EISDIR, "a folder has the name of a file", target)
        _put_in_place(dict(zip(written, targets, strict=True)))
    return targets


@contextmanager
def _part(folder: Path, content: bytes) -> Iterator[Path]:
    """Write `content` under a name of its own; it is gone at the end unless it was moved."""
    path, file = _new(folder)
    try:
        with os.fdopen(file, "wb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
            yield path
    finally:
        path.unlink(missing_ok=True)


def _new(folder: Path) -> tuple[Path, int]:
    """Open a new file that is locked while its process lives."""
    while True:
        path = _free_name(folder)
        file = os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY | os.O_CLOEXEC, 0o666)
        if _locked(file) and os.fstat(file).st_nlink:
            return path, file
        os.close(file)  # another run took it for a left-over in that very moment


def _free_name(folder: Path) -> Path:
    return folder / f".packet-{secrets.token_hex(8)}.part"


def _locked(file: int) -> bool:
    try:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True


def _clear(path: Path) -> None:
    """Delete a part whose process is gone; leave one that is being written."""
    with suppress(OSError):
        file = os.open(path, os.O_RDONLY | os.O_NONBLOCK | os.O_NOFOLLOW | os.O_CLOEXEC)
        try:
            if _locked(file):
                path.unlink()
        finally:
            os.close(file)


def _put_in_place(targets: Mapping[Path, Path]) -> None:
    """Move every part to its name; at the first that cannot be moved, undo those before it."""
    older: dict[Path, Path | None] = {}
    try:
        for target in targets.values():
            older[target] = _second_name(target)
        for part, target in targets.items():
            part.replace(target)
        for folder in {target.parent for target in older}:
            _sync(folder)
    except OSError:
        for target, kept in older.items():
            if kept is not None:
                kept.replace(target)
            else:
                target.unlink(missing_ok=True)
        raise
    finally:
        for kept in older.values():
            if kept is not None:
                kept.unlink(missing_ok=True)


def _second_name(target: Path) -> Path | None:
    """Give the older file a second name, to bring it back by; None where there is no older file."""
    name = _free_name(target.parent)
    try:
        os.link(target, name, follow_symlinks=False)
    except FileNotFoundError:
        return None
    except OSError as fault:
        if fault.errno not in _NO_SECOND_NAMES:
            raise
        shutil.copy2(target, name, follow_symlinks=False)
    return name


def _sync(folder: Path) -> None:
    """Have the names of a folder on the disk, not only in memory."""
    opened = os.open(folder, os.O_RDONLY | os.O_CLOEXEC)
    try:
        os.fsync(opened)
    except OSError as fault:
        if fault.errno != errno.EINVAL:  # some file systems sync no folders
            raise
    finally:
        os.close(opened)
