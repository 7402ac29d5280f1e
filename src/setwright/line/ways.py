"""The network of ways: truck, boat and foot legs with landings, as one table of times between all stops."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from setwright.basis.errors import BadInput
from setwright.line.run import WINDING, Place, distance, travel_times
from setwright.line.ways_book import BASE, Landing, Leg, Ways

# Tying the boat up or launching it, changing boots: where the book says nothing (assumed).
CHANGE = 300.0
Spots = Mapping[str, tuple[float, float] | None]


@dataclass(frozen=True)
class Step:
    """One part of a way: from place to place by one means, its time [s], and whether it is a straight-line guess."""

    start: str
    end: str
    mode: str
    seconds: float
    assumed: bool


@dataclass(frozen=True)
class Network:
    """Times between the start and all stops.

    Parameters
    ----------
    keys : tuple of str
        `base`, then the sites.
    seconds : (n+1, n+1) array
        Time from each to each [s]; not symmetric.
    assumed : (n+1, n+1) array of bool
        Where a straight line stands in for a leg.
    spots : mapping
        Positions of start, sites and landings [degrees], None where unknown.
    steps : mapping
        Parts of the way between two keys.

    """

    keys: tuple[str, ...]
    seconds: NDArray[np.float64]
    assumed: NDArray[np.bool_]
    spots: Spots
    steps: Mapping[tuple[str, str], tuple[Step, ...]]


@dataclass
class _Level:
    """Places that are reached from one landing by one means, and the table of times between them."""

    parent: str
    mode: str
    members: list[str]
    seconds: NDArray[np.float64] | None = None
    straight: NDArray[np.bool_] | None = None

    def place(self, key: str) -> int:
        return 0 if key == self.parent else 1 + self.members.index(key)

    def step(self, start: str, end: str) -> Step:
        assert self.seconds is not None and self.straight is not None
        i, j = self.place(start), self.place(end)
        return Step(start, end, self.mode, float(self.seconds[i, j]), bool(self.straight[i, j]))


def network(
    ways: Ways, places: Sequence[Place], landing_of: Mapping[str, str | None], spots: Spots,
    speeds: Mapping[str, float],
) -> Network:  # fmt: skip
    """Build the table of times.

    Parameters
    ----------
    ways : Ways
        Landings and legs of the book.
    places : sequence of Place
        Stops, in the order of the book.
    landing_of : mapping of str to str or None
        Landing that the book names for a site.
    spots : mapping
        Positions of `base` and the sites [degrees]; None where the book has none.
    speeds : mapping of str to float
        Speed by means [m/s], for straight lines.

    Returns
    -------
    Network
        Without any landing and leg, straight lines throughout, all marked as assumed.

    Raises
    ------
    BadInput
        Names the site that cannot be reached or left, the landing that is missing, or the leg to nowhere.

    Notes
    -----
    Each place hangs on a landing: sites that are reached by boat on the landing of the boat, that one on the start.
    Between two places of one landing and means the way is the shortest over the legs; otherwise it goes up to where
    both branches meet, with the time of changing at each landing. A place without any leg is taken in a straight
    line, 1.3 times as long, where its position is known.

    """
    keys = (BASE, *(place.key for place in places))
    if not ways.landings and not ways.legs:
        home = spots.get(BASE) or (0.0, 0.0)
        seconds = travel_times(home, places, dict(speeds))
        modes = ["truck", *(place.access for place in places)]
        straight: dict[tuple[str, str], tuple[Step, ...]] = {
            (a, b): (Step(a, b, _slower(modes[i], modes[j], speeds), float(seconds[i, j]), True),)
            for i, a in enumerate(keys)
            for j, b in enumerate(keys)
            if i != j
        }
        return Network(keys, seconds, ~np.eye(len(keys), dtype=bool), dict(spots), straight)
    every = {**spots, **{one.id: _spot(one) for one in ways.landings}}
    _stray(ways.legs, (*every, *keys))
    parents = _parents(ways, places, landing_of, every)
    levels = _levels(parents)
    for level in levels.values():
        _fill(level, ways.legs, every, speeds)
    change = {one.id: CHANGE if one.change is None else one.change.number for one in ways.landings}
    size = len(keys)
    seconds, assumed = np.zeros((size, size)), np.zeros((size, size), dtype=bool)
    steps: dict[tuple[str, str], tuple[Step, ...]] = {}
    for i, a in enumerate(keys):
        for j, b in enumerate(keys):
            if i != j:
                parts, changes = _way(a, b, parents, levels)
                steps[a, b] = tuple(parts)
                seconds[i, j] = sum(part.seconds for part in parts) + sum(change.get(at, 0.0) for at in changes)
                assumed[i, j] = any(part.assumed for part in parts)
    return Network(keys, seconds, assumed, every, steps)


def _slower(a: str, b: str, speeds: Mapping[str, float]) -> str:
    return min((a, b), key=lambda mode: speeds[mode])


def _spot(landing: Landing) -> tuple[float, float] | None:
    return None if landing.position is None else (landing.position.latitude, landing.position.longitude)


def _parents(
    ways: Ways, places: Sequence[Place], landing_of: Mapping[str, str | None], spots: Spots
) -> dict[str, tuple[str, str]]:
    """Landing and means by which every place is reached."""
    known = {one.id: one for one in ways.landings}
    found: dict[str, tuple[str, str]] = {}
    for index, one in enumerate(ways.landings):
        where = f"ways.landings.{index}.landing"
        _offered(known, one.landing, one.access, where, one.id)
        found[one.id] = (one.landing, one.access)
    for one in ways.landings:
        seen, at = [one.id], one.landing
        while at != BASE:
            if at in seen:
                raise BadInput(
                    "these landings hang on one another in a ring",
                    field="ways.landings",
                    found=" > ".join([*seen, at]),
                )
            seen.append(at)
            at = known[at].landing
    for number, place in enumerate(places):
        where = f"sites.{number}.landing"
        landing = landing_of.get(place.key)
        if landing is None:
            landing = _nearest(place, ways.landings, spots, f"sites.{number}.access")
        _offered(known, landing, place.access, where, place.key)
        found[place.key] = (landing, place.access)
    return found


def _offered(known: Mapping[str, Landing], landing: str, mode: str, where: str, what: str) -> None:
    if landing == BASE:
        if mode != "truck":
            raise BadInput(
                f"{what} is reached by {mode}, and at the start one only gets into the truck", field=where,
                found=landing, allowed=_those(known, mode),
            )  # fmt: skip
        return
    if landing not in known:
        raise BadInput("no such landing", field=where, found=landing, allowed=", ".join(known) or "none are listed")
    if mode not in known[landing].offers:
        raise BadInput(
            f"{what} is reached by {mode}, and this landing does not offer that", field=where, found=landing,
            allowed=_those(known, mode),
        )  # fmt: skip


def _those(known: Mapping[str, Landing], mode: str) -> str:
    return ", ".join(key for key, one in known.items() if mode in one.offers) or f"a landing that offers: [{mode}]"


def _nearest(place: Place, landings: Sequence[Landing], spots: Spots, where: str) -> str:
    if place.access == "truck":
        return BASE
    offering = [one for one in landings if place.access in one.offers]
    if not offering:
        raise BadInput(
            f"{place.key} is reached by {place.access}, and no landing offers that", field=where, found=place.access,
            allowed="truck, or a landing under ways.landings",
        )  # fmt: skip
    here = spots.get(place.key)
    placed = [(one, spot) for one in offering if (spot := spots.get(one.id)) is not None]
    if len(offering) == 1 or here is None or not placed:
        return offering[0].id
    return min(placed, key=lambda pair: distance(here, pair[1]))[0].id


def _levels(parents: Mapping[str, tuple[str, str]]) -> dict[tuple[str, str], _Level]:
    levels: dict[tuple[str, str], _Level] = {}
    for key, (parent, mode) in parents.items():
        levels.setdefault((parent, mode), _Level(parent, mode, [])).members.append(key)
    return levels


def _fill(level: _Level, legs: Sequence[Leg], spots: Spots, speeds: Mapping[str, float]) -> None:
    """Shortest times within a level, over its legs and, for places without a leg, straight lines."""
    from scipy.sparse.csgraph import dijkstra

    nodes = [level.parent, *level.members]
    # Legs of the same means may lead over crossings that are no stops.
    mine = [leg for leg in legs if leg.mode == level.mode]
    every = [*nodes, *sorted({end for leg in mine for end in (leg.start, leg.end)} - set(nodes))]
    place = {key: index for index, key in enumerate(every)}
    direct = np.full((len(every), len(every)), np.inf)
    for leg in mine:
        i, j = place[leg.start], place[leg.end]
        direct[i, j] = min(direct[i, j], leg.time.number)
        if not leg.one_way:
            back = leg.time.number if leg.back is None else leg.back.number
            direct[j, i] = min(direct[j, i], back)
    linked = np.isfinite(direct).any(axis=0) | np.isfinite(direct).any(axis=1)
    bare = [key for key in nodes if not linked[place[key]] and (key != level.parent or not linked.any())]
    guessed = np.zeros_like(direct, dtype=bool)
    for a in nodes:
        for b in nodes:
            if a != b and (a in bare or b in bare):
                here, there = spots.get(a), spots.get(b)
                if here is None or there is None:
                    lost = next(key for key in (b, a) if key in bare and key != level.parent)
                    which = a if here is None else b
                    raise BadInput(
                        f"{lost} cannot be reached by {level.mode}: no leg leads there, and {which} has no position",
                        field="ways.legs", found=lost, allowed=f"a leg with mode: {level.mode}, or a position",
                    )  # fmt: skip
                i, j = place[a], place[b]
                direct[i, j] = max(1.0, distance(here, there) * WINDING / speeds[level.mode])
                guessed[i, j] = True
    graph = np.where(np.isfinite(direct), direct, 0.0)
    seconds, before = dijkstra(graph, directed=True, return_predecessors=True)
    size = len(nodes)
    for i in range(1, size):
        for start, end, word in ((0, i, "reached"), (i, 0, "left again")):
            if not np.isfinite(seconds[start, end]):
                raise BadInput(
                    f"{nodes[i]} cannot be {word} by {level.mode} from {level.parent}", field="ways.legs",
                    found=nodes[i], allowed="legs there and back",
                )  # fmt: skip
    straight = np.zeros((size, size), dtype=bool)
    for i in range(size):
        for j in range(size):
            at = j
            while at != i:
                last = int(before[i, at])
                straight[i, j] |= guessed[last, at]
                at = last
    level.seconds, level.straight = seconds[:size, :size], straight


def _stray(legs: Sequence[Leg], known: Sequence[str]) -> None:
    """A place that only one leg names and nothing else is a slip of the pen."""
    named = [end for leg in legs for end in (leg.start, leg.end)]
    for index, leg in enumerate(legs):
        for side, end in (("from", leg.start), ("to", leg.end)):
            if end not in known and named.count(end) < 2:
                raise BadInput(
                    "this leg leads to a place that nothing else names", field=f"ways.legs.{index}.{side}", found=end,
                    allowed=", ".join(list(dict.fromkeys(known))[:12]),
                )  # fmt: skip


def _chain(key: str, parents: Mapping[str, tuple[str, str]]) -> list[str]:
    found = [key]
    while found[-1] != BASE:
        found.append(parents[found[-1]][0])
    return found


def _way(
    a: str, b: str, parents: Mapping[str, tuple[str, str]], levels: Mapping[tuple[str, str], _Level]
) -> tuple[list[Step], list[str]]:
    """Steps from one place to another, and the landings at which he changes."""
    up, down = _chain(a, parents), _chain(b, parents)
    while len(up) > 1 and len(down) > 1 and up[-2] == down[-2]:
        up.pop()
        down.pop()
    steps: list[Step] = []
    changes: list[str] = []
    left, right = up[:-1], down[:-1]
    same = bool(left and right) and parents[left[-1]] == parents[right[-1]]
    climb = left[:-1] if same else left
    for here in climb:
        parent, mode = parents[here]
        steps.append(levels[parent, mode].step(here, parent))
        changes.append(parent)
    if same:
        steps.append(levels[parents[left[-1]]].step(left[-1], right[-1]))
    below = right[:-1] if same else right
    for here in reversed(below):
        parent, mode = parents[here]
        steps.append(levels[parent, mode].step(parent, here))
        changes.append(parent)
    return steps, [at for at in changes if at != BASE]
