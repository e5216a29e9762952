"""An offset that a thermometer's file names, beside the time zone of the logbook."""

from collections.abc import Callable

import pytest
from tarebook.tripdata.problems import Findings
from tarebook.tripdata.text import split_lines
from tarebook.tripdata.thermometers.logger import Logger
from tarebook.tripdata.thermometers.readings import file_readings
from thermometer_files import FILE, of

Check = Callable[..., Findings]
LOGGER = '[[logger]]\ntime = "When"\ntemperature = "Temp"\n'
ZONE = '[reading]\ntimezone = "Europe/Zurich"\n'
GMT = '"When, GMT{}",Temp\n2026-05-20 22:00,5\n2026-05-21 04:00,4\n'


def test_another_clock_in_the_header_is_said(check: Check) -> None:
    findings = check(of(ZONE + LOGGER, GMT.format("+00:00")))
    assert findings.clean
    assert [str(w) for w in findings.warnings] == [
        f"{FILE}:1: When, GMT+00:00: the header says that the times are UTC+00:00, but the clock "
        "of Europe/Zurich stood at UTC+02:00; they are read as they stand. If they must be put "
        'right, write utc_offset = "+02:00" under [[logger]] in tarebook.toml, if not utc_offset '
        '= "+00:00"'
    ]


@pytest.mark.parametrize(
    ("toml", "text"),
    [
        (ZONE + LOGGER, GMT.format("+02:00")),
        (LOGGER, GMT.format("+00:00")),
        (ZONE + LOGGER + 'utc_offset = "+02:00"\n', GMT.format("+00:00")),
        (ZONE + LOGGER + 'utc_offset = "+00:00"\n', GMT.format("+00:00")),
        (ZONE + LOGGER, "When,Temp\n2026-05-20 22:00,5\n"),
        (ZONE + LOGGER, "When,Temp\n2026-05-20T22:00+02:00,5\n"),
    ],
)
def test_the_camps_own_clock_or_one_that_is_settled_is_not(
    check: Check, toml: str, text: str
) -> None:
    findings = check(of(toml, text))
    assert findings.clean
    assert findings.warnings == []


def test_another_clock_in_the_cells_is_said(check: Check) -> None:
    for form in ("", 'format = "%d.%m.%Y %H:%M%z"\n'):
        at = "20.05.2026 22:00+0000" if form else "2026-05-20T22:00+00:00"
        (warning,) = check(of(ZONE + LOGGER + form, f"When,Temp\n{at},5\n")).warnings
        assert "the file says that the times are UTC+00:00, but the clock of" in str(warning)


def test_what_is_advised_puts_the_times_right(
    read: Callable[..., tuple[Findings, object]],
) -> None:
    for offset, hour in (("+02:00", 0), ("+00:00", 22)):
        toml = f'{ZONE}{LOGGER}utc_offset = "{offset}"\n'
        _, kept = read(of(toml, GMT.format("+00:00")))
        ((at,), *_) = kept.rows("temperatures", "read_at")  # type: ignore[attr-defined]
        assert at.hour == hour


def test_without_a_time_zone_it_is_shown_of_a_file() -> None:
    lines = split_lines(GMT.format("-07:00"))
    shown = file_readings(lines, "temperatures-porch.csv", (Logger("When", "Temp"),))
    assert shown.remark == (
        "the header says that the times are UTC-07:00; they are read as the camp's clock. If that "
        "stood otherwise, write under [logger] how it stood to UTC, such as utc_offset = "
        '"+02:00"'
    )
