"""Whether a set is still worth its minutes: animals expected over the next nights against the time that they cost."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from setwright.desk.document import Plan, SetPlan
from setwright.desk.run_document import RunDocument

NIGHTS = 3


@dataclass(frozen=True, slots=True)
class Worth:
    """One set over the coming nights.

    Parameters
    ----------
    site : str
        Id of the site.
    number : int
        Its number.
    name : str
        Its name.
    visits : int
        Visits in those nights.
    expected : tuple of float or None
        Targets held over those nights: median, low and high end of the band.
    minutes : float
        At the set, over all visits; the way there is shared by all and left out.
    an_hour : float or None
        Targets for an hour at the set.

    """

    site: str
    number: int
    name: str
    visits: int
    expected: tuple[float | None, float | None, float | None]
    minutes: float
    an_hour: float | None


def worth(plan: Plan, run: RunDocument, nights: int = NIGHTS) -> list[Worth]:
    """Every set over the coming nights, the least worth first; those of which nothing can be told come last.

    Parameters
    ----------
    plan : Plan
        Sets as planned; the chance that the target is held in one wait is taken for each of the coming waits.
    run : RunDocument
        Minutes at each set, and when it is seen.
    nights : int
        How many nights.
    """
    minutes = {one.site: one.service / 60.0 for one in run.sets}
    visits = _visits(run, nights)
    found = [_of(part, visits.get(part.site.id, nights), minutes[part.site.id])
             for part in plan.sets if part.site.id in minutes]  # fmt: skip
    return sorted(found, key=lambda one: (one.an_hour is None, one.an_hour or 0.0, one.number))


def _visits(run: RunDocument, nights: int) -> Mapping[str, int]:
    """Visits in so many nights, from the days that the run shows."""
    seen: dict[str, int] = {}
    for day in run.days:
        for stop in day.stops:
            seen[stop.site] = seen.get(stop.site, 0) + 1
    return {site: max(round(count * nights / len(run.days)), 1) for site, count in seen.items()}


def _of(part: SetPlan, visits: int, service: float) -> Worth:
    held = next((one.held for one in part.outcome if one.species == part.site.target), (None, None, None))
    low, middle, high = (None if value is None else visits * value for value in (held[1], held[0], held[2]))
    spent = visits * service
    an_hour = None if middle is None or spent <= 0.0 else middle / (spent / 60.0)
    return Worth(part.site.id, part.site.number, part.site.name, visits, (middle, low, high), spent, an_hour)
