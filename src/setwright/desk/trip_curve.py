"""The pan trip force of a set: who fires it, what 100 nights bring, and which span of forces to look for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from setwright.basis.say import Say
from setwright.basis.units import convert
from setwright.desk import document as doc
from setwright.desk.trip_curve_words import NO_CATCH, law_words, not_kept_out, plain_words, say
from setwright.sets.context import Context
from setwright.sets.evaluate import SetResult
from setwright.sets.fire import GRID, READING_SPREAD, fire_chances, fire_table, without_weight
from setwright.sets.naming import plain_name

Floats = NDArray[np.float64]

NIGHTS = 100.0
# Steps of trip force [lbf] for animals as heavy as a fox, and for small ones, that press less than a pound.
USUAL: Floats = np.concatenate([np.arange(0.25, 4.01, 0.25), np.arange(4.5, 8.01, 0.5)])
LIGHT: Floats = np.arange(0.2, 1.601, 0.1)
# The rule of the advised span: how much catch may be given up, and how much of the nuisance is to be saved for it.
GIVEN_UP, SAVED = 0.05, 0.5
# Less than this share of the nuisance saved is nothing to set a pan by.
WORTH = 0.1
# A limit is met by the step that is the limit, however it was converted.
ROUNDING = 1e-6
RULE = (
    "Advised: target held at least 95 of every 100 that the best trip force would hold, and at least half of the "
    "firings by others saved that can be saved within that, where a heavier pan saves any; and as the law allows."
)


@dataclass(frozen=True)
class Nights:
    """What 100 nights bring over trip forces [N], shape (k,): target held, firings by each other animal, (n, k)."""

    forces: Floats
    catch: Floats
    others: Mapping[str, Floats]

    @property
    def nuisance(self) -> Floats:
        """Firings by all others together, shape (n, k)."""
        return np.asarray(np.sum(list(self.others.values()), axis=0) + np.zeros_like(self.catch))


def trip_curve(context: Context, result: SetResult) -> doc.TripCurve:
    """The curve of a site's own animals; an animal afloat has a reason in place of a curve."""
    forces = forces_of(context)
    drawn = ((key, fire_table(context, species)) for key, species in context.species.items())
    tables = {key: at_forces(table, forces) for key, table in drawn if table is not None}
    target = context.site.target
    reading = result.rig.trap.trip_force.with_spread(READING_SPREAD)
    yours = (reading.value, reading.low, reading.high)
    curve = doc.TripCurve(
        force=[round(float(force), 4) for force in forces],
        series=[_series(context, key, table) for key, table in tables.items()],
        yours=yours,
        words=plain_words(context, result, tables),
        not_kept_out=[plain_name(species) for species in not_kept_out(context)],
        no_figure=[
            doc.NoFigure(species=key, name=species.name, reason=without_weight(context, species))
            for key, species in context.species.items()
            if key not in tables
        ],
    )
    if target not in tables:
        reason = without_weight(context, context.target)
        mend = "Keep the pan light and crisp, and log every visit that did not fire it."
        told = f"No trip force is advised: {reason}. {mend}"
        return curve.model_copy(update={"say": told})
    nights = per_nights(context, result, tables, forces)
    least, most = lawful(result)
    allowed = (forces >= least * (1.0 - ROUNDING)) & (forces <= most * (1.0 + ROUNDING))
    span = advised(np.median(nights.catch, axis=0), np.median(nights.nuisance, axis=0), allowed)
    ends = [] if span is None else [_cost(nights, place) for place in dict.fromkeys(span)]
    own = _own(context, result, tuple(nights.others))
    width = None if span is None else (float(forces[span[0]]), float(forces[span[1]]))
    return curve.model_copy(
        update={
            "catch": _series(context, target, nights.catch, 3),
            "others": [_series(context, key, fired, 3) for key, fired in nights.others.items()],
            "advised": width,
            "ends": ends,
            "own": own,
            "rule": RULE,
            "words": [*law_words(least, most), *curve.words],
            "say": say(
                width,
                ends,
                own,
                reading.value,
                lightest=float(forces[0]),
                bound=least > 0.0,
                others=bool(nights.others),
            ),
        }
    )


def per_nights(context: Context, result: SetResult, tables: Mapping[str, Floats], forces: Floats) -> Nights:
    """What 100 nights bring at every trip force, on the draws of the set and through the same outcome.

    `tables` has P(fire | on the pan), (n, k), of the animals whose weight stands on the pan; all others compete with
    the chance that they have at any force. A crust over the pan counts as much as it does at his own trip force.
    """
    now = fire_chances(context, result.rig.trap)
    timing = result.timing
    target = context.site.target
    fired: dict[str, list[Floats]] = {key: [] for key in tables}
    for place in range(forces.size):
        # Visit, step, seat and ground stand in the rate as factors on the chance of the foot.
        firing = {
            key: rate * np.divide(tables[key][:, place], now[key], out=np.zeros(context.n), where=now[key] > 0)
            if key in tables
            else rate
            for key, rate in timing.firing.items()
        }
        found = replace(timing, firing=firing).timed().by_cause
        for key, rows in fired.items():
            rows.append(found[key].held if key == target else found[key].first)
    waits = NIGHTS / context.check.nights
    by_force = {key: waits * np.stack(rows, axis=1) for key, rows in fired.items()}
    return Nights(forces, by_force.pop(target), by_force)


def advised(catch: Floats, nuisance: Floats, allowed: NDArray[np.bool_]) -> tuple[int, int] | None:
    """Places between which a trip force is advised, by `RULE`; None when nothing is caught or allowed.

    Parameters
    ----------
    catch, nuisance : (k,) array
        Target held and firings by others in 100 nights, at rising trip force.
    allowed : (k,) array of bool
        Where the law allows the trip force.
    """
    best = float(np.max(catch, where=allowed, initial=0.0))
    if not best > NO_CATCH:
        return None
    keeps = np.flatnonzero(allowed & (catch >= (1.0 - GIVEN_UP) * best))
    lightest, least = float(nuisance[keeps[0]]), float(np.min(nuisance[keeps]))
    if lightest - least > WORTH * lightest:
        keeps = keeps[nuisance[keeps] <= lightest - SAVED * (lightest - least)]
    pieces = np.split(keeps, np.flatnonzero(np.diff(keeps) > 1) + 1)
    piece = min(pieces, key=lambda places: float(np.min(nuisance[places])))
    return int(piece[0]), int(piece[-1])


def lawful(result: SetResult) -> tuple[float, float]:
    """Least and greatest trip force [N] that the law packs allow this set, by the rules that were answered."""
    least, most = 0.0, float("inf")
    for finding in result.law:
        rule = dict(finding.reason.values).get("rule")
        values = dict(rule.values) if isinstance(rule, Say) else {}
        if finding.profile or not isinstance(rule, Say) or values.get("label") != "pan trip force":
            continue
        limit = float(values["limit"])
        if "at least" in rule.template:
            least = max(least, limit)
        elif "at most" in rule.template:
            most = min(most, limit)
    return least, most


def forces_of(context: Context) -> Floats:
    """Trip forces [N] of the curve, shape (k,): finer steps where the target presses less than a pound."""
    table = fire_table(context, context.target)
    small = table is not None and float(np.median(at_forces(table, np.array([convert(1.0, "lbf", "N")])))) < 0.5
    return np.array([convert(float(force), "lbf", "N") for force in (LIGHT if small else USUAL)])


def at_forces(table: Floats, forces: Floats) -> Floats:
    """A table of `fire_table` read at trip forces [N], shape (n, k), linear in the logarithm of the force."""
    place = np.clip(np.interp(np.log(forces), np.log(GRID), np.arange(GRID.size)), 0.0, GRID.size - 1.001)
    low = place.astype(int)
    part = place - low
    return np.asarray((1.0 - part) * table[:, low] + part * table[:, low + 1])


def _series(context: Context, key: str, draws: Floats, digits: int = 4) -> doc.CurveSeries:
    """One line with its band, from draws (n, k)."""
    species = context.species[key]
    low, middle, high = (
        [round(float(value), digits) for value in line] for line in np.quantile(draws, (0.05, 0.5, 0.95), axis=0)
    )
    return doc.CurveSeries(
        species=key, name=species.name, roles=list(species.roles), median=middle, low=low, high=high
    )


def _spread(draws: Floats) -> doc.Triple:
    low, middle, high = (float(value) for value in np.quantile(draws, (0.05, 0.5, 0.95)))
    return middle, low, high


def _cost(nights: Nights, place: int) -> doc.TripCost:
    return doc.TripCost(
        force=float(nights.forces[place]),
        catch=_spread(nights.catch[:, place]),
        nuisance=_spread(nights.nuisance[:, place]),
    )


def _own(context: Context, result: SetResult, others: Sequence[str]) -> doc.TripCost | None:
    """The set as it stands; the doubt of the reading is in it."""
    force = result.rig.trap.trip_force
    if not force.known:
        return None
    waits = NIGHTS / context.check.nights
    fired = np.sum([result.outcome[key].first for key in others], axis=0) + np.zeros(context.n)
    return doc.TripCost(force=force.number, catch=_spread(waits * result.held), nuisance=_spread(waits * fired))
