"""check: is he there in time, lawfully?"""

from __future__ import annotations

from datetime import datetime

import numpy as np

from setwright.basis.say import Say
from setwright.basis.source import assumed
from setwright.law.clock import next_limit
from setwright.sets.context import Context, Floats
from setwright.sets.naming import plain_name
from setwright.sets.result import CheckResult, LinkResult, Origin, check_margin, check_unknown

# A check run seldom keeps its minute: half an hour early to an hour late.
LATE = 3600.0
EARLY = -1800.0


def limit_of(context: Context) -> datetime | None:
    """Last lawful moment of the next visit, or None when no interval is known."""
    if context.check.limit is not None:
        return context.check.limit
    if not context.check.interval:
        return None
    return next_limit(context.check.made, context.check.made, context.check.interval)


def check_link(context: Context, held: tuple[float, float] | None = None) -> LinkResult:
    """Hours from the setting to the planned visit, against the last lawful moment.

    `held` are the hours that the target is held before the visit, the median and the 95 % point, when they are known.
    """
    check = context.check
    hours = np.full(context.n, check.hours)
    late: Floats = context.draws.between("late", EARLY, LATE) / 3600.0
    last = limit_of(context)
    origins = (
        Origin("check interval", check.interval_source),
        Origin("lateness of a run", assumed("modelling choice")),
    )
    found: list[CheckResult] = []
    if last is None:
        found.append(
            check_unknown(
                "interval",
                "time",
                Say("no check interval is known here"),
                Say("ask which check interval binds for this set, in calendar days or in hours"),
                origins=origins,
            )
        )
        limit_hours = None
    else:
        limit_hours = (last - check.made).total_seconds() / 3600.0
        found.append(
            check_margin(
                "interval",
                (hours + late) * 3600.0,
                limit_hours * 3600.0,
                "time",
                _when(context, last, held),
                mend=Say("see this set earlier in the run, or shorten the run"),
                origins=origins,
                upper=True,
            )
        )
    if check.daylight_end is not None and check.visit > check.daylight_end:
        found.append(
            check_margin(
                "daylight",
                hours * 3600.0,
                (check.daylight_end - check.made).total_seconds() / 3600.0 * 3600.0,
                "time",
                Say("the run comes here after sunset"),
                mend=Say("start earlier or drop a set"),
                origins=origins,
                upper=True,
            )
        )
    return LinkResult("check", hours, "hours", limit_hours, tuple(found), {})


def _when(context: Context, last: datetime, held: tuple[float, float] | None) -> Say:
    check = context.check
    said = Say(
        "seen {visit:clock}, last lawful moment {last:clock} ({interval:word})",
        visit=check.visit,
        last=last,
        interval=_words(check.interval),
    )
    if held is None or not np.isfinite(held).all():
        return said
    return Say(
        "{said:say}; a {animal:word} caught here is held {half:time}, "
        "in one of twenty catches longer than {long:time}",
        said=said,
        animal=plain_name(context.target),
        half=held[0] * 3600.0,
        long=held[1] * 3600.0,
    )


def _words(interval: str) -> str:
    if interval.startswith("PT"):
        return f"never more than {interval[2:-1]} clock hours"
    days = int(interval[1:-1])
    return "every calendar day" if days == 1 else f"once in {days} calendar days"
