"""What can be done to a rig, put in order by what it averts and what it costs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from setwright.basis.errors import BadInput


@dataclass(frozen=True, slots=True)
class Cure:
    """Something that can be done to a rig, and what comes of it.

    Parameters
    ----------
    name : str
        What is done.
    loss : float
        Chance of loss after it [-]; NaN when not known.
    work : float
        Time that it takes, once [s].
    mass : float
        Carried to the set in addition [kg]; negative when it lightens.

    """

    name: str
    loss: float
    work: float
    mass: float


@dataclass(frozen=True, slots=True)
class RankedCure:
    """A cure in its place.

    Parameters
    ----------
    cure : Cure
        What is done.
    averted : float
        Chance of loss that it takes away [-]; NaN when not known.
    worth : float
        That per second of work and carrying [1/s]; infinite for one that costs nothing and averts something.
    beaten : str
        Name of a cure that averts as much for no more work and mass; empty when there is none.

    """

    cure: Cure
    averted: float
    worth: float
    beaten: str


def rank_cures(loss: float, cures: Sequence[Cure], *, carrying: float = 300.0) -> tuple[RankedCure, ...]:
    """Cures by what they avert for their cost; those that avert nothing after them, unknown ones last.

    Parameters
    ----------
    loss : float
        Chance of loss as it is [-].
    cures : sequence of Cure
        In any order.
    carrying : float
        Work that a kilogram carried to the set is worth [s/kg]; 5 min assumed.

    """
    ranked = []
    for cure in cures:
        if not cure.work >= 0.0:
            raise BadInput(f"time of {cure.name!r}", field="work", found=cure.work, allowed="0 or more")
        averted = loss - cure.loss
        cost = cure.work + carrying * max(cure.mass, 0.0)
        worth = averted / cost if cost > 0.0 else math.copysign(math.inf, averted) if averted else 0.0
        ranked.append(RankedCure(cure, averted, worth, _beaten(cure, cures)))
    return tuple(sorted(ranked, key=_place))


def _beaten(cure: Cure, cures: Sequence[Cure]) -> str:
    for other in cures:
        no_worse = other.loss <= cure.loss and other.work <= cure.work and other.mass <= cure.mass
        better = other.loss < cure.loss or other.work < cure.work or other.mass < cure.mass
        if no_worse and better:
            return other.name
    return ""


def _place(ranked: RankedCure) -> tuple[int, float, str]:
    unknown = math.isnan(ranked.averted)
    group = 2 if unknown else 0 if ranked.averted > 0.0 else 1
    return group, 0.0 if unknown else -ranked.worth, ranked.cure.name
