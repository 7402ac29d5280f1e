"""Questions on the check clock and on honest numbers."""

from __future__ import annotations

import datetime as dt
import random
from zoneinfo import ZoneInfo

import numpy as np

from setwright.desk.lessons.question import Question, QuestionKind, chosen, number
from setwright.desk.wording import clock
from setwright.law.clock import next_limit
from setwright.log.effort import corrected
from setwright.log.rates import none_seen

# A zone that changes its clocks, for the night with 25 hours; the place is nowhere.
ZONE = ZoneInfo("America/New_York")
AUTUMN = dt.date(2026, 10, 31)
TIMES = "\N{MULTIPLICATION SIGN}"


def check_day(rng: random.Random) -> Question:
    """The last moment under a rule by calendar days."""
    visit = _visit(rng, dt.date(2026, 11, 9) + dt.timedelta(days=rng.randrange(5)))
    limit = next_limit(visit, visit, "P1D")
    day = dt.timedelta(days=1)
    wrong = [visit + day, limit - day, visit + 2 * day, limit - dt.timedelta(hours=12)]
    choices, place = chosen(rng, clock(limit), [clock(one) for one in wrong])
    return Question(
        "check-day",
        f"The rule says: a visit every calendar day. You saw the set on {clock(visit)}. When is the last moment "
        "for the next "
        "visit?",
        f"The next day counts as a whole, so it ends at midnight: {clock(limit)}. Kind to the animal is sooner: "
        "see it each "
        "morning, whatever the rule allows.",
        "reading of a rule by calendar days; the local rule and its words come first",
        choices=choices, right=place, given={"visit": visit.isoformat()},
    )  # fmt: skip


def check_hours(rng: random.Random) -> Question:
    """The last moment under a rule by clock hours, once in a while over a change of clocks."""
    change = rng.random() < 0.5
    visit = _visit(rng, AUTUMN if change else dt.date(2026, 11, 10))
    limit = next_limit(visit, visit, "PT24H")
    naive = (visit + dt.timedelta(days=1)).replace(tzinfo=ZONE)
    hour = dt.timedelta(hours=1)
    wrong = [naive, naive + hour, naive - hour, naive.replace(hour=0, minute=0) + dt.timedelta(days=1)]
    choices, place = chosen(rng, clock(limit), [clock(one) for one in wrong])
    night = " In that night the clocks go back one hour." if change else ""
    why = "The night has 25 hours, so the same clock time is an hour too late. " if change else ""
    return Question(
        "check-hours",
        f"The rule says: never more than 24 hours between visits. You saw the set on {clock(visit)}.{night} When "
        "is the last "
        "moment for the next visit?",
        f"{why}24 hours on is {clock(limit)}. Each late start makes the next one later still: start early.",
        "counted hours over a change of clocks; the local rule and its words come first",
        choices=choices, right=place, given={"visit": visit.isoformat()},
    )  # fmt: skip


def _visit(rng: random.Random, day: dt.date) -> dt.datetime:
    return dt.datetime.combine(day, dt.time(rng.randrange(6, 17), rng.choice((0, 10, 20, 40))), ZONE)


def none(rng: random.Random) -> Question:
    """What a clean record leaves open."""
    nights = rng.choice((40, 60, 100, 150, 200, 300, 500, 800))
    upper = 100.0 * float(none_seen(nights))
    return Question(
        "none-seen",
        f"In {nights} trap-nights no dog was caught. The true rate may still be higher than nought. Up to how many "
        "dogs in 100 "
        "trap-nights does the record leave open, 19 times in 20? (Quick rule: 300 over the nights.)",
        f"Exact: 100 {TIMES} (1 − 0.05^(1/{nights})) = {number(upper)}. The quick rule gives "
        f"{number(300.0 / nights)}. No dog so "
        "far is not no dog ever.",
        "Hanley & Lippman-Hand (1983), the rule of three; from memory, and derived",
        answer=upper, unit="", tolerance=max(0.06 * upper, 0.05), given={"nights": nights},
    )  # fmt: skip


def nights_corrected(rng: random.Random) -> Question:
    """What a sprung trap takes off the effort."""
    traps, nights = rng.randrange(8, 25), rng.choice((5, 6, 7, 10))
    fired = rng.randrange(4, traps * nights // 3)
    count = traps * nights
    found = corrected(np.ones(count), np.arange(count) < fired, np.full(count, np.nan))
    return Question(
        "nights-corrected",
        f"{traps} traps stood for {nights} nights and were seen each day. {fired} times a trap lay sprung, with a "
        "catch or "
        "empty. Take half a night off for each of them. How many trap-nights did you really fish?",
        f"{traps} {TIMES} {nights} = {count}. Less {fired} {TIMES} ½ = {fired / 2:g}. Left: {found:g}.",
        "Nelson & Clark (1973), as used in public research scripts (secondary)",
        answer=found, unit="nights", tolerance=0.5, given={"traps": traps, "nights": nights, "fired": fired},
    )  # fmt: skip


def catch_rate(rng: random.Random) -> Question:
    """Catch for effort that was really spent."""
    nights, fired = rng.choice((80, 120, 160, 200, 240)), rng.randrange(10, 41, 2)
    catch = rng.randrange(4, 10)
    effort = corrected(np.ones(nights), np.arange(nights) < fired, np.full(nights, np.nan))
    rate = 100.0 * catch / effort
    return Question(
        "catch-rate",
        f"{catch} animals in {nights} trap-nights; {fired} of the traps lay sprung at a check, the catches among "
        "them. Half a "
        "night is taken off for each. How many animals in 100 trap-nights is that?",
        f"{nights} − {fired}/2 = {number(effort)} nights; 100 {TIMES} {catch}/{number(effort)} = {number(rate)}. "
        "Say the nights and "
        "the catch with it: a rate alone proves nothing.",
        "Nelson & Clark (1973), as used in public research scripts (secondary)",
        answer=rate, unit="", tolerance=0.15, given={"nights": nights, "fired": fired, "catch": catch},
    )  # fmt: skip


KINDS = {
    "check-day": QuestionKind("a visit each calendar day", check_day),
    "check-hours": QuestionKind("24 clock hours", check_hours),
    "none-seen": QuestionKind("none seen so far", none),
    "nights-corrected": QuestionKind("nights really fished", nights_corrected),
    "catch-rate": QuestionKind("catch for effort", catch_rate),
}
