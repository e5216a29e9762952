"""What a killed command left is gone with the next one; what one still uses stays."""

import os
import shutil
import signal
import subprocess
import sys
import tempfile
from pathlib import Path

import filelock
import pytest
from tarebook.tripdata import leftovers

HOLDS = (
    "import signal\nsignal.signal(signal.SIGINT, signal.default_int_handler)\n"
    "from tarebook.tripdata.leftovers import scratch\n"
    "with scratch() as work:\n print(work, flush=True)\n signal.pause()"
)

pytestmark = pytest.mark.skipif(os.name != "posix", reason="locks and signals of a POSIX system")


@pytest.fixture
def room(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TMPDIR", str(tmp_path))
    monkeypatch.setattr(tempfile, "tempdir", None)
    return tmp_path


def holding() -> tuple["subprocess.Popen[str]", Path]:
    process = subprocess.Popen([sys.executable, "-c", HOLDS], stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None
    return process, Path(process.stdout.readline().strip())


def test_a_killed_commands_folder_goes_and_a_working_ones_stays(room: Path) -> None:
    (killed, left), (working, used) = holding(), holding()
    strange = room / "tarebook-mine"
    strange.mkdir()
    try:
        killed.kill()
        killed.wait(60)
        assert left.is_dir()
        with leftovers.scratch() as own:
            assert list(own.iterdir()) == []
            assert not left.parent.exists()
            assert used.is_dir()
        assert not own.parent.exists()
        assert strange.is_dir()
    finally:
        working.send_signal(signal.SIGINT)
        working.wait(60)
    assert sorted(room.iterdir()) == [strange]


def test_a_folder_whose_command_was_killed_before_it_held_it_goes(room: Path) -> None:
    for name in ("tarebook-a1b2c3_4", "tarebook-mine", "tarebook-full0000"):
        (room / name).mkdir()
    (room / "tarebook-full0000" / "x").write_text("somebody's")
    (room / "tarebook-link0000").symlink_to(room / "tarebook-mine")
    with leftovers.scratch():
        names = {path.name for path in room.iterdir()}
        assert "tarebook-a1b2c3_4" not in names
        assert {"tarebook-mine", "tarebook-full0000", "tarebook-link0000"} < names


def test_a_folder_that_was_swept_before_its_lock_is_there_is_nobody_elses(
    room: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    entering = filelock.FileLock.__enter__
    swept: list[Path] = []

    def entered(lock: filelock.FileLock) -> object:
        if not swept:
            swept.append(Path(lock.lock_file).parent)
            swept[0].rmdir()
        return entering(lock)

    monkeypatch.setattr(filelock.FileLock, "__enter__", entered)
    with leftovers.scratch() as own:
        assert own.is_dir()
        assert own.parent.stat().st_mode & 0o777 == 0o700
    assert list(room.iterdir()) == []


def test_what_was_worked_on_goes_before_what_holds_the_folder(
    room: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A command killed while it clears away leaves what the next one knows for its own."""
    gone: list[bool] = []
    leaving = filelock.FileLock.__exit__

    def left(lock: filelock.FileLock, *why: object) -> None:
        gone.append((Path(lock.lock_file).with_name("work")).exists())
        leaving(lock, *why)  # type: ignore[arg-type]

    monkeypatch.setattr(filelock.FileLock, "__exit__", left)
    with leftovers.scratch() as own:
        (own / "x").write_text("half")
    assert gone == [False]
    assert list(room.iterdir()) == []


def test_a_folder_that_was_swept_before_it_was_held_is_made_anew(
    room: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    entering = filelock.FileLock.__enter__
    swept: list[Path] = []

    def entered(lock: filelock.FileLock) -> object:
        held = entering(lock)
        if not swept:  # another command takes it for one of a killed command just before
            swept.append(Path(lock.lock_file).parent)
            shutil.rmtree(swept[0])
        return held

    monkeypatch.setattr(filelock.FileLock, "__enter__", entered)
    with leftovers.scratch() as own:
        assert own.is_dir()
        assert own.parent != swept[0]
    assert list(room.iterdir()) == []


def test_a_link_among_them_is_not_followed(
    room: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    elsewhere = tmp_path_factory.mktemp("elsewhere")
    (elsewhere / ".held").write_text("")
    (room / "tarebook-link").symlink_to(elsewhere)
    with leftovers.scratch():
        pass
    assert (elsewhere / ".held").is_file()


def test_half_written_files_go_with_who_wrote_them(tmp_path: Path) -> None:
    gone = subprocess.run(
        [sys.executable, "-c", "import os; print(os.getpid())"], capture_output=True
    )
    (tmp_path / f".debrief.html.{int(gone.stdout)}.part").write_text("half")
    stay = [
        leftovers.half_of(tmp_path / "debrief.html"),
        tmp_path / ".somebody.part",
        tmp_path / f"notes.{int(gone.stdout)}.part",
        tmp_path / ".x.99999999999999999999.part",
    ]
    for path in stay:
        path.write_text("half")
    leftovers.sweep_halves(tmp_path)
    assert sorted(tmp_path.iterdir()) == sorted(stay)


def test_a_folder_is_left_whatever_it_is_called(tmp_path: Path) -> None:
    gone = subprocess.run([sys.executable, "-c", "import os; print(os.getpid())"], stdout=-1)
    theirs = tmp_path / f".out.{int(gone.stdout)}.part"
    theirs.mkdir()
    (theirs / "photo.jpg").write_bytes(b"mine")
    leftovers.sweep_halves(tmp_path, "out")
    assert (theirs / "photo.jpg").read_bytes() == b"mine"
    assert list(leftovers.halves_of_the_gone(tmp_path, "out")) == [theirs]


@pytest.mark.parametrize("links", [True, False])
def test_a_new_file_is_whole_and_takes_nobodys_name(
    tmp_path: Path, links: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    def none(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    if not links:
        monkeypatch.setattr(os, "link", none)
    new, there, dangling = tmp_path / "new", tmp_path / "there", tmp_path / "dangling"
    there.write_bytes(b"mine")
    dangling.symlink_to("nowhere")
    leftovers.half_of(new).write_bytes(b"of one that had our number")
    assert leftovers.put_new(new, b"ours")
    assert not leftovers.put_new(there, b"ours")
    assert not leftovers.put_new(dangling, b"ours")
    assert (new.read_bytes(), there.read_bytes()) == (b"ours", b"mine")
    assert dangling.is_symlink()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["dangling", "new", "there"]


def test_a_file_put_over_another_takes_the_place_of_a_link(tmp_path: Path) -> None:
    elsewhere, link, half = tmp_path / "elsewhere", tmp_path / "link", tmp_path / "half"
    elsewhere.write_bytes(b"theirs")
    link.symlink_to(elsewhere)
    leftovers.half_of(link).symlink_to(half)
    leftovers.put_over(link, b"ours")
    assert (link.read_bytes(), elsewhere.read_bytes()) == (b"ours", b"theirs")
    assert not link.is_symlink()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["elsewhere", "link"]
