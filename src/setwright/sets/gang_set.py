"""Several traps at one site of a book: the gang set that they make together, from the chain of each."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from setwright.animal.model import Species
from setwright.sets.context import Context, Floats
from setwright.sets.evaluate import SetResult
from setwright.sets.gang import Gang, gang_outcome
from setwright.sets.outcome import MISFIRE

# The exact chain is asked for this many of the draws, evenly taken.
DRAWS = 200
# Families beyond this count as this many: the traps are no more than four.
LARGEST_GROUP = 6
# A group larger than the greatest that is named comes once in twenty.
BEYOND = 0.05


@dataclass(frozen=True, eq=False)
class GangFound:
    """A gang set of m traps: chances in one wait, each (d,) for d draws.

    `any_held` at least one target held, `held` expected number of targets, `several` two animals or more held, of
    any kind, `others` expected firings by other animals; `alone` is P(a target held) with the first trap only.
    """

    traps: int
    any_held: Floats
    held: Floats
    several: Floats
    others: Floats
    alone: Floats


def group_sizes(group: float, high: float) -> Floats:
    """Share of passings by groups of 1 to 6 animals, shape (6,).

    Parameters
    ----------
    group : float [-]
        How many travel together as a rule; below 1.5 the most common passing is by one.
    high : float [-]
        Most that are seen together but for one passing in twenty; NaN or less than `group` takes twice `group`.

    Returns
    -------
    array
        A geometric law that exceeds `high` once in twenty, those beyond six counted as six; a modelling choice.
    """
    most = high if high >= group else 2.0 * group
    ratio = BEYOND ** (1.0 / max(most, 1.0))
    shares = (1.0 - ratio) * ratio ** np.arange(LARGEST_GROUP)
    shares[-1] = 1.0 - shares[:-1].sum()
    return np.asarray(shares)


def gang_set(context: Context, results: Sequence[SetResult]) -> GangFound:
    """What two to four traps at one site hold together in one wait.

    Parameters
    ----------
    context : Context
        The site.
    results : sequence of SetResult
        The chain of each trap as if it stood there alone, the stated one first.

    Notes
    -----
    Visits are those of the single set: as many animals come by, now in their groups, one after the other; each passes
    all traps until it fires one. Hours in order are those of each trap; a crust that only some animals break is taken
    with their visits.
    """
    gang, kinds = _gang(context, results), list(context.species)
    target = kinds.index(context.site.target)
    others = [place for place in range(len(kinds)) if place != target]
    found, pick = gang_outcome(gang), _pick(context.n)
    # The same chain with every other animal let go tells whether a target is among those held.
    holds = gang.holds.copy()
    holds[others] = 0.0
    return GangFound(
        traps=len(results),
        any_held=1.0 - gang_outcome(replace(gang, holds=holds)).count[0],
        held=found.held[target].sum(axis=0),
        several=found.count[2:].sum(axis=0),
        others=found.fired[others].sum(axis=(0, 1)),
        alone=results[0].held[pick],
    )


def _pick(n: int) -> NDArray[np.intp]:
    return np.arange(0, n, max(1, n // DRAWS))


def _gang(context: Context, results: Sequence[SetResult]) -> Gang:
    pick, timing = _pick(context.n), results[0].timing
    widths, n = timing.wait.widths, context.n
    hours = widths.size
    orders = [_order(result, n, hours) for result in results]
    kinds = list(context.species)
    sizes = np.stack([_sizes(context.species[key]) for key in kinds])
    mean = sizes @ np.arange(1.0, LARGEST_GROUP + 1.0)
    visits, takes, holds = [], [], []
    for place, key in enumerate(kinds):
        rate = results[0].links[0].by_species[key][:, None] * timing.shares[key] / mean[place]
        visits.append((rate * _through(results[0], key, n, hours))[pick])
        takes.append([_chance(result, 1, key)[pick] * _chance(result, 2, key)[pick] for result in results])
        holds.append([_chance(result, 3, key)[pick] * _chance(result, 4, key)[pick] for result in results])
    wild = np.stack([(result.timing.misfire[:, None] * result.timing.shares[MISFIRE])[pick] for result in results])
    return Gang(
        visits=np.stack(visits),
        takes=np.array(takes),
        holds=np.array(holds),
        in_order=np.stack([order[pick] for order in orders]),
        misfire=wild,
        sizes=sizes,
        widths=widths,
    )


def _chance(result: SetResult, link: int, key: str) -> Floats:
    return result.links[link].by_species[key]


def _order(result: SetResult, n: int, hours: int) -> Floats:
    order = result.timing.in_order
    free = order[MISFIRE] if isinstance(order, Mapping) else order
    return np.asarray(np.broadcast_to(free, (n, hours)), dtype=float)


def _through(result: SetResult, key: str, n: int, hours: int) -> Floats:
    """Part of the order of all that is left to one animal under a crust, shape (n, h)."""
    order = result.timing.in_order
    if not isinstance(order, Mapping):
        return np.ones((n, hours))
    free = np.broadcast_to(order[MISFIRE], (n, hours))
    own = np.broadcast_to(order[key], (n, hours))
    return np.divide(own, free, out=np.zeros((n, hours)), where=free > 0)


def _sizes(species: Species) -> Floats:
    group = species.group
    if not group.known:
        return np.asarray(np.eye(1, LARGEST_GROUP)[0], dtype=float)
    return group_sizes(group.number, math.nan if group.high is None else group.high)
