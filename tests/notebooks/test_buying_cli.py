"""The tables on failures, effort and buying from the command line, in every form."""

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest
from tarebook.analysis.tables import TABLES
from tarebook.notebooks.cli import app
from typer.testing import CliRunner

NAMES = ("failure_rates", "item_life", "effort", "buying_case")


def printed(name: str, demo_folder: Path, form: str) -> str:
    found = CliRunner().invoke(app, ["table", name, str(demo_folder), "--as", form])
    assert found.exit_code == 0, found.output
    return found.stdout


@pytest.mark.parametrize("name", NAMES)
def test_each_table_prints_its_columns_with_blanks_for_what_is_missing(
    name: str, demo_folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1795608000")
    rows: list[dict[str, Any]] = json.loads(printed(name, demo_folder, "json"))
    assert rows
    assert all(tuple(row) == TABLES[name].column_names for row in rows)
    terms = TABLES[name].columns
    for row in rows:
        assert all(t.nullable or row[t.name] is not None for t in terms)
        assert not any(v in ("nan", "inf", "None") for v in row.values())
    (header, *lines) = csv.reader(io.StringIO(printed(name, demo_folder, "csv")))
    assert tuple(header) == TABLES[name].column_names
    assert len(lines) == len(rows)
    assert printed(name, demo_folder, "text").splitlines()[-1] == f"{len(rows)} rows"


def test_items_stand_before_systems_and_sum_to_them(demo_folder: Path) -> None:
    rows = json.loads(printed("failure_rates", demo_folder, "json"))
    items = [row for row in rows if row["item"]]
    systems = [row for row in rows if not row["item"]]
    assert rows == [*items, *systems]
    assert [row["item"] for row in items] == sorted(row["item"] for row in items)
    assert [row["system"] for row in systems] == sorted({row["system"] for row in items})
    for system in systems:
        mine = [row for row in items if row["system"] == system["system"]]
        for column in ("nights", "failures", "nuisance", "impaired", "lost_use", "unsafe"):
            assert system[column] == sum(row[column] for row in mine)
    for row in rows:
        rates = (
            "rate_per_100_nights",
            "rate_low",
            "rate_high",
            "exact_low",
            "exact_high",
            "pooled_rate",
        )
        # Under 20 nights there are too few to tell: counts only.
        assert {row[name] is None for name in rates} == {row["nights"] < 20}
        if row["nights"] >= 20:
            seen = row["rate_per_100_nights"]
            assert seen == pytest.approx(100 * row["failures"] / row["nights"])
            assert row["exact_low"] <= seen <= row["exact_high"]
            assert row["rate_low"] <= seen <= row["rate_high"]
            assert row["exact_high"] > 0
    assert any(row["nights"] < 20 for row in rows)


def test_not_reached_is_said_in_words(demo_folder: Path) -> None:
    rows = json.loads(printed("item_life", demo_folder, "json"))
    systems = [row for row in rows if not row["item"]]
    assert any(row["in_words"].startswith("no typical life yet") for row in systems)
    assert all(row["life_nights"] is None for row in systems)


def test_the_scope_of_other_tables_is_refused(demo_folder: Path) -> None:
    found = CliRunner().invoke(app, ["table", "effort", str(demo_folder), "--mode", "foot"])
    assert found.exit_code == 2
