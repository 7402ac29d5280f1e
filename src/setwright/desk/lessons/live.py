"""The live question: change one thing, get one picture and three numbers, for the demo line or an own book."""

from __future__ import annotations

import datetime as dt
import math
import threading
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from setwright.basis.errors import BadInput
from setwright.desk import document as doc
from setwright.desk.bench import sheet
from setwright.desk.bench_document import BenchSheet
from setwright.desk.bench_figures import KEYS
from setwright.desk.bench_pick import Picked, pick
from setwright.desk.bench_rows import KIND
from setwright.desk.demo import demo_book
from setwright.desk.lessons.live_figures import CLOCK_FIGURES, NIGHTS_FIGURES, set_figure
from setwright.desk.lessons.model import Live
from setwright.desk.plan import read_job, set_of
from setwright.desk.set_whatif import STEPS, compared
from setwright.desk.wording import clock, with_band
from setwright.law.clock import next_limit
from setwright.line.assemble import Job, PlannedSet, plan_site
from setwright.log.rates import none_seen
from setwright.trap import tables as trap_tables

DRAWS, SEED = 200, 20
# A day and a place in time for the question on the clock; any would do.
DAY = dt.datetime(2026, 11, 9, tzinfo=dt.UTC)
LEAST = 0.01
COMPARING = "For comparing: these figures are not those of your trap until you read it on the bench."


@dataclass(frozen=True)
class Number:
    """One of the three numbers, as it stands and after the change."""

    label: str
    before: str
    after: str


@dataclass(frozen=True)
class Picture:
    """A drawing by name, and what is said of it."""

    name: str
    given: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class LiveAnswer:
    """The answer to a live question.

    `value` is what was chosen, empty for as it stands; `about` names the trap or the set; `note` how far figures go.
    """

    ask: str
    label: str
    value: str
    words: str
    about: str
    numbers: tuple[Number, ...]
    picture: Picture | None
    learn: str
    note: str


class LessonDesk:
    """What a lesson may ask: traps by pattern or tag, sets of the book, or of the demo line where there is none.

    Parameters
    ----------
    book : Path, optional
        Line book of the instructor.
    draws, seed : int
        Number and seed of the draws.

    """

    def __init__(self, book: Path | None = None, *, draws: int = DRAWS, seed: int = SEED) -> None:
        self.own, self.book, self.draws, self.seed = book is not None, book or demo_book(), draws, seed
        # Pages are answered side by side; a trap or a set is worked out by one of them at a time.
        self.lock = threading.RLock()
        self._demo: LessonDesk | None = None
        self._job: Job | None = None
        self._planned: dict[str, PlannedSet] = {}
        self._sheets: dict[tuple[str, str, bool], BenchSheet] = {}

    @property
    def job(self) -> Job:
        """The book, read once."""
        if self._job is None:
            self._job = read_job(self.book, draws=self.draws, seed=self.seed)
        return self._job

    def picked(self, trap: str) -> Picked:
        """A trap by pattern, or by tag of the book."""
        return pick(trap) if trap in trap_tables.patterns() else pick(trap, self.book)

    def trap(self, trap: str, change: str = "", *, drawn: bool = False) -> BenchSheet:
        """The bench sheet of a trap, as if something had been changed on it."""
        key = (trap, change, drawn)
        if key not in self._sheets:
            step = 0.0005 if drawn else None
            self._sheets[key] = sheet(
                self.picked(trap), assume=change, drawn_too=drawn, frame_step=step, draws=self.draws, seed=self.seed
            )  # fmt: skip
        return self._sheets[key]

    def at(self, wanted: str, medium: str) -> tuple[LessonDesk, str]:
        """The site that a lesson names; else the first of the same medium in the book, else that of the demo line.

        Raises
        ------
        BadInput
            When there is none of the three.

        """
        facts = self.job.sites
        if any(one.key == wanted for one in facts):
            return self, wanted
        found = next((one.key for one in facts if medium and one.medium == medium), None)
        if found is not None:
            return self, found
        if not self.own:
            raise BadInput("no such site", found=wanted, allowed=", ".join(one.key for one in facts))
        if self._demo is None:
            self._demo = LessonDesk(draws=self.draws, seed=self.seed)
        return self._demo.at(wanted, medium)

    def _plan(self, site: str) -> PlannedSet:
        if site not in self._planned:
            facts = next(one for one in self.job.sites if one.key == site)
            self._planned[site] = plan_site(self.job, facts, self.job.stated.get(site), deep=False)
        return self._planned[site]

    def set(self, site: str, change: Mapping[str, str] | None = None) -> doc.SetPlan:
        """A set as it stands, or with one thing changed on it.

        Raises
        ------
        BadInput
            When no trap of the outfit is left for the site, or the change cannot be made.

        """
        planned = self._plan(site)
        if planned.result is None:
            raise BadInput("no trap of the outfit is left for this site", file=self.book, found=site)
        if not change:
            return set_of(self.job, planned)
        return compared(self.job, planned.context, planned.result, change).after


def answer(desk: LessonDesk, live: Live, value: str = "") -> LiveAnswer:
    """Answer a live question.

    Parameters
    ----------
    desk : LessonDesk
        What is asked.
    live : Live
        The question.
    value : str
        What is chosen; any value that the change allows, not only those offered. Empty: as it stands.

    Raises
    ------
    BadInput
        When the change cannot be made.

    """
    value = value.strip()
    with desk.lock:
        return _answer(desk, live, value)


def _answer(desk: LessonDesk, live: Live, value: str) -> LiveAnswer:
    words = next((one.words or one.value for one in live.choices if one.value == value), value)
    before, after, about, given, note = _TOOLS[live.tool](desk, live, value)
    numbers = tuple(Number(label, first, second) for (label, first), (_, second) in zip(before, after, strict=True))
    return LiveAnswer(
        live.ask, live.label or live.change.replace("_", " "), value, words, about, numbers,
        Picture(live.picture, given) if live.picture else None, live.learn, note,
    )  # fmt: skip


def every(desk: LessonDesk, live: Live) -> list[LiveAnswer]:
    """The answer to every choice that is offered, as it is printed."""
    return [answer(desk, live, one.value) for one in live.choices]


Rows = list[tuple[str, str]]
Found = tuple[Rows, Rows, str, dict[str, str], str]


def _trap(desk: LessonDesk, live: Live, value: str) -> Found:
    trap = value if live.change == "trap" and value else live.trap
    change = f"{live.change}={value}" if value and live.change != "trap" else ""
    first, second = desk.trap(live.trap), desk.trap(trap, change)
    rows = [[(told.figures[key].label, _figure(told, key)) for key in live.figures] for told in (first, second)]
    given = {"trap": trap} | ({"change": change} if change else {})
    comparing = any(second.figures[key].standing == "comparative" for key in live.figures)
    note = COMPARING if comparing else ""
    return rows[0], rows[1], second.title, given, note


def _figure(told: BenchSheet, key: str) -> str:
    """A figure of the bench sheet in words."""
    found, factor = told.figures[key], next(factor for name, _, _, factor, _ in KEYS if name == key)
    if found.median is None or found.low is None or found.high is None:
        return found.note or "cannot tell"
    return with_band(found.median / factor, found.low / factor, found.high / factor, KIND[key])


def _set(desk: LessonDesk, live: Live, value: str) -> Found:
    if live.change not in STEPS:
        raise BadInput("no such change", field="live.change", found=live.change, allowed=", ".join(STEPS))
    asked, site = desk.at(live.site, live.medium)
    first = asked.set(site)
    second = asked.set(site, {live.change: value}) if value else first
    rows = []
    for part in (first, second):
        found = [set_figure(part, name) for name in live.figures]
        rows.append([(one.label, one.shown) for one in found])
    about = f"{first.site.name}, {first.site.set_type} for {first.site.target_name.lower()}"
    given = {"site": site} | ({"change": f"{live.change}={value}"} if value else {})
    whose = "your line book" if asked.own else "the invented demo line"
    if asked.job.book.line.invented:
        whose = "an invented line"
    if desk.own and not asked.own:
        whose += f": your book has no site on {live.medium}"
    return rows[0], rows[1], about, given, f"Computed for {whose}; chances rank, they promise nothing."


def _clock(desk: LessonDesk, live: Live, value: str) -> Found:
    del desk
    first, second = live.choices[0].value, value or live.choices[0].value
    rows = []
    for time in (first, second):
        told = check_clock(time)
        rows.append([(CLOCK_FIGURES[name], told[name]) for name in live.figures])
    note = "The rule of your place says which of the two holds. Ask, and write down where it stands."
    return rows[0], rows[1], f"last seen on a Monday at {second}", {"visit": second}, note


def clock_limits(time: str) -> tuple[dt.datetime, dt.datetime, dt.datetime]:
    """A visit on a Monday at a time of day, and the last moment for the next by calendar days and by 24 hours.

    Raises
    ------
    BadInput
        When it is no time of day.

    """
    try:
        hour = dt.time.fromisoformat(time)
    except ValueError:
        raise BadInput("not a time of day", field="visit", found=time, allowed="such as 07:00") from None
    visit = DAY.replace(hour=hour.hour, minute=hour.minute)
    return visit, next_limit(visit, visit, "P1D"), next_limit(visit, visit, "PT24H")


def check_clock(time: str) -> dict[str, str]:
    """Last lawful moments after a visit on a Monday, in words."""
    _, day, hours = clock_limits(time)
    apart = (day - hours).total_seconds() / 3600.0
    return {"day-limit": clock(day), "hours-limit": clock(hours), "apart": f"{apart:.1f} h"}


def _nights(desk: LessonDesk, live: Live, value: str) -> Found:
    del desk
    first, second = live.choices[0].value, value or live.choices[0].value
    rows = [[(NIGHTS_FIGURES[name], nights_told(text)[name]) for name in live.figures] for text in (first, second)]
    note = "19 times in 20 the true share lies below that limit. It is no promise for the next night."
    return rows[0], rows[1], f"{second} trap-nights, no dog", {"nights": second}, note


def upper_of(text: str) -> tuple[int, float]:
    """A number of trap-nights without a dog, and how many in 100 it leaves open.

    Raises
    ------
    BadInput
        When it is no number of nights.

    """
    if not text.isdecimal() or not 1 <= int(text) <= 100_000:
        raise BadInput("not a number of nights", field="nights", found=text, allowed="1 to 100000")
    return int(text), 100.0 * float(none_seen(int(text)))


def nights_told(text: str) -> dict[str, str]:
    """What so many trap-nights without a dog leave open, in words."""
    nights, upper = upper_of(text)
    wanted = math.ceil(math.log(0.05) / math.log(1.0 - LEAST))
    return {
        "upper": f"up to {upper:.2g}",
        "thirds": f"{300.0 / nights:.2g}",
        "wanted": f"{wanted}",
    }


_TOOLS: Mapping[str, Callable[[LessonDesk, Live, str], Found]] = {
    "trap": _trap,
    "set": _set,
    "clock": _clock,
    "nights": _nights,
}
