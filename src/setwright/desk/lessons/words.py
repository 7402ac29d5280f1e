"""All words of a lesson that a student reads, one part a line, to judge how hard they are."""

from __future__ import annotations

from setwright.desk.lessons.model import Lesson


def student_text(lesson: Lesson) -> str:
    """Running text and everything of the head that is read out or printed; sources are left out."""
    head = lesson.head
    found = [head.title, *head.aim, head.live.ask, head.live.learn, *(block.words for block in lesson.body)]
    for station in head.stations:
        found += [station.name, *station.steps, station.caution]
    for belief in head.beliefs:
        found += [belief.believed, belief.fact]
    for check in head.check:
        found += [check.ask, check.answer]
    found += head.cautions
    return "\n".join(part for part in found if part)
