"""One kind of thermometer's file, as its owner describes it in `tarebook.toml`."""

from dataclasses import dataclass, field, replace

ColumnName = str | int
"""A column by its header, or by its number, counted from 1."""


@dataclass(frozen=True, slots=True)
class Logger:
    """How a thermometer writes its files: one table `[[logger]]`.

    ``time`` holds the time of day alone where there is a ``date``; ``format`` (strptime) is then of
    both, joined by a blank. ``unit`` is c or f. ``files`` is a pattern of file names, empty for
    any. ``utc_offset``: hours of the camp's clock against UTC, where the device keeps another;
    None where it keeps the camp's. ``missing``: what a cell holds where there is no reading.
    ``title`` is what messages call it.
    """

    time: ColumnName
    temperature: ColumnName
    unit: str = "c"
    format: str = ""
    skip_lines: int = 0
    files: str = ""
    date: ColumnName | None = None
    header: bool = True
    utc_offset: float | None = None
    missing: tuple[str, ...] = ()
    title: str = field(default="[logger]", compare=False)

    @property
    def columns(self) -> dict[str, ColumnName]:
        """What it names, by what that is for: date, time, temperature."""
        date = {} if self.date is None else {"date": self.date}
        return date | {"time": self.time, "temperature": self.temperature}

    def any_file(self) -> "Logger":
        """The same for files of any name."""
        return replace(self, files="")


@dataclass(frozen=True, slots=True)
class OwnCells:
    """Where the cells of a thermometer's own file stand, counted from 0.

    ``width``: cells that a row may have. ``header_offset``: hours against UTC that the header
    names, None where it names none. ``header``: the header's line, which may stand again where the
    device was started anew.
    """

    logger: Logger
    time: int
    temperature: int
    date: int | None
    width: int
    header_offset: float | None = None
    header: str = ""
