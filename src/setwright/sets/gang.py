"""Gang sets: up to four traps at one site that share its visitors, lone or in family groups."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from setwright.basis.errors import OutOfRange

Floats = NDArray[np.float64]

MOST_TRAPS = 4
LARGEST = float(np.finfo(float).max)
ARMED, EMPTY, OCCUPIED = 0, 1, 2
# Mean number of jumps a step of the chain is cut to, the least that keeps its tail clear of rounding, and that tail.
MOST_JUMPS, LEAST_JUMPS, TAIL = 16.0, 0.05, 1e-14


@dataclass(frozen=True, eq=False)
class Gang:
    """Several traps at one site over one wait: k kinds of visitors, m traps, n draws, h hours.

    Parameters
    ----------
    visits : (k, n, h) array
        Rate at which lone animals or family groups of each kind come by [1/h].
    takes : (k, m, n) array
        step × fire: chance that an animal which meets the armed trap fires it [-].
    holds : (k, m, n) array
        close × hold: chance that an animal which fired it is there at the visit [-].
    in_order : (m, n, h) array
        1 where the trap is free to fire, 0 where it is not.
    misfire : (m, n, h) array
        Rate at which anything else fires each trap while it is in order [1/h].
    sizes : (k, g) array
        Share of passings by groups of 1 … g animals, which come one after the other; each row sums to one.
    shares : (k, m) array, optional
        Share of animals that come to each trap and to no other; without it an animal passes all traps in an order
        that is even chance, until it fires one.
    beside : float
        Factor on the rate of visits once a trap of the gang is occupied (1: neither scared nor drawn) [-].
    widths : (h,) array
        Length of each hour of the grid [h].

    """

    visits: Floats
    takes: Floats
    holds: Floats
    in_order: Floats
    misfire: Floats
    sizes: Floats
    widths: Floats
    shares: Floats | None = None
    beside: float = 1.0

    def __post_init__(self) -> None:
        kinds, draws, hours = self.visits.shape
        traps = self.takes.shape[1]
        wanted = {
            "takes": (kinds, traps, draws),
            "holds": (kinds, traps, draws),
            "in_order": (traps, draws, hours),
            "misfire": (traps, draws, hours),
            "sizes": (kinds, self.sizes.shape[-1]),
            "widths": (hours,),
        }
        if self.shares is not None:
            wanted["shares"] = (kinds, traps)
        for name, shape in wanted.items():
            found = getattr(self, name).shape
            if found != shape:
                raise OutOfRange(
                    "the parts of a gang do not fit together", field=name, found=found, allowed=str(shape)
                )
        if traps > MOST_TRAPS:
            raise OutOfRange("too many traps for the exact chain", field="takes", found=traps, allowed="1 to 4 traps")
        if not np.allclose(self.sizes.sum(axis=1), 1.0):
            raise OutOfRange("shares of group sizes sum to one", field="sizes", found=self.sizes.sum(axis=1).tolist())
        if not (self.widths > 0).all():
            raise OutOfRange("hours have a length", field="widths", found=self.widths.tolist(), allowed="above 0")

    @property
    def traps(self) -> int:
        """Number of traps."""
        return int(self.takes.shape[1])


@dataclass(frozen=True, eq=False)
class GangOutcome:
    """What a gang set has at the visit.

    `fired` (k + 1, m, n) chance that the kind fired the trap, misfires last; `held` (k, m, n) chance that it is held
    there; `armed` (m, n) chance that the trap still stands; `armed_time` (m, n) expected hours armed; `count`
    (m + 1, n) chances of 0 … m animals held. NaN where an input is unknown or no probability.
    """

    fired: Floats
    held: Floats
    armed: Floats
    armed_time: Floats
    count: Floats


class _States:
    """Armed, empty or occupied by trap: 3^m states, and the 2^m sets of armed traps below them."""

    def __init__(self, traps: int) -> None:
        digits = np.stack([np.arange(3**traps) // 3**trap % 3 for trap in range(traps)])
        self.step = [3**trap for trap in range(traps)]
        self.source = [np.flatnonzero(digits[trap] == ARMED) for trap in range(traps)]
        self.armed = ((digits == ARMED) * (2 ** np.arange(traps))[:, None]).sum(axis=0)
        self.occupied = (digits == OCCUPIED).sum(axis=0)
        self.subset = [self.armed[source] for source in self.source]


@dataclass(frozen=True, eq=False)
class _Hour:
    """One hour: `fires`, `of_group` (k, m, 2^m, n); rates of lone visitors (m, 2^m, n); bound of all `jumps` (n,)."""

    fires: Floats
    of_group: Floats
    visits: Floats
    empty: Floats
    caught: Floats
    misfire: Floats
    jumps: Floats


def gang_outcome(gang: Gang) -> GangOutcome:
    """Outcome of a gang set over one wait, exact for rates that are constant within each hour.

    Notes
    -----
    A Markov chain over the states armed, sprung empty and occupied of every trap. Kinds come as Poisson events; the
    animals of a group meet the traps one after the other, each fires one trap at most and is then held or gone; what
    is sprung stays so until the visit. Among armed traps A in an order of even chance an animal fires trap i with

        q(i | A) = p_i ∫₀¹ Π_{j in A, j ≠ i} (1 − p_j u) du,

    or s_i p_i when it comes to one trap only. The chain is advanced by uniformisation: hours of Poisson-many jumps,
    the sum cut where its tail is below 1e-14. A group that comes while a trap is occupied is thinned by `beside`; a
    trap that is filled by the group itself does not change how the rest of it behaves.

    References
    ----------
    Uniformisation: Jensen (1953), from memory. The chain is checked against the matrix exponential and by play.
    """
    gang = replace(
        gang, visits=_within(gang.visits, LARGEST), misfire=_within(gang.misfire, LARGEST),
        takes=_within(gang.takes, 1.0), holds=_within(gang.holds, 1.0), in_order=_within(gang.in_order, 1.0),
    )  # fmt: skip
    states = _States(gang.traps)
    kinds, draws, hours = gang.visits.shape
    chance = np.eye(3**gang.traps, 1) * np.ones(draws)
    fired = np.zeros((kinds + 1, gang.traps, draws))
    armed_time = np.zeros((gang.traps, draws))
    factor = np.where(states.occupied > 0, gang.beside, 1.0)[:, None]
    for hour, part in zip(range(hours), _hours(gang), strict=True):
        chance, spent = _advance(gang, states, part, chance, factor, float(gang.widths[hour]))
        meets = np.stack([(factor * spent)[states.armed == armed].sum(axis=0) for armed in range(2**gang.traps)])
        fired[:-1] += part.visits[:, None] * np.einsum("kman,an->kmn", part.of_group, meets)
        for trap in range(gang.traps):
            here = spent[states.source[trap]].sum(axis=0)
            armed_time[trap] += here
            fired[-1, trap] += part.misfire[trap] * here
    armed = np.stack([chance[source].sum(axis=0) for source in states.source])
    count = np.stack([chance[states.occupied == number].sum(axis=0) for number in range(gang.traps + 1)])
    return GangOutcome(fired, fired[:-1] * gang.holds, armed, armed_time, count)


def meeting(takes: Floats, shares: Floats | None = None) -> Floats:
    """Chance that one animal fires trap i when the traps of a set are armed, shape (k, m, 2^m, n).

    Parameters
    ----------
    takes : (k, m, n) array
        Chance that an animal which meets the armed trap fires it [-].
    shares : (k, m) array, optional
        Share of animals that come to each trap and to no other; without it every armed trap is passed, in an order
        of even chance, until one fires.

    Notes
    -----
    The third axis counts the sets of armed traps: trap i is armed in set A where bit i of A is 1.
    """
    kinds, traps, draws = takes.shape
    found = np.zeros((kinds, traps, 2**traps, draws))
    for armed in range(2**traps):
        those = [trap for trap in range(traps) if armed >> trap & 1]
        for trap in those:
            if shares is not None:
                found[:, trap, armed] = shares[:, trap, None] * takes[:, trap]
                continue
            # Product of (1 − p_j u) as a polynomial in u, then its integral from 0 to 1.
            powers, blank = np.ones((1, kinds, draws)), np.zeros((1, kinds, draws))
            for other in (other for other in those if other != trap):
                powers = np.concatenate([powers, blank]) - takes[:, other] * np.concatenate([blank, powers])
            mean = np.einsum("dkn,d->kn", powers, 1.0 / (1.0 + np.arange(len(powers))))
            found[:, trap, armed] = takes[:, trap] * mean
    return found


def group_meeting(fires: Floats, sizes: Floats) -> Floats:
    """Expected firings of trap i by one group, by the set of armed traps it finds, shape (k, m, 2^m, n).

    `fires` from `meeting`; `sizes` (k, g) shares of groups of 1 … g animals.
    """
    _, traps, subsets, _ = fires.shape
    none = 1.0 - fires.sum(axis=1, keepdims=True)
    by_size = found = np.zeros_like(fires)
    for size in range(sizes.shape[1]):
        after = none * by_size
        for trap in range(traps):
            left = [armed & ~(1 << trap) for armed in range(subsets)]
            after += fires[:, trap, None] * by_size[:, :, left]
        by_size = fires + after
        found = found + sizes[:, size, None, None, None] * by_size
    return found


def _within(value: Floats, most: float) -> Floats:
    return np.where((value >= 0) & (value <= most), value, np.nan)


def _hours(gang: Gang) -> Iterator[_Hour]:
    """Rates hour by hour; what depends on the order of the traps alone is kept while that stays."""
    order, lone = gang.in_order, gang.sizes[:, 0] == 1.0
    fires = of_group = np.empty(0)
    for hour in range(gang.visits.shape[2]):
        if hour == 0 or not np.array_equal(order[..., hour], order[..., hour - 1], equal_nan=True):
            fires = meeting(gang.takes * order[None, ..., hour], gang.shares)
            of_group = fires.copy()
            of_group[~lone] = group_meeting(fires[~lone], gang.sizes[~lone])
        come = gang.visits[..., hour]
        wild = gang.misfire[..., hour] * order[..., hour]
        rates = np.einsum("kn,kman,kmn->mkan", come[lone], fires[lone], gang.holds[lone]).sum(axis=1)
        every = np.einsum("kn,kman->man", come[lone], fires[lone])
        missed = 1.0 - fires[:, :, -1].sum(axis=1)
        met = 1.0 - sum(gang.sizes[:, size, None] * missed ** (size + 1) for size in range(gang.sizes.shape[1]))
        jumps = max(1.0, gang.beside) * (come * met).sum(axis=0) + wild.sum(axis=0)
        yield _Hour(fires, of_group, come, every - rates, rates, wild, jumps)


def _advance(
    gang: Gang, states: _States, part: _Hour, chance: Floats, factor: Floats, width: float
) -> tuple[Floats, Floats]:
    """State chances after an hour, and the time spent in every state within it [h], both (3^m, n)."""
    most = float(np.fmax.reduce(part.jumps * width, initial=0.0))
    steps = max(1, int(np.ceil(most / MOST_JUMPS)))
    short = width / steps
    rate = np.maximum(part.jumps, LEAST_JUMPS / short)
    spent = np.zeros_like(chance)
    for _ in range(steps):
        weight = np.exp(-rate * short)
        above = -np.expm1(-rate * short)
        after, jumped, number = weight * chance, chance, 0
        spent += above / rate * chance
        while float(np.fmax.reduce(above, initial=0.0)) > TAIL:
            jumped = jumped + _flow(gang, states, part, jumped, factor) / rate
            number += 1
            weight = weight * rate * short / number
            above = np.maximum(above - weight, 0.0)
            after = after + weight * jumped
            spent += above / rate * jumped
        chance = after
    return chance, spent


def _flow(gang: Gang, states: _States, part: _Hour, chance: Floats, factor: Floats) -> Floats:
    """Rate of change of the state chances [1/h], shape (3^m, n)."""
    met = factor * chance
    change = np.zeros_like(chance)
    for trap, (source, subset) in enumerate(zip(states.source, states.subset, strict=True)):
        empty = part.empty[trap, subset] * met[source] + part.misfire[trap] * chance[source]
        caught = part.caught[trap, subset] * met[source]
        change[source] -= empty + caught
        change[source + states.step[trap] * EMPTY] += empty
        change[source + states.step[trap] * OCCUPIED] += caught
    for kind in np.flatnonzero(gang.sizes[:, 0] != 1.0):
        passed, mixed = met, np.zeros_like(met)
        for share in gang.sizes[kind]:
            passed = _one_animal(states, part.fires[kind], gang.holds[kind], passed)
            mixed += share * passed
        change += part.visits[kind] * (mixed - met)
    return change


def _one_animal(states: _States, fires: Floats, holds: Floats, chance: Floats) -> Floats:
    """State chances after one animal went by, shape (3^m, n)."""
    after = chance.copy()
    for trap, (source, subset) in enumerate(zip(states.source, states.subset, strict=True)):
        gone = fires[trap, subset] * chance[source]
        after[source] -= gone
        after[source + states.step[trap] * EMPTY] += (1.0 - holds[trap]) * gone
        after[source + states.step[trap] * OCCUPIED] += holds[trap] * gone
    return after
