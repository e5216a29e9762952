"""The house is in order, and each guard of it fails where something wrong is put in."""

from collections.abc import Callable
from pathlib import Path

import house
import pytest
from docstrings import dead_names

ROOT = Path(__file__).parents[2]
Guard = Callable[[Path], list[str]]
GUARDS: tuple[Guard, ...] = (
    house.wrong_directions,
    house.unlisted_rooms,
    house.unmapped_modules,
    house.page_imports,
    house.doubled_names,
    house.questions_astray,
    house.unshipped,
    house.declared_twice,
    house.too_long,
    house.skipped_formatting,
    house.broken_links,
    dead_names,
)


@pytest.mark.parametrize("guard", GUARDS, ids=lambda guard: guard.__name__)
def test_the_house_is_in_order(guard: Guard) -> None:
    assert guard(ROOT) == []


def test_one_place_lists_the_tables() -> None:
    from tarebook.analysis.tables import TABLES
    from tarebook.notebooks.reports import REPORTS

    # A name that a report has as well stands where reports are listed.
    tables = TABLES.keys() - REPORTS.keys()
    assert len(tables) > 15
    assert house.second_registries(ROOT, tables) == []


def write(root: Path, files: dict[str, str]) -> None:
    """Put files of these names and texts into a made-up tree."""
    for name, text in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")


@pytest.fixture
def small(tmp_path: Path) -> Path:
    """A small house with every room, in order."""
    modules = ("tables", "door")
    rooms = [room for line in house.LINES for room in line if room not in modules]
    packages = ["tripdata", "analysis", "notebooks", "analysis/cull/page"]
    packages += [f"analysis/{room}" for room in rooms]
    write(tmp_path, {f"{package}/__init__.py": "" for package in packages})
    names = ", ".join('"tarebook.' + package.replace("/", ".") + '"' for package in packages)
    files = {
        "pyproject.toml": f"[tool.setuptools]\npackages = [{names}]\n"
        '[tool.setuptools.package-data]\n"tarebook.analysis" = ["*/sql/**/*.sql"]\n'
        '"tarebook.notebooks" = ["*.ipynb", "template/*"]\n',
        "README.md": "# A house\n\n[its builders](DEVELOPERS.md#the-rooms)\n",
        "DEVELOPERS.md": "# For contributors\n\n## The rooms\n",
        "analysis/store/rows.py": "def ask(store, question): ...\n",
        "analysis/store/sql/trips_by_start.sql": "FROM trips\n",
        "analysis/store/sql/marts/trips.sql": "FROM stg_trips\n",
        "analysis/store/sql/staging/stg_trips.sql": "FROM trip\n",
        "analysis/cull/sql/loads.sql": "FROM trips\n",
        "analysis/store/__init__.py": '"""Opened for reading: `rows`."""\n',
        "analysis/cull/__init__.py": '"""What to leave: `answer`, `outputs`, `page`."""\n',
        "analysis/buying/__init__.py": '"""What to buy: `outputs`."""\n',
        "analysis/cull/answer.py": "from ..store.rows import ask\n"
        'loads = ask(None, "cull/loads")\n_starts = ask(None, "store/trips_by_start")\n',
        "analysis/cull/outputs.py": "ENTRIES = ()\n",
        "analysis/cull/page/words.py": "from .. import answer\n",
        "analysis/buying/outputs.py": "from ..cull import answer\nENTRIES = ()\n",
        "analysis/tables.py": 'TABLES = ("trips", "items", "cull")\n',
        "analysis/door.py": "from . import tables\n",
        "notebooks/cli.py": 'from ..analysis.cull.page import words\nTRIP = "--trip"\n',
        "notebooks/cull.ipynb": "{}\n",
        "notebooks/README.md": "# Reports\n",
        "notebooks/template/page.css": "p {}\n",
    }
    write(tmp_path, files)
    return tmp_path


def test_a_house_in_order_has_no_faults(small: Path) -> None:
    assert [fault for guard in GUARDS for fault in guard(small)] == []
    assert house.second_registries(small, ("trips", "items", "cull")) == []


WRONG_IMPORTS = {
    "a room of a later line": ("analysis/store/late.py", "from ..cull import answer\n"),
    "a room of the same line": ("analysis/buying/late.py", "from ..debrief import late\n"),
    "inside a function": (
        "analysis/usage/late.py",
        "def rates():\n    from ..cull.answer import loads\n",
    ),
    "for types only": (
        "analysis/cold/late.py",
        "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from ..comfort import late\n",
    ),
    "the package itself": ("analysis/effort/late.py", "from .. import open_logbook\n"),
    "what gathers them": ("analysis/cull/late.py", "from ..tables import TABLES\n"),
    "data that asks": ("tripdata/late.py", "from ..analysis.cull import answer\n"),
    "analysis that prints": ("analysis/cull/late.py", "from ...notebooks import cli\n"),
    "numerics that know data": ("analysis/stats/late.py", "from ...tripdata import units\n"),
    "an installed name": ("analysis/cull/late.py", "from tarebook.analysis.store import rows\n"),
    "an installed module": ("analysis/cull/late.py", "import tarebook.analysis.store.rows\n"),
    "a name worked out": (
        "analysis/cull/late.py",
        "import importlib\nx = importlib.import_module('a' + 'b')\n",
    ),
}


@pytest.mark.parametrize("case", WRONG_IMPORTS)
def test_a_wrong_import_is_a_fault(small: Path, case: str) -> None:
    name, text = WRONG_IMPORTS[case]
    write(small, {name: text})
    (fault,) = house.wrong_directions(small)
    assert fault.startswith(f"{name}:{text.count(chr(10))}: ")


def test_a_room_on_no_line_and_a_line_without_a_room_are_faults(small: Path) -> None:
    write(small, {"analysis/weather/wind.py": "", "analysis/odds.py": ""})
    (small / "analysis/door.py").unlink()
    assert house.unlisted_rooms(small) == [
        "analysis/odds: stands on no line",
        "analysis/weather: stands on no line",
        "door: on a line, not in analysis",
    ]


def test_a_module_that_the_map_of_its_room_lacks_is_a_fault(small: Path) -> None:
    write(small, {"analysis/cull/late.py": "", "analysis/buying/page/__init__.py": ""})
    assert house.unmapped_modules(small) == [
        "analysis/cull: no word of late",
        "analysis/buying: no word of page",
    ]


@pytest.mark.parametrize(
    "text",
    [
        "from ..cull.page import words\n",
        "from ..cull import page\n",
        "def word():\n    from ..cull.page.words import answer\n",
    ],
)
def test_another_rooms_page_is_a_fault(small: Path, text: str) -> None:
    write(small, {"analysis/buying/late.py": text})
    (fault,) = house.page_imports(small)
    assert fault.endswith("analysis.cull.page is private to cull")


@pytest.mark.parametrize(
    "text",
    [
        "def loads(): ...\n",
        "class loads: ...\n",
        "loads: int = 1\n",
        "(loads, _) = 1, 2\n",
        "if True:\n    loads = 1\n",
    ],
)
def test_a_doubled_name_is_a_fault(small: Path, text: str) -> None:
    write(small, {"analysis/buying/late.py": text})
    assert house.doubled_names(small) == ["loads: defined in buying.late and cull.answer"]


def test_sql_that_is_not_asked_from_its_room_alone_is_a_fault(small: Path) -> None:
    write(
        small,
        {
            "analysis/cull/sql/unasked.sql": "FROM trips\n",
            "analysis/store/sql/marts/unread.sql": "FROM unread JOIN trips\n",
            "analysis/buying/late.py": "from ..store.rows import ask\n"
            'ask(None, "cull/loads")\nask(None, "buying/missing")\n',
        },
    )
    assert house.questions_astray(small) == [
        "analysis/buying/late.py:3: asks buying/missing, which is not there",
        "analysis/cull/sql/loads.sql: asked by buying, cull; expected cull alone",
        "analysis/cull/sql/unasked.sql: nobody asks it",
        "analysis/store/sql/marts/unread.sql: nobody reads it",
    ]


def test_what_an_installed_copy_lacks_is_a_fault(small: Path) -> None:
    write(
        small,
        {
            "analysis/wear/rates/pooled.py": "",
            "analysis/wear/columns.csv": "",
            "notebooks/template/deep/page.css": "",
            "analysis/cull/sql/deep/one.sql": "",
        },
    )
    (small / "notebooks/cull.ipynb").unlink()
    assert house.unshipped(small) == [
        "analysis/wear/rates: holds code and is no package",
        "analysis/wear/columns.csv: not in package-data",
        "notebooks/template/deep/page.css: not in package-data",
        "notebooks: *.ipynb matches no file",
    ]


def test_a_package_without_code_is_a_fault(small: Path) -> None:
    (small / "analysis/cull/page/words.py").unlink()
    (small / "analysis/cull/page/__init__.py").unlink()
    assert house.unshipped(small) == ["analysis/cull/page: a package without code"]


@pytest.mark.parametrize(
    "text",
    [
        'NAMES = ("trips", "items", "cull")\n',
        'ROWS = {"trips": 1, "items": 2, "cull": 3}\n',
        'def names():\n    return ["cull", "a", "trips", "items"]\n',
        'NAMES = "trips items cull".split()\n',
        "ROWS = dict(trips=1, items=2, cull=3)\n",
        'ROWS = (("trips", 1), ("items", 2), ("cull", 3))\n',
        'ROWS = [{"name": "trips"}, {"name": "items"}, {"name": "cull"}]\n',
        'ROWS = [Table("trips"), Table(name="items"), Table("cull")]\n',
    ],
)
def test_a_second_registry_is_a_fault(small: Path, text: str) -> None:
    write(small, {"notebooks/late.py": text})
    (fault,) = house.second_registries(small, ("trips", "items", "cull", "usage"))
    assert fault.endswith("a second list of tables (cull, items, trips)")


def test_an_option_or_a_table_declared_twice_is_a_fault(small: Path) -> None:
    write(
        small,
        {
            "notebooks/late.py": 'HELP = "see --since"\nSINCE = "--since"\n',
            "notebooks/later.py": "def f(since: A[str, typer.Option(help='x')], "
            "mode: A[str, typer.Option('--mode/--no-mode')]): ...\n",
            "analysis/catalogue/terms.py": 'Option(name="mode")\nMODE = "--mode"\n',
            "analysis/catalogue/options.py": 'Option("save_g")\nOption("save_g")\nOption("trip")\n',
            "analysis/wear/outputs.py": 'ENTRIES = (Entry("effort", "wear"),)\n',
            "analysis/effort/outputs.py": 'ENTRIES = (Entry("effort", "effort"),)\n',
        },
    )
    assert house.declared_twice(small) == [
        "--mode: declared in analysis.catalogue.terms and notebooks.later",
        "--since: declared in notebooks.late and notebooks.later",
        "Entry effort: declared in analysis.effort.outputs and analysis.wear.outputs",
        "Option save_g: declared in analysis.catalogue.options and analysis.catalogue.options",
    ]


def test_long_pages_looking_away_and_dead_links_are_faults(small: Path) -> None:
    write(
        small,
        {
            "README.md": "\n" * 249 + "[gone](gone.md) [no part](DEVELOPERS.md#no-part)\n",
            "notebooks/README.md": "[up](../README.md) [out](https://example.org/)\n" * 400,
            "analysis/cull/late.py": ("x = 1  # fmt" + ": skip\n") * 60,
            # What a wheel is built from is a copy of what was counted.
            "build/lib/tarebook/analysis/cull/late.py": ("x = 1  # fmt" + ": skip\n") * 60,
        },
    )
    assert house.too_long(small) == ["README.md: 250 lines, expected under 250"]
    assert house.skipped_formatting(small) == ["60 lines with # fmt" + ": skip, expected under 60"]
    assert house.broken_links(small) == [
        "README.md: gone.md: no such file",
        "README.md: DEVELOPERS.md#no-part: no such heading",
    ]


@pytest.mark.parametrize(
    ("name", "text", "dead"),
    [
        ("analysis/cull/late.py", '"""Answers.\n\nAs `answer.loads`, `loads` and `late`."""\n', ()),
        ("analysis/cull/late.py", '"""Answers.\n\nAs `cull_answer` has it."""\n', ("cull_answer",)),
        (
            "analysis/cull/late.py",
            'def late():\n    """As\n    `answer.lost`."""\n',
            ("answer.lost",),
        ),
        ("analysis/cull/sql/loads.sql", "FROM trips\n\n-- As in `cull_loads`.\n", ("cull_loads",)),
    ],
)
def test_a_name_in_backquotes_that_nothing_has_is_a_fault(
    small: Path, name: str, text: str, dead: tuple[str, ...]
) -> None:
    write(small, {name: text})
    assert dead_names(small) == [f"{name}:3: nothing is called {each}" for each in dead]
