"""What `tarebook thermometer` says of a file: columns, unit, readings, lows by night, settings."""

from collections.abc import Iterator, Sequence
from pathlib import Path

from ..tripdata.errors import LogbookError
from ..tripdata.foreign_files import bytes_of
from ..tripdata.names import printable, shown
from ..tripdata.settings import SETTINGS_FILE, Settings, read_settings
from ..tripdata.text import UnreadableError, decode, split_lines
from ..tripdata.thermometers.keeping import TripDays, keep_in_trip, name_in_trip
from ..tripdata.thermometers.logger import Logger
from ..tripdata.thermometers.nights import lows_by_night
from ..tripdata.thermometers.paste import OPEN
from ..tripdata.thermometers.readings import FileReadings, Reading, file_readings
from ..tripdata.thermometers.recognise import MOST_BYTES, Recognised, recognise
from ..tripdata.units import F_PER_C, FREEZING_F, SIGNS
from .printing import note

_FIRST = 3


def content_of(file: Path) -> bytes:
    """The bytes of a file, no more than a thermometer writes. Raises LogbookError."""
    try:
        return bytes_of(file, MOST_BYTES)
    except OSError as error:
        raise LogbookError(f"{file}: cannot be opened ({error.strerror})") from error


class ThermometerFile:
    """What one file says, by the descriptions of the logbook and by itself.

    ``trip`` is the one that it is of, where known.
    """

    def __init__(
        self, file: Path, content: bytes, settings: Settings, trip: TripDays | None
    ) -> None:
        self.name = name_in_trip(file)
        self._file, self._settings, self._trip = file, settings, trip
        self.made: Recognised = recognise(content)
        self._lines: list[str] = []
        self.read: FileReadings | None = None
        try:
            self._lines = split_lines(decode(content)) if len(content) <= MOST_BYTES else []
        except UnreadableError:
            return
        if any(self._lines):
            self.read = self._readings(settings.loggers)

    def _readings(self, loggers: tuple[Logger, ...]) -> FileReadings:
        settings = self._settings
        return file_readings(self._lines, self.name, loggers, settings.dates, settings.timezone)

    @property
    def by_settings(self) -> bool:
        """Whether the logbook reads the file as it is now."""
        return self.read is not None and bool(self.read.readings)

    @property
    def known(self) -> bool:
        """Whether anything could be made of the file."""
        return self.by_settings or not self.made.why_not

    @property
    def of_the_trip(self) -> bool:
        """Whether a reading is of the trip's days, or may be where none is known yet."""
        if self._trip is None:
            return True
        if self.by_settings and self.read is not None:
            every = [self.read.readings]
        elif self.made.readings:
            every = [self.made.readings]
        else:
            loggers = self.made.loggers or self.made.possible
            every = [self._readings((each,)).readings for each in loggers]
        if not any(every):
            return True
        return any(self._trip.near(reading.at) for each in every for reading in each)

    def after_keeping(self) -> str:
        """What is still to be done before the logbook reads the file; empty where nothing is."""
        if self.by_settings:
            return ""
        once = f"it is read once the lines above are in {SETTINGS_FILE}"
        number = self.made.lines.count(f'"{OPEN}"')
        if not number:
            return once
        marks = "the question mark" if number == 1 else f"the {number} question marks"
        return f"{once}, with your answer in the place of {marks}"

    def sentences(self) -> Iterator[str]:
        """The lines to print."""
        yield f"{self._file}"
        if not self.known:
            yield f"  It cannot be read: {self.made.why_not}."
        yield from self._columns()
        if self.by_settings and self.read is not None:
            logger = self.read.logger
            by = f"as {logger.title} of {SETTINGS_FILE} says" if logger else "by its own columns"
            yield f"  The logbook reads it {by}."
            yield from self._outcome(self.read)
            return
        if self.read is not None and self.read.logger is not None and self.known:
            title = f"{self.read.logger.title} of {SETTINGS_FILE}"
            yield from (f"  It does not read as {title} says: {f}." for f in self.read.faults[:1])
        if self.made.readings:
            yield from self._outcome(self._readings(self.made.loggers[:1]))
        for question in self.made.questions:
            yield f"  {question}"
        if len(self.made.loggers) > 1:
            yield from self._choices()
        if self.made.lines:
            yield from self._to_paste()

    def _columns(self) -> Iterator[str]:
        made = self.made
        if made.columns:
            yield "  Columns: " + ", ".join(
                f"{c.number} {shown(c.header) if c.header else 'without a header'}"
                + (f" ({c.role})" if c.role else "")
                for c in made.columns
            )
        if made.unit:
            yield f"  Unit: {SIGNS[made.unit]}, named in {made.unit_named_by}"
        if made.missing:
            yield f"  No reading: {', '.join(made.missing)}"
        for number, row in enumerate(made.first_rows, 1):
            yield f"  Row {number}: " + " | ".join(cell[:40] for cell in row[:12])

    def _outcome(self, read: FileReadings) -> Iterator[str]:
        readings = sorted(read.readings, key=lambda reading: reading.at)
        yield f"  Readings: {len(readings):,}, {_span(readings)}"
        for reading in read.readings[:_FIRST]:
            yield f"    {reading.at:%Y-%m-%d %H:%M}  {self._degrees(reading.temperature_c)}"
        if read.remark:
            yield f"  {read.remark[0].upper()}{read.remark[1:]}."
        if read.faulty:
            yield f"  Rows that cannot be read: {read.faulty:,}"
            yield from (f"    {fault}" for fault in read.faults)
        trip = self._trip
        if trip is not None and not any(trip.near(reading.at) for reading in readings):
            yield (
                f"  No reading falls inside {trip.trip}, {trip.start_on} to {trip.end_on}: is the "
                "thermometer's date set right?"
            )
        yield "  Lows by night, from noon to noon:"
        for low in lows_by_night(readings):
            mine = "" if trip is None or trip.has_night(low.night) else "  not a night of the trip"
            part = "  no reading between 00:00 and 08:00" if low.part else ""
            count = f"{low.readings} reading{'s' if low.readings > 1 else ''}"
            yield f"    {low.night}  {self._degrees(low.low_c):>9}  {count}{part}{mine}"

    def _choices(self) -> Iterator[str]:
        """What each description that may be meant would make of the file."""
        for logger in self.made.loggers:
            read = self._readings((logger,))
            readings = sorted(read.readings, key=lambda reading: reading.at)
            lows = [reading.temperature_c for reading in readings]
            inside = ""
            if self._trip is not None:
                near = sum(1 for reading in readings if self._trip.near(reading.at))
                inside = f"; {near:,} of {len(readings):,} readings on the trip"
            form = logger.format or "YYYY-MM-DD HH:MM"
            yield (
                f"    As {form} in {SIGNS[logger.unit]}: {_span(readings)}, "
                f"{self._degrees(min(lows))} to {self._degrees(max(lows))}{inside}"
            )

    def _to_paste(self) -> Iterator[str]:
        fill = ", with what is missing in the place of the question marks" * (
            f'"{OPEN}"' in self.made.lines
        )
        yield f"  Lines for {SETTINGS_FILE}, to be pasted at its end{fill}:"
        yield ""
        yield from (f"    {line}".rstrip() for line in self.made.lines.splitlines())
        if any(logger.title == "[logger]" for logger in self._settings.loggers):
            yield ""
            yield f"  {SETTINGS_FILE} has one [logger] already: write [[logger]] there first."

    def _degrees(self, celsius: float) -> str:
        unit = self._settings.temperature
        value = celsius * F_PER_C + FREEZING_F if unit == "f" else celsius
        text = f"{value:.1f}"
        return f"{'0.0' if text == '-0.0' else text} {SIGNS[unit]}"


def _span(readings: Sequence[Reading]) -> str:
    return f"{readings[0].at:%Y-%m-%d %H:%M} to {readings[-1].at:%Y-%m-%d %H:%M}"


def show(file: ThermometerFile) -> None:
    """Print what a file says."""
    for line in file.sentences():
        print(printable(line))


def show_thermometers(
    files: Sequence[Path], logbook: Path, trip: TripDays | None, keep: bool
) -> bool:
    """Print what files say and, with ``keep``, put those into the trip that have readings of it.

    Whether all could be made out and, with ``keep``, were put there. Raises LogbookError where one
    cannot be opened or written.
    """
    settings = read_settings(logbook)
    good = True
    for file in files:
        content = content_of(file)
        made = ThermometerFile(file, content, settings, trip)
        show(made)
        good &= made.known
        if not keep or trip is None:
            continue
        if not made.known or not made.of_the_trip:
            why = f"none of its readings is of {trip.trip}" if made.known else "it cannot be read"
            note(f"{file}: {why}; it was not put into the trip")
            good = False
            continue
        path = keep_in_trip(logbook, trip.trip, made.name, content)
        note(f"put into {path}")
        if rest := made.after_keeping():
            note(rest)
    return good
