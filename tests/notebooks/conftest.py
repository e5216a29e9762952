"""What tests share of reports that are made anew, or left as they are."""

from typing import Any

import pytest
from tarebook.notebooks import bundle, executing, side_by_side
from tarebook.tripdata.errors import QuestionError


@pytest.fixture
def started(monkeypatch: pytest.MonkeyPatch, noon: None) -> list[str]:
    """The files of the notebooks that would be run; none is. The day is the asking module's own."""
    stems: list[str] = []

    def refuse(job: Any, *_: Any) -> None:
        stems.append(job.stem)
        raise QuestionError("not now")

    monkeypatch.setattr(executing, "execute", refuse)
    monkeypatch.setattr(side_by_side, "kernels_for", lambda _: 1)
    # No page will ask for the script, which another process would begin to make each time.
    monkeypatch.setattr(bundle, "begin", lambda: None)
    return stems
