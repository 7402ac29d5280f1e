"""A lesson in another language: everything a student reads passes through a catalogue, paragraph by paragraph.

Words in a voice of their own (bold, italic, a link) stand as `<1>…</1>` within the message of their paragraph.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from pydantic import BaseModel

from setwright.desk.lessons.markdown import Block, Span
from setwright.desk.lessons.model import Lesson
from setwright.sheets.speech import placeholders

Put = Callable[[str], str]
# Fields of the head that are read, not looked up; sources are named as they are.
READ = frozenset(
    ("title", "aim", "ask", "label", "words", "learn", "steps", "what", "caution", "believed", "fact", "answer",
     "cautions")
)  # fmt: skip
# Only a station's name is read: that of a lesson is how it is called.
_NAMED = "Station"
_HELD = re.compile(r"<(\d+)>(.*?)</\1>", re.DOTALL)


def spoken_lesson(lesson: Lesson, put: Put) -> Lesson:
    """The lesson with its words put into a language; `put` may only listen.

    Parameters
    ----------
    lesson : Lesson
        As it was read.
    put : callable
        Takes a message, gives it in the language with the same placeholders; with others it is not used.
    """
    head = _part(lesson.head, put)
    return replace(lesson, head=head, body=tuple(_block(one, put) for one in lesson.body))


def _part(part: Any, put: Put) -> Any:
    changed = {name: _value(part, name, getattr(part, name), put) for name in type(part).model_fields}
    return part.model_copy(update=changed)


def _value(part: BaseModel, name: str, value: Any, put: Put) -> Any:
    if isinstance(value, BaseModel):
        return _part(value, put)
    if isinstance(value, list):
        return [_value(part, name, one, put) for one in value]
    read = name in READ or (name == "name" and type(part).__name__ == _NAMED)
    return put(value) if read and isinstance(value, str) and value else value


def _block(block: Block, put: Put) -> Block:
    rows = tuple(tuple(_spans(cell, put) for cell in row) for row in block.rows)
    return replace(block, spans=_spans(block.spans, put), rows=rows)


def _spans(spans: tuple[Span, ...], put: Put) -> tuple[Span, ...]:
    """Words of one paragraph in the language, each in the voice that it had."""
    if not spans:
        return spans
    voices = [span for span in spans if _voiced(span)]
    message = "".join(
        f"<{voices.index(span) + 1}>{span.text}</{voices.index(span) + 1}>" if _voiced(span) else span.text
        for span in spans
    )
    told = put(message)
    if told == message or placeholders(told) != placeholders(message):
        return spans
    found: list[Span] = []
    at = 0
    for held in _HELD.finditer(told):
        found += [Span(told[at : held.start()])] if held.start() > at else []
        found.append(replace(voices[int(held[1]) - 1], text=held[2]))
        at = held.end()
    return tuple([*found, Span(told[at:])] if at < len(told) else found)


def _voiced(span: Span) -> bool:
    return span.strong or span.em or span.code or bool(span.link)


def lesson_messages(lessons: list[Lesson]) -> list[str]:
    """Every message of lessons, once each and in order."""
    heard: dict[str, None] = {}

    def listen(words: str) -> str:
        heard[words] = None
        return words

    for one in lessons:
        spoken_lesson(one, listen)
    return list(heard)
