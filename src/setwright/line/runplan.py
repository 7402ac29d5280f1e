"""From a line made ready to a plan of checks: what binds each set, how long each stop takes, the days, the order."""

from __future__ import annotations

import zlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import UTC, date, timedelta
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from setwright.basis.errors import BadInput
from setwright.law.clock import parse_interval
from setwright.line.assemble import Job
from setwright.line.dayorder import SEED
from setwright.line.laid import landings_of, speeds_of, spots_of
from setwright.line.lawbook import PRACTICE, Duties, Every, duties_of, person_facts_of
from setwright.line.roll import Rolled, RollTask, RunSite, roll
from setwright.line.rundays import RunDay, hours_open, run_days
from setwright.line.together import small_enough, together
from setwright.line.ways import Network, network
from setwright.sets.evaluate import SetResult, evaluate
from setwright.sets.model import SiteFacts
from setwright.sets.outcome import NOTHING

# Minutes beside the plain look, where the book says nothing (common practice), and their spread.
CATCH, REMAKE, SETTING = 720.0, 480.0, 1500.0
SPREAD = 0.25
LONGEST = 370
DRAWS = 4000


@dataclass(frozen=True)
class StopTime:
    """Time at a set: the plain look, chances of a catch and of a sprung trap, and what they add [s]."""

    look: float
    caught: float
    sprung: float
    catch: float
    remake: float
    spread: float

    @property
    def mean(self) -> float:
        """Mean [s]."""
        return self.look + self.caught * self.catch + self.sprung * self.remake

    @property
    def deviation(self) -> float:
        """Standard deviation [s]."""
        chances = ((self.caught, self.catch), (self.sprung, self.remake))
        return float(np.sqrt((self.spread * self.look) ** 2 + sum(p * (1 - p) * t**2 for p, t in chances)))

    def draw(self, name: str, count: int, seed: int) -> NDArray[np.float64]:
        """Draws of the time, shape (count,) [s]; a look never takes less than a fifth of its time."""
        random = np.random.default_rng([seed, zlib.crc32(name.encode())])
        look = self.look * np.maximum(0.2, 1.0 + self.spread * random.standard_normal(count))
        which = random.random(count)
        extra = np.where(which < self.caught, self.catch, 0.0)
        extra = np.where((which >= self.caught) & (which < self.caught + self.sprung), self.remake, extra)
        return np.asarray(look + extra)


@dataclass(frozen=True)
class RunPlan:
    """The plan of checks with all that it rests on."""

    job: Job
    sites: tuple[SiteFacts, ...]
    duties: Mapping[str, Duties]
    alive: Mapping[str, bool]
    times: Mapping[str, StopTime]
    standing: Mapping[str, str]
    ways: Network
    days: tuple[RunDay, ...]
    task: RollTask
    rolled: Rolled
    shown: int

    @property
    def setting(self) -> list[float]:
        """Time to make each set [s]."""
        stated = self.job.book.ways.minutes.set
        return [SETTING if stated is None else stated.number] * len(self.sites)


def run_plan(
    job: Job,
    first: date,
    count: int,
    *,
    seed: int = SEED,
    iterations: int | None = None,
    progress: Callable[[str], None] | None = None,
) -> RunPlan:
    """Plan the checks of a line.

    Parameters
    ----------
    job : Job
        The line made ready.
    first : date
        First day that is asked for.
    count : int
        Number of days that are asked for.
    seed, iterations : int
        Of the search for the order.
    progress : callable, optional
        Called with each day.

    Raises
    ------
    BadInput
        When the day lies before the sets are made or too far off, or a site cannot be reached.

    """
    book = job.book
    begins = book.line.date + timedelta(days=1)
    ahead = (first - begins).days
    if ahead < 0 or ahead + count > LONGEST:
        last = begins + timedelta(days=LONGEST - 1)
        raise BadInput(
            "the day lies outside what can be planned", field="--day", found=first.isoformat(),
            allowed=f"{begins.isoformat()} (the day after the sets are made) to {last.isoformat()}",
        )  # fmt: skip
    # A book may list sites that stay empty: only sets that stand, or whose trap is still to be chosen, are visited.
    sites = job.sites
    alive = {leg.place.key: leg.place.restraining for leg in job.legs}
    duties = {site.key: _duties(job, site, alive[site.key]) for site in sites}
    results = {key: evaluate(job.contexts[key], rig, job.person) for key, rig in job.stated.items()}
    times = {site.key: time_at(job, site, results.get(site.key)) for site in sites}
    standing = {key: result.standing.value for key, result in results.items()}
    places = [next(leg.place for leg in job.legs if leg.place.key == site.key) for site in sites]
    ways = network(book.ways, places, landings_of(book), spots_of(book, job.base), speeds_of(book))
    days = run_days(book, begins, ahead + count, job.base)
    task = RollTask(
        [
            RunSite(
                site.key, duties[site.key].intervals, duties[site.key].hours, _seen(job, site),
                times[site.key].mean, times[site.key].deviation,
            )
            for site in sites
        ],
        days, ways.seconds, book.line.zone, lambda day, hours: hours_open(day, hours, book), seed, iterations,
    )  # fmt: skip
    _agents(job, duties)
    rolled = roll(task, progress)
    if small_enough(task):
        rolled = together(task, rolled)
    return RunPlan(job, sites, duties, alive, times, standing, ways, tuple(days), task, rolled, ahead)


def _duties(job: Job, site: SiteFacts, alive: bool) -> Duties:
    made = job.contexts[site.key].check.made
    found = duties_of(
        job.packs, made, submersion=not alive, medium=site.medium, target=site.target,
        stated={**person_facts_of(job.book), **site.law_facts},
    )  # fmt: skip
    if job.book.law.interval is not None:
        own = Every(parse_interval(job.book.law.interval), "line book")
        return Duties((own,), found.hours, found.agent_in_a_row, found.agent_written)
    if not found.intervals and alive:
        daily = Every(parse_interval("P1D"), PRACTICE.text)
        return Duties((daily,), found.hours, found.agent_in_a_row, found.agent_written)
    return found


def _seen(job: Job, site: SiteFacts) -> float:
    stated = site.law_facts.get("last_visit")
    moment = None if stated is None else stated.moment
    return (moment or job.contexts[site.key].check.made).astimezone(UTC).timestamp()


def time_at(job: Job, site: SiteFacts, result: SetResult | None) -> StopTime:
    """Time at a set from the minutes of the book and, where the rig is stated, from what its chain says."""
    minutes = job.book.ways.minutes
    look = next(leg.place.service for leg in job.legs if leg.place.key == site.key)
    catch = CATCH if minutes.catch is None else minutes.catch.number
    remake = REMAKE if minutes.remake is None else minutes.remake.number
    spread = SPREAD if minutes.spread is None else minutes.spread.number
    if result is None:
        return StopTime(look, 0.0, 0.0, catch, remake, spread)
    species = job.contexts[site.key].species
    caught = min(1.0, sum(float(np.mean(one.held)) for key, one in result.outcome.items() if key in species))
    fired = sum(float(np.mean(one.first)) for key, one in result.outcome.items() if key != NOTHING)
    return StopTime(look, caught, max(0.0, min(1.0, fired) - caught), catch, remake, spread)


def _agents(job: Job, duties: Mapping[str, Duties]) -> None:
    """Refuse days of an agent that the rules of visiting do not allow: without a writing, or too many in a row."""
    for index, agent in enumerate(job.book.ways.agents):
        days = sorted(agent.days)
        row = longest = 1
        for before, after in pairwise(days):
            row = row + 1 if (after - before).days == 1 else 1
            longest = max(longest, row)
        for site, duty in duties.items():
            if duty.agent_in_a_row is not None and longest > duty.agent_in_a_row:
                raise BadInput(
                    f"{agent.name} goes on {longest} days in a row; the rules of {site} allow {duty.agent_in_a_row}",
                    field=f"ways.agents.{index}.days", found=", ".join(day.isoformat() for day in days),
                    allowed=f"at most {duty.agent_in_a_row} in a row",
                )  # fmt: skip
            if duty.agent_written and agent.written is not True:
                raise BadInput(
                    f"{agent.name} needs a written permission for {site}", field=f"ways.agents.{index}.written",
                    found=agent.written, allowed="written: true, when it is",
                )  # fmt: skip
