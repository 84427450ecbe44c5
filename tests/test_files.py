"""Reading whatever is at a path: it never waits, and says what it found instead of a file."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

from lessonlib.files import put_over, read_regular


def refusal(path: Path | str, most_bytes: int = 100) -> OSError:
    with pytest.raises(OSError, match="Errno") as caught:
        read_regular(path, most_bytes)
    assert caught.value.strerror
    return caught.value


def test_a_file_is_read_whole_up_to_the_limit(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"x" * 100)
    assert read_regular(path, 100) == b"x" * 100
    assert read_regular(str(path), 100) == b"x" * 100
    (tmp_path / "link").symlink_to(path)
    assert read_regular(tmp_path / "link", 100) == b"x" * 100


def test_a_larger_file_is_refused_with_its_size_and_not_read(tmp_path: Path) -> None:
    path = tmp_path / "large"
    with path.open("wb") as file:
        file.truncate(10**12)  # without a block on the disk: to read it would take all memory
    assert refusal(path).strerror == "a file of 1,000,000,000,000 bytes, more than the 100 accepted"


@pytest.mark.skipif(sys.platform != "linux", reason="files of this kind are on Linux only")
def test_a_file_that_says_it_is_empty_and_is_not_is_held_to_the_limit_too() -> None:
    path = Path("/proc/self/maps")  # its size is given as 0 bytes
    assert path.stat().st_size == 0
    assert refusal(path).strerror == "a file of more than the 100 bytes accepted"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes with a name on this system")
def test_a_pipe_is_refused_and_not_waited_for(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    assert refusal(pipe).strerror == "a pipe or a device, not a file"
    assert not put_over(pipe, b"", b"new")
    assert pipe.is_fifo()


def test_a_device_is_refused() -> None:
    assert refusal(os.devnull).strerror == "a pipe or a device, not a file"


def test_a_folder_is_refused(tmp_path: Path) -> None:
    assert refusal(tmp_path).strerror == "a folder, not a file"


@pytest.mark.parametrize(
    "name", ["nothing", "a" * 300, "a/" * 3000, "\0", "\ud800", "loop", "file/below", ""]
)
def test_a_name_that_no_file_has_or_can_have_is_not_found(tmp_path: Path, name: str) -> None:
    (tmp_path / "loop").symlink_to("loop")
    (tmp_path / "file").touch()
    refused = refusal(os.path.join(tmp_path, name) if name else "")
    assert isinstance(refused, FileNotFoundError)


def test_a_folder_without_permission_is_reported(tmp_path: Path) -> None:
    closed = tmp_path / "closed"
    closed.mkdir()
    closed.chmod(0)
    root = os.geteuid() == 0
    try:
        if root:
            os.seteuid(65534)  # nobody: root may look into every folder
        assert isinstance(refusal(closed / "a"), PermissionError)
    finally:
        if root:
            os.seteuid(0)
        closed.chmod(0o700)


def test_a_file_that_has_grown_in_the_meantime_is_not_written_over(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"old and more")
    assert not put_over(path, b"old", b"new")
    assert path.read_bytes() == b"old and more"
    assert put_over(path, b"old and more", b"new")
    assert path.read_bytes() == b"new"
