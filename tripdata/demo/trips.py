"""Where the invented camper went: four seasons, 29 trips and a plan.

The places are made up and stand within the lowlands around Puget Sound. A trip says what its
owner decided (dates, mode, luxuries, distances) and the few things that are sure to happen on it;
the rest is drawn by chance.
"""

from dataclasses import dataclass
from datetime import date, timedelta


@dataclass(frozen=True, slots=True)
class Place:
    """A place to camp: degrees north and east, metres above the sea."""

    name: str
    latitude: float
    longitude: float
    elevation_m: int


FERNHOLLOW = Place("Fernhollow", 47.492, -121.978, 190)
BRACKEN_RIDGE = Place("Bracken Ridge", 47.418, -121.934, 430)
WEIR_MEADOW = Place("Old Weir Meadow", 47.664, -121.902, 25)
MADRONA_SPIT = Place("Madrona Spit", 47.369, -122.502, 5)
THIMBLEBERRY = Place("Thimbleberry Camp", 47.062, -122.083, 410)
HAZEL_CREEK = Place("Hazel Creek", 47.604, -122.926, 95)
QUARRY_LAKE = Place("Quarry Lake", 47.286, -122.031, 165)
BLACKCAP_LAKE = Place("Blackcap Lake", 47.021, -122.948, 50)
SALAL_POINT = Place("Salal Point", 47.628, -122.642, 15)
GULL_BAR = Place("Gull Bar", 48.052, -122.604, 10)
LARKSPUR_FLAT = Place("Larkspur Flat", 47.188, -122.194, 150)
LANTERN_COVE = Place("Lantern Cove", 47.283, -122.663, 5)
HERON_SLOUGH = Place("Heron Slough", 47.102, -122.709, 10)


@dataclass(frozen=True, slots=True)
class Trip:
    """One trip as decided beforehand, and what is sure to happen on it.

    ``km``: distance of each day; ``extra`` and ``without``: items taken beside, or left from, the
    usual list; ``sure``: ``condition@day`` counted from 0; ``logger``: minutes between readings,
    0 for none; ``wished``: ``item or what | system | how much``; ``companion``: items Robin
    carried; ``detours``: ``item | from day | until day | note`` of what came or went on the way.
    """

    trip: str
    title: str
    start_on: date
    nights: int
    mode: str
    place: Place
    km: tuple[float, ...]
    note: str = ""
    extra: str = ""
    without: str = ""
    sure: str = ""
    logger: int = 30
    wished: tuple[str, ...] = ()
    companion: str = ""
    detours: tuple[str, ...] = ()
    use_record: str = "full"
    diary: bool = False
    plan: bool = False

    @property
    def end_on(self) -> date:
        """The last day."""
        return self.start_on + timedelta(days=self.nights)

    @property
    def days(self) -> tuple[date, ...]:
        """Every day of the trip."""
        return tuple(self.start_on + timedelta(days=n) for n in range(self.nights + 1))

    def surely(self, condition: str, day: int) -> bool:
        """Whether that condition is sure to come on that day, counted from 0."""
        return f"{condition}@{day}" in self.sure.split()


TRIPS = (
    Trip("2023-05-fernhollow", "Opening the season at Fernhollow", date(2023, 5, 12), 2, "foot",
         FERNHOLLOW, (11.2, 8.4, 10.9), "Everything smelled of the attic.", logger=60,
         extra="sit-chair lantern binoculars trekking-poles", wished=("pillow||much",)),
    Trip("2023-06-old-weir-meadow", "Valley gravel, there and back", date(2023, 6, 9), 2, "bike",
         WEIR_MEADOW, (52.3, 38.1, 51.7), "Headwind both ways, as usual.", logger=60,
         extra="pillow", wished=("sit-chair||little",)),
    Trip("2023-06-madrona-spit", "Four tides at Madrona Spit", date(2023, 6, 30), 4, "paddle",
         MADRONA_SPIT, (14.6, 9.3, 0, 11.8, 14.2), "Seals round the canoe on the third day.",
         extra="sit-chair folding-table binoculars canoe-trolley", without="umbrella", logger=60,
         diary=True, wished=("Shade over the table|shelter|little",)),
    Trip("2023-07-thimbleberry", "Up to Thimbleberry in the dry", date(2023, 7, 21), 2, "foot",
         THIMBLEBERRY, (13.1, 9.7, 12.8), "Creek low enough to step across.",
         extra="pillow lantern", logger=0, wished=("trekking-poles||much",)),
    Trip("2023-08-southern-loop", "Southern gravel loop", date(2023, 8, 11), 5, "bike",
         BLACKCAP_LAKE, (61.4, 48.2, 55.9, 0, 57.3, 63.8),
         "Too hot for half of what I had; posted some of it home.",
         extra="lantern pillow", sure="heat@2 heat@3", diary=True,
         detours=("fleece||3|Posted home from the village", "wind-shirt||3|Posted home as well",
                  "food|4||Bought at the village shop")),
    Trip("2023-10-bracken-ridge", "Leaves at Bracken Ridge", date(2023, 10, 6), 2, "foot",
         BRACKEN_RIDGE, (9.8, 12.2, 9.6), "Rain on yellow leaves, dry inside the bag.",
         extra="lantern", without="field-guide", sure="rain@1",
         wished=("pillow||much", "Dry socks for the tent|clothing|much")),
    Trip("2024-03-e-bike-shakedown", "Shakedown with the new e-bike", date(2024, 3, 23), 0,
         "ebike", SALAL_POINT, (46.5,), "Day out to see what rattles. Everything does.",
         extra="spare-battery", logger=0),
    Trip("2024-05-hazel-creek", "Long weekend at Hazel Creek", date(2024, 5, 24), 3, "bike",
         HAZEL_CREEK, (58.7, 31.2, 34.9, 57.5), "The one-pole tent's first long weekend.",
         extra="sit-chair", sure="rain@2", diary=True, wished=("pillow||little",)),
    Trip("2024-06-quarry-lake", "Two lakes by e-bike", date(2024, 6, 21), 2, "ebike",
         QUARRY_LAKE, (54.8, 41.6, 55.3), "Swam twice, once on purpose.",
         extra="pillow folding-table binoculars spare-battery"),
    Trip("2024-07-up-the-sound", "Up the Sound in six nights", date(2024, 7, 12), 6, "bike",
         GULL_BAR, (64.2, 52.7, 47.1, 0, 58.4, 44.3, 66.9),
         "The long one. Ferry food is better than mine.", logger=60,
         diary=True, sure="heat@3", extra="sit-chair pillow lantern",
         detours=("food|4||Bought at the farm stand", "fleece||2|Posted home, too warm again",
                  "paper-map|2||From the visitor centre"),
         without="paper-map", wished=("A second book|leisure|little",)),
    Trip("2024-08-lantern-cove", "Lantern Cove with Robin", date(2024, 8, 9), 3, "paddle",
         LANTERN_COVE, (12.4, 8.8, 10.1, 12.9), "Robin steered, I made the coffee.",
         extra="sit-chair lantern pillow", sure="bugs@1 bugs@2",
         companion="tarp stove gas-cartridge old-pot water-filter spare-paddle food-bag",
         wished=("A bigger tent|shelter|much",)),
    Trip("2024-10-larkspur-flat", "Cut short at Larkspur Flat", date(2024, 10, 18), 1, "foot",
         LARKSPUR_FLAT, (10.3, 10.6), "Meant to stay three nights. The rain meant it more.",
         extra="lantern trekking-poles", sure="rain@0 rain@1", logger=0,
         wished=("sit-chair||little", "Waders|rain|little")),
    Trip("2025-02-fernhollow", "Frost at Fernhollow", date(2025, 2, 15), 2, "foot",
         FERNHOLLOW, (9.1, 7.6, 8.8), "White grass at five, tea at six.", extra="pillow",
         wished=("Hot water bottle|sleep|much",)),
    Trip("2025-03-new-rucksack", "Day out with the new rucksack", date(2025, 3, 9), 0, "foot",
         QUARRY_LAKE, (16.4,), "Day out to try the hip belt. It sits.", logger=0,
         extra="trekking-poles"),
    Trip("2025-04-old-weir-meadow", "Valley gravel again", date(2025, 4, 18), 2, "bike",
         WEIR_MEADOW, (51.9, 36.4, 52.6), "Daffodils along the levee. Slept too warm.",
         extra="pillow lantern", diary=True),
    Trip("2025-05-salal-point", "Salal Point by e-bike", date(2025, 5, 30), 2, "ebike",
         SALAL_POINT, (62.7, 35.2, 61.9), "Never went below two bars.",
         extra="sit-chair folding-table pillow spare-battery"),
    Trip("2025-07-heron-slough", "Herons for the holiday", date(2025, 7, 3), 3, "paddle",
         HERON_SLOUGH, (9.7, 11.3, 8.2, 9.9), "Thermometer gave up the first evening.",
         extra="lantern binoculars canoe-trolley",
         wished=("sit-chair||much",),
         sure="bugs@0 bugs@1 logger-stops@0"),
    Trip("2025-07-bike-and-canoe", "Bike there, canoe round, bike back", date(2025, 7, 25), 3,
         "mixed", BLACKCAP_LAKE, (58.3, 10.4, 9.1, 58.8), "Club canoe from the landing, two days.",
         extra="pillow sit-chair lantern", diary=True,
         detours=("canoe|1|2|Lent by the club at the landing", "paddle|1|2|",
                  "buoyancy-aid|1|2|")),
    Trip("2025-08-thimbleberry", "Thimbleberry and the ford", date(2025, 8, 22), 2, "foot",
         THIMBLEBERRY, (12.9, 10.4, 13.2), "Log over the creek is gone.",
         extra="sit-chair trekking-poles", sure="ford@0 ford@2", use_record="partial"),
    Trip("2025-10-hazel-creek", "Hazel Creek in the fog", date(2025, 10, 3), 2, "bike",
         HAZEL_CREEK, (57.9, 28.4, 58.2), "Lights on by five.",
         without="draughts-set", sure="rain@0", wished=("pillow||much",)),
    Trip("2025-11-quarry-lake", "One night in November", date(2025, 11, 8), 1, "foot",
         QUARRY_LAKE, (9.4, 9.2), "Dark for fourteen hours.",
         extra="sit-chair pillow trekking-poles", wished=("Thermos flask|cook|much",)),
    Trip("2026-01-larkspur-flat", "Snow at Larkspur Flat", date(2026, 1, 17), 2, "foot",
         LARKSPUR_FLAT, (7.8, 5.9, 7.7), "Ten centimetres overnight and not a sound.",
         extra="lantern pillow", sure="snow@1 inside@0", diary=True,
         wished=("Hot water bottle|sleep|badly",)),
    Trip("2026-03-fernhollow", "Three nights of spring at Fernhollow", date(2026, 3, 13), 3, "foot",
         FERNHOLLOW, (10.8, 12.7, 11.9, 10.6), "Frogs all night.", extra="sit-chair trekking-poles",
         sure="ford@1", diary=True, wished=("ear-plugs||much",), without="ear-plugs"),
    Trip("2026-04-madrona-spit", "Early canoe to Madrona Spit", date(2026, 4, 24), 2, "paddle",
         MADRONA_SPIT, (13.9, 7.4, 14.1), "Cold hands on the paddle.",
         extra="lantern pillow folding-table",
         without="field-guide", wished=("Paddling gloves|clothing|much",)),
    Trip("2026-05-up-the-sound", "Gull Bar and back", date(2026, 5, 22), 3, "bike",
         GULL_BAR, (63.1, 0, 42.5, 64.4), "Rest day on purpose this time.",
         extra="sit-chair lantern", diary=True),
    Trip("2026-07-heron-slough", "Five days of e-bike round the south", date(2026, 7, 10), 4,
         "ebike", HERON_SLOUGH, (68.3, 44.7, 51.2, 39.8, 67.6), "Charged at a bakery.",
         extra="sit-chair pillow folding-table spare-battery", sure="bugs@1", diary=True,
         without="spare-mug"),
    Trip("2026-08-quarry-lake", "Quarry Lake, no notes", date(2026, 8, 14), 2, "bike",
         QUARRY_LAKE, (43.6, 22.8, 44.1), "Wrote nothing down but what I packed.",
         extra="pillow", use_record="none"),
    Trip("2026-10-salal-point", "Late light at Salal Point", date(2026, 10, 9), 2, "ebike",
         SALAL_POINT, (61.5, 33.7, 62.4), "Had the whole field, and the wrong quilt for it.",
         extra="folding-table spare-battery", sure="rain@1",
         wished=("pillow||little",)),
    Trip("2026-11-fernhollow", "Short days at Fernhollow", date(2026, 11, 7), 1, "foot",
         FERNHOLLOW, (8.7, 8.9), "Fed the stove in the dark.",
         extra="sit-chair lantern trekking-poles",
         diary=True),
    Trip("2027-04-old-weir-meadow", "First gravel of spring", date(2027, 4, 23), 2, "bike",
         WEIR_MEADOW, (), "If the levee road is open.", extra="pillow", logger=0, plan=True),
)  # fmt: skip

HISTORY = tuple(trip for trip in TRIPS if not trip.plan)
