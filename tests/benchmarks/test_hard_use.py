"""The harnesses of hard use, in short: nothing is found, and what is planted is found."""

import sys
from pathlib import Path

import psutil
import pytest

sys.path.insert(0, str(Path(__file__).parent))

import hard_faults
import hard_files
import hard_kills
import hard_stores
import hard_tally
import hard_together
from hard_commands import commands
from hard_tally import Tally
from tarebook.tripdata.problems import Findings
from tarebook.tripdata.store import ensure_current, load_logbook


def faultless(tally: Tally, *counted: str) -> None:
    """Nothing was found, and there was something to find it in."""
    assert not tally.faults
    assert all(tally.counts[name] for name in counted), str(tally)


def test_a_run_that_was_stopped_goes_on_where_it_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(hard_tally, "_asked", [])
    tried, tally = [], Tally()
    for half, before in (("abc", 0), ("defg", 3)):
        for number, case in hard_tally.going(half, tally, 1, before):
            tried.append((before + number, case))
            if case == "d":
                hard_tally._asked.append(15)
    assert tally.reached == 4
    hard_tally._asked.clear()
    rest = Tally()
    for half, before in (("abc", 0), ("defg", 3)):
        going = hard_tally.going(half, rest, tally.reached, before)
        tried += [(before + number, case) for number, case in going]
    assert tried == [*enumerate("abcdefg")][1:]
    assert rest.reached is None


@pytest.mark.skipif(sys.platform != "linux", reason="signals of a POSIX system")
def test_a_server_that_is_told_to_stop_ends_with_its_harness_and_not_before() -> None:
    with commands() as (served, work):
        (server,) = psutil.Process().children()
        server.terminate()
        assert served("--version").status == 0
        assert "does not exist" in served("check", work / "none").err
    assert not server.is_running()


def test_tables_that_are_killed_while_they_are_written() -> None:
    faultless(hard_kills.run("table", 12), "kills")


def test_spoilt_files() -> None:
    faultless(hard_files.run(60, "short"), "files", "records read", "set aside", "loaded")


def test_a_wrong_sum_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    def miscounts(folder: Path) -> Findings:
        findings = load_logbook(folder)
        findings.files["gear.csv"].read += 1
        return findings

    monkeypatch.setattr(hard_files, "load_logbook", miscounts)
    assert hard_files.run(12, "short").counts["tracebacks or wrong sums"]


def test_a_traceback_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    def breaks(folder: Path) -> Findings:
        raise IndexError(folder)

    monkeypatch.setattr(hard_files, "check_logbook", breaks)
    assert hard_files.run(3, "short").counts["tracebacks or wrong sums"]


@pytest.mark.skipif(sys.platform != "linux", reason="a watch on files of Linux")
def test_stores_that_are_not_to_be_believed() -> None:
    faultless(hard_stores.run(20, "short"), "stores", "made anew", "told", "by a command")


@pytest.mark.skipif(sys.platform != "linux", reason="a watch on files of Linux")
def test_a_store_that_is_believed_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    def believes(book: Path) -> None:
        own = book / ".tarebook" / "store.duckdb"
        if not own.is_file() or own.stat().st_size < 1000:
            ensure_current(book)

    monkeypatch.setattr(hard_stores, "ensure_current", believes)
    found = hard_stores.run(12, "short").counts
    assert found["believed"] or found["not answered"]
    assert found["not told"]


def test_loads_that_are_killed() -> None:
    faultless(hard_kills.run("load", 8), "kills")


def test_answers_that_are_stale_and_a_workshop_left_are_found() -> None:
    assert hard_kills.run("load", 4, after="leaves_its_workshop").counts["left"]
    assert hard_kills.run("load", 4, after="stale").counts["stale"]


def test_pages_that_are_killed_while_they_are_made() -> None:
    faultless(hard_kills.run("report", 4, with_kernel=0), "kills")


def test_steps_of_a_load_that_fail() -> None:
    faultless(hard_faults.run("load", 10), "faults")


def test_a_fault_that_is_not_worded_is_found() -> None:
    assert hard_faults.run("load", 10, planted="unworded").counts["unworded"]


def test_a_load_without_room() -> None:
    faultless(hard_faults.run("room", 4), "faults")


def test_two_people_at_one_logbook() -> None:
    tally = hard_together.run(600, most=5, short=True)
    faultless(tally, "commands", "edits")


def test_an_answer_of_former_files_is_found() -> None:
    # Whether one of two people asks after the other's edit is a matter of their pace.
    runs = (
        hard_together.run(600, most=8, short=True, seed=f"short {n}", planted="stale")
        for n in range(5)
    )
    assert any(each.counts["wrong answers"] for each in runs)
