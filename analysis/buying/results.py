"""What the case for a candidate is made of. Weights in g, temperatures in °C, energies in kJ."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal

from ..stats.estimate import Estimate

if TYPE_CHECKING:
    from ..wear.failures import Failures
    from .losses import Losses

CaseVerdict = Literal[
    "failed_unsafely",
    "changes_nights",
    "colder",
    "wished_for",
    "leave_first",
    "matter_of_price",
    "not_on_record",
    "too_early",
    "beyond_numbers",
]


@dataclass(frozen=True, slots=True)
class Candidate:
    """One row of candidates.csv. ``replaces`` names owned items that the logbook knows."""

    candidate: str
    name: str
    system: str
    weight_g: float
    carried_as: str
    price: float | None
    currency: str | None
    replaces: tuple[str, ...]
    rated_low_c: float | None
    rated_as: str
    capacity_wh: float | None
    expected_nights: float | None
    r_value: float | None = None

    @property
    def rated_sleep_gear(self) -> bool:
        """Whether its rating bears on how cold one can sleep."""
        return self.system == "sleep" and self.rated_low_c is not None


@dataclass(frozen=True, slots=True)
class Replaced:
    """An owned item that the candidate would take over from, as of today.

    ``failures``: its record; missing where it never came along nor failed. ``given_up``: it is
    owned no more, so that nothing is saved by it.
    """

    item: str
    name: str
    weight_g: float | None
    rated_low_c: float | None
    capacity_wh: float | None
    cost_per_night: float | None
    currency: str | None
    system: str
    insurance: bool
    rated_as: str
    r_value: float | None
    failures: "Failures | None"
    given_up: bool = False


@dataclass(frozen=True, slots=True)
class BaseAfter:
    """Usual base weight now and after, median over the trips on which it would come along.

    ``trips`` of them, those of the last twelve months where there are any (``recent``). Classes are
    missing where a trip has something not weighed (``at_least`` says so), or food, fuel or worn
    clothes that are not marked so.
    """

    now_g: float
    after_g: float
    class_now: str | None
    class_after: str | None
    trips: int
    recent: bool
    at_least: bool


@dataclass(frozen=True, slots=True)
class AtHome:
    """A sleep set that is owned already, and how many of the same too cold nights it would have
    spared: about ``avoided``, very likely from ``avoided_least`` to ``avoided_most``.

    ``basis``: own where its limit rests on own nights in it, rated where on its rating.
    """

    names: tuple[str, ...]
    rated_name: str
    avoided: int
    avoided_least: int
    avoided_most: int
    basis: str


@dataclass(frozen=True, slots=True)
class ColdReplay:
    """Own nights gone through again with the candidate in the place of what it replaces.

    ``nights``: those with a low on which it would have been there and both ratings are known, or
    all of them where none was rated before and ``inside_now`` is missing; ``inside_now`` and
    ``inside_then`` of them were no colder than the rating, brought to the limit scale.
    ``cold_votes``: felt too cold, of ``votes``; about ``avoided`` of them would not have, very
    likely from ``avoided_least`` to ``avoided_most`` (`replay.nights_spared`). ``own_limit_c``: at
    which one night in five is too cold in it; ``limit_now_c``: the same as it is now. ``set_apart``
    nights are left out of all this, because sleep or shelter gear had failed. ``rated_as``: kinds
    of the ratings as they were. ``at_home``: what is owned and would have spared some, too.
    """

    nights: int
    inside_now: int | None
    inside_then: int
    votes: int
    cold_votes: int
    avoided: int
    avoided_least: int
    avoided_most: int
    own_limit_c: Estimate
    limit_now_c: float | None
    set_apart: int = 0
    rated_as: tuple[str, ...] = ()
    at_home: AtHome | None = None


@dataclass(frozen=True, slots=True)
class ColdYear:
    """Chance of a too cold night over the last twelve months' trips, moved on a year.

    ``trips`` of them have normals for every night and a rated sleep system, ``left_out`` have not.
    """

    now: float
    then: float
    trips: int
    nights: int
    left_out: int


@dataclass(frozen=True, slots=True)
class FailuresExpected:
    """Failures expected over so many nights: of what it replaces, of a new thing of its system.

    Each is missing where there are too few nights to tell.
    """

    nights: float
    now: float | None
    then: float | None


@dataclass(frozen=True, slots=True)
class Wishes:
    """Notes in wished.csv that mean it: how many, on how many trips, and how badly it was missed.

    Where that is not noted, it is in none of the three. ``alike``: other notes of its system that
    share a word with its name, as they were typed, each with its trip's title.
    """

    notes: int = 0
    trips: int = 0
    badly: int = 0
    much: int = 0
    little: int = 0
    alike: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class EffortSaved:
    """What the weight saved would have spared over the last twelve months (negative: cost).

    kJ on foot of one's own energy, kJ at the pedals by bike, Wh from the battery by e-bike.
    """

    trips: int
    foot_kj: float | None
    bike_kj: float | None
    ebike_wh: float | None


@dataclass(frozen=True, slots=True)
class Alternative:
    """What could stay at home without spending anything, of what the verdicts leave at home.

    ``same_g``: of the set that saves at least the grams of the candidate with the least expected
    regret, and its ``names``; less where no more is left at home, missing where the candidate
    saves nothing. ``misses``: how often a trip one of them would be wanted. ``let_go_g``,
    ``let_go_names``, ``let_go_misses``: the same of all that the verdicts leave at home.
    ``let_go_odds``: ``let_go_misses`` with its interval, where anything is left at home.
    ``beside``: the name of what each of some of these may be left alone beside, by name.
    """

    same_g: float | None
    names: tuple[str, ...]
    misses: float
    let_go_g: float
    let_go_names: tuple[str, ...]
    let_go_misses: float = 0.0
    beside: Mapping[str, str] = field(default_factory=dict)
    let_go_odds: Estimate | None = None


@dataclass(frozen=True, slots=True)
class Case:
    """Everything on one candidate; what is missing has its reason in ``missing`` by name."""

    candidate: Candidate
    replaced: tuple[Replaced, ...]
    saved_g: float | None
    base: BaseAfter | None
    price_per_g: float | None
    price_per_night: float | None
    replay: ColdReplay | None
    year: ColdYear | None
    comfort: Estimate | None
    failures: FailuresExpected
    effort: EffortSaved | None
    alternative: Alternative
    losses: "Losses"
    wishes: Wishes
    missing: Mapping[str, str]
