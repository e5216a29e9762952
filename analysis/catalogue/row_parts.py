"""Parts of rows that tables have in common: fields of a record, an estimate with its ends."""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from ..stats.beta_binomial import Rate
    from ..stats.estimate import Estimate


def fields_of(record: object | None, *names: str) -> dict[str, Any]:
    """The fields of a record that are columns of the same names; nothing of no record."""
    return {} if record is None else {name: getattr(record, name) for name in names}


def with_ends(
    name: str, estimate: "Estimate | Rate | None", *, unit: str = "", decimals: int | None = None
) -> dict[str, float]:
    """An estimate as three columns, NAME or NAME_UNIT, NAME_low, NAME_high; nothing of no estimate.

    Where ``decimals`` says so they are rounded, so that the last digits of a fit do not differ from
    machine to machine.
    """
    if estimate is None:
        return {}
    columns = (f"{name}_{unit}" if unit else name, f"{name}_low", f"{name}_high")
    values = [estimate.value, estimate.low, estimate.high]
    if decimals is not None:
        values = [round(value, decimals) + 0.0 for value in values]
    return dict(zip(columns, values, strict=True))
