"""The independent checker finds what is wrong in a plan, and nothing in one that is right."""

from __future__ import annotations

import ast
import copy
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from line.run_case import FIRST, as_text, days_of, local, roll_task, scattered, site
from setwright.line import checker
from setwright.line.checker import check_plan
from setwright.line.roll import roll


@pytest.fixture(scope="module")
def plan():
    made = local(FIRST - timedelta(days=1), 15, 30)
    sites = [site(f"s{i}", every, seen=made) for i, every in enumerate(("PT24H", "P1D", "PT48H", "P2D", "PT24H"))]
    task = roll_task(sites, days_of(FIRST, 4), scattered(5, 4))
    return as_text(task, roll(task))


def moved(text, **by):
    return (datetime.fromisoformat(text) + timedelta(**by)).isoformat()


def test_a_right_plan_has_no_fault(plan):
    report = check_plan(plan)
    assert not report.faults
    assert report.visits >= 12 and report.gaps > report.visits and report.ways > report.visits


def test_it_shares_no_code_with_the_solver():
    tree = ast.parse(Path(checker.__file__).read_text(encoding="utf-8"))
    names = {node.module or "" for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    names |= {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
    assert not [name for name in names if name.startswith(("setwright", "pyvrp", "scipy", "numpy"))], names


def broken(plan, change):
    text = copy.deepcopy(plan)
    change(text)
    return {(fault.kind, fault.site) for fault in check_plan(text).faults}


def later(day, place, **by):
    def change(text):
        for stop in text["days"][day]["stops"][place:]:
            stop["begin"], stop["leave"] = moved(stop["begin"], **by), moved(stop["leave"], **by)
        text["days"][day]["back"] = moved(text["days"][day]["back"], **by)

    return change


def test_each_kind_of_fault_is_found(plan):
    first = plan["days"][0]["stops"][0]["site"]
    assert ("way", first) in broken(plan, lambda text: text["ways"]["base"].update({first: 90000.0}))

    def hurry(text):
        text["days"][0]["stops"][0]["leave"] = text["days"][0]["stops"][0]["begin"]

    assert ("service", first) in broken(plan, hurry)
    assert ("end", "") in broken(plan, later(1, 0, hours=11))
    assert ("start", "") in broken(
        plan, lambda text: text["days"][0].update(earliest=moved(plan["days"][0]["start"], hours=1))
    )
    hourly = next(one["site"] for one in plan["sets"] if one["intervals"][0]["every"] == "PT24H")
    assert ("interval", hourly) in broken(plan, later(1, 0, minutes=10)), "ten minutes late under clock hours"
    assert ("nobody", "") in broken(plan, lambda text: text["days"][0].update(who=None))

    def twice(text):
        stops = text["days"][0]["stops"]
        again = {**stops[-1], "begin": stops[-1]["leave"], "leave": moved(stops[-1]["leave"], hours=1)}
        text["days"][0].update(stops=[*stops, again], back=moved(text["days"][0]["back"], hours=1))

    assert "twice" in {kind for kind, _ in broken(plan, twice)}


@pytest.mark.parametrize("number", range(5))
def test_a_set_that_is_left_out_is_found(plan, number):
    name = f"s{number}"

    def change(text):
        for day in text["days"]:
            day["stops"] = [stop for stop in day["stops"] if stop["site"] != name]

    assert ("interval", name) in broken(plan, change)


@pytest.mark.parametrize(
    ("rule", "begin", "good"),
    [
        ({"open": True, "from": "06:00", "to": "12:00"}, "2026-12-08T08:00:00-05:00", True),
        ({"open": True, "from": "06:00", "to": "12:00"}, "2026-12-08T12:10:00-05:00", False),
        ({"open": False, "from": "22:00", "to": "05:00"}, "2026-12-08T04:00:00-05:00", False),
        ({"open": False, "from": "22:00", "to": "05:00"}, "2026-12-08T12:00:00-05:00", True),
        ({"open": True, "from": "sunrise-1h", "to": "sunset+1h"}, "2026-12-08T06:30:00-05:00", True),
        ({"open": True, "from": "sunrise", "to": "sunset"}, "2026-12-08T06:30:00-05:00", False),
    ],
)
def test_hours_of_the_day(rule, begin, good):
    """Sunrise at 36 N, 80 W on 8 December is near 07:15 by the clock."""
    about = {"site": "a", "seen": "2026-12-07T15:30:00-05:00", "service": 60.0, "intervals": [],
             "hours": [{**rule, "citation": "c"}]}  # fmt: skip
    day = {"date": "2026-12-08", "who": "", "earliest": "2026-12-08T03:00:00-05:00",
           "start": "2026-12-08T03:00:00-05:00", "back": moved(begin, hours=1), "end": "2026-12-08T23:00:00-05:00",
           "stops": [{"site": "a", "begin": begin, "leave": moved(begin, minutes=2)}]}  # fmt: skip
    plan = {"zone": "America/New_York", "place": (36.0, -80.0), "sets": [about], "days": [day],
            "ways": {"base": {"a": 60.0}, "a": {"base": 60.0}}, "until": day["back"]}  # fmt: skip
    assert [fault.kind for fault in check_plan(plan).faults] == ([] if good else ["hours"])


def test_a_day_that_begins_at_noon_is_counted_anew():
    about = {"site": "a", "seen": "2026-12-07T11:00:00-05:00", "service": 0.0, "hours": [],
             "intervals": [{"every": "P1D", "citation": "c", "day_start": "12:00"}]}  # fmt: skip
    plan = {"zone": "America/New_York", "place": None, "sets": [about], "days": [], "ways": {},
            "until": "2026-12-08T11:59:00-05:00"}  # fmt: skip
    assert not check_plan(plan).faults
    assert check_plan({**plan, "until": "2026-12-08T12:01:00-05:00"}).faults
