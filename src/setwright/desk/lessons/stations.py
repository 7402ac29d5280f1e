"""Practice: how many stations, helpers and things a class of so many needs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from setwright.basis.errors import BadInput
from setwright.desk.lessons.model import Kit, Lesson, Station

MOST = 200
# Hands at levers for each pair of eyes that watches them: common practice.
WATCHED = 4


@dataclass(frozen=True)
class StationPlan:
    """One kind of station, how many of it, and what lies on each.

    Parameters
    ----------
    station : Station
        As the lesson has it.
    number : int
        How many of it.
    kit : tuple of (int, str)
        How many of what, over all of them.

    """

    station: Station
    number: int
    kit: tuple[tuple[int, str], ...]


@dataclass(frozen=True)
class Practice:
    """What a class needs for a lesson.

    Parameters
    ----------
    students, helpers : int
        In the class, and who knows the traps and watches hands, the teacher among them.
    stations : tuple of StationPlan
        In order.
    kit : tuple of (int, str)
        Everything together; the class goes from one kind of station to the next, so a thing serves at all of them.

    """

    students: int
    helpers: int
    stations: tuple[StationPlan, ...]
    kit: tuple[tuple[int, str], ...]


def practice(lesson: Lesson, students: int) -> Practice:
    """Stations and kit of a lesson for a class.

    Raises
    ------
    BadInput
        For a class of none, or of more than one teacher could follow.

    """
    if not 1 <= students <= MOST:
        raise BadInput("not the size of a class", field="students", found=students, allowed=f"1 to {MOST}")
    plans = [_plan(station, students) for station in lesson.head.stations]
    total: dict[str, int] = {}
    for plan in plans:
        for number, what in plan.kit:
            total[what] = max(total.get(what, 0), number)
    return Practice(
        students, math.ceil(students / WATCHED), tuple(plans), tuple((number, what) for what, number in total.items())
    )  # fmt: skip


def whole_course(lessons: Sequence[Lesson], students: int) -> tuple[tuple[int, str], ...]:
    """Everything that a course of these lessons needs, when they are held one after the other."""
    most: dict[str, int] = {}
    for lesson in lessons:
        for number, what in practice(lesson, students).kit:
            most[what] = max(most.get(what, 0), number)
    return tuple((number, what) for what, number in most.items())


def _plan(station: Station, students: int) -> StationPlan:
    number = math.ceil(students / station.students)
    return StationPlan(station, number, tuple((_count(kit, students, number), kit.what) for kit in station.kit))


def _count(kit: Kit, students: int, stations: int) -> int:
    if kit.one_for is not None:
        return math.ceil(students / kit.one_for)
    return kit.in_all if kit.in_all is not None else (kit.a_station or 0) * stations
