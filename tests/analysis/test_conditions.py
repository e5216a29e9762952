"""How likely the next trip is to bring what a thing is meant for."""

import numpy as np
import pytest
from tarebook.analysis.stats.estimate import Estimate
from tarebook.analysis.usage.conditions import ConditionOdds, Meaning, Occurrence, Seen

WET = Meaning(frozenset({"wet"}))
COLD = Meaning(frozenset({"cold"}), 5.0)
BOTH = Meaning(frozenset({"wet", "cold"}), 5.0)
BUGS = Meaning(frozenset({"bugs"}))
BUGS_OR_COLD = Meaning(frozenset({"bugs", "cold"}), 5.0)
NOTHING = Seen(10, 0)
LOG = ConditionOdds(
    {
        WET: Occurrence(Seen(10, 6), Seen(10, 6), NOTHING),
        COLD: Occurrence(Seen(10, 3), NOTHING, NOTHING),
        BOTH: Occurrence(Seen(9, 7), Seen(10, 6), NOTHING),
        BUGS: Occurrence(Seen(8, 2), Seen(8, 2), Seen(8, 2)),
        BUGS_OR_COLD: Occurrence(Seen(8, 5), Seen(8, 2), Seen(8, 2)),
    }
)


def test_the_log_tells_by_jeffreys_prior() -> None:
    assert LOG.chance(Meaning()) == 1
    assert LOG.chance(WET) == pytest.approx(6.5 / 11)
    assert LOG.chance(BOTH) == pytest.approx(7.5 / 10)
    assert LOG.chance(Meaning(frozenset({"ford"}))) == 1, "not known is taken as sure"
    assert Seen(0, 0).chance == 1


@pytest.mark.parametrize(
    ("meaning", "dry_warm", "wet", "cold"),
    [
        (Meaning(), 1, 1, 1),
        (WET, 0, 1, 0),
        (COLD, 0, 0, 1),
        (BOTH, 0, 1, 1),
        (BUGS, 2.5 / 9, 2.5 / 9, 2.5 / 9),
        (BUGS_OR_COLD, 2.5 / 9, 2.5 / 9, 1),
    ],
)
def test_kinds_of_trip_settle_wet_and_cold_and_leave_the_rest_to_the_log(
    meaning: Meaning, dry_warm: float, wet: float, cold: float
) -> None:
    assert LOG.chance(meaning, "dry_warm") == pytest.approx(dry_warm)
    assert LOG.chance(meaning, "wet") == pytest.approx(wet)
    assert LOG.chance(meaning, "cold") == pytest.approx(cold)


def test_a_better_chance_of_cold_takes_the_place_of_the_logs() -> None:
    asked: list[float] = []

    def from_normals(below_c: float) -> Estimate:
        asked.append(below_c)
        return Estimate(0.2, 0.15, 0.3)

    ahead = ConditionOdds(LOG.seen, from_normals)
    assert ahead.chance(COLD) == pytest.approx(0.2)
    assert ahead.chance(WET) == LOG.chance(WET)
    assert ahead.chance(BOTH) == pytest.approx(1 - 0.8 * (1 - 6.5 / 11))
    assert ahead.chance(BUGS_OR_COLD) == pytest.approx(1 - 0.8 * (1 - 2.5 / 9))
    assert ahead.chance(COLD, "cold") == 1
    assert set(asked) == {5.0}
    cold_without_a_low = Meaning(frozenset({"cold"}))
    assert ahead.chance(cold_without_a_low) == 1, "no low under which: the log would have to tell"


def test_draws_lie_about_the_chance() -> None:
    rng = np.random.default_rng(1)
    for meaning in (WET, COLD, BOTH, BUGS_OR_COLD):
        drawn = LOG.draw(rng, meaning, 20_000)
        assert drawn.mean() == pytest.approx(LOG.chance(meaning), abs=0.01)
    assert set(LOG.draw(rng, Meaning(), 3)) == {1.0}
    fixed = ConditionOdds(LOG.seen, lambda _: Estimate(0.2, 0.2, 0.2)).draw(rng, COLD, 5)
    assert fixed == pytest.approx([0.2] * 5)
    ranged = ConditionOdds(LOG.seen, lambda _: Estimate(0.2, 0.1, 0.3)).draw(rng, COLD, 20_000)
    assert ranged.mean() == pytest.approx(0.2, abs=0.002)
    assert 0.1 <= ranged.min() < 0.105
    assert 0.295 < ranged.max() <= 0.3
