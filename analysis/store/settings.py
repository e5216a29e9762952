"""What tarebook.toml says, as the store holds it: read here and nowhere else."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..display.words import Display

if TYPE_CHECKING:
    from duckdb import DuckDBPyConnection


@dataclass(frozen=True, slots=True)
class Settings:
    """The owner's settings that reports need; what tarebook.toml does not say is missing.

    ``display``: the units to read in. ``title``: of the logbook. Masses of the person and the
    bike in kg, the base weight to be reached in g. ``regret``: what missing a thing costs, by
    system. ``limits``: the most that the owner wants in a bag of that name, or on ``bike`` or
    ``boat``, in g.
    """

    display: Display
    title: str | None
    body_kg: float | None
    bike_kg: float | None
    base_weight_goal_g: float | None
    regret: Mapping[str, float]
    limits: Mapping[str, float]


def settings_of(connection: "DuckDBPyConnection") -> Settings:
    """The settings of a store."""
    stored: dict[str, str] = dict(connection.table("settings").fetchall())

    def number(key: str) -> float | None:
        return float(stored[key]) if key in stored else None

    return Settings(
        Display.of(stored),
        stored.get("logbook.title"),
        number("person.body_kg"),
        number("person.bike_kg"),
        number("goals.base_weight_g"),
        *(
            {
                key.removeprefix(section): float(value)
                for key, value in sorted(stored.items())
                if key.startswith(section)
            }
            for section in ("regret.", "limits.")
        ),
    )
