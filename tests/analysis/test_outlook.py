"""The outlook, the context of a trip, and how both are told."""

from collections.abc import Iterator
from datetime import date
from typing import Any

import pytest
from normals_drawing import normals, refill
from scipy.stats import norm
from store_drawing import carried, empty_store, gear, trip
from tarebook.analysis.climate import station_words
from tarebook.analysis.climate import words as context_words
from tarebook.analysis.climate.normals import normal_band, trip_context
from tarebook.analysis.climate.outlook import Outlook, outlook, outlook_of_trip, outlook_rows
from tarebook.analysis.climate.station_choice import NoStation, Place, StationChoice
from tarebook.analysis.cold.page import page as context_page
from tarebook.analysis.cold.page.page import ContextPage
from tarebook.analysis.display.cautions import NORMALS_CARE
from tarebook.analysis.display.theme import LAYOUTS
from tarebook.analysis.display.words import Display
from tarebook.analysis.stats.ar1_chain import any_below, mean_spread
from tarebook.tripdata.errors import QuestionError

HERE = {"latitude": 47.5, "longitude": -122.0, "elevation_mm": 100_000}
PLACE = Place(47.5, -122.0, 100.0)
JULY = date(2026, 7, 1)
FLAT = dict.fromkeys(normals().lows, (5.0, 4.0))
CELSIUS, FAHRENHEIT = Display(), Display(temperature="f", distance="mi")


@pytest.fixture(scope="module")
def store() -> Iterator[Any]:
    with empty_store() as made:
        yield made


def flat(**more: Any) -> Any:
    return normals(lows=FLAT, **more)


def lows_from(start: date, values: list[float]) -> dict[tuple[str, date], float]:
    return {("past", date.fromordinal(start.toordinal() + n)): v for n, v in enumerate(values)}


def looked(store: Any, below_c: float, nights: int = 3) -> Outlook:
    end = date.fromordinal(JULY.toordinal() + nights)
    found = outlook(store, PLACE, JULY, end, below_c)
    assert isinstance(found, Outlook)
    return found


def cells_of(found: Outlook) -> list[tuple[Any, ...]]:
    return [tuple(row.values()) for row in outlook_rows(found)]


def test_an_outlook_of_three_nights(store: Any) -> None:
    refill(store, [flat()], [])
    found = looked(store, -1.0)  # 1.5 standard deviations below the normal, every night
    assert [n.night.day for n in found.nights] == [1, 2, 3]
    assert all(n.p_below == pytest.approx(norm.cdf(-1.5)) for n in found.nights)
    assert found.p_any.value == pytest.approx(0.14168, abs=5e-6)
    # The ends of its range: least alike nights on normals .3 too warm, and the other way round.
    assert found.p_any.low == any_below([-1.8] * 3, 0.75)
    assert found.p_any.high == any_below([-1.2] * 3, 0.6)
    assert not found.rare
    assert context_words.outlook_sentences(found, CELSIUS) == (
        "How likely it is that at least one of the 3 nights falls below −1\u202f°C: about 1 in 7, "
        "and it may be anything from 1 in 13 to 1 in 4.",
        "Usual there and then: lows near 5\u202f°C, nine nights in ten between −2 and 12\u202f°C.",
    )
    assert context_words.outlook_sentences(found, FAHRENHEIT)[0].startswith(
        "How likely it is that at least one of the 3 nights falls below 30.2\u202f°F: about 1 in 7"
    )


def test_far_from_the_usual_it_says_no_more_than_rare(store: Any) -> None:
    refill(store, [flat()], [])
    edge = looked(store, 5 - 2.5 * 4)
    assert not edge.rare
    found = looked(store, -5.1)
    assert found.rare
    assert context_words.outlook_sentences(found, CELSIUS)[0] == (
        "A night below −5.1\u202f°C would be rare."
    )
    assert found.p_any is None
    assert [n.p_below for n in found.nights] == [None] * 3
    assert {cells[3:7] for cells in cells_of(found)} == {(None,) * 4}
    assert {context_words.night_chance(n) for n in found.nights} == {"rare"}
    near = looked(store, 5 - 2.4 * 4)
    assert {context_words.night_chance(n) for n in near.nights} == {"about 1 in 120"}
    warm = looked(store, 20.0)
    assert (
        "falls below 20\u202f°C: almost certain"
        in context_words.outlook_sentences(warm, CELSIUS)[0]
    )


def test_without_a_spread_there_is_no_chance(store: Any) -> None:
    refill(store, [normals(sd_c=None, product="monthly")], [])
    found = looked(store, 0.0)
    assert (found.p_any, found.rare) == (None, False)
    usual, why = context_words.outlook_sentences(found, CELSIUS)
    assert usual == "Usual there and then: lows near 7\u202f°C."
    assert why == (
        "The chance of a night below 0\u202f°C is not known: nothing there says how much single "
        "nights differ."
    )
    assert list(outlook_rows(found)[0])[:5] == [
        "night",
        "normal_low_c",
        "sd_c",
        "p_below",
        "p_any_below",
    ]
    assert [cells[2:7] for cells in cells_of(found)] == [(None,) * 5] * 3


def test_the_rows_repeat_the_chance_of_any(store: Any) -> None:
    refill(store, [normals()], [])
    found = looked(store, 4.0, nights=2)
    rows = cells_of(found)
    assert [r[0] for r in rows] == [date(2026, 7, 1), date(2026, 7, 2)]
    # The lows of `normals` rise by .01 a day: 2 July is day 183 of a leap year counted from 0.
    assert [r[1] for r in rows] == pytest.approx([6.83, 6.84])
    assert {r[4] for r in rows} == {found.p_any.value}
    assert {r[8:] for r in rows} == {("USW00099999", 0.0, 0.0, "daily 1991-2020")}


def test_a_plan_is_asked_about_a_temperature(store: Any) -> None:
    plan = trip("plan", JULY, 2, plan=True, **HERE)
    refill(store, [flat()], [plan])
    asked = outlook_of_trip(store, "Plan", -1.0)
    assert isinstance(asked, Outlook)
    assert asked.below_c == -1.0
    assert asked.p_any.value == looked(store, -1.0, nights=2).p_any.value


def test_a_plan_with_nothing_asked_tells_what_is_usual(store: Any) -> None:
    things = {"gear": [gear("bag", "sleep", rated_low_c=1.0)], "carried": [carried("plan", "bag")]}
    refill(store, [flat()], [trip("plan", JULY, 2, plan=True, **HERE)], more=things)
    found = outlook_of_trip(store, "plan")
    assert isinstance(found, Outlook)
    assert (found.below_c, found.p_any) == (None, None)
    assert context_words.outlook_sentences(found, CELSIUS)[1].startswith("Name a temperature")


@pytest.mark.parametrize(
    ("place", "end_on", "below_c", "words"),
    [
        (Place(91, 0), date(2026, 7, 2), 0, "latitude: expected -90 to 90, got 91"),
        (Place(0, 181), date(2026, 7, 2), 0, "longitude: expected -180 to 180, got 181"),
        (Place(0, 0, 9e4), date(2026, 7, 2), 0, "elevation_m: expected -500 to 9000, got 90000"),
        (
            PLACE,
            JULY,
            0,
            "end_on: expected a day after 2026-07-01 and at most 400 days later, got 2026-07-01",
        ),
        (
            PLACE,
            date(2027, 9, 1),
            0,
            "end_on: expected a day after 2026-07-01 and at most 400 days later, got 2027-09-01",
        ),
        (PLACE, date(2026, 7, 2), 99, "below_c: expected a temperature from -60 to 60 °C, got 99"),
        (
            PLACE,
            date(2026, 7, 2),
            float("nan"),
            "below_c: expected a temperature from -60 to 60 °C, got nan",
        ),
    ],
)
def test_what_cannot_be_asked(
    store: Any, place: Place, end_on: date, below_c: float, words: str
) -> None:
    with pytest.raises(QuestionError) as told:
        outlook(store, place, JULY, end_on, below_c)
    assert str(told.value) == words


def test_where_no_station_serves_it_says_so(store: Any) -> None:
    refill(store, [], [])
    found = outlook(store, Place(61.0, 29.0), JULY, date(2026, 7, 3), 0.0)
    assert isinstance(found, NoStation)
    assert station_words.no_station(found, CELSIUS) == (
        "No weather station with normals lies within 100\u202fkm and 700\u202fm of height of the "
        "camp."
    )
    high = outlook(store, Place(47.5, -122.0, 2000.0), JULY, date(2026, 7, 3), 0.0)
    assert isinstance(high, NoStation)
    assert station_words.no_station(high, FAHRENHEIT) == (
        "No weather station with normals lies within 62\u202fmi and 2297\u202fft of height of the "
        "camp; the nearest, Seattle Tacoma Intl AP, WA, is 15\u202fmi away and 6192\u202fft lower."
    )


def test_the_context_of_a_trip(store: Any) -> None:
    lows = lows_from(JULY, [1.0, 3.0])
    refill(store, [flat()], [trip("past", JULY, 3, **HERE)], lows)
    found = trip_context(store, "past")
    assert isinstance(found.station, StationChoice)
    assert (found.judged, found.anomaly_c) == (2, -3.0)
    # Two neighbouring nights of spread 4, alike by .68: 3.666 (worked by hand).
    assert found.anomaly_sd_c == pytest.approx(3.666, abs=5e-4)
    assert found.p_as_cold == pytest.approx(norm.cdf(-3 / 3.666), abs=1e-4)
    assert found.coldest is not None
    assert (found.coldest.night, found.coldest.deviations) == (JULY, -1.0)
    assert context_words.trip_sentence(found, CELSIUS) == (
        "The 2 nights with a known low were on average 3.0\u202f°C colder than usual for the place "
        "and dates: about 1 in 5 such trips is as cold."
    )
    assert "5.4\u202f°F colder" in context_words.trip_sentence(found, FAHRENHEIT)


@pytest.mark.parametrize(
    ("lows", "sentence"),
    [
        ([5.1], "The night was about as cold as usual for the place and date."),
        ([3.0], "The night was 2.0\u202f°C colder than usual for the place and date, which is "
         "nothing out of the ordinary."),
        ([-1.0], "The night was 6.0\u202f°C colder than usual for the place and date: about 1 "
         "night in 14 there is as cold."),
        ([11.0], "The night was 6.0\u202f°C milder than usual for the place and date: about 1 "
         "night in 14 there is as mild."),
        ([-9.0], "The night was 14.0\u202f°C colder than usual for the place and date, which is "
         "rare: hardly any such trip is as cold."),
        ([2.0, 0.0], "The nights were on average 4.0\u202f°C colder than usual for the place and "
         "dates: about 1 in 7 such trips is as cold."),
    ],
)  # fmt: skip
def test_a_trip_in_a_sentence(store: Any, lows: list[float], sentence: str) -> None:
    days = lows_from(JULY, lows)
    refill(store, [flat()], [trip("past", JULY, len(lows), **HERE)], days)
    found = trip_context(store)
    assert context_words.trip_sentence(found, CELSIUS) == sentence
    told = context_words.trip_sentence(found, CELSIUS, 2.0)
    colder = "by the station’s normals; your camps before were 2.0\u202f°C colder on average."
    told_as_cold = sentence.endswith("as cold.")
    assert told == (f"{sentence[:-1]}, {colder}" if told_as_cold else sentence)
    if "night in" in sentence:
        # The table counts 7 of 100, and 7 of 100 are 1 in 14.
        counted = context_words.of_a_hundred(found.nights[0].percentile or 0.0)
        assert counted == ("7" if lows == [-1.0] else "93")


def test_a_trip_of_which_nothing_can_be_said(store: Any) -> None:
    refill(store, [flat()], [trip("past", JULY, 2, **HERE)])
    found = trip_context(store)
    assert (found.judged, found.anomaly_c, found.coldest) == (0, None, None)
    assert context_words.trip_sentence(found, CELSIUS) == ""
    refill(store, [normals(sd_c=None)], [trip("past", JULY, 1, **HERE)], lows_from(JULY, [0.0]))
    found = trip_context(store)
    assert (found.anomaly_sd_c, found.p_as_cold) == (None, None)
    assert context_words.trip_sentence(found, CELSIUS) == (
        "The night was 6.8\u202f°C colder than usual for the place and date."
    )


def test_a_gap_between_nights_makes_them_less_alike(store: Any) -> None:
    lows = {("past", date(2026, 7, 1)): 1.0, ("past", date(2026, 7, 5)): 1.0}
    refill(store, [flat()], [trip("past", JULY, 5, **HERE)], lows)
    assert trip_context(store).anomaly_sd_c == pytest.approx(mean_spread([4.0, 4.0], [1, 5]))


def test_the_band_runs_on_over_a_leap_day(store: Any) -> None:
    refill(store, [normals()], [trip("past", date(2024, 2, 28), 1, **HERE)])
    station = trip_context(store).station
    assert isinstance(station, StationChoice)
    band = normal_band(store, station, date(2024, 2, 27), date(2024, 3, 1))
    assert [b.normal_low_c for b in band] == pytest.approx([5.58, 5.59, 5.60, 5.61])
    common = normal_band(store, station, date(2023, 2, 27), date(2023, 3, 1))
    assert [b.normal_low_c for b in common] == pytest.approx([5.58, 5.60, 5.61])


def page(store: Any, trip_name: str = "", display: Display = CELSIUS, **more: Any) -> ContextPage:
    return context_page.read_nights(store, trip_name, display=display, **more)


def whole(shown: ContextPage) -> str:
    parts = (shown.opening(), shown.nights(), shown.to_come(), shown.sources())
    return "\n".join(p.text() for p in parts)


def test_a_page_of_the_latest_trip_and_the_next_plan(store: Any) -> None:
    plan = trip("plan", date(2027, 1, 2), 2, plan=True, **HERE)
    past = trip("past", JULY, 3, **HERE)
    refill(store, [flat()], [past, plan], lows_from(JULY, [1.0, 3.0, 14.0]))
    shown = page(store, below_c=0.0)
    said = whole(shown)
    assert said.startswith("Cold for the time of year?\nPast · 1–4 July 2026\nPlan · 2–4 January")
    were, come = shown.opening().points
    assert were.answer == (
        "On average 1.0\u202f°C milder than usual, which is nothing out of the ordinary."
    )
    assert come.answer == ("Lows near 5\u202f°C, nine nights in ten between −2 and 11\u202f°C.")
    assert shown.opening().caution == NORMALS_CARE
    assert said.index(were.answer) < said.index("Take care.") < said.index("USW")
    assert "Take care. Normals say what is usual, not what is coming" in said
    assert "Valleys, hollows and open ground can be many degrees colder" in said
    assert "Cold can injure and kill" in said
    assert "NOAA’s daily normals 1991–2020 of Usw00099999 AP, WA (USW00099999)." in said
    assert "that come with Tarebook" not in said
    for section in (shown.nights(), shown.to_come()):
        assert section.figure is not None
        for layout in LAYOUTS:
            spec = section.figure.spec(layout, validate=True)
            assert "Night low (°C)" in str(spec)
        assert "<svg" in section.html()
    fahrenheit = page(store, display=FAHRENHEIT, below_c=0.0)
    figure = fahrenheit.to_come().figure
    assert figure is not None
    assert "asked for 32" in str(figure.spec(LAYOUTS[0]))


def test_a_page_of_one_trip_shows_that_one_alone(store: Any) -> None:
    trips = [trip("past", JULY, 1, **HERE), trip("plan", JULY, 1, plan=True, **HERE)]
    refill(store, [flat()], trips, lows_from(JULY, [1.0]))
    assert page(store, "past").plan is None
    assert page(store, "plan").past is None
    assert page(store, "past").to_come().html() == ""
    assert page(store, "plan").nights().html() == ""
    # The caution stands on every page, whether or not there is a plan.
    assert "Cold can injure and kill" in whole(page(store, "past"))
    with pytest.raises(QuestionError, match="expected a trip of this logbook"):
        page(store, "zzz")


def test_the_packaged_normals_say_what_they_are_wherever_they_are_used(store: Any) -> None:
    refill(store, [], [trip("past", JULY, 1, **HERE)], lows_from(JULY, [8.0]))
    shown = page(store)
    opening = shown.opening()
    assert opening.notices == (
        "The normals that come with Tarebook are a stopgap. Their limits stand at the end.",
    )
    assert "USW00024233" in shown.sources().text()
    said = shown.sources().text()
    assert "for 100\u202fkm around" in said
    assert "the climate of 1981–2010, which has moved since" in said
    assert "the weaker kind: they stand too high" in said
    assert "the lows observed in 2012–2015: four years only" in said


def test_a_page_without_a_station_says_why_and_where_to_get_one(store: Any) -> None:
    refill(store, [], [trip("past", JULY, 1), trip("plan", JULY, 1, plan=True, station="Mudflat")])
    said = whole(page(store))
    assert "The trip has no latitude and longitude" in said
    assert "The trip names the station Mudflat, of which there are no normals here" in said
    assert "NOAA publishes normals of the low for more than 7,300 stations" in said
    assert "For other countries it has none." in said


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"product": "monthly", "spread_from": ""}, "smooth curve through NOAA’s monthly normals"),
        ({"product": "hourly", "spread_from": "hourly percentiles"}, "that of the coldest hour"),
        ({"period": "1981-2010"}, "The climate has moved since 1981–2010"),
        ({"completeness": "E", "years": 3}, "NOAA marks them as estimated, from 3 years."),
        ({"elevation_m": None}, "The height of the camp or of the station is not known"),
        ({"elevation_m": 600.0}, "by 6.5\u202f°C for each kilometre"),
        ({"spread_from": ""}, "so no chances are given"),
    ],
)
def test_what_to_know_of_normals_is_told(store: Any, more: dict[str, Any], words: str) -> None:
    lows = dict.fromkeys(FLAT, (5.0, None)) if more.get("spread_from") == "" else FLAT
    refill(store, [normals(lows=lows, **more)], [trip("past", JULY, 1, **HERE)])
    station = trip_context(store).station
    assert isinstance(station, StationChoice)
    assert words in " ".join(station_words.normals_caveats(station, CELSIUS))


def test_names_of_stations_are_written_as_people_do() -> None:
    names = {
        "LEBANON MUNI AP, NH US": "Lebanon Muni AP, NH",
        "NEW YORK CNTRL PK TWR, NY US": "New York Cntrl PK Twr, NY",
        "Imnaviat Creek, AK US": "Imnaviat Creek, AK",
        "USW00094765": "Usw00094765",
    }
    assert {name: station_words.station_name(name) for name in names} == names
