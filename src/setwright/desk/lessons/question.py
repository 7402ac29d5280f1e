"""One question of a quiz: a number with its tolerance, or a choice; with the way to the answer."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from setwright.basis.errors import BadInput
from setwright.basis.units import convert, metric, read_number

Given = Mapping[str, float | str]


@dataclass(frozen=True)
class Question:
    """A question made from the model.

    Parameters
    ----------
    kind : str
        What it is about.
    ask : str
        The question, with every figure that it needs.
    worked : str
        The way to the answer, with the answer.
    source : str
        Where the rule and its figures are from.
    answer : float
        The number, in `unit`; NaN for a choice.
    unit : str
        Of the answer, empty for a plain number.
    tolerance : float
        What a hand calculation may be off by, in `unit`.
    choices : tuple of str
        What may be chosen; empty for a number.
    right : int
        Place of the right choice, from 0; -1 for a number.
    figure : str
        Drawing that the question is read from, empty for none.
    given : mapping
        Figures that went into it; those named like a drawing's are said of the drawing.

    """

    kind: str
    ask: str
    worked: str
    source: str
    answer: float = math.nan
    unit: str = ""
    tolerance: float = 0.0
    choices: tuple[str, ...] = ()
    right: int = -1
    figure: str = ""
    given: Given = field(default_factory=dict)

    @property
    def how(self) -> str:
        """What is to be written."""
        if self.choices:
            return "Choose one letter."
        unit = f" in {UNIT_WORDS.get(self.unit, self.unit)}" if self.unit else ""
        return f"Write a number{unit}; right within {self.tolerance:.2g}."

    @property
    def key(self) -> str:
        """The right answer as it is printed in the key."""
        if self.choices:
            return f"{LETTERS[self.right]}. {self.choices[self.right]}"
        return f"{number(self.answer).replace('-', '−')} {self.unit_shown}".rstrip()

    @property
    def unit_shown(self) -> str:
        """The unit as it stands behind a figure."""
        return UNIT_SHOWN.get(self.unit, self.unit)


LETTERS = "abcdefgh"
UNIT_WORDS = {
    "cm": "centimetres", "mm": "millimetres", "N": "newtons", "kg": "kilograms", "kPa": "kilopascals",
    "degC": "°C", "in": "inches", "lbf": "pounds of force", "ms": "milliseconds", "degF": "°F", "%": "percent",
    "deg": "degrees", "psi": "pounds to the square inch", "nights": "trap-nights", "min": "minutes",
}  # fmt: skip
UNIT_SHOWN = {"degC": "°C", "degF": "°F", "lbf": "lb", "deg": "°", "nights": "trap-nights", "psi": "lb/in²"}
Make = Callable[[random.Random], Question]


@dataclass(frozen=True)
class QuestionKind:
    """A kind of question, and what makes one of it."""

    title: str
    make: Make


def number(value: float) -> str:
    """A number to three figures, without useless zeros."""
    return f"{value:.3g}" if abs(value) < 1000 else f"{value:.0f}"


# What a figure is asked in: US unit, metric unit, and what a metric figure is rounded to.
ASKED: Mapping[str, tuple[str, str, float]] = {
    "length": ("in", "cm", 1.0), "height": ("in", "mm", 1.0), "mass": ("lb", "kg", 1.0), "force": ("lbf", "N", 1.0),
    "air": ("degF", "degC", 1.0), "wind": ("mph", "kph", 1.0),
}  # fmt: skip


def unit_of(kind: str) -> str:
    """The unit that a kind of figure is asked in now."""
    us, si, _ = ASKED[kind]
    return si if metric() else us


def asked(value: float, kind: str, step: float | None = None) -> float:
    """A figure drawn in its US unit, as it is asked: itself, or the nearest round one in its metric unit.

    Parameters
    ----------
    value : float
        In the US unit.
    kind : str
        Such as `length`.
    step : float, optional
        What a metric figure is rounded to, in its unit.

    """
    us, si, usual = ASKED[kind]
    if not metric():
        return value
    size = usual if step is None else step
    return round(convert(value, us, si) / size) * size


def chosen(rng: random.Random, right: str, wrong: list[str]) -> tuple[tuple[str, ...], int]:
    """Choices in an order by chance, and the place of the right one."""
    found = [right, *dict.fromkeys(word for word in wrong if word != right)]
    rng.shuffle(found)
    return tuple(found), found.index(right)


@dataclass(frozen=True)
class Mark:
    """How an answer was found: right, wrong or open, and what was read."""

    word: str
    read: str


def mark(question: Question, text: str) -> Mark:
    """Mark one answer; an empty one is open, one that cannot be read is wrong and says why."""
    given = text.strip()
    if not given:
        return Mark("open", "")
    if question.choices:
        return Mark("right" if _letter(question, given) == question.right else "wrong", given)
    try:
        value, unit = read_number(given)
        if unit is not None:
            value = _in_unit(value, unit, question.unit)
    except BadInput as error:
        return Mark("wrong", f"{given}: {error.message}")
    # A hair of slack: an answer on the edge of the tolerance is right.
    near = abs(value - question.answer) <= question.tolerance * (1.0 + 1e-9) + 1e-12
    return Mark("right" if near else "wrong", given)


def _letter(question: Question, given: str) -> int:
    low = given.lower().rstrip(".)")
    if len(low) == 1 and low in LETTERS:
        return LETTERS.index(low)
    return next((place for place, words in enumerate(question.choices) if words.lower() == given.lower()), -1)


def _in_unit(value: float, unit: str, wanted: str) -> float:
    plain = {"%": "percent", "°F": "degF", "°": "deg", "lb": "lbf", "lbs": "lbf", "pounds": "lbf", "nights": "one",
             "trap-nights": "one", "°C": "degC"}  # fmt: skip
    if wanted == "kg":
        # What a weight is worth in water is told in kilograms or in pounds, as a scale has them.
        plain = {**plain, "lb": "lb", "lbs": "lb", "pounds": "lb"}
    if wanted == "nights":
        return value
    first, second = plain.get(unit, unit), plain.get(wanted, wanted) or "one"
    return value if first == second else convert(value, first, second)
