"""An independent look at a plan of checks: it takes the plan as text and shares no code with what made it.

Only the standard library is used here, and astral for the sun; intervals, hours and clocks are read anew.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

# Seconds are rounded in the plan; the sun is good to a minute or two.
ROUNDING = 2.0
SUN = 180.0


@dataclass(frozen=True)
class Fault:
    """One thing that the plan does not keep: what, where, by how much [s]."""

    kind: str
    site: str
    day: str
    text: str
    by: float


@dataclass(frozen=True)
class Report:
    """Faults, and how many things were looked at."""

    faults: tuple[Fault, ...]
    visits: int
    gaps: int
    ways: int


def check_plan(plan: Mapping[str, Any]) -> Report:
    """Look a plan over.

    Parameters
    ----------
    plan : mapping
        The document of `setwright run --json`: `zone`, `place`, `sets`, `ways`, `days`.

    Returns
    -------
    Report
        Without faults when every gap, hour, way and day is kept.

    """
    zone = ZoneInfo(plan["zone"])
    faults: list[Fault] = []
    ways = 0
    visits: dict[str, list[datetime]] = {one["site"]: [_moment(one["seen"])] for one in plan["sets"]}
    by_site = {one["site"]: one for one in plan["sets"]}
    for day in plan["days"]:
        found, count = _day(day, plan, by_site, zone)
        faults += found
        ways += count
        for stop in day["stops"]:
            visits[stop["site"]].append(_moment(stop["begin"]))
    gaps = 0
    end = _moment(plan["until"])
    for site, seen in visits.items():
        found, count = _gaps(by_site[site], seen, end, zone)
        faults += found
        gaps += count
    return Report(tuple(faults), sum(len(seen) - 1 for seen in visits.values()), gaps, ways)


def _moment(text: str) -> datetime:
    return datetime.fromisoformat(text).astimezone(UTC)


def _day(
    day: Mapping[str, Any], plan: Mapping[str, Any], sets: Mapping[str, Any], zone: ZoneInfo
) -> tuple[list[Fault], int]:
    """Ways, hours and the ends of one day."""
    faults: list[Fault] = []
    name = day["date"]
    if not day["stops"]:
        return faults, 0
    at, clock = "base", _moment(day["start"])
    late = (_moment(day["earliest"]) - clock).total_seconds()
    if late > ROUNDING:
        faults.append(Fault("start", "", name, "leaves before he can", late))
    if day["who"] is None:
        faults.append(Fault("nobody", "", name, "stops on a day on which nobody goes", 0.0))
    for stop in day["stops"]:
        begin, leave = _moment(stop["begin"]), _moment(stop["leave"])
        short = plan["ways"][at][stop["site"]] - (begin - clock).total_seconds()
        if short > ROUNDING:
            faults.append(Fault("way", stop["site"], name, f"cannot be there from {at}", short))
        hurried = sets[stop["site"]]["service"] - (leave - begin).total_seconds()
        if hurried > ROUNDING:
            faults.append(Fault("service", stop["site"], name, "less time than the set needs", hurried))
        faults += _hours(stop, sets[stop["site"]], name, plan, zone)
        at, clock = stop["site"], leave
    back = _moment(day["back"])
    short = plan["ways"][at]["base"] - (back - clock).total_seconds()
    if short > ROUNDING:
        faults.append(Fault("way", "", name, f"cannot be back from {at}", short))
    over = (back - _moment(day["end"])).total_seconds()
    if over > ROUNDING:
        faults.append(Fault("end", "", name, "back after the end of the day", over))
    twice = {one["site"] for one in day["stops"] if [s["site"] for s in day["stops"]].count(one["site"]) > 1}
    faults += [Fault("twice", site, name, "seen twice on one day", 0.0) for site in sorted(twice)]
    return faults, len(day["stops"]) + 1


def _hours(
    stop: Mapping[str, Any], about: Mapping[str, Any], name: str, plan: Mapping[str, Any], zone: ZoneInfo
) -> list[Fault]:
    faults = []
    begin = _moment(stop["begin"])
    for rule in about["hours"]:
        day = date.fromisoformat(name)
        start, end = (_clock(rule[side], day, plan, zone) for side in ("from", "to"))
        inside = start <= begin <= end if start <= end else begin >= start or begin <= end
        near = min(abs((begin - edge).total_seconds()) for edge in (start, end))
        tolerance = SUN if "sun" in rule["from"] + rule["to"] else ROUNDING
        if inside is not rule["open"] and near > tolerance:
            words = f"not in the hours {rule['from']} to {rule['to']}" if rule["open"] else "in hours that are closed"
            faults.append(Fault("hours", stop["site"], name, words, near))
    return faults


def _clock(text: str, day: date, plan: Mapping[str, Any], zone: ZoneInfo) -> datetime:
    match = re.fullmatch(r"(sunrise|sunset)(?:([+-]\d+(?:\.\d+)?)h)?", text.replace(" ", ""))
    if match is None:
        return datetime.combine(day, time.fromisoformat(text), zone).astimezone(UTC)
    from astral import Observer
    from astral.sun import sunrise, sunset

    observer = Observer(*plan["place"])
    found = (sunrise if match[1] == "sunrise" else sunset)(observer, date=day, tzinfo=zone)
    return (found + timedelta(hours=float(match[2] or 0.0))).astimezone(UTC)


def _gaps(
    about: Mapping[str, Any], seen: Sequence[datetime], end: datetime, zone: ZoneInfo
) -> tuple[list[Fault], int]:
    """Every gap between visits, and the one that is open at the end of the plan, against every interval."""
    faults = []
    count = 0
    for place, (before, after) in enumerate(zip(seen, [*seen[1:], end], strict=True)):
        last = place == len(seen) - 1
        if last and after <= before:
            continue
        for rule in about["intervals"]:
            count += 1
            over = _over(rule, before, after, zone)
            if over > ROUNDING:
                words = "not seen again within" if last else "seen later than"
                faults.append(
                    Fault(
                        "interval", about["site"], after.astimezone(zone).date().isoformat(),
                        f"{words} {rule['every']} ({rule['citation']})", over,
                    )
                )  # fmt: skip
    return faults, count


def _over(rule: Mapping[str, Any], before: datetime, after: datetime, zone: ZoneInfo) -> float:
    """Seconds by which a gap passes an interval."""
    hours = re.fullmatch(r"PT(\d+(?:\.\d+)?)H", rule["every"])
    if hours is not None:
        return (after - before).total_seconds() - 3600.0 * float(hours[1])
    days = re.fullmatch(r"P(\d+)D", rule["every"])
    assert days is not None, rule["every"]
    begins = time.fromisoformat(rule["day_start"] or "00:00")
    first, second = (_counted(moment.astimezone(zone), begins) for moment in (before, after))
    return 86400.0 * max(0, (second - first).days - int(days[1]))


def _counted(moment: datetime, begins: time) -> date:
    """The calendar day that a moment belongs to, when days begin at `begins`."""
    return moment.date() - timedelta(days=1) if moment.time() < begins else moment.date()
