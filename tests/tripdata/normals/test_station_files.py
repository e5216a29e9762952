"""Station files as NOAA publishes them: figures, layouts, special values, what is refused."""

import csv
from collections.abc import Callable
from pathlib import Path

import pytest
import station_files as made
from tarebook.tripdata.normals.calendar import DAYS, LEAP_DAYS
from tarebook.tripdata.normals.columns import NoLowError, NotNormalsError
from tarebook.tripdata.normals.station_file import StationNormals, read_station_file

Noaa = Callable[[str], Path]
LEBANON = "normals-daily-1991-2020-USW00094765.csv"
CENTRAL_PARK = "normals-daily-1991-2020-USW00094728.csv"
LEBANON_OLD = "normals-daily-1981-2010-USW00094765.csv"
WORCESTER = "normals-hourly-1981-2010-USW00094746.csv"


def fahrenheit(normals: StationNormals, day: str) -> tuple[float, float | None]:
    low, spread = normals.lows[day]
    return round(low * 9 / 5 + 32, 6), None if spread is None else round(spread * 9 / 5, 6)


def read(path: Path) -> StationNormals:
    return read_station_file("some name.csv", path.read_bytes())


def refused(data: bytes) -> str:
    with pytest.raises(NotNormalsError) as told:
        read_station_file("x.csv", data)
    return f"{told.value.line}: {told.value}"


def useless(data: bytes) -> str:
    with pytest.raises(NoLowError) as told:
        read_station_file("x.csv", data)
    return str(told.value)


@pytest.mark.outside(
    "official data",
    "NOAA, U.S. Climate Normals 1991-2020, daily, USW00094765 and USW00094728",
    "Lebanon 12.4 ± 13.2 °F, Central Park 29.8 ± 9.4 °F on 1 January; 29 February",
)
def test_daily_figures_are_those_of_noaa(noaa: Noaa) -> None:
    lebanon = read(noaa(LEBANON))
    assert fahrenheit(lebanon, "01-01") == (12.4, 13.2)
    park = read(noaa(CENTRAL_PARK))
    assert fahrenheit(park, "01-01") == (29.8, 9.4)
    assert fahrenheit(park, "04-15") == (45.4, 6.6)
    assert fahrenheit(park, "07-15") == (70.4, 4.6)
    assert fahrenheit(park, "10-15") == (51.6, 6.7)
    assert [fahrenheit(park, d)[0] for d in ("02-28", "02-29", "03-01")] == [32.0, 32.1, 32.2]
    assert (park.station, park.name) == ("USW00094728", "NEW YORK CNTRL PK TWR, NY US")
    assert (park.latitude, park.longitude, park.elevation_m) == (40.7789, -73.9692, 39.6)
    assert (park.product, park.period, park.kind) == ("daily", "1991-2020", "published")
    assert (park.completeness, park.years, park.records) == ("S", 29, 366)
    assert (lebanon.completeness, lebanon.years) == ("R", 22)
    assert tuple(park.lows) == LEAP_DAYS


@pytest.mark.outside(
    "official data",
    "NOAA, U.S. Climate Normals 1981-2010, daily, USW00094765",
    "106 and 127 on 1 January are 10.6 and 12.7 °F",
)
def test_the_older_layout_is_whole_tenths(noaa: Noaa) -> None:
    old = read(noaa(LEBANON_OLD))
    assert fahrenheit(old, "01-01") == (10.6, 12.7)
    assert (old.period, old.period_shown, old.completeness) == ("1981-2010", True, "R")


@pytest.mark.outside(
    "official data",
    "NOAA, U.S. Climate Normals 1991-2020, monthly and daily, USW00094765",
    "twelve months agree within .0135 °F",
)
def test_a_monthly_normal_is_the_mean_of_the_daily_ones(noaa: Noaa) -> None:
    daily = read(noaa(LEBANON))
    monthly = read(noaa("normals-monthly-1991-2020-USW00094765.csv"))
    assert (monthly.product, monthly.kind, monthly.spread_from) == ("monthly", "curve", "")
    assert all(spread is None for _, spread in monthly.lows.values())
    for month in range(1, 13):
        days = [d for d in DAYS if d.startswith(f"{month:02d}-")]
        means = [sum(fahrenheit(n, d)[0] for d in days) / len(days) for n in (daily, monthly)]
        # Daily and monthly normals, both rounded to a tenth, agree within .013 °F at this station.
        assert abs(means[0] - means[1]) < 0.0135


@pytest.mark.outside(
    "official data",
    "NOAA, U.S. Climate Normals 1991-2020, monthly, USW00096409; USS0049T01S has no temperatures",
    "Toolik Lake: -15.2 °F in January, 40.9 °F in July, estimated from 3 years",
)
def test_a_station_without_spread_and_one_without_temperatures(noaa: Noaa) -> None:
    toolik = read(noaa("normals-monthly-1991-2020-USW00096409.csv"))
    for month, normal in (("01", -15.2), ("07", 40.9)):
        days = [d for d in DAYS if d.startswith(month)]
        mean = sum(fahrenheit(toolik, d)[0] for d in days) / len(days)
        assert mean == pytest.approx(normal, abs=1e-6)
    assert (toolik.completeness, toolik.years) == ("E", 3)
    assert not toolik.period_shown  # 3 or 4 years, estimated: it may be of either period
    snow = noaa("normals-monthly-1991-2020-USS0049T01S.csv").read_bytes()
    assert useless(snow).startswith("the station has no normal of the low in this file")
    year = noaa("normals-annualseasonal-1991-2020-USW00094765.csv").read_bytes()
    assert useless(year) == (
        "annual and seasonal normals do not tell the low of a night; take the daily file of the "
        "station"
    )


@pytest.mark.outside(
    "official data",
    "NOAA, U.S. Climate Normals 1981-2010, hourly, USW00094746",
    "Worcester's lowest hour of the night to 15 July; 6 hours of August lack",
)
def test_hours_give_the_lowest_of_each_night(noaa: Noaa) -> None:
    path = noaa(WORCESTER)
    worcester = read(path)
    assert (worcester.kind, worcester.spread_from) == ("hours", "hourly percentiles")
    assert (worcester.records, worcester.completeness) == (8760, "P")
    with path.open(newline="") as file:
        rows = [r for r in csv.DictReader(file) if r["HLY-TEMP-NORMAL"]]
    at = {r["DATE"]: int(r["HLY-TEMP-NORMAL"]) for r in rows}
    night = [at[f"07-14T{h:02d}:00:00"] for h in range(12, 24)]
    night += [at[f"07-15T{h:02d}:00:00"] for h in range(12)]
    assert fahrenheit(worcester, "07-15")[0] == min(night) / 10
    # The file has no value at midnight of 24 to 29 August, and no 29 February.
    assert len(rows) == 8754
    assert "08-25" in worcester.lows
    before, leap, after = (fahrenheit(worcester, d)[0] for d in ("02-28", "02-29", "03-01"))
    assert leap == pytest.approx((before + after) / 2)


@pytest.mark.outside(
    "official data",
    "NOAA, U.S. Climate Normals, hourly and daily, three stations",
    "Worcester's spread between those of New York and Lebanon",
)
def test_the_spread_from_hours_lies_between_those_of_the_stations_on_either_side(
    noaa: Noaa,
) -> None:
    # Worcester lies between New York and Lebanon; their daily spreads are published, its is not.
    spreads = {
        name: {d: s for d, (_, s) in read(noaa(name)).lows.items() if s}
        for name in (WORCESTER, CENTRAL_PARK, LEBANON)
    }
    ratio = {}
    for month in range(1, 13):
        days = [d for d in DAYS if d.startswith(f"{month:02d}")]
        own, park, lebanon = (sum(s[d] for d in days) for s in spreads.values())
        assert own > park
        ratio[month] = own / lebanon
    print("hourly spread against Lebanon's:", {m: round(r, 2) for m, r in ratio.items()})
    assert all(0.8 < r < 1.2 for r in ratio.values())


def test_the_hourly_columns_of_1991_2020_are_recognised(noaa: Noaa) -> None:
    listed = noaa("columns-hourly-1991-2020.txt").read_text().splitlines()
    columns = [line.split(",")[0] for line in listed]
    assert "HLY-TEMP-NORMAL" in columns
    values = {
        "STATION": "USW00099999",
        "HLY-TEMP-NORMAL": "  50.0",
        "HLY-TEMP-10PCTL": "  40.0",
        "HLY-TEMP-90PCTL": "  60.0",
        "years_HLY-TEMP-NORMAL": "30",
        "comp_flag_HLY-TEMP-NORMAL": "S",
    }
    rows = (
        {c: values.get(c, " ") for c in columns} | {"DATE": f"{d}T{h:02d}:00:00"}
        for d in LEAP_DAYS
        for h in range(24)
    )
    found = read_station_file("x.csv", made.text(rows))
    assert (found.product, found.period, found.latitude) == ("hourly", "1991-2020", None)
    # Between the 10th and 90th percentile of a normal distribution lie 2.5631 standard deviations.
    assert fahrenheit(found, "02-29") == (50.0, pytest.approx(20 / 2.5631031, rel=1e-6))


def test_the_period_shows_in_the_years_or_the_name() -> None:
    told = {
        (30, "S"): ("1991-2020", True),
        (22, "R"): ("1991-2020", True),
        (15, "S"): ("2006-2020", True),
        (15, "R"): ("2006-2020", True),
        (12, "R"): ("1991-2020", False),
        (16, "R"): ("1991-2020", True),
    }
    for (years, flag), expected in told.items():
        found = read_station_file("x.csv", made.daily(years=years, flag=flag))
        assert (found.period, found.period_shown) == expected, (years, flag)
    found = read_station_file("mine 2006-2020.csv", made.daily(years=12, flag="R"))
    assert (found.period, found.period_shown) == ("2006-2020", True)
    found = read_station_file("mine 1991-2020.csv", made.daily(years=15, flag="R"))
    assert (found.period, found.period_shown) == ("1991-2020", True)


def test_the_years_of_every_value_tell_the_period_not_those_of_the_low_alone() -> None:
    # Lows of a short record in a file whose rain has more years than 2006-2020 could have.
    def with_rain(years: int) -> bytes:
        text = made.daily(years=12, flag="R").decode().splitlines()
        rain = ['"DLY-PRCP-50PCTL","years_DLY-PRCP-50PCTL"', *[f'"0.1","{years}"'] * 366]
        lines = (f"{a},{b}" for a, b in zip(text, rain, strict=True))
        return "\n".join(lines).encode()

    told = {n: read_station_file("x.csv", with_rain(n)) for n in (12, 15, 20)}
    assert {n: (f.period, f.period_shown, f.years) for n, f in told.items()} == {
        12: ("1991-2020", False, 12),
        15: ("2006-2020", True, 12),
        20: ("1991-2020", True, 12),
    }


def test_monthly_files_show_their_period_too() -> None:
    for years, flag, period in ((30, "S", "1991-2020"), (15, "R", "2006-2020")):
        found = read_station_file("USW00099999.csv", made.monthly(lambda _: 30, years, flag))
        assert (found.period, found.period_shown) == (period, True)


@pytest.mark.parametrize("special", ["-9999.0", "-8888.0", "-7777.0", "-6666", "-5555", "", "   "])
def test_special_values_are_never_temperatures(special: str) -> None:
    found = read_station_file(
        "x.csv",
        made.daily(
            lambda day: special if day == "07-15" else 40.0,
            lambda day: special if day == "07-16" else 8.0,
        ),
    )
    assert "07-15" not in found.lows
    assert fahrenheit(found, "07-16") == (40.0, None)
    assert fahrenheit(found, "07-17") == (40.0, 8.0)
    tenths = special.strip().removesuffix(".0")
    old = read_station_file("x.csv", made.old_daily(lambda d: tenths if d == "01-01" else -105))
    assert "01-01" not in old.lows
    assert fahrenheit(old, "01-02") == (-10.5, 8.0)


@pytest.mark.parametrize("flag", "MVWYZ")
def test_a_value_flagged_as_no_value_is_none(flag: str) -> None:
    data = made.daily(measured=lambda day: flag if day == "03-03" else " ")
    assert "03-03" not in read_station_file("x.csv", data).lows


def test_a_flag_that_only_says_rounded_to_zero_is_no_fault() -> None:
    found = read_station_file("x.csv", made.daily(lambda _: 0.0, measured=lambda _: "X"))
    assert fahrenheit(found, "03-03") == (0.0, 8.0)


def test_a_missing_29_february_is_the_mean_of_its_neighbours() -> None:
    lows = {"02-28": 30.0, "03-01": 31.0}
    spreads = {"02-28": 9.0, "03-01": 8.0}

    def low(day: str) -> object:
        return "-8888.0" if day == "02-29" else lows.get(day, 40.0)

    found = read_station_file("x.csv", made.daily(low, lambda d: spreads.get(d, 7.0)))
    assert fahrenheit(found, "02-29") == (30.5, 8.5)
    short = made.daily(lambda d: lows.get(d, 40.0), lambda d: spreads.get(d, 7.0), days=DAYS)
    assert fahrenheit(read_station_file("x.csv", short), "02-29") == (30.5, 8.5)


def test_a_night_of_hours_lasts_from_noon_to_noon() -> None:
    # Cold at 23:00 of 14 July and at 13:00 of 15 July: the first belongs to the night that ends
    # on 15 July, the second to the next one.
    cold = {("07-14", 23): 300, ("07-15", 13): 200}
    found = read_station_file("x.csv", made.old_hourly(lambda d, h: cold.get((d, h), 500)))
    assert [fahrenheit(found, d)[0] for d in ("07-14", "07-15", "07-16")] == [50.0, 30.0, 20.0]
    assert found.spread_from == ""
    # The night of New Year's Eve reaches into January.
    eve = made.old_hourly(lambda d, h: 100 if (d, h) == ("12-31", 22) else 500)
    assert fahrenheit(read_station_file("x.csv", eve), "01-01")[0] == 10.0


def test_a_night_of_which_too_few_hours_are_known_has_no_low() -> None:
    def some(day: str, hour: int) -> object:
        return "" if day == "05-05" and hour < 7 else 500

    assert "05-05" not in read_station_file("x.csv", made.old_hourly(some)).lows
    every = made.old_hourly(lambda d, h: "" if d == "05-05" and h < 6 else 500)
    assert "05-05" in read_station_file("x.csv", every).lows


def test_a_height_or_place_that_is_not_known_is_none() -> None:
    found = read_station_file("x.csv", made.daily(ELEVATION="-999.9", LATITUDE="", LONGITUDE="x"))
    assert (found.elevation_m, found.latitude, found.longitude) == (None, None, None)


def test_one_month_missing_leaves_no_curve() -> None:
    data = made.monthly(lambda month: "-9999.0" if month == "05" else 40.0)
    assert useless(data).startswith("some months are without a normal of the low")
    assert useless(made.monthly(lambda _: "-9999.0")).startswith("every normal of the low is miss")
    assert useless(made.daily(lambda _: "-9999.0")).startswith("every normal of the low is missing")


def test_what_is_broken_is_named_with_its_line() -> None:
    good = made.daily().decode()
    lines = good.splitlines(keepends=True)
    assert refused(b"") == "0: is empty"
    assert refused(b"a,b\n1,2\n") == (
        "0: not a by-station normals file of NOAA's: expected the columns STATION, DATE and "
        "DLY-TMIN-NORMAL, MLY-TMIN-NORMAL or HLY-TEMP-NORMAL"
    )
    assert refused(b"\x00\x01").startswith("0: is not a text file")
    assert refused(lines[0].encode()) == (
        "0: expected 365 or 366 daily records, got 0; is the download complete?"
    )
    assert refused("".join(lines[:200]).encode()) == (
        "0: expected 365 or 366 daily records, got 199; is the download complete?"
    )
    assert refused(("".join(lines[:200]) + '"USW00099999","07-18","4').encode()) == (
        "201: cannot be read as CSV (unexpected end of data); is the download complete?"
    )
    assert refused(good.replace('"07-15"', '"07-15","x"').encode()) == (
        "198: expected 14 cells, got 15; is the download complete?"
    )
    assert refused(good.replace('"07-15"', '"15-Jul"').encode()) == (
        '198: DATE: expected one as NOAA writes it, got "15-Jul"; was the file saved by a '
        "spreadsheet?"
    )
    assert refused(good.replace('"07-15"', '"07-14"').encode()) == (
        "198: DATE: 07-14 stands here twice"
    )
    assert refused(good.replace('"07-15"', '"13-01"').encode()).startswith("198: DATE: expected")
    assert refused(made.daily(lambda d: 400.0 if d == "01-02" else 40.0)) == (
        '3: DLY-TMIN-NORMAL: expected a temperature in °F, got "400.0"'
    )
    assert refused(made.daily(lambda d: "warm" if d == "01-02" else 40.0)) == (
        '3: DLY-TMIN-NORMAL: expected a temperature in °F, got "warm"'
    )
    assert refused(made.daily(lambda d: "nan" if d == "01-02" else 40.0)).startswith("3: DLY-TMIN")
    assert refused(made.old_daily(lambda d: 9999 if d == "01-02" else 400)) == (
        '3: DLY-TMIN-NORMAL: expected a temperature in tenths of °F, got "9999"'
    )
    assert refused(made.daily(spread=lambda d: -1.0 if d == "01-02" else 8.0)).startswith(
        "3: DLY-TMIN-STDDEV"
    )
    assert refused(good.replace('"USW00099999","07-15"', '"USW00099998","07-15"').encode()) == (
        "0: holds several stations; take NOAA's by-station files"
    )
    assert refused(made.daily(STATION="Fernhollow")) == (
        '0: STATION: expected an identifier of 11 letters and digits, got "Fernhollow"'
    )
    bare = good.replace("comp_flag_DLY-TMIN-NORMAL", "c").encode()
    assert refused(bare) == (
        "0: DLY-TMIN-NORMAL stands without its flags (comp_flag_DLY-TMIN-NORMAL or "
        "DLY-TMIN-NORMAL_ATTRIBUTES); put the file here as NOAA publishes it"
    )


def test_observations_and_inventories_are_told_for_what_they_are(noaa: Noaa) -> None:
    observed = noaa("ghcn-daily-observed-USW00094728-2009-2024.csv").read_bytes()
    assert refused(observed) == (
        "0: these are observations, not normals; take the station's file from NOAA's daily normals"
    )
    inventory = noaa("inventory-daily-1991-2020.csv").read_bytes()
    assert refused(inventory).startswith("0: not a by-station normals file of NOAA's")


def test_a_real_file_cut_anywhere_is_refused(noaa: Noaa) -> None:
    data = noaa(LEBANON).read_bytes()
    for share in range(1, 40):
        with pytest.raises(NotNormalsError):
            read_station_file("x.csv", data[: len(data) * share // 40])


def test_line_ends_a_mark_and_another_encoding_change_nothing(noaa: Noaa) -> None:
    data = noaa(LEBANON).read_bytes()
    expected = read_station_file("x.csv", data).lows
    for other in (
        data.replace(b"\n", b"\r\n"),
        b"\xef\xbb\xbf" + data,
        data.decode().encode("utf-16"),
        data + b"\n\n",
    ):
        assert read_station_file("x.csv", other).lows == expected
