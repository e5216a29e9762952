"""The normals files of a logbook: `normals/*.csv`, under any name."""

from dataclasses import replace
from pathlib import Path

from ..discover import NORMALS_FOLDER, skipped
from ..errors import LogbookError
from ..problems import Findings
from .columns import NoLowError, NotNormalsError
from .inventory import InventoryStation, is_inventory, read_inventory
from .station_file import StationNormals, read_station_file

LARGEST_BYTES = 30_000_000
"""No by-station file of NOAA's comes near this size."""


def read_folder(logbook: Path, findings: Findings) -> list[StationNormals]:
    """Read every file; what cannot be used is named in the findings and changes nothing else.

    A broken or foreign file counts as unreadable; a sound one that is of no use gets a warning. Of
    two files with one station, product and period the first by name stands. An inventory of
    stations is no normals file and passed over.
    """
    filed: dict[tuple[str, str, str], StationNormals] = {}
    for path in _files(logbook / NORMALS_FOLDER, findings):
        name = f"{NORMALS_FOLDER}/{path.name}"
        normals = _read(path, name, findings)
        if normals is None:
            continue
        first = filed.setdefault(normals.key, normals)
        if first is not normals:
            what = f"the {normals.product} normals {normals.period} of {normals.station}"
            findings.warn(name, f"{what} are in {first.file} already; this file was left out")
            continue
        findings.file(name).read = normals.records
        if not normals.period_shown:
            findings.warn(
                name,
                f"the file does not show its period and is taken for {normals.period}; put the "
                "period into the file's name if it is another",
            )
    return list(filed.values())


def inventory_at_hand(logbook: Path) -> tuple[str, list[InventoryStation]] | None:
    """The first inventory of stations in `normals/`, as .txt or .csv: its name, its stations.

    Raises LogbookError where it cannot be read.
    """
    folder, name = logbook / NORMALS_FOLDER, NORMALS_FOLDER
    try:
        for path in sorted(folder.iterdir()) if folder.is_dir() else ():
            listed = path.suffix.lower() in (".txt", ".csv") and not skipped(path.name)
            if not listed or not path.is_file() or path.stat().st_size > LARGEST_BYTES:
                continue
            name = f"{NORMALS_FOLDER}/{path.name}"
            data = path.read_bytes()
            if is_inventory(data):
                return name, read_inventory(data)
    except NotNormalsError as error:
        raise LogbookError(f"{name}:{error.line}: {error}") from error
    except OSError as error:
        raise LogbookError(f"{name}: cannot be read ({error.strerror})") from error
    return None


def _files(folder: Path, findings: Findings) -> list[Path]:
    try:
        paths = [path for path in folder.iterdir() if path.name.lower().endswith(".csv")]
    except FileNotFoundError:
        return []
    except OSError as error:
        findings.cannot_open(NORMALS_FOLDER, error, "read")
        return []
    return sorted(path for path in paths if not skipped(path.name))


def _read(path: Path, name: str, findings: Findings) -> StationNormals | None:
    try:
        if path.stat().st_size > LARGEST_BYTES:
            raise NotNormalsError("is larger than any by-station normals file of NOAA's")
        data = path.read_bytes()
        return (
            None if is_inventory(data) else replace(read_station_file(path.name, data), file=name)
        )
    except NoLowError as error:
        findings.warn(name, f"{error}; this file was left out")
    except NotNormalsError as error:
        findings.unreadable(name, f"{error}; this file was left out", error.line)
    except OSError as error:
        findings.cannot_open(name, error)
    return None
