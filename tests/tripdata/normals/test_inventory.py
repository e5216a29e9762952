"""NOAA's list of stations: its layouts, and which stations suit a place."""

from collections.abc import Callable
from pathlib import Path

import noaa_server
import pytest
from tarebook.tripdata.normals.columns import NotNormalsError
from tarebook.tripdata.normals.inventory import is_inventory, read_inventory, suited

Noaa = Callable[[str], Path]
# As published, for the widths of the columns: a height of less than 1000 m, names with blanks.
PUBLISHED = (
    "AQC00914000 -14.3167 -170.7667  408.4 AS AASUFOU                                     \n"
    "USW00013904  30.1830  -97.6797  149.0 TX AUSTIN BERGSTROM AP             GSN     91997\n"
)
LEBANON = (43.7, -72.2)


@pytest.mark.outside(
    "official data",
    "NOAA, GHCN-Daily's list of stations (ghcnd-stations.txt), two lines as published",
    "AQC00914000 and USW00013904 with name, state, place and height",
)
def test_a_line_as_published() -> None:
    first, second = read_inventory(PUBLISHED.encode())
    assert first == ("AQC00914000", "AASUFOU, AS", -14.3167, -170.7667, 408.4)
    assert second == ("USW00013904", "AUSTIN BERGSTROM AP, TX", 30.183, -97.6797, 149.0)


def test_a_height_that_is_not_known_is_missing() -> None:
    text = noaa_server.line("USC00000001", "NO HEIGHT", 47.0, -122.0, -999.9)
    assert read_inventory(text.encode())[0].elevation_m is None


@pytest.mark.parametrize(
    ("data", "problem"),
    [
        (b"", "is not NOAA's list of stations"),
        (b"<!doctype html><title>Not found</title>\n", "is not NOAA's list of stations"),
        (b"station,name\nUSW00013904,x\n", "is not NOAA's list of stations"),
        (PUBLISHED.encode()[:-60], "expected a station as NOAA lists it; is the list cut?"),
        (PUBLISHED.replace(" 30.1830", "130.1830").encode(), "expected a station"),
        (PUBLISHED.encode() + b"\0", "is not a text file"),
    ],
)
def test_what_is_no_whole_inventory_is_refused(data: bytes, problem: str) -> None:
    with pytest.raises(NotNormalsError, match=problem):
        read_inventory(data)


@pytest.mark.outside(
    "official data",
    "NOAA, inventory of the daily normals 1991-2020",
    "15,615 stations; Lebanon's airport is 11.7 km away",
)
def test_the_whole_list_is_read_and_the_nearest_named(noaa: Noaa) -> None:
    data = noaa("inventory-daily-1991-2020.csv").read_bytes()
    assert is_inventory(data)
    stations = read_inventory(data)
    assert len(stations) == 15_615
    near = suited(LEBANON, 300.0, None, stations)
    lebanon = next(c for c in near if c.station.station == "USW00094765")
    assert lebanon.station[:2] == ("USW00094765", "LEBANON MUNI AP, NH")
    # Haversine by hand with 6371 km: 11.7 km; 300 m less the 182.3 m of NOAA's list.
    assert lebanon.distance_km == pytest.approx(11.7, abs=0.1)
    assert lebanon.height_difference_m == pytest.approx(117.7)
    costs = [c.distance_km + abs(c.height_difference_m or 0) / 10 for c in near]
    assert costs == sorted(costs)
    assert max(c.distance_km for c in near) <= 100
    # Rain and snow networks are never named.
    assert not {c.station.station[2] for c in near} & {"1", "S"}
    assert any(s.station.startswith("US1NH") for s in stations)


def test_height_counts_and_shuts_out() -> None:
    lines = [
        noaa_server.line("USC00000001", "ON THE PEAK", 47.0, -122.0, 900.1),
        noaa_server.line("USC00000002", "NEAR BUT HIGH", 47.0, -122.1, 500.0),
        noaa_server.line("USC00000003", "FAR BUT LEVEL", 47.0, -122.4, 200.0),
        noaa_server.line("US1WA000001", "RAIN", 47.0, -122.0, 200.0),
        noaa_server.line("USS0000001S", "SNOW", 47.0, -122.0, 200.0),
        noaa_server.line("USC00000004", "BEYOND", 48.0, -122.0, 200.0),
    ]
    stations = read_inventory("\n".join(lines).encode())

    def best(height: float | None) -> list[str]:
        return [c.station.name[:-4] for c in suited((47.0, -122.0), height, None, stations)]

    # 7.6 km and 300 m cost 37.6 km, 30.4 km and no height 30.4.
    assert best(200.0) == ["FAR BUT LEVEL", "NEAR BUT HIGH"]
    assert best(None) == ["ON THE PEAK", "NEAR BUT HIGH", "FAR BUT LEVEL"]
    for name in ("usc00000004", "Beyond, WA", "BEYOND, WA US"):
        named = suited((47.0, -122.0), 200.0, name, stations)
        assert [c.station.station for c in named] == ["USC00000004"]
    assert suited((47.0, -122.0), 200.0, "nowhere", stations) == []
