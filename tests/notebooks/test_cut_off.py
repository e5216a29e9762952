"""A writing that was cut off is finished by whatever command reads the logbook next, and told."""

import shutil
from pathlib import Path

import pytest
from tarebook.notebooks.cli import app
from tarebook.tripdata import journal
from tarebook.tripdata.errors import LogbookError
from typer.testing import CliRunner

LAKES = Path(__file__).parents[1] / "logbooks" / "lakes"


@pytest.mark.parametrize(
    "command", [["check"], ["load"], ["table", "trips"]], ids=lambda words: words[0]
)
def test_a_command_tells_what_it_mended(
    tmp_path: Path, command: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "lakes"
    shutil.copytree(LAKES, folder)
    before = (folder / "trip.csv").read_bytes()
    file = journal.Replacement("trip.csv", before, before + b"\n")

    def dies(*_: object) -> None:
        raise LogbookError("the power went")

    with monkeypatch.context() as patch:
        patch.setattr(journal, "_move", dies)
        patch.setattr(journal, "_take_back", lambda *_: None)
        with pytest.raises(LogbookError, match="power"):
            journal.commit(folder, [file])
    assert (folder / "trip.csv").read_bytes() == before
    told = CliRunner().invoke(app, [*command, str(folder)])
    assert "tarebook: the writing of trip.csv was cut off; it is now finished\n" in told.stderr, (
        told.output
    )
    assert (folder / "trip.csv").read_bytes() == before + b"\n"
    again = CliRunner().invoke(app, [*command, str(folder)])
    assert "cut off" not in again.stderr
