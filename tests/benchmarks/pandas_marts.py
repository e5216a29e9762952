"""The analysis tables in pandas, vectorised, as one would write them without SQL marts.

Each fetches what it needs from the store with as little SQL as goes, and leaves out the rarer rules
(broken stays, sums of which nothing is weighed), which is in its own favour.
"""

from typing import Any

import pandas as pd


def _fetch(store: Any, table: str, *columns: str) -> pd.DataFrame:
    frame: pd.DataFrame = store.table(table).select(*columns).df()
    return frame


def _gear(store: Any) -> pd.DataFrame:
    """The gear, insurance by cell, by system, or by a kit of which at least half is."""
    columns = ("item", "name", "system", "weight_mg", "carried_as", "kit", "retired_on")
    gear = _fetch(store, "gear", *columns, "insurance")
    by_system = gear["system"].isin(("first_aid", "safety", "navigation", "fire", "repair"))
    own = gear["insurance"].astype("boolean").fillna(by_system)
    kit = gear["kit"].str.lower().where(gear["carried_as"] != "vehicle")
    counts = [
        own[rows].groupby(kit[rows]).agg(["size", "sum"])
        for rows in (kit.notna(), kit.notna() & gear["retired_on"].isna())
    ]
    insured = own.copy()
    for each in counts:
        half = each.index[(each["size"] >= 2) & (2 * each["sum"] >= each["size"])]
        insured |= kit.isin(half) & gear["insurance"].isna()
    return gear.assign(insurance=insured.astype(bool)).drop(columns=["kit", "retired_on"])


NIGHT = {"day": "night"}
_FULL = ("full", "all_but")
_TRIP = ("trip", "start_on", "end_on", "mode", "latitude", "use_record", "plan")


def _rows(store: Any) -> tuple[pd.DataFrame, pd.DataFrame]:
    trip = _fetch(
        store, "trip", "trip", "start_on", "end_on", "mode", "latitude", "use_record", "plan"
    )
    rows = _fetch(
        store,
        "carried",
        "trip",
        "item",
        "quantity",
        "weight_mg",
        "carried_as",
        "carried_by",
        "from_day",
        "until_day",
        "used",
    )
    gear = _gear(store)
    gear = gear.rename(columns={"weight_mg": "gear_mg", "carried_as": "gear_as"})
    rows = rows.merge(trip[["trip", "start_on", "end_on", "plan"]], on="trip").merge(
        gear, on="item"
    )
    pairs = rows[["item", "start_on"]].drop_duplicates().sort_values("start_on")
    weighed = _fetch(store, "weighings", "item", "weighed_on", "weight_mg")
    weighed = weighed.rename(columns={"weight_mg": "weighed_mg"}).sort_values("weighed_on")
    pairs = pd.merge_asof(
        pairs,
        weighed.sort_values("weighed_on"),
        left_on="start_on",
        right_on="weighed_on",
        by="item",
    )
    rows = rows.merge(pairs[["item", "start_on", "weighed_mg"]], on=["item", "start_on"])
    rows["mg"] = rows["weight_mg"].fillna(rows["weighed_mg"]).fillna(rows["gear_mg"])
    rows["mg"] *= rows["quantity"]
    rows["kind"] = rows["carried_as"].fillna(rows["gear_as"])
    rows["mine"] = rows["carried_by"].isna()
    rows["on_me"] = rows["mine"] & (
        rows["from_day"].isna() | (rows["from_day"] <= rows["start_on"])
    )
    rows["from_on"] = rows["from_day"].fillna(rows["start_on"])
    rows["until_on"] = rows["until_day"].fillna(rows["end_on"])
    return rows, trip


def _use(store: Any, rows: pd.DataFrame, trip: pd.DataFrame) -> pd.DataFrame:
    noted = _fetch(store, "used", "trip", "item", "times").groupby(["trip", "item"]).sum()
    cells = rows.assign(
        start_mg=rows["mg"].where(rows["on_me"]), blank=rows["on_me"] & rows["mg"].isna()
    )
    use = cells.groupby(["trip", "item"], sort=False).agg(
        cell=("used", "sum"),
        cells=("used", "count"),
        rows=("used", "size"),
        insurance=("insurance", "first"),
        plan=("plan", "first"),
        start_mg=("start_mg", "sum"),
        blank=("blank", "max"),
        first_on=("from_on", "min"),
        last_on=("until_on", "max"),
    )
    use = use.join(noted).reset_index()
    of_rows = use["times"].notna()
    use["times"] = use["times"].fillna(use["cell"])
    use["said"] = (use["cells"] > 0) | of_rows
    said = use.groupby("trip")["said"].max().rename("any_said")
    stated = trip.set_index("trip")["use_record"]
    record = stated.fillna(said.reindex(stated.index).map({True: "full"})).fillna("none")
    use["record"] = use["trip"].map(record)
    silent = (use["record"] == "all_but") & ~of_rows & ~use["insurance"].astype(bool)
    use["times"] += (use["rows"] - use["cells"]).where(silent, 0)
    use["known"] = use["record"].isin(_FULL) | ((use["record"] == "partial") & use["said"])
    use["used"] = use["known"] & (use["times"] > 0)
    return use


def nights(store: Any) -> pd.DataFrame:
    """A row a trip and night."""
    read = _fetch(store, "temperatures", "trip", "read_at", "temperature_c", "spot")
    read = read[read["spot"] == "camp"]
    since_noon = read["read_at"] - pd.Timedelta(hours=12)
    read = read.assign(night=since_noon.dt.normalize())
    read["small"] = (since_noon - read["night"]).between(
        pd.Timedelta(hours=12), pd.Timedelta(hours=20)
    )
    lows = read.groupby(["trip", "night"], sort=False).agg(
        low=("temperature_c", "min"), small=("small", "max")
    )
    trip = _fetch(store, "trip", "trip", "start_on", "end_on", "plan")
    trip = trip[~trip["plan"]]
    spine = trip.loc[trip.index.repeat((trip["end_on"] - trip["start_on"]).dt.days)]
    night = spine["start_on"] + pd.to_timedelta(spine.groupby("trip").cumcount(), unit="D")
    spine = spine.assign(night=night)[["trip", "night"]]
    weather = _fetch(store, "weather", "trip", "day", "low_c").rename(columns=NIGHT)
    slept = _fetch(store, "comfort", "trip", "day", "aspect", "score", "warmth")
    slept = slept[slept["aspect"] == "sleep"].drop(columns="aspect").rename(columns=NIGHT)
    found = spine.merge(lows.reset_index(), how="left", on=["trip", "night"])
    found = found.merge(weather, how="left", on=["trip", "night"])
    found = found.merge(slept, how="left", on=["trip", "night"])
    found["low_source"] = "logger"
    found.loc[found["small"].eq(False), "low_source"] = "logger_part"
    found.loc[found["low"].isna(), "low_source"] = "weather"
    found["low_c"] = found["low"].fillna(found["low_c"])
    found.loc[found["low_c"].isna(), "low_source"] = None
    return found.drop(columns=["low", "small"]).sort_values(["trip", "night"])


def trip_systems(store: Any) -> pd.DataFrame:
    """A row a trip and system."""
    rows, _ = _rows(store)
    grams = rows[rows["on_me"]].pivot_table(
        index=["trip", "system"], columns="kind", values="mg", aggfunc="sum"
    )
    items = rows.drop_duplicates(["trip", "item"]).groupby(["trip", "system"]).size()
    return (grams.reindex(items.index) / 1000).assign(items=items).reset_index()


def trips(store: Any) -> pd.DataFrame:
    """A row a trip."""
    rows, trip = _rows(store)
    grams = rows[rows["on_me"]].pivot_table(
        index="trip", columns="kind", values="mg", aggfunc="sum"
    )
    use = _use(store, rows, trip)
    unused = use[use["record"].isin(_FULL) & ~use["used"]]
    by_trip = use.groupby("trip")
    moved = _fetch(store, "distances", "trip", "distance_mm", "ascent_mm").groupby("trip").sum()
    found = trip.set_index("trip").join(grams / 1000).join(moved)
    found["items_carried"] = by_trip.size()
    found["items_used"] = by_trip["used"].sum()
    found["unweighed"] = by_trip["blank"].sum()
    found["unused"] = unused.groupby("trip")["start_mg"].sum()
    found["unused_insurance"] = unused[unused["insurance"]].groupby("trip")["start_mg"].sum()
    found["coldest"] = nights(store).groupby("trip")["low_c"].min()
    found["failures"] = _fetch(store, "failures", "trip").groupby("trip").size()
    found["skin_out"] = found[["base", "worn", "consumable"]].sum(axis=1)
    bounds = [0, 2267.96185, 4535.9237, 9071.8474, float("inf")]
    found["weight_class"] = pd.cut(found["base"], bounds, right=False)
    return found.sort_index().reset_index()


def items(store: Any) -> pd.DataFrame:
    """A row an item."""
    rows, trip = _rows(store)
    use = _use(store, rows, trip)
    use, rows = use[~use["plan"]], rows[~rows["plan"] & rows["mine"]]
    days = _fetch(store, "distances", "trip", "day", "distance_mm").sort_values(["trip", "day"])
    whole = rows["from_day"].isna() & rows["until_day"].isna()
    total = rows.loc[whole, "trip"].map(days.groupby("trip")["distance_mm"].sum())
    hauled = (rows.loc[whole, "mg"] * total).groupby(rows.loc[whole, "item"]).sum()
    part = rows.loc[~whole, ["trip", "item", "mg", "from_on", "until_on"]].merge(days, on="trip")
    part = part[part["day"].between(part["from_on"], part["until_on"])]
    parts = (part["mg"] * part["distance_mm"]).groupby(part["item"]).sum()
    use["nights"] = (use["last_on"] - use["first_on"]).dt.days
    found = use.groupby("item").agg(
        trips_carried=("trip", "size"),
        trips_logged=("known", "sum"),
        trips_used=("used", "sum"),
        nights_carried=("nights", "sum"),
        last_carried_on=("last_on", "max"),
    )
    used = use[use["used"]].groupby("item").agg(times=("times", "sum"), last=("last_on", "max"))
    found = found.join(used).join(hauled.add(parts, fill_value=0).rename("hauled"))
    gear = _gear(store)
    latest = _fetch(store, "weighings", "item", "weighed_on", "weight_mg").sort_values("weighed_on")
    gear["weight_mg"] = (
        gear["item"].map(latest.groupby("item")["weight_mg"].last()).fillna(gear["weight_mg"])
    )
    return found.reset_index().merge(gear, on="item").sort_values("item")
