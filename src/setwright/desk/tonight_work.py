"""The evening's work: what can be done at every set, and the choice of it that fits before dark."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

import numpy as np

from setwright.basis.verdict import Answer, Standing
from setwright.desk import tonight_document as doc
from setwright.desk.tonight_set import SetFound
from setwright.desk.wording import render, sentence
from setwright.line.assemble import Job
from setwright.line.evening import Choice, Task, best_evening
from setwright.line.laid import speeds_of
from setwright.sets.naming import cover_name
from setwright.water.cures import Change
from setwright.water.reset import Act
from setwright.weather.sun import legal_light

# Minutes at the set (assumed).
COVER, PAN, PULL = 12.0, 15.0, 5.0
CURE = {Change.CHAIN: 10.0, Change.STOP: 10.0, Change.BANK: 5.0, Change.CABLE: 15.0, Change.STAKE: 20.0}
HOW = (
    "Chosen exactly: first the sets that must not stand as they are, then most sets kept, then least time; in the "
    "order of the check run or backwards, the way there and home counted. Minutes at a set are assumed."
)


def work_of(
    job: Job, found: Sequence[SetFound], sets: Sequence[doc.EveningSet], minutes: float | None
) -> doc.EveningWork:
    """Choose the work; what can be done at a set is put into its own part as well."""
    by_key = {one.site: one for one in sets}
    legs = {leg.place.key: (rank, leg.place) for rank, leg in enumerate(job.legs)}
    tasks: list[tuple[SetFound, list[doc.WorkPart]]] = []
    for one in sorted(found, key=lambda one: legs[one.context.site.key][0]):
        ways = ways_of(one)
        by_key[one.context.site.key].work = ways
        if ways:
            tasks.append((one, ways))
    made = found[0].context.check.made
    light = None if job.day.sun is None else legal_light(job.day.sun).end
    left = minutes
    if left is None and light is not None:
        left = max((light - made).total_seconds() / 60.0, 0.0)
    if left is None:
        return doc.EveningWork(
            minutes_left=None, until=None, minutes=0.0, saved=0, musts=0, stops=[],
            left_out=[_left(one, ways[0]) for one, ways in tasks],
            how="How long it stays light is not known here: say the minutes left.",
        )  # fmt: skip
    asked = [
        Task(legs[one.context.site.key][1], tuple(Choice(60.0 * way.minutes, way.must, way.saves) for way in ways))
        for one, ways in tasks
    ]
    best = best_evening(asked, job.base or (0.0, 0.0), speeds_of(job.book), 60.0 * left)
    stops = []
    for (place, number), done in zip(best.taken, best.done_at, strict=True):
        one, ways = tasks[place]
        stops.append(
            doc.WorkStop(
                number=one.context.site.number, name=one.context.site.name, what=ways[number].what,
                minutes=ways[number].minutes, must=ways[number].must, saves=ways[number].saves,
                done=(made + timedelta(seconds=done)).isoformat(timespec="minutes"),
            )
        )  # fmt: skip
    gone = {place for place, _ in best.taken}
    return doc.EveningWork(
        minutes_left=round(left, 1), until=(made + timedelta(minutes=left)).isoformat(timespec="minutes"),
        minutes=round(best.seconds / 60.0, 1), saved=best.saved, musts=best.musts, stops=stops, how=HOW,
        left_out=[_left(one, ways[0]) for place, (one, ways) in enumerate(tasks) if place not in gone],
    )  # fmt: skip


def _left(one: SetFound, way: doc.WorkPart) -> str:
    must = "must not stand: " if way.must else ""
    return f"{one.context.site.number} {one.context.site.name}: {must}{way.what[0].lower()}{way.what[1:].rstrip('.')}"


def ways_of(found: SetFound) -> list[doc.WorkPart]:
    """What can be done at a set this evening, the way that keeps it first; empty where there is nothing to do."""
    if found.lawful is Answer.BREAKS:
        return [_taken_up("as described it breaks the law pack")]
    return _in_water(found) if found.water is not None else _on_land(found)


def _taken_up(why: str) -> doc.WorkPart:
    return doc.WorkPart(
        what=f"Take it up: {why}.", minutes=PULL, then="no set stands there", must=True, saves=False
    )  # fmt: skip


def _on_land(found: SetFound) -> list[doc.WorkPart]:
    if found.cover is None or found.cover.check.standing is not Standing.SOUND:
        return []
    lost = float(np.median(found.cover.lost))
    words = f"Lift the cover and bed it in {cover_name(found.cover.key)}."
    return [doc.WorkPart(what=words, minutes=COVER, then=f"fires; {lost:.0f} h lost")]


def _in_water(found: SetFound) -> list[doc.WorkPart]:
    water = found.water
    assert water is not None
    must = water.under is Answer.BREAKS
    # Another hole is another set: no work of an evening.
    cure = next((cure for cure in water.cures if Change.HOLE not in cure.changes), None)
    parts, minutes, then = [], 0.0, []
    if cure is not None:
        parts.append(render(cure.say))
        minutes += sum(CURE[change] for change in cure.changes)
        then.append(f"holds under in {100 * cure.under.share:.0f} of 100 waits")
    if water.deeper is not None:
        parts.append(render(water.deeper))
        minutes += PAN
        then.append("under the ice that may grow")
    elif water.advice.act is Act.RESET:
        parts.append(render(water.advice.say).removeprefix("re-set: "))
        minutes += PAN
        then.append("in the foot's window")
    ways = []
    if parts and (cure is not None or not must):
        words = sentence(", and ".join(parts))
        ways.append(doc.WorkPart(what=words, minutes=minutes, then=", ".join(then), must=must))
    if must:
        ways.append(_taken_up("it does not hold under, and is not made to by an evening's work" if cure is None
                              else "it does not hold under"))  # fmt: skip
    return ways
