"""A pack of one rule in force on a winter day, and the answer of that rule."""

from __future__ import annotations

from datetime import UTC, date, datetime
from textwrap import dedent, indent

from setwright.basis.verdict import Answer
from setwright.law.answer import Finding, judge
from setwright.law.facts import Fact, Facts
from setwright.law.pack import Pack
from setwright.law.tables import read_pack

ON = date(2026, 12, 8)
INCH, FOOT, LBF = 0.0254, 0.3048, 4.4482216152605
MEETS, BREAKS, DOUBT = Answer.MEETS, Answer.BREAKS, Answer.CANNOT_TELL

HEAD = """\
schema: setwright/law-pack/1
jurisdiction: Testland (invented)
authority: nobody
title: pack of a test
invented: true
effective: {from: 2026-07-01, to: 2027-06-30}
checked_by: a test
checked_on: 2026-08-01
licence_of_file: MIT
"""


def pack_of(*, rules: str = "", more: str = "") -> Pack:
    """Pack whose rules are given as the fields after `id: R`, one rule."""
    text = HEAD + dedent(more)
    if rules:
        body = indent(dedent(rules).strip(), "    ")
        text += (
            "rules:\n  - id: R\n    topic: other\n    text: rule\n    citation: test\n    confidence: seen\n"
            + body
            + "\n"
        )
    return read_pack(text, file="test.yaml")


def facts(**values: object) -> Facts:
    """Facts from plain values; a double underscore stands for the colon of a family of features."""
    found = {}
    for name, value in values.items():
        key = name.replace("__", ":").replace("_", "-") if "__" in name else name
        found[key] = value if isinstance(value, Fact) else Fact(value)
    return Facts(found)


def finding(pack: Pack, known: Facts, *, on: date = ON, species: str = "coyote", rule: str = "R") -> Finding | None:
    """Finding of one rule, None when it does not apply."""
    return next((item for item in judge(pack, known, on=on, species=species) if item.rule == rule), None)


def answer(pack: Pack, known: Facts, *, on: date = ON, species: str = "coyote") -> Answer | None:
    """Answer of the rule `R`, None when it does not apply."""
    found = finding(pack, known, on=on, species=species)
    return None if found is None else found.answer


def at(day: int, hour: float, month: int = 12) -> datetime:
    """Moment of December 2026 in UTC."""
    return datetime(2026, month, day, int(hour), round(hour % 1 * 60), tzinfo=UTC)
