"""Speed of law, allotment and check run on made-up lines of stated size."""

from __future__ import annotations

import time
from datetime import UTC, date, datetime, timedelta

import numpy as np
from figure import Figure
from timing import seconds

from setwright.basis.say import Say
from setwright.law.answer import judge
from setwright.law.clock import parse_interval
from setwright.law.facts import Fact, Facts
from setwright.law.pack import Pack
from setwright.law.tables import shipped_pack
from setwright.line.allot import Pair, Stock, allot
from setwright.line.dayorder import DayTask, exact, searched
from setwright.line.lawbook import Every
from setwright.line.roll import RollTask, RunSite, roll
from setwright.line.rundays import RunDay

FIRST = date(2026, 12, 8)


def _law() -> float:
    """300 sets against 60 rules."""
    orrin = shipped_pack("orrin")
    rules = [rule.model_copy(update={"id": f"{rule.id}-{k}"}) for k in range(3) for rule in orrin.rules]
    pack: Pack = orrin.model_copy(update={"rules": rules[:60]})
    made = datetime(2026, 12, 8, 15, tzinfo=UTC)
    facts = Facts(
        {
            "device": Fact("foothold"), "family": Fact("coil"), "medium": Fact("land"), "set_type": Fact("flat"),
            "jaw_spread": Fact(0.13, 0.129, 0.131, "inside_dog_across_pan"), "submersion": Fact(False),
            "offset": Fact(True), "toothed": Fact(False), "pan_trip_force": Fact(10.0), "swivel_count": Fact(2.0),
            "made": Fact(made), "next_visit": Fact(made + timedelta(hours=18)), "traps_out": Fact(18.0),
            "land_tenure": Fact("private"), "permission": Fact(True), "tag_name": Fact(True),
        }
    )  # fmt: skip
    return seconds(lambda: [judge(pack, facts, on=FIRST, species="coyote") for _ in range(300)], 3)


def _allotment() -> float:
    """100 sites, 40 traps, tackle, bench hours."""
    random = np.random.default_rng(1)
    pairs = [
        Pair(
            site, kind, float(random.random()), float(random.random() * 0.1), float(random.integers(0, 3) * 10),
            {f"anchor {random.integers(0, 4)}": 1, f"chain {random.integers(0, 3)}": 1},
            None if random.random() < 0.8 else Say("a gate"),
        )
        for site in range(100)
        for kind in range(40)
    ]  # fmt: skip
    tackle = {**{f"anchor {k}": 12 for k in range(4)}, **{f"chain {k}": 15 for k in range(3)}}
    return seconds(lambda: allot(pairs, Stock((1,) * 40, tackle, 200.0, 38), 100), 1)


def made(count: int, seed: int = 3) -> RollTask:
    """A line whose sets are seen in clock hours and calendar days, over 14 days; a long one not all on each day."""
    random = np.random.default_rng(seed)
    places = random.random((count + 1, 2)) * 3000.0
    ways = np.ceil(np.linalg.norm(places[:, None] - places[None], axis=2) / 2.0)
    often = ("P1D", "PT24H", "PT48H"), ("P3D", "PT72H", "PT96H"), ("P6D", "PT144H", "PT168H")
    every = often[0 if count <= 60 else 1 if count <= 150 else 2]
    start = datetime(2026, 12, 8, 5, tzinfo=UTC).timestamp()
    long = 8.0 * 3600.0
    days = [
        RunDay(FIRST + timedelta(days=k), "", start + 86400.0 * k, start + 7200.0 + 86400.0 * k,
               start + 7200.0 + long + 86400.0 * k, None, "")
        for k in range(14)
    ]  # fmt: skip
    sites = [
        RunSite(f"s{k}", (Every(parse_interval(every[k % 3]), "bench"),), (), start - 12 * 3600.0, 240.0, 60.0)
        for k in range(count)
    ]
    return RollTask(sites, days, ways, UTC, lambda day, _: (day.earliest, day.end))


def _gap() -> float:
    """Worst gap of the search to the proved best order of twelve stops, over eight lines."""
    worst = 0.0
    for seed in range(8):
        random = np.random.default_rng(seed)
        places = random.random((13, 2)) * 3000.0
        ways = np.ceil(np.linalg.norm(places[:, None] - places[None], axis=2))
        free, none = np.full(12, np.inf), np.full(12, -np.inf)
        task = DayTask(ways, np.full(12, 300.0), none, free, 0.0, 1e6, free)
        best, found = exact(task), searched(task, seed=1)
        if best is not None and found is not None:
            worst = max(worst, found.back / best.back - 1.0)
    return worst


def figures() -> list[Figure]:
    """Figures of law, allotment and check run."""
    found = [
        Figure("law: 300 sets × 60 rules", _law(), "s", most=0.5),
        Figure("allotment: 100 sites × 40 traps", _allotment(), "s", most=5.0, digits=1),
        Figure("order of 12 stops, searched above proved", 100.0 * _gap(), "%", most=1.0),
    ]
    took = {}
    for count, most in ((60, 30.0), (150, None), (300, 300.0)):
        begun = time.perf_counter()
        task = made(count)
        missed = sum(len(day.missed) for day in roll(task).days)
        took[count] = time.perf_counter() - begun
        name = f"check run: {count} sets × 14 days"
        found.append(Figure(name, took[count], "s", most=most, note=f"{missed} missed", digits=1))
    growth = np.log(took[300] / took[60]) / np.log(5.0)
    found.append(Figure("check run: time grows as sets to the power of", float(growth), digits=1))
    return found
