"""Nothing that keeps its owner warm, dry, lit, found, fed, healed or afloat is advised against.

Over invented logbooks, columns blank or filled at random, trips of one season and plans in another,
every table and page that advises is held against a second implementation of what must stay
(`advice_rules`). TAREBOOK_ADVICE=N tries the first N logbooks, each with all of its questions.
"""

import os
from pathlib import Path

import pytest
from advice_books import Book, Question, draw
from advice_rules import Scene, held, is_insurance, torn
from advice_trial import trial

LONG = int(os.environ.get("TAREBOOK_ADVICE", "0"))
SEEDS = range(LONG or 10)


@pytest.mark.parametrize("seed", SEEDS)
def test_what_must_stay_is_never_advised_against(seed: int, tmp_path: Path) -> None:
    faults = trial(draw(seed, whole=bool(LONG)), tmp_path / "book", drawn=seed % 5 == 0)
    told = "\n".join(str(fault) for fault in faults[:20])
    assert not faults, f"seed {seed}: {len(faults)} faults, among them\n{told}"


def test_the_logbooks_hold_what_is_to_be_tried() -> None:
    """Every rule holds something back, and something is left that may go."""
    rules: set[str] = set()
    free = 0
    for seed in range(12):
        book = draw(seed)
        for question in book.asked:
            coming = tuple(filter(None, str(question.options.get("coming", "")).split(",")))
            scene = Scene(book, str(question.options.get("mode", "")), coming)
            stays = held(scene)
            rules |= {reason.rule for reasons in stays.values() for reason in reasons}
            free += len(scene.along - stays.keys())
    assert rules == {"1", "2", "3", "5", "6"}
    assert free > 50


GEAR = {
    "lamp": {"system": "light", "kit": "Emergency"},
    "whistle": {"system": "safety", "kit": "emergency"},
    "vest": {"system": "boat"},
    "book": {"system": "leisure"},
    "pot": {"system": "cook", "needs": "stove"},
    "stove": {"system": "cook"},
    "sack": {"system": "bags", "meant_for": "any"},
    "hat": {"system": "clothing", "essential": "no"},
}


def small(mode: str = "", months: tuple[int, ...] = (6, 7), **more: list[dict[str, str]]) -> Book:
    gear = [{"item": i, "name": i, "weight_g": "9", **facts} for i, facts in GEAR.items()]
    trips = [
        {
            "trip": f"t{m}",
            "start_on": f"2025-{m:02d}-03",
            "end_on": f"2025-{m:02d}-05",
            "mode": mode,
            "plan": "",
        }
        for m in months
    ]
    plan = {"trip": "plan", "start_on": "2027-01-03", "end_on": "2027-01-05", "plan": "yes"}
    carried = [
        {"trip": t["trip"], "item": i, "used": "no", "bag": "SACK" if i == "hat" else ""}
        for t in trips
        for i in GEAR
    ]
    return Book(
        {"gear": gear, "trip": [*trips, plan], "carried": carried, **more}, "", (Question(),)
    )


def stays(scene: Scene) -> dict[str, set[str]]:
    return {item: {reason.rule for reason in reasons} for item, reasons in held(scene).items()}


def test_what_the_second_implementation_holds() -> None:
    plain = Scene(small())
    assert stays(plain) == {
        "lamp": {"1", "3"},
        "whistle": {"1"},
        "vest": {"3"},
        "pot": {"3"},
        "stove": {"3"},
    }
    assert is_insurance(plain, "lamp")
    afloat = Scene(small("paddle"), mode="paddle")
    assert stays(afloat)["vest"] == {"2", "3"}
    winter = stays(Scene(small(), coming=("plan",)))
    assert "book" not in winter
    assert winter["hat"] == winter["sack"] == {"5"}
    assert winter["pot"] == {"3", "5"}
    votes = [{"trip": "t6", "day": "2025-06-03", "aspect": "sleep", "warmth": "-2"}]
    assert stays(Scene(small(comfort=votes)))["hat"] == {"6"}
    assert stays(Scene(small(comfort=votes)))["sack"] == {"2"}  # It held the hat.


def test_ratings_decide_where_no_night_is_judged() -> None:
    gear = [
        {
            "item": "quilt",
            "name": "quilt",
            "system": "sleep",
            "rated_low_c": "12",
            "rated_as": "limit",
        }
    ]
    book = small()
    book.tables["gear"] += gear
    book.tables["carried"].append({"trip": "t6", "item": "quilt", "used": "yes"})
    for low_c, rules in ((8.9, {"5", "6"}), (9.1, {"5"})):
        cold = stays(Scene(book, coming=("plan",), usual={"plan": (low_c, low_c)}))
        assert cold["hat"] == rules


def test_a_set_is_whole() -> None:
    plain = Scene(small())
    assert torn(plain, {"stove"}) == [("stove", "needed by pot, which stays")]
    assert torn(plain, {"stove", "pot"}) == []
    assert torn(plain, {"sack"}) == [("sack", "held hat, which stays")]
