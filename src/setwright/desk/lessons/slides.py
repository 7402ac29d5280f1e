"""A lesson cut into slides: a head and what belongs to it, never two drawings at once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from setwright.desk.lessons.markdown import Block
from setwright.desk.lessons.model import Lesson

Kind = Literal["title", "text", "live", "station", "belief", "check"]


@dataclass(frozen=True)
class Slide:
    """One slide.

    Parameters
    ----------
    kind : str
        What it shows.
    blocks : tuple of Block
        Running text, for `text`.
    place : int
        Which station, belief or question, from 0.

    """

    kind: Kind
    blocks: tuple[Block, ...] = ()
    place: int = 0


def slides_of(lesson: Lesson) -> list[Slide]:
    """All slides of a lesson in order: aim, text, live question, stations, beliefs, questions."""
    head = lesson.head
    found = [Slide("title"), *(Slide("text", part) for part in _parts(lesson.body)), Slide("live")]
    found += [Slide("station", place=place) for place in range(len(head.stations))]
    found += [Slide("belief", place=place) for place in range(len(head.beliefs))]
    return [*found, *(Slide("check", place=place) for place in range(len(head.check)))]


def _parts(body: tuple[Block, ...]) -> list[tuple[Block, ...]]:
    found: list[list[Block]] = []
    held: list[Block] = []
    heading: Block | None = None
    for block in body:
        if block.kind == "heading":
            found.append(held)
            heading, held = block, [block]
            continue
        if block.kind == "figure" and any(one.kind == "figure" for one in held):
            found.append(held)
            held = [] if heading is None else [heading]
        held.append(block)
    found.append(held)
    # A head alone is no slide; its text follows at once.
    return [tuple(part) for part in found if any(one.kind != "heading" for one in part)]
