"""What is learned from a log: seasons made up from a known truth give that truth back, as often as they say."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

import numpy as np
import pytest

from log.makers import EAST
from setwright.animal.contacts import step_update
from setwright.log import learn
from setwright.log.amend import standing
from setwright.log.evidence import anchors, minutes, pans, sites
from setwright.log.simulate import MadeUpAnimal, MadeUpSet, season
from setwright.log.waits import read

BEGIN = dt.datetime(2026, 11, 1, 7, 0, tzinfo=EAST)
# Laws from which the truth is drawn: what the plan assumes before a log.
RATE, RATE_SPREAD = 0.4, 0.68
STEP_MODEL, STEP_WEIGHT = 0.35, 8.0
FACTOR, FACTOR_SPREAD = 0.6, 0.21
STRENGTH, STRENGTH_SPREAD = 1500.0, 0.4
MINUTES = learn.Band(8.0, 8.0 * np.exp(-0.56), 8.0 * np.exp(0.56))


def truth(number: int) -> tuple[list[MadeUpSet], dict[str, float]]:
    """Sets of one season with everything drawn from what is assumed."""
    dice = np.random.default_rng([77, number])
    by_firing, by_day = dice.normal(0.0, learn.BY_FIRING), dice.normal(0.0, learn.BY_DAY)
    factor = FACTOR * np.exp(FACTOR_SPREAD * dice.standard_normal())
    found = {"by_firing": by_firing, "by_day": by_day, "factor": factor}
    made = []
    for k in range(8):
        rate = RATE * np.exp(RATE_SPREAD * dice.standard_normal())
        step = dice.beta(STEP_WEIGHT * STEP_MODEL, STEP_WEIGHT * (1 - STEP_MODEL))
        variance = (learn.WEIGHT - 1) * learn.VISIT_SCATTER**2 / dice.gamma(learn.WEIGHT)
        weight = (learn.VISIT_SCATTER * 2 * 1.6448536 / np.log(MINUTES.high / MINUTES.low)) ** 2
        typical = MINUTES.median * np.exp(np.sqrt(variance / weight) * dice.standard_normal())
        found |= {f"rate {k}": rate, f"step {k}": step, f"minutes {k}": typical}
        made.append(
            MadeUpSet(
                f"S{k}", f"P{k}", "flat", "land", "red_fox", f"T{k}", f"R{k % 2}",
                {"red_fox": MadeUpAnimal(rate, step, fire=0.7, hold=0.9)},
                misfires=0.03, by_firing=by_firing, by_day=by_day,
                anchor=STRENGTH * np.exp(STRENGTH_SPREAD * dice.standard_normal()), loosened=factor,
                minutes=typical, spread=float(np.sqrt(variance)),
            )
        )  # fmt: skip
    return made, found


def learned(made: list[MadeUpSet], number: int) -> Iterator[tuple[str, str, learn.Band]]:
    """Every band that the log of the season gives."""
    events = standing(season(made, BEGIN, 25, number)).events
    waits, _ = read(events)
    prior = RATE * np.exp(RATE_SPREAD * np.random.default_rng(3).standard_normal(20_000))
    by_set = minutes(events)
    for place, one in sites(events, waits).items():
        feet, k = one.feet.get("red_fox"), place.removeprefix("P")
        contacts, refusals = (feet.contacts, feet.refusals) if feet else (0, 0)
        yield "visits", f"rate {k}", learn.gamma_band(*learn.visit_rate(prior, contacts + refusals, one.nights))
        belief = step_update(contacts, contacts + refusals, STEP_MODEL, STEP_WEIGHT)
        yield "step", f"step {k}", learn.beta_band(belief.hits, belief.misses)
        yield "minutes", f"minutes {k}", learn.service(by_set[f"S{k}"], MINUTES).typical
    found = learn.drift(pans(events))
    yield "drift", "by_firing", found.band(0)
    yield "drift", "by_day", found.band(1)
    draws = FACTOR * np.exp(FACTOR_SPREAD * np.random.default_rng(4).standard_normal(1500))
    stories = anchors(events)
    weight = learn.loosening(draws, stories, [(STRENGTH, STRENGTH_SPREAD)] * len(stories))
    yield "loosening", "factor", learn.weighted_band(draws, weight)


def coverage(seasons: int) -> dict[str, tuple[float, int]]:
    """Share of bands that hold the truth, by quantity, and how many bands there were."""
    hits: dict[str, list[bool]] = {}
    for number in range(seasons):
        made, true = truth(number)
        for what, name, band in learned(made, number):
            hits.setdefault(what, []).append(band.low <= true[name] <= band.high)
    return {what: (float(np.mean(found)), len(found)) for what, found in hits.items()}


def test_bands_of_nine_in_ten_hold_the_truth_nine_times_in_ten() -> None:
    for what, (share, number) in coverage(30).items():
        reach = 3.5 * np.sqrt(0.9 * 0.1 / number)
        assert abs(share - 0.9) < max(reach, 0.03), f"{what}: {share:.3f} of {number}"


@pytest.mark.slow
def test_the_same_over_many_seasons() -> None:
    for what, (share, number) in coverage(1200).items():
        assert 0.87 <= share <= 0.93, f"{what}: {share:.3f} of {number}"
