"""The normals files of a logbook: `normals/*.csv`, under any name."""

import os
from dataclasses import dataclass
from pathlib import Path

from ..problems import Findings
from .columns import NoLowError, NotNormalsError
from .station_file import StationNormals, read_station_file

NORMALS_FOLDER = "normals"
LARGEST_BYTES = 30_000_000
"""No by-station file of NOAA's comes near this size."""


@dataclass(frozen=True, slots=True)
class FiledNormals:
    """What one file holds; ``file`` is its name as seen from the logbook."""

    file: str
    normals: StationNormals


def read_folder(logbook: Path, findings: Findings) -> list[FiledNormals]:
    """Read every file; what cannot be used is named in the findings and changes nothing else.

    A broken or foreign file counts as unreadable; a sound one that is of no use gets a warning. Of
    two files with one station, product and period the first by name stands.
    """
    filed: dict[tuple[str, str, str], FiledNormals] = {}
    for path in _files(logbook / NORMALS_FOLDER, findings):
        name = f"{NORMALS_FOLDER}/{path.name}"
        normals = _read(path, name, findings)
        if normals is None:
            continue
        first = filed.get(normals.key)
        if first is not None:
            what = f"the {normals.product} normals {normals.period} of {normals.station}"
            findings.warn(name, f"{what} are in {first.file} already; this file was left out")
            continue
        filed[normals.key] = FiledNormals(name, normals)
        findings.file(name).read = normals.records
        if not normals.period_shown:
            findings.warn(
                name,
                f"the file does not show its period and is taken for {normals.period}; put the "
                "period into the file's name if it is another",
            )
    return list(filed.values())


def _files(folder: Path, findings: Findings) -> list[Path]:
    try:
        with os.scandir(folder) as entries:
            names = sorted(
                entry.name
                for entry in entries
                if entry.name.lower().endswith(".csv") and not entry.name.startswith((".", "~"))
            )
    except FileNotFoundError:
        return []
    except OSError as error:
        findings.unreadable(NORMALS_FOLDER, f"cannot be read ({error.strerror})")
        return []
    return [folder / name for name in names]


def _read(path: Path, name: str, findings: Findings) -> StationNormals | None:
    try:
        if path.stat().st_size > LARGEST_BYTES:
            raise NotNormalsError("is larger than any by-station normals file of NOAA's")
        return read_station_file(path.name, path.read_bytes())
    except NoLowError as error:
        findings.warn(name, f"{error}; this file was left out")
    except NotNormalsError as error:
        findings.unreadable(name, f"{error}; this file was left out", error.line)
    except OSError as error:
        findings.unreadable(name, f"cannot be opened ({error.strerror})")
    return None
