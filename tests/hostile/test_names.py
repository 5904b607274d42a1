"""Names of what is printed come from the job file's own name, and lead nowhere else."""

from __future__ import annotations

from pathlib import Path

import pytest

from packet.files import write_all
from packet.printing import Settings

NAMES = [
    *(
        "../../x.yaml",
        "/etc/cron.d/x.yaml",
        "..",
        "...",
        ".yaml",
        "....yaml",
        "con.yaml",
        "NUL.yaml",
    ),
    *("a\nb.yaml", "-rf.yaml", "$(id).yaml", "a;b.yaml", "~.yaml", "..\\..\\x.yaml"),
    "x" * 240 + ".yaml",
]


@pytest.mark.parametrize("name", NAMES)
def test_a_packet_lies_in_its_folder_under_one_name(name: str, tmp_path: Path) -> None:
    file = Settings(tmp_path).file_name(Path(name), "clipboard")
    assert Path(file).name == file
    assert file.endswith("-clipboard.pdf")
    (written,) = write_all(tmp_path, {file: b"x"})
    assert written.parent == tmp_path
    assert [one.name for one in tmp_path.iterdir()] == [file]


def test_a_name_too_long_for_the_disk_writes_nothing(tmp_path: Path) -> None:
    long = Settings(tmp_path).file_name(Path("x" * 250 + ".yaml"), "clipboard")
    with pytest.raises(OSError, match="too long"):
        write_all(tmp_path, {"good.pdf": b"x", long: b"x"})
    assert list(tmp_path.iterdir()) == []


def test_a_link_that_stands_where_a_packet_goes_is_replaced_and_not_followed(
    tmp_path: Path,
) -> None:
    elsewhere = tmp_path / "elsewhere"
    elsewhere.write_bytes(b"kept")
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "job-clipboard.pdf").symlink_to(elsewhere)
    (written,) = write_all(tmp_path / "out", {"job-clipboard.pdf": b"new"})
    assert (elsewhere.read_bytes(), written.read_bytes()) == (b"kept", b"new")
    assert not written.is_symlink()
