"""A file that is written is whole, whatever goes wrong on the way: the disk is full, or the program is killed."""

from __future__ import annotations

import errno
import os
import signal
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from cli.exit import BAD_INPUT
from cli.files.desk import write_private, write_whole
from tests.cli.ran import CASE

OLD = "the old file <!-- made by regrip -->"
DEAD = 2**31 - 1
"""No system numbers its processes so high."""
COMMAND = "import sys; from cli.main import main; sys.argv[1:] = {arguments!r}; main()"
FULL_AFTER = "import resource; resource.setrlimit(resource.RLIMIT_FSIZE, ({bytes}, {bytes})); "
KILLED_BEFORE_RENAME = (
    "import os, signal; from pathlib import Path; Path.replace = lambda *_: os.kill(os.getpid(), signal.SIGKILL); "
)


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("PYTHONPATH", str(Path(__file__).parents[2]))
    monkeypatch.chdir(tmp_path)
    Path("case.yaml").write_text(CASE)
    Path("bar.svg").write_text(OLD)
    return tmp_path


def drawn(before: str) -> subprocess.CompletedProcess[str]:
    """`regrip draw` in a process of its own, after something was done to it."""
    code = before + COMMAND.format(arguments=["draw", "case.yaml", "-o", "bar.svg"])
    return subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)


def test_a_full_disk_leaves_the_old_file_and_nothing_beside_it(here: Path) -> None:
    done = drawn(FULL_AFTER.format(bytes=500))

    assert (BAD_INPUT, "") == (done.returncode, done.stdout)
    assert "regrip: bar.svg: cannot be written: file too large\n" == done.stderr
    assert OLD == Path("bar.svg").read_text()
    assert ["bar.svg", "case.yaml"] == sorted(path.name for path in here.iterdir())


def test_killed_while_it_writes_the_old_file_is_whole(here: Path) -> None:
    assert -signal.SIGKILL == drawn(KILLED_BEFORE_RENAME).returncode
    assert OLD == Path("bar.svg").read_text()


def test_nothing_goes_wrong_and_the_file_is_new(here: Path) -> None:
    assert drawn("").returncode in (0, 1)
    assert Path("bar.svg").read_text().startswith("<")


def test_a_folder_that_is_not_there_is_named(here: Path) -> None:
    with pytest.raises(OSError, match="cannot be written") as caught:
        write_whole(here / "gone" / "bar.svg", "")

    assert (errno.ENOENT, str(here / "gone" / "bar.svg")) == (caught.value.errno, caught.value.filename)


def test_behind_a_link_the_file_itself_is_written(here: Path) -> None:
    Path("link.svg").symlink_to("bar.svg")

    write_whole(Path("link.svg"), "new")

    assert Path("link.svg").is_symlink()
    assert "new" == Path("bar.svg").read_text()


@pytest.mark.parametrize(("umask", "mode"), [(0o022, 0o644), (0o077, 0o600)], ids=["usual", "private"])
def test_a_new_file_has_the_rights_that_any_new_file_has(here: Path, umask: int, mode: int) -> None:
    code = f"import os; os.umask({umask}); from pathlib import Path; from cli.files.desk import write_whole; "
    subprocess.run([sys.executable, "-c", code + "write_whole(Path('new.txt'), 'x')"], check=True)

    assert mode == stat.S_IMODE(Path("new.txt").stat().st_mode)


@pytest.mark.parametrize("mode", [0o600, 0o640, 0o664, 0o444], ids=oct)
def test_a_file_that_is_written_anew_has_the_rights_it_had(here: Path, mode: int) -> None:
    Path("bar.svg").chmod(mode)

    write_whole(Path("bar.svg"), "new")

    assert ("new", mode) == (Path("bar.svg").read_text(), stat.S_IMODE(Path("bar.svg").stat().st_mode))


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root may give a file away")
def test_a_file_that_is_written_anew_belongs_to_whom_it_did(here: Path) -> None:
    os.chown("bar.svg", 12345, 23456)
    Path("bar.svg").chmod(0o640)

    write_whole(Path("bar.svg"), "new")

    is_now = Path("bar.svg").stat()
    assert (12345, 23456, 0o640) == (is_now.st_uid, is_now.st_gid, stat.S_IMODE(is_now.st_mode))


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root may give a file away")
def test_who_may_not_keep_the_group_gives_his_own_no_rights(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    os.chown("bar.svg", 12345, 23456)
    Path("bar.svg").chmod(0o664)

    def forbidden(*_: object) -> None:
        raise PermissionError(errno.EPERM, "not permitted")

    monkeypatch.setattr(os, "chown", forbidden)
    write_whole(Path("bar.svg"), "new")

    assert ("new", 0o604) == (Path("bar.svg").read_text(), stat.S_IMODE(Path("bar.svg").stat().st_mode))


def test_a_private_file_is_for_its_owner_alone_whatever_was_there(here: Path) -> None:
    for name in ("bar.svg", "new.svg"):
        write_private(Path(name), "mine")

        assert 0o600 == stat.S_IMODE(Path(name).stat().st_mode)


def test_what_a_killed_command_left_half_written_goes_with_the_next_writing(here: Path) -> None:
    """Of this file only, and not what a process that is alive, or one of another machine, is writing."""
    drawn(KILLED_BEFORE_RENAME)
    (left,) = here.glob(".bar.svg.*.part")
    host, _, random = left.name.split(".")[3].split("-")
    stay = {
        here / f".bar.svg.{host}-{os.getppid()}-{random}.part",
        here / f".bar.svg.00000000-{DEAD}-{random}.part",
        here / f".other.svg.{host}-{DEAD}-{random}.part",
        here / f".bar.svg.{DEAD}.part",
    }
    for path in stay:
        path.touch()
    write_whole(Path("bar.svg"), "new")

    assert stay == set(here.glob(".*.part"))
