"""Which sets of a check run are in trouble, the worst first: seen too late, nearly so, or likely so."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from setwright.desk.run_document import RunDayDoc, RunDocument, RunStopDoc
from setwright.desk.wording import clock, hours

# Nearer to the limit than this, or late on more days than this, a visit is told.
NEAR, OFTEN = 2 * 3600.0, 0.01


@dataclass(frozen=True, slots=True)
class RedSet:
    """A set in trouble on a day.

    Parameters
    ----------
    day : str
        Date.
    site : str
        Id of the site.
    number : int
        Its number.
    name : str
        Its name.
    word : {"too late", "near the limit", "often late"}
        What is wrong.
    why : str
        In one line.
    mend : str
        What to do.

    """

    day: str
    site: str
    number: int
    name: str
    word: str
    why: str
    mend: str


def red_list(found: RunDocument) -> list[RedSet]:
    """The sets of a run that are seen too late, near their limit, or late on many days; worst first."""
    sets = {one.site: one for one in found.sets}
    late, near = [], []
    for day in found.days:
        for site in day.missed:
            one = sets[site]
            clause = "; ".join(dict.fromkeys(each.citation for each in one.intervals)) or "no clause"
            pull = "pull it before that day" if site in found.bears.pull else "start sooner, or let somebody stand in"
            late.append(
                RedSet(day.date, site, one.number, one.name, "too late", f"No order of the day keeps it: {clause}.",
                       f"{pull[0].upper()}{pull[1:]}.")
            )  # fmt: skip
        near += [red for stop in day.stops if (red := _near(day, stop)) is not None]
    return [*late, *near]


def _near(day: RunDayDoc, stop: RunStopDoc) -> RedSet | None:
    def red(word: str, why: str, mend: str) -> RedSet:
        return RedSet(day.date, stop.site, stop.number, stop.name, word, why, mend)

    latest = ""
    if stop.latest_start is not None:
        latest = f"Leave by {clock(datetime.fromisoformat(stop.latest_start))} at the latest."
    if stop.limit is not None and stop.left is not None and stop.left < NEAR:
        limit = clock(datetime.fromisoformat(stop.limit))
        return red("near the limit", f"Only {hours(stop.left / 3600.0)} are left before {limit}.", latest)
    if stop.late_chance > OFTEN:
        share = f"{100.0 * stop.late_chance:.0f}"
        return red("often late", f"Too late on {share} of 100 such days: catches and remakes take time.", latest)
    return None
