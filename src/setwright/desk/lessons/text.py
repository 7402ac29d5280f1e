"""The running text of a lesson as plain lines, for the terminal."""

from __future__ import annotations

from setwright.desk.lessons.markdown import Block, Span
from setwright.desk.lessons.model import Lesson


def plain_lines(lesson: Lesson) -> list[str]:
    """Lines of the running text; drawings stand by their name."""
    found: list[str] = []
    for block in lesson.body:
        found += _lines(block)
    return found


def words_of(spans: tuple[Span, ...]) -> str:
    """The words alone."""
    return "".join(span.text for span in spans)


def _lines(block: Block) -> list[str]:
    words = words_of(block.spans)
    if block.kind == "heading":
        return ["", words]
    if block.kind == "figure":
        given = "&".join(f"{name}={value}" for name, value in block.given.items())
        return [f"[drawing {block.figure}{f'?{given}' if given else ''}: {words}]"]
    if block.kind == "list":
        return [f"- {words_of(row[0])}" for row in block.rows]
    if block.kind == "steps":
        return [f"{place}. {words_of(row[0])}" for place, row in enumerate(block.rows, start=1)]
    if block.kind == "table":
        return [" | ".join(words_of(cell) for cell in row) for row in block.rows]
    return [f"> {words}" if block.kind == "quote" else words]
