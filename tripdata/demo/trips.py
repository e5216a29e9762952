"""Where the invented camper went: four seasons, 29 trips and two plans.

The places are made up and stand within the lowlands around Puget Sound. A trip says what its
owner decided (dates, mode, luxuries, distances) and the few things that are sure to happen on it;
the rest is drawn by chance.
"""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date, timedelta

from .tables import table_rows

Cells = dict[str, str]


@dataclass(frozen=True, slots=True)
class Place:
    """A place to camp: degrees north and east, metres above the sea."""

    name: str
    latitude: float
    longitude: float
    elevation_m: int


@dataclass(frozen=True, slots=True)
class Trip:
    """One trip as decided beforehand, and what is sure to happen on it.

    ``km``: distance of each day; ``extra`` and ``without``: items taken beside, or left from, the
    usual list; ``sure``: ``condition@day`` counted from 0; ``logger``: minutes between readings,
    0 for none; ``companion``: items Robin carried; ``detours``: what came or went on the way, as
    item, from and until which day (counted from 0) and note; ``wished``: rows of data/wished.csv.
    """

    trip: str
    title: str
    start_on: date
    nights: int
    mode: str
    place: Place
    km: tuple[float, ...]
    note: str
    extra: tuple[str, ...]
    without: tuple[str, ...]
    sure: tuple[str, ...]
    logger: int
    companion: tuple[str, ...]
    use_record: str
    diary: bool
    plan: bool
    wished: tuple[Cells, ...]
    detours: tuple[Cells, ...]

    @property
    def end_on(self) -> date:
        """The last day."""
        return self.days[-1]

    @property
    def days(self) -> tuple[date, ...]:
        """Every day of the trip."""
        return tuple(self.start_on + timedelta(days=n) for n in range(self.nights + 1))

    def surely(self, condition: str, day: int) -> bool:
        """Whether that condition is sure to come on that day, counted from 0."""
        return f"{condition}@{day}" in self.sure


def _by_trip(table: str) -> dict[str, tuple[Cells, ...]]:
    rows: dict[str, tuple[Cells, ...]] = defaultdict(tuple)
    for row in table_rows(table):
        rows[row["trip"]] += (row,)
    return rows


def _trips() -> tuple[Trip, ...]:
    places = {
        row["place"]: Place(
            row["place"], float(row["latitude"]), float(row["longitude"]), int(row["elevation_m"])
        )
        for row in table_rows("places")
    }
    wished, detours = _by_trip("wished"), _by_trip("detours")
    return tuple(
        Trip(
            trip=row["trip"],
            title=row["title"],
            start_on=date.fromisoformat(row["start_on"]),
            nights=int(row["nights"]),
            mode=row["mode"],
            place=places[row["place"]],
            km=tuple(map(float, row["km"].split())),
            note=row["note"],
            extra=tuple(row["extra"].split()),
            without=tuple(row["without"].split()),
            sure=tuple(row["sure"].split()),
            logger=int(row["logger"]),
            companion=tuple(row["companion"].split()),
            use_record=row["use_record"],
            diary=row["diary"] == "yes",
            plan=row["plan"] == "yes",
            wished=wished[row["trip"]],
            detours=detours[row["trip"]],
        )
        for row in table_rows("trips")
    )


TRIPS = _trips()
