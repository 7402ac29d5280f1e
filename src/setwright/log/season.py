"""Figures of a season, by rig, trap, kind of set, site or month: estimates with their intervals, and nothing more."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from setwright.animal.injury import Count, Findings, Injury, count, tally
from setwright.basis.errors import BadInput
from setwright.log import cluster, effort, rates
from setwright.log.waits import GROUPS, Visitors, Waits

ALL = "all"


@dataclass(frozen=True, slots=True)
class Figure:
    """A count with what it is a part of, the estimate and its 95 % interval.

    Parameters
    ----------
    hits : int
        What was counted.
    out_of : float
        Animals [-] or trap-nights [night].
    estimate, low, high : float
        Share [-], or rate per 100 trap-nights; NaN where there is nothing to divide by.

    """

    hits: int
    out_of: float
    estimate: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Summary:
    """Season of one group.

    Parameters
    ----------
    group : str
        Name of the rig, trap, site…
    waits, sets : int
        Waits between looks; sets.
    nights : float [night]
        Trap-nights as they are counted.
    corrected_nights, armed_nights : float [night]
        Trap-nights with half a wait off for sprung traps; by the rate of firing (NaN when all were sprung).
    catch, nontarget, domestic : Figure
        Target, other, and pets and stock, per 100 corrected trap-nights.
    domestic_limit : float
        95 % upper limit of the rate of pets and stock per 100 corrected trap-nights, also when there was none.
    efficiency_strict, efficiency_wide : Figure
        Held, out of what left sign of a furbearer; out of everything that is not explained otherwise. Pets and stock
        are left out.
    selectivity : Figure
        Targets out of all that was held.
    light_injury : Count
        Held animals with moderate trauma or less, with worse, and with nothing written down.
    scatter : float [-]
        Pearson's dispersion of target catches between sets; NaN when it cannot be told.
    catch_by_sets : tuple of float
        Interval of the catch per 100 corrected trap-nights by drawing whole sets; NaN for few sets.

    """

    group: str
    waits: int
    sets: int
    nights: float
    corrected_nights: float
    armed_nights: float
    catch: Figure
    nontarget: Figure
    domestic: Figure
    domestic_limit: float
    efficiency_strict: Figure
    efficiency_wide: Figure
    selectivity: Figure
    light_injury: Count
    scatter: float
    catch_by_sets: tuple[float, float]


def season(
    waits: Waits,
    visitors: Visitors,
    by: str = ALL,
    scale: Mapping[str, Injury] | None = None,
    marks: NDArray[np.float64] | None = None,
) -> list[Summary]:
    """Sum a season up.

    Parameters
    ----------
    waits, visitors : Waits, Visitors
        As `waits.read` gives them.
    by : str
        One of `waits.GROUPS`, or `all`.
    scale : mapping of str to Injury, optional
        Injury scale; without it every animal's injuries are open.
    marks : array (n,) [-], optional
        As `light_marks` gives them, where they are there already.

    Raises
    ------
    BadInput
        When there is no such group.

    """
    if by != ALL and by not in GROUPS:
        raise BadInput("no such group", field="by", found=by, allowed=", ".join((ALL, *GROUPS)))
    of_waits = waits.labels[by] if by != ALL else np.full(waits.nights.size, ALL)
    of_seen = visitors.labels[by] if by != ALL else np.full(visitors.held.size, ALL)
    sets = np.unique(waits.labels["set_id"], return_inverse=True)[1]
    here, there = _rows(of_waits), _rows(of_seen)
    marks = light_marks(visitors, scale or {}) if marks is None else marks
    none = np.zeros(0, dtype=np.intp)
    names = sorted({*here, *there})
    return _summed(
        [_counted(name, waits, visitors, here.get(name, none), there.get(name, none), sets, marks) for name in names]
    )


def _rows(labels: NDArray[np.str_]) -> dict[str, NDArray[np.intp]]:
    """Rows of each label."""
    if labels.size == 0:
        return {}
    names, code = np.unique(labels, return_inverse=True)
    order = np.argsort(code, kind="stable")
    parts = np.split(order, np.searchsorted(code[order], np.arange(1, names.size)))
    return {str(name): part for name, part in zip(names, parts, strict=True) if part.size}


@dataclass(frozen=True, slots=True)
class _Counted:
    """Counts of one group, before intervals are put around them."""

    group: str
    waits: int
    sets: int
    nights: float
    corrected: float
    armed: float
    target: int
    caught: int
    domestic: int
    gone: int
    sign: int
    empty: int
    light: Count
    scatter: float
    by_sets: tuple[float, float]


def _counted(
    name: str,
    waits: Waits,
    visitors: Visitors,
    here: NDArray[np.intp],
    seen: NDArray[np.intp],
    sets: NDArray[np.intp],
    marks: NDArray[np.float64],
) -> _Counted:
    nights, fired, known = waits.nights[here], waits.fired[here], waits.armed_nights[here]
    held, sprung = visitors.held[seen], visitors.sprung[seen]
    place = sets[here]
    present = np.bincount(place) > 0
    half = np.where(np.isnan(known), np.where(fired, 0.5 * nights, nights), known)
    by_set = np.bincount(place, half)[present]
    hits_by_set = np.bincount(place, waits.target[here].astype(float))[present]
    drawn = cluster.bootstrap(hits_by_set, by_set)
    return _Counted(
        group=name,
        waits=here.size,
        sets=by_set.size,
        nights=float(nights.sum()),
        corrected=effort.corrected(nights, fired, known),
        armed=effort.armed(nights, fired, known),
        target=int(visitors.target[seen].sum()),
        caught=int(held.sum()),
        domestic=int(visitors.domestic[seen].sum()),
        gone=int(visitors.escaped[seen].sum()),
        sign=int(visitors.sign[seen].sum()),
        empty=int((sprung & ~visitors.explained[seen]).sum()),
        light=count(marks[seen][held]),
        scatter=cluster.dispersion(hits_by_set, by_set),
        by_sets=(100.0 * float(drawn.low), 100.0 * float(drawn.high)),
    )


def _summed(found: list[_Counted]) -> list[Summary]:
    """Summaries, the intervals of all groups in one go."""

    def each(name: str) -> NDArray[np.float64]:
        return np.array([getattr(one, name) for one in found], dtype=float)

    spent, target, caught, domestic, gone = (
        each(name) for name in ("corrected", "target", "caught", "domestic", "gone")
    )
    # Pets and stock are no furbearers: that they were held speaks for no trap.
    furred = caught - domestic
    catch, other, pets = (_per_hundred(hits, spent) for hits in (target, caught - target, domestic))
    limit = 100.0 * rates.upper_rate(domestic, spent)
    strict, wide = (_shares(furred, furred + gone + each(name)) for name in ("sign", "empty"))
    picked = _shares(target, caught)
    return [
        Summary(
            group=one.group,
            waits=one.waits,
            sets=one.sets,
            nights=one.nights,
            corrected_nights=one.corrected,
            armed_nights=one.armed,
            catch=catch[place],
            nontarget=other[place],
            domestic=pets[place],
            domestic_limit=float(limit[place]),
            efficiency_strict=strict[place],
            efficiency_wide=wide[place],
            selectivity=picked[place],
            light_injury=one.light,
            scatter=one.scatter,
            catch_by_sets=one.by_sets,
        )
        for place, one in enumerate(found)
    ]


def _per_hundred(hits: NDArray[np.float64], nights: NDArray[np.float64]) -> list[Figure]:
    ends = rates.garwood(hits, nights)
    with np.errstate(divide="ignore", invalid="ignore"):
        rate = np.where(nights > 0, hits / nights, np.nan)
    rows = zip(hits, nights, 100.0 * rate, 100.0 * ends.low, 100.0 * ends.high, strict=True)
    return [Figure(int(k), *(float(value) for value in more)) for k, *more in rows]


def _shares(hits: NDArray[np.float64], trials: NDArray[np.float64]) -> list[Figure]:
    ends = rates.jeffreys(hits, np.where(trials > 0, trials, np.nan))
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(trials > 0, hits / trials, np.nan)
    rows = zip(hits, trials, share, ends.low, ends.high, strict=True)
    return [
        Figure(int(k), *(float(value) for value in more)) if more[0] else Figure(0, 0.0, *(float("nan"),) * 3)
        for k, *more in rows
    ]


def light_marks(visitors: Visitors, scale: Mapping[str, Injury]) -> NDArray[np.float64]:
    """For each visitor 1 when its worst injury is moderate or less, 0 when worse, NaN when open or not held.

    Parameters
    ----------
    visitors : Visitors
        n of them.
    scale : mapping of str to Injury
        Injury scale.

    Returns
    -------
    array (n,) [-]

    """
    rows = np.flatnonzero(visitors.held)
    findings = []
    for row in rows:
        found = visitors.injuries[row]
        unknown = found is None or any(key not in scale for key in found) or visitors.looked_over[row] == "not"
        findings.append(Findings(None if unknown else found, whole=visitors.looked_over[row] in ("", "whole")))
    marks = np.full(visitors.held.size, np.nan)
    if findings:
        marks[rows] = tally(findings, scale).no_to_moderate
    return marks
