"""Drawn examples are held to no clock, on however busy a machine, and in one place."""

import re
from pathlib import Path

from hypothesis import HealthCheck, settings

TESTS = Path(__file__).parents[1]
HERE = ("conftest.py", Path(__file__).name)
OF_THE_PROFILE = re.compile(
    r"\b(?:deadline|suppress_health_check|derandomize|database|print_blob)\s*="
    r"|\b(?:register_profile|load_profile)\("
)


def overriding(root: Path) -> list[str]:
    """Where anything but `conftest.py` says what the profile says."""
    return [
        f"{path.relative_to(root)}:{number}: {line.strip()}"
        for path in sorted(root.rglob("*.py"))
        if path.name not in HERE or path.parent not in (root, root / "docs")
        for number, line in enumerate(path.read_text("utf-8").splitlines(), start=1)
        if OF_THE_PROFILE.search(line)
    ]


def test_nothing_measures_how_long_an_example_takes() -> None:
    assert settings().deadline is None
    assert HealthCheck.too_slow in settings().suppress_health_check


def test_the_profile_stands_in_one_place() -> None:
    assert overriding(TESTS) == []


def test_a_clock_of_its_own_is_named(tmp_path: Path) -> None:
    (tmp_path / "docs").mkdir()
    (tmp_path / "test_it.py").write_text("@settings(deadline=200)\ndef test_it(): ...\n", "utf-8")
    (tmp_path / "conftest.py").write_text("deadline = None\n", "utf-8")
    assert overriding(tmp_path) == ["test_it.py:1: @settings(deadline=200)"]
