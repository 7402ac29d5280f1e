"""What to change so that a slide cable takes the animal under: cheapest first, each computed anew."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from setwright.basis.say import Say
from setwright.water.cable import Slide
from setwright.water.demand import Demand, Under, goes_under
from setwright.water.profile import Profile, bed

SHORTEST_CHAIN = 0.15
DEEPEST = 2.0
HIGHEST_BANK = 1.5


class Change(StrEnum):
    """A change to a slide set, in the order of its cost."""

    CHAIN = "shorter chain"
    STOP = "stop nearer the deep end"
    BANK = "higher bank end"
    CABLE = "longer cable"
    HOLE = "deeper hole"
    STAKE = "stake instead of weight"


@dataclass(frozen=True, eq=False)
class Cure:
    """One change, or two together, and the set computed anew with them.

    Parameters
    ----------
    changes : tuple of Change
        What is changed.
    amounts : tuple of float
        By how much [m]; for a stake, how far the weight would have been drawn.
    slide : Slide
        The cable afterwards.
    profile : Profile
        The bed afterwards: another one only for a deeper hole.
    under : Under
        What it then does.
    say : Say
        In words.

    """

    changes: tuple[Change, ...]
    amounts: tuple[float, ...]
    slide: Slide
    profile: Profile
    under: Under
    say: Say


@dataclass(frozen=True, eq=False)
class _Rig:
    profile: Profile
    slide: Slide
    demand: Demand


def cures(
    profile: Profile,
    slide: Slide,
    demand: Demand,
    *,
    shortest_chain: float = SHORTEST_CHAIN,
    deepest: float = DEEPEST,
    step: float = 0.05,
) -> tuple[Cure, ...]:
    """Changes after which the set takes the animal under, the cheapest first.

    Parameters
    ----------
    profile : Profile
        Bed along the cable.
    slide : Slide
        The cable as it lies.
    demand : Demand
        What must hold.
    shortest_chain : float
        Shortest way from lock to jaw that can be made up [m].
    deepest : float
        How much deeper a hole is looked for [m].
    step : float
        Step of the search [m]; every answer is then refined to a hundredth of it.

    Returns
    -------
    tuple of Cure
        Each single change that is enough, in the order of `Change`; when none is, each pair that is, a first one used
        as far as it goes and a second as little as will do. Empty when the set holds as it lies, and when nothing
        here makes it hold: then it is a set that holds alive, or none.

    Notes
    -----
    Every answer was put through all three conditions again. Doubt: the order of cost is common sense, not measured;
    a deeper hole means another place with the same bed so much lower.

    """
    start = _Rig(profile, slide, demand)
    if _test(start).holds:
        return ()
    room = _room(start, shortest_chain, deepest)
    single = [cure for change in Change if (cure := _least(start, (), change, room, step)) is not None]
    if single:
        return tuple(single)
    pairs = []
    order = list(Change)
    for i, first in enumerate(order):
        for second in order[i + 1 :]:
            # What is done whole goes first, so that the other change is as small as will do.
            whole, part = (second, first) if second in (Change.BANK, Change.STAKE) else (first, second)
            used = _whole(start, whole, room, step)
            if not used > 0:
                # A bank end that no height makes run where the cable lies may do so where a longer one does.
                whole, part = part, whole
                used = _whole(start, whole, room, step) if whole is Change.CABLE else 0.0
            if not used > 0:
                continue
            moved = _apply(start, whole, used)
            cure = _least(moved, ((whole, used),), part, _room(moved, shortest_chain, deepest), step)
            if cure is not None:
                pairs.append(cure)
    return tuple(pairs)


def _test(rig: _Rig) -> Under:
    return goes_under(rig.profile, rig.slide, rig.demand)


def _room(rig: _Rig, shortest_chain: float, deepest: float) -> dict[Change, float]:
    """How far each change can go; zero where it does nothing."""
    slide = rig.slide
    # Farther out than this, the animal's reach goes past the soundings, and nobody can tell.
    beyond = float(np.max(np.asarray(rig.demand.reach, dtype=float))) + slide.chain - 0.8 * slide.stop_length
    return {
        Change.CHAIN: max(slide.chain - shortest_chain, 0.0),
        Change.STOP: slide.stop_length,
        Change.BANK: 0.0 if _test(rig).runs else HIGHEST_BANK,
        Change.CABLE: max(rig.profile.outermost - slide.anchor_x - max(beyond, 0.0), 0.0),
        Change.HOLE: deepest,
        Change.STAKE: float(rig.demand.drawn) if rig.demand.drawn > 0 else 0.0,
    }


def _whole(rig: _Rig, change: Change, room: dict[Change, float], step: float) -> float:
    """Amount of a change that another one is added to: all there is, of a bank end only what lets the lock run."""
    if change is Change.BANK and room[change] > 0:
        return _search(lambda amount: _test(_apply(rig, change, amount)).runs, room[change], step, 0.01 * step) or 0.0
    return room[change]


def _apply(rig: _Rig, change: Change, amount: float) -> _Rig:
    slide = rig.slide
    if change is Change.CHAIN:
        return replace(rig, slide=replace(slide, chain=max(slide.chain - amount, 0.0)))
    if change is Change.STOP:
        return replace(rig, slide=replace(slide, stop_length=max(slide.stop_length - amount, 0.0)))
    if change is Change.BANK:
        return replace(rig, slide=replace(slide, stake_z=slide.stake_z + amount))
    if change is Change.CABLE:
        return replace(rig, slide=replace(slide, anchor_x=slide.anchor_x + amount))
    if change is Change.HOLE:
        return replace(rig, profile=_deeper(rig.profile, amount))
    return replace(rig, demand=replace(rig.demand, drawn=0.0))


def _deeper(profile: Profile, amount: float) -> Profile:
    """The same bed lower by one amount wherever it is wet, with a step down at the water's edge."""
    wet = np.flatnonzero(profile.z < 0)
    if wet.size == 0 or wet[0] == 0:
        return Profile(profile.x, profile.z - amount * (profile.z < 0))
    shore = int(wet[0]) - 1
    # A hair beyond the last dry sounding, so that all of the slope goes down, not its outer end alone.
    beyond = float(profile.x[shore] + 1e-3 * (profile.x[shore + 1] - profile.x[shore]))
    x = np.insert(profile.x, shore + 1, beyond)
    z = np.insert(profile.z - amount * (profile.z < 0), shore + 1, float(bed(profile, beyond)) - amount)
    return Profile(x, z)


def _least(
    rig: _Rig, before: tuple[tuple[Change, float], ...], change: Change, room: dict[Change, float], step: float
) -> Cure | None:
    """Smallest amount of one change that is enough, or None."""
    most = room[change]
    if not most > 0:
        return None

    def works(amount: float) -> bool:
        return _test(_apply(rig, change, amount)).holds

    amount: float | None
    if change is Change.STAKE:
        amount = most if works(most) else None
    elif change is Change.CHAIN:
        # A shorter one never does harm, so that no step between need be tried; a deeper hole may bring the cable down
        # on the shore.
        amount = _search(works, most, most, 0.01 * step)
    else:
        amount = _search(works, most, step, 0.01 * step)
    if amount is None:
        return None
    after = _apply(rig, change, amount)
    steps = (*before, (change, amount))
    words = _words(*steps[-1])
    if before:
        words = Say("{first:say}, and {second:say}", first=_words(*before[0]), second=words)
    return Cure(
        tuple(kind for kind, _ in steps),
        tuple(size for _, size in steps),
        after.slide,
        after.profile,
        _test(after),
        words,
    )


def _search(works: Callable[[float], bool], most: float, step: float, fine: float) -> float | None:
    """First amount that works, looked for in steps from small to large and then refined."""
    fails = 0.0
    for amount in np.append(np.arange(step, most, step), most).tolist():
        if works(amount):
            while amount - fails > fine:
                middle = 0.5 * (fails + amount)
                fails, amount = (fails, middle) if works(middle) else (middle, amount)
            return float(amount)
        fails = amount
    return None


def _words(change: Change, amount: float) -> Say:
    return {
        Change.CHAIN: Say("shorten the chain by {change:length}", change=amount),
        Change.STOP: Say("move the stop {change:length} nearer the deep end", change=amount),
        Change.BANK: Say("tie the bank end {change:length} higher", change=amount),
        Change.CABLE: Say("take a longer cable: deep end and stop {change:length} farther out", change=amount),
        Change.HOLE: Say("find a hole {change:length} deeper", change=amount),
        Change.STAKE: Say("drive a stake at the deep end in place of the weight, and proof-pull it"),
    }[change]
