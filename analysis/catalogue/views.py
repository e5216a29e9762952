"""The tables that a view of the store holds as they are: `store/sql/marts`."""

from .entry import Entry


def _entry(name: str, grain: str, sorted_by: int, view: str = "", keyed: bool = True) -> Entry:
    room = "catalogue"
    return Entry(name, room=room, grain=grain, sorted_by=sorted_by, keyed=keyed, view=view or name)


ENTRIES = (
    _entry("trips", "trip, plans among them", 1),
    _entry("trip_systems", "trip and system of which anything came along, plans among them", 2),
    _entry("items", "item carried at least once on a trip that is not a plan", 1),
    _entry("nights", "trip and night, of every trip that is not a plan", 2),
    _entry("normals", "station, product and period of which normals are known", 3, "known_normals"),
    _entry(
        "trip_normals",
        "trip and weather station that is near, nearest or named, plans among them; a trip without "
        "a place has one row without a station",
        2,
        keyed=False,
    ),
    _entry("set_aside", "problem of a record that was set aside", 3, "set_aside_rows", keyed=False),
)
