import os
from pathlib import Path

import pytest

from coachbook.files.reading import read_file, read_text


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "file"


def test_a_file_is_read_up_to_the_largest_there_is_room_for(file: Path) -> None:
    file.write_bytes(b"x" * 2_000_000)
    assert len(read_file(file, 2_000_000)) == 2_000_000
    with pytest.raises(OSError, match="it has more than 1 MB"):
        read_file(file, 1_999_999)


def test_what_is_no_file_is_not_read(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    for path in (tmp_path / "pipe", Path("/dev/zero"), Path("/dev/tty"), Path("/dev/stdin")):
        with pytest.raises(OSError, match=r"it is not a file|No such"):
            read_file(path)
    with pytest.raises(IsADirectoryError):
        read_file(tmp_path)


def test_what_never_ends_and_says_it_is_empty_is_read_only_so_far() -> None:
    with pytest.raises(OSError, match="it has more than 0 MB"):
        read_file(Path("/proc/self/maps"), 10)


def test_text_comes_without_its_mark_and_with_plain_line_ends(file: Path) -> None:
    file.write_bytes("\ufeffé\r\nb\rc\n".encode())
    assert read_text(file) == "é\nb\nc\n"
