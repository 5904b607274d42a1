"""Files written whole or not at all."""

from __future__ import annotations

import errno
import os
from collections.abc import Mapping
from pathlib import Path


def write_whole(folder: Path, contents: Mapping[str, bytes]) -> list[Path]:
    """Write all files whole or none; older ones stay until every new one is complete.

    Parameters
    ----------
    folder : Path
        Made where it is not there.
    contents : mapping
        Name of a file -> what it holds.

    Raises
    ------
    OSError
        When one cannot be written; then none was.
    """
    folder.mkdir(parents=True, exist_ok=True)
    parts = {folder / f".{name}.part": folder / name for name in contents}
    try:
        for part, content in zip(parts, contents.values(), strict=True):
            with part.open("wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
        for target in parts.values():
            if target.is_dir():
                raise IsADirectoryError(errno.EISDIR, "a folder has the name of a file", target)
        for part, target in parts.items():
            part.replace(target)
    except OSError:
        for part in parts:
            if part.is_file():
                part.unlink()
        raise
    return list(parts.values())
