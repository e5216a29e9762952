"""Files as thermometers write them, one of each pattern; devices, numbers and readings invented.

All hold the same three nights: `READINGS` in °C, half-hourly, whose lows are `LOWS`. What a pattern
does to them (a unit, a form of dates, lines above the header) stands beside it.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

START = datetime(2026, 5, 20, 18, 0)
FILE = "trips/ridge/temperatures-porch.csv"
TRIP = "trip,start_on,end_on,mode\nridge,2026-05-20,2026-05-23,foot\n"
# By the night's number: low, and the half-hour after midnight at which it is reached.
_LOWS_C = {date(2026, 5, 20): (-1.5, 9), date(2026, 5, 21): (0.5, 11), date(2026, 5, 22): (3.0, 8)}
LOWS = {night: low for night, (low, _) in _LOWS_C.items()}


def _temperature(at: datetime) -> float:
    """Degrees above the night's low grow by half a degree each half-hour away from it."""
    night = (at - timedelta(hours=12)).date()
    low, half_hour = _LOWS_C[night]
    deepest = datetime.combine(night, datetime.min.time()) + timedelta(days=1, hours=half_hour / 2)
    return low + min(abs((at - deepest) / timedelta(minutes=30)) * 0.5, 12)


TIMES = [START + timedelta(minutes=30) * n for n in range(127)]
READINGS = [(at, _temperature(at)) for at in TIMES]
Row = tuple[datetime, float]


def of(toml: str, text: str | bytes, name: str = FILE) -> dict[str, str | bytes]:
    """A logbook of one trip with this thermometer's file and settings."""
    return {"trip.csv": TRIP, "tarebook.toml": toml, name: text}


def fahrenheit(celsius: float) -> float:
    return celsius * 9 / 5 + 32


@dataclass(frozen=True)
class Pattern:
    """``toml``: what its owner would write; ``answers``: what fills the question marks in what the
    program proposes; ``says_unit``: whether the file names its unit."""

    name: str
    content: bytes
    toml: str
    answers: dict[str, str] = field(default_factory=dict)
    says_unit: bool = True


def _text(header: Iterable[str], row: Callable[[int, Row], str], end: str = "\n") -> str:
    rows = [row(n, reading) for n, reading in enumerate(READINGS, 1)]
    return end.join([*header, *rows]) + end


def comma(value: float) -> str:
    return f"{value:.1f}".replace(".", ",")


def _events(text: str, before: int, event: str) -> str:
    lines = text.split("\n")
    return "\n".join([*lines[:before], event, *lines[before:]])


FOURTEEN = [f"Field {n};value {n}" for n in range(1, 15)]
NINETEEN = ["Report of the recorder", "", "Temperature unit: °F", *[f"Line {n}" for n in range(16)]]
_HOBBY = '"#","Date Time, GMT{offset}","Temp, °F (LGR S/N: {serial}, SEN S/N: {serial})","Ended"'


def _season(offset: str, serial: int) -> bytes:
    header = [f'"Plot Title: {serial}"', _HOBBY.format(offset=offset, serial=serial)]
    text = _text(
        header,
        lambda n, r: f"{n},{r[0]:%m/%d/%y %I:%M:%S %p},{fahrenheit(r[1]):.2f},",
    )
    return _events(text, 3, "2,05/20/26 06:01:00 PM,,Logged").encode("utf-8-sig")


_SEASONAL = (
    'time = "Date Time"\ntemperature = "Temp, °F"\nunit = "f"\n'
    'format = "%m/%d/%y %I:%M:%S %p"\nskip_lines = 1\n'
)

PATTERNS = [
    Pattern(
        "iso",
        _text(["Time,Temp (°C)"], lambda _, r: f"{r[0]:%Y-%m-%d %H:%M},{r[1]}").encode(),
        'time = "Time"\ntemperature = "Temp (°C)"\n',
    ),
    Pattern(
        "apart",
        _text(
            ["Datum;Uhrzeit;Temperatur [°C];Feuchte"],
            lambda _, r: f"{r[0]:%d.%m.%Y;%H:%M:%S};{comma(r[1])};71",
        ).encode(),
        'date = "Datum"\ntime = "Uhrzeit"\ntemperature = "Temperatur [°C]"\n'
        'format = "%d.%m.%Y %H:%M:%S"\n',
    ),
    Pattern(
        "dotted-clock-and-missing",
        _events(
            _text(
                ["Date;Time;Gas;T;RH;;"],
                lambda _, r: f"{r[0]:%d/%m/%Y;%H.%M.%S};2,6;{comma(r[1])};48,9;;",
            ),
            4,
            "20/05/2026;18.10.00;-200;-200;-200;;",
        ).encode(),
        'date = "Date"\ntime = "Time"\ntemperature = "T"\nformat = "%d/%m/%Y %H.%M.%S"\n'
        "missing = -200\n",
        {"unit": '"c"'},
        says_unit=False,
    ),
    Pattern(
        "no-header",
        _events(
            _text([], lambda n, r: f"{n},{r[0]:%Y-%m-%d %H:%M:%S},{r[1]}"),
            5,
            "6,2026-05-20 20:10:00,-200",
        ).encode(),
        "time = 2\ntemperature = 3\nheader = false\nmissing = -200\n",
        {"unit": '"c"'},
        says_unit=False,
    ),
    Pattern(
        "no-header-apart-with-unit",
        _text([], lambda _, r: f"{r[0]:%d.%m.%Y;%H:%M};{comma(fahrenheit(r[1]))};°F").encode(
            "latin-1"
        ),
        'date = 1\ntime = 2\ntemperature = 3\nheader = false\nunit = "f"\n'
        'format = "%d.%m.%Y %H:%M"\n',
    ),
    Pattern(
        "fourteen-lines",
        _text(
            [*FOURTEEN, "No.;Date/Time;Temp (°C)"],
            lambda n, r: f"{n};{r[0]:%Y/%m/%d %H:%M};{r[1]}",
        ).encode(),
        'time = "Date/Time"\ntemperature = "Temp (°C)"\nformat = "%Y/%m/%d %H:%M"\n'
        "skip_lines = 14\n",
    ),
    Pattern(
        "nineteen-lines-unit-above",
        _text(
            [*NINETEEN, "Stamp;Temperature"],
            lambda _, r: f"{r[0]:%d.%m.%Y %H:%M};{fahrenheit(r[1]):.2f}",
        ).encode("latin-1"),
        'time = "Stamp"\ntemperature = "Temperature"\nunit = "f"\nformat = "%d.%m.%Y %H:%M"\n'
        "skip_lines = 19\n",
    ),
    Pattern("serial-and-offset", _season("-07:00", 1234567), _SEASONAL),
    Pattern("another-season-and-device", _season("-06:00", 7654321), _SEASONAL),
    Pattern(
        "year-first-two-digits",
        _text(["t;temp °C"], lambda _, r: f"{r[0]:%y.%m.%d %H:%M};{comma(r[1])}").encode(),
        'time = "t"\ntemperature = "temp °C"\nformat = "%y.%m.%d %H:%M"\n',
    ),
    Pattern(
        "trailing-semicolon-latin",
        _text(
            ["Zeit;Temperatur °C"],
            lambda _, r: f"{r[0]:%d.%m.%Y %H:%M:%S};{comma(r[1])};",
            "\r\n",
        ).encode("latin-1"),
        'time = "Zeit"\ntemperature = "Temperatur °C"\nformat = "%d.%m.%Y %H:%M:%S"\n',
    ),
    Pattern(
        "utf-16-tabs",
        _text(
            ["Nr\tDatum Zeit\tTemp ℃\t"],
            lambda n, r: f"{n}\t{r[0]:%d.%m.%Y %H:%M}\t{comma(r[1])}\t",
            "\r\n",
        ).encode("utf-16"),
        'time = "Datum Zeit"\ntemperature = "Temp ℃"\nformat = "%d.%m.%Y %H:%M"\n',
    ),
    Pattern(
        "two-of-one-name",
        _text(
            ["Time,Temp °C,Temp °C"], lambda _, r: f"{r[0]:%Y-%m-%d %H:%M},{r[1] + 6},{r[1]}"
        ).encode(),
        'time = "Time"\ntemperature = 3\n',
        {"temperature": "3"},
    ),
    Pattern(
        "event-rows",
        _events(
            _text(["No.,Time,Celsius,Event"], lambda n, r: f"{n},{r[0]:%Y-%m-%d %H:%M:%S},{r[1]},"),
            1,
            "0,2026-05-20 17:59:30,,button up",
        ).encode(),
        'time = "Time"\ntemperature = "Celsius"\n',
    ),
    Pattern(
        "months-first-with-unit-column",
        _text(
            ["Timestamp,Reading temp,Unit,Place"],
            lambda _, r: (
                f"{r[0].month}/{r[0].day}/{r[0].year} {r[0]:%I:%M %p},"
                f"{fahrenheit(r[1]):.1f},F,porch"
            ),
        ).encode(),
        'time = "Timestamp"\ntemperature = "Reading temp"\nunit = "f"\n'
        'format = "%m/%d/%Y %I:%M %p"\n',
    ),
    Pattern(
        "declared-separator",
        _text(
            ["sep=;", "when;inside (°C)"], lambda _, r: f"{r[0]:%d.%m.%y %H:%M};{comma(r[1])}"
        ).encode(),
        'time = "when"\ntemperature = "inside (°C)"\nformat = "%d.%m.%y %H:%M"\n',
    ),
    Pattern(
        "utc",
        _text(
            ["utc,celsius"],
            lambda _, r: f"{r[0] - timedelta(hours=2):%Y-%m-%dT%H:%M:%SZ},{r[1]}",
        ).encode(),
        'time = "utc"\ntemperature = "celsius"\nutc_offset = "+02:00"\n',
        {"utc_offset": '"+02:00"'},
    ),
    Pattern(
        "month-by-name",
        _text(
            ["Date,Time,Air Temp (deg C),Dew point (deg C)"],
            lambda _, r: f"{r[0]:%d-%b-%Y,%H:%M},{r[1]},{r[1] - 3}",
        ).encode(),
        'date = "Date"\ntime = "Time"\ntemperature = "Air Temp (deg C)"\n'
        'format = "%d-%b-%Y %H:%M"\n',
    ),
    Pattern(
        "offset-in-cells-and-dashes",
        _events(
            _text(
                ["time,temperature °F"],
                lambda _, r: f"{r[0]:%Y-%m-%dT%H:%M}+02:00,{fahrenheit(r[1]):.2f}",
            ),
            9,
            "2026-05-20T22:10+02:00,---",
        ).encode(),
        'time = "time"\ntemperature = "temperature °F"\nunit = "f"\nmissing = "---"\n',
    ),
]
BY_NAME = {pattern.name: pattern for pattern in PATTERNS}
