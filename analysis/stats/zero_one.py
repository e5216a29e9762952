"""A 0/1 programme solved to optimality: choose so that at least a given weight is saved.

What is minimised is the sum of the costs of what is chosen. In the cull these are things to leave
at home, each at the expected regret P(needed) x cost; a sum of expectations needs no independence.
Bulk is not known.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from .connected import components
from .quiet import quiet

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

_ENUMERATED = 12  # things that hang together through needs; more are summed one by one
_TOLERANCE = 1e-6  # of regret: the solver's own


@dataclass(frozen=True, slots=True)
class Choice:
    """One thing that may be left: milligrams saved, P(needed on the next trip), cost if missed."""

    item: str
    saved_mg: int
    need: float
    cost: float

    @property
    def regret(self) -> float:
        """Expected cost of leaving it, taken by itself."""
        return self.need * self.cost


@dataclass(frozen=True, slots=True)
class StandIn:
    """``by`` did the work of ``item`` a share of the times it was to be done."""

    item: str
    by: str
    share: float


@dataclass(frozen=True, slots=True)
class Rules:
    """What binds the options together; items that are no option stay.

    ``needs``: pairs (i, j) where i is useless without j, so that leaving j leaves i. The need of
    things left that hang together so counts once, as the largest, but leaving more never costs
    less. ``kinds``: sets of things of each of which one stays. ``stand_ins``: who can do whose
    work; a thing that is part of a needs pair gets no credit for its stand-ins. ``packed``: pairs
    (i, bag) where i travels in the bag, so that leaving the bag leaves i; each is needed for
    itself. ``idle``: pairs (j, users) where j has no work without them, so that leaving all of them
    leaves j.
    """

    needs: tuple[tuple[str, str], ...] = ()
    kinds: tuple[frozenset[str], ...] = ()
    stand_ins: tuple[StandIn, ...] = ()
    packed: tuple[tuple[str, str], ...] = ()
    idle: tuple[tuple[str, tuple[str, ...]], ...] = ()


@dataclass(frozen=True, slots=True)
class LeftSet:
    """Things left together: weight saved, expected misses and expected regret of one trip."""

    items: frozenset[str]
    saved_mg: int
    misses: float
    regret: float

    @property
    def saved_g(self) -> float:
        """The weight saved in g."""
        return self.saved_mg / 1000


def keep_what_is_needed(
    options: Iterable[str], needs: Mapping[str, Iterable[str]]
) -> frozenset[str]:
    """The options that nothing which stays needs. ``needs``: all that comes along, by item."""
    stays = needs.keys() - set(options)
    waiting = list(stays)
    while waiting:
        for other in needs.get(waiting.pop(), ()):
            if other not in stays:
                stays.add(other)
                waiting.append(other)
    return frozenset(options) - stays


class Programme:
    """The programme over some options; weights and rules are fixed, needs and costs may vary."""

    def __init__(self, choices: Sequence[Choice], rules: Rules = Rules()) -> None:
        self.choices = tuple(sorted(choices, key=lambda o: o.item))
        self._by_item = {o.item: o for o in self.choices}
        known = self._by_item.keys()
        pairs = [(i, j) for i, j in rules.needs if i in known and j in known and i != j]
        self._pairs = tuple(sorted(set(pairs)))
        self._packed = [(i, j) for i, j in rules.packed if i in known and j in known and i != j]
        self._idle = [(j, users) for j, users in rules.idle if {j, *users} <= known]
        grouped = {i for pair in self._pairs for i in pair}
        self._kinds = tuple(k for k in rules.kinds if k and k <= known)
        self._stand_ins = tuple(
            s
            for s in rules.stand_ins
            if s.item in known and s.item not in grouped and s.by != s.item and s.share > 0
        )
        self.rules = rules
        self._build()

    # What a set is worth: the definition, which `solve` takes its coefficients from.

    def value(self, left: Iterable[str], regrets: Mapping[str, float] | None = None) -> LeftSet:
        """Weight, misses and regret of leaving a set; needs and costs as given in the options."""
        gone = frozenset(left)
        needs = {i: self._by_item[i].need for i in gone}
        own = {i: regrets[i] if regrets else self._by_item[i].regret for i in gone}
        misses = regret = 0.0
        for part in self._together(gone):
            spared = 1 - self._spared(part[0], gone) if len(part) == 1 else 1.0
            misses += spared * sum(needs[i] for i in self._bearers(part, needs, {}))
            regret += spared * sum(own[i] for i in self._bearers(part, own, {}))
        return LeftSet(gone, sum(self._by_item[i].saved_mg for i in gone), misses, regret)

    def shares(self, left: Iterable[str]) -> dict[str, float]:
        """Each left item's part of the regret; where a need counts once, the largest bears it."""
        gone = frozenset(left)
        shares = dict.fromkeys(sorted(gone), 0.0)
        regrets = {i: self._by_item[i].regret for i in gone}
        for part in self._together(gone):
            spared = self._spared(part[0], gone) if len(part) == 1 else 0.0
            for item in self._bearers(part, regrets, {}):
                shares[item] = regrets[item] * (1 - spared)
        return shares

    def _bearers(
        self,
        part: Sequence[str],
        prices: Mapping[str, float],
        known: dict[tuple[str, ...], tuple[str, ...]],
    ) -> tuple[str, ...]:
        """Of things that hang together those whose prices are the price of leaving all of them.

        That is the largest; but two things that need a third cost both while the third stays, and
        leaving it as well costs no less. So it is the dearest of all that may be left of them by
        themselves, each heap at its largest. ``known`` keeps what was found, for the same prices.
        """
        if len(part) == 1 or len(part) > _ENUMERATED:
            return tuple(part)
        if part not in known:
            every: list[tuple[str, ...]] = [(max(part, key=lambda i: (prices[i], i)),)]
            for last in self._last(part):
                rest = self._together([i for i in part if i not in last])
                every.append(tuple(i for p in rest for i in self._bearers(p, prices, known)))
            known[tuple(part)] = max(every, key=lambda items: sum(prices[i] for i in items))
        return known[tuple(part)]

    def _last(self, part: Sequence[str]) -> list[frozenset[str]]:
        """What of a part may stay while the rest is left: what needs nothing of that rest.

        Things that need each other in a circle stay together.
        """
        among = set(part)
        needs = {i: {j for k, j in self._pairs if k == i and j in among} for i in part}
        reach = {i: {i} | needs[i] for i in part}
        for _ in part:
            reach = {i: set().union(*(reach[j] for j in reach[i])) for i in part}
        circles = (frozenset(js) for i, js in reach.items() if all(i in reach[j] for j in js))
        return list(dict.fromkeys(circles))

    def allowed(self, left: Iterable[str]) -> bool:
        """Whether the rules let a set be left."""
        gone = set(left)
        whole = all(i in gone for i, j in (*self._pairs, *self._packed) if j in gone)
        whole &= all(j in gone for j, users in self._idle if set(users) <= gone)
        return gone <= self._by_item.keys() and whole and not any(k <= gone for k in self._kinds)

    def with_idle(self, left: Iterable[str]) -> frozenset[str]:
        """The same set with what has no work without it."""
        gone = set(left)
        while more := {j for j, users in self._idle if set(users) <= gone} - gone:
            gone |= more
        return frozenset(gone)

    def _spared(self, item: str, gone: frozenset[str]) -> float:
        return max(
            (s.share for s in self._stand_ins if s.item == item and s.by not in gone), default=0.0
        )

    # The programme: one column for a thing by itself, one for each set that a group may leave, one
    # for each stand-in that does its work.

    def _build(self) -> None:
        import numpy as np

        self._sets: list[tuple[str, ...]] = []
        exclusive: list[list[int]] = []
        loose: list[tuple[str, str]] = []
        for group in components(sorted(self._by_item), self._pairs):
            if len(group) > _ENUMERATED:
                loose += [p for p in self._pairs if p[0] in group]
                self._sets += [(i,) for i in group]
                continue
            own = [s for s in _subsets(group) if self._closed(s)]
            exclusive.append(list(range(len(self._sets), len(self._sets) + len(own))))
            self._sets += own
        n, more = len(self._sets), len(self._stand_ins)
        holds = {
            i: np.array([float(i in s) for s in self._sets] + [0.0] * more) for i in self._by_item
        }
        limits: list[tuple[Floats, float]] = []
        for columns in exclusive:
            if len(columns) > 1:
                limits.append((np.bincount(columns, minlength=n + more).astype(float), 1))
        for i, j in (*loose, *self._packed):
            limits.append((holds[j] - holds[i], 0))
        for j, users in self._idle:
            limits.append((np.sum([holds[i] for i in users], axis=0) - holds[j], len(users) - 1))
        for kind in self._kinds:
            limits.append((np.sum([holds[i] for i in kind], axis=0), len(kind) - 1))
        for item in sorted({s.item for s in self._stand_ins}):
            doing = np.array([0.0] * n + [float(s.item == item) for s in self._stand_ins])
            limits.append((doing - holds[item], 0))
        for place, s in enumerate(self._stand_ins):
            if s.by in holds:
                there = holds[s.by].copy()
                there[n + place] = 1
                limits.append((there, 1))
        grams = [sum(self._by_item[i].saved_mg for i in s) / 1000 for s in self._sets]
        self._grams = np.array(grams + [0.0] * more)
        scaled = self._grams / max(1.0, self._grams.sum())
        self._rows, self._top = map(np.array, zip(*limits, (scaled, np.inf), strict=True))
        self._hanging = [self._together(s) for s in self._sets]

    def _together(self, items: Collection[str]) -> list[tuple[str, ...]]:
        """Things of which one needs the other, by what hangs together without any others."""
        among = set(items)
        return components(
            sorted(among), [p for p in self._pairs if p[0] in among and p[1] in among]
        )

    def _closed(self, left: Sequence[str]) -> bool:
        return all(i in left for i, j in self._pairs if j in left)

    def solve(
        self, at_least_mg: int, regrets: Mapping[str, float] | None = None, *, heaviest: bool = True
    ) -> frozenset[str] | None:
        """The allowed set of least regret that saves so much, within 1e-6; None where none does.

        Of sets of that regret the heaviest, if asked for, so that what costs no regret is left,
        too. ``regrets``: other values of P(needed) x cost, by item.
        """
        if not self.choices:
            return frozenset() if at_least_mg <= 0 else None
        own = {o.item: o.regret if regrets is None else regrets[o.item] for o in self.choices}
        prices = self._prices(own)
        best = self._search(at_least_mg, prices)
        if best is None or not heaviest:
            return best
        heavier = self._search(at_least_mg, -self._grams, (prices, self.value(best, own).regret))
        return best if heavier is None else heavier

    def least(self, saved_mg: int) -> LeftSet:
        """The set of least regret that saves so much; nothing where nothing is to be saved.

        Nothing, too, where so much cannot be saved.
        """
        return self.value((self.solve(saved_mg) or ()) if saved_mg > 0 else ())

    def most(self, regret: float | None = None) -> LeftSet:
        """The heaviest set that may be left, of those of no more than some regret if given."""
        if not self.choices:
            return LeftSet(frozenset(), 0, 0.0, 0.0)
        own = {o.item: o.regret for o in self.choices}
        capped = None if regret is None else (self._prices(own), regret)
        return self.value(self._search(0, -self._grams, capped) or ())

    def _prices(self, own: Mapping[str, float]) -> "Floats":
        import numpy as np

        known: dict[tuple[str, ...], tuple[str, ...]] = {}
        costs = [
            sum(own[i] for part in parts for i in self._bearers(part, own, known))
            for parts in self._hanging
        ]
        spared = [-own[s.item] * s.share for s in self._stand_ins]
        return np.array(costs + spared)

    def _search(
        self, at_least_mg: int, prices: "Floats", capped: "tuple[Floats, float] | None" = None
    ) -> frozenset[str] | None:
        """The set of least price; ``capped``: other prices, and what they may come to."""
        import numpy as np
        from scipy.optimize import Bounds, LinearConstraint, milp  # type: ignore[import-untyped]

        rows, top = self._rows, self._top
        if capped is not None:
            rows, top = np.vstack([capped[0], rows]), np.append(capped[1] + _TOLERANCE, top)
        n, ask_mg = len(self._sets), at_least_mg
        whole = np.array([1] * n + [0] * len(self._stand_ins))
        scale = max(1.0, self._grams.sum())
        while True:
            floor = np.full(len(top), -np.inf)
            floor[-1] = ask_mg / 1000 / scale
            with quiet():
                solution = milp(
                    prices,
                    integrality=whole,
                    bounds=Bounds(0, 1),
                    constraints=LinearConstraint(rows, floor, top),
                    options={"mip_rel_gap": 0},
                )
            if solution.x is None:
                return None
            left = frozenset(
                i for s, x in zip(self._sets, solution.x[:n], strict=True) if x > 0.5 for i in s
            )
            short = at_least_mg - sum(self._by_item[i].saved_mg for i in left)
            if short <= 0:
                return left
            # The solver takes a bound as met within its tolerance; milligrams are whole.
            ask_mg += short


def _subsets(group: Sequence[str]) -> Iterable[tuple[str, ...]]:
    for mask in range(1, 1 << len(group)):
        yield tuple(item for place, item in enumerate(group) if mask >> place & 1)
