"""A value and where it came from, carried together from the table to the screen."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum


class Kind(StrEnum):
    """How a value came to be known."""

    MEASURED = "measured"
    TABLE = "table"
    PRACTICE = "common practice"
    ASSUMED = "assumed"
    COMPUTED = "computed"


# Words of a source that say no more than its kind does.
SAME = {Kind.PRACTICE: ("common practice", "trade practice")}


@dataclass(frozen=True, slots=True)
class Source:
    """Origin of a value: its kind, the document or reading, and how sure that is."""

    kind: Kind
    text: str = ""
    confidence: str = ""

    def __str__(self) -> str:
        parts = [str(self.kind)]
        if self.text and self.text not in SAME.get(self.kind, (str(self.kind),)):
            parts.append(self.text)
        shown = ": ".join(parts)
        if self.confidence and self.confidence not in (str(self.kind), self.text):
            shown += f" ({self.confidence})"
        return shown


ASSUMED = Source(Kind.ASSUMED)
COMPUTED = Source(Kind.COMPUTED)


def assumed(text: str) -> Source:
    """Source of a modelling choice, with the reason in a few words."""
    return Source(Kind.ASSUMED, text)


@dataclass(frozen=True, slots=True)
class Quantity:
    """A scalar in SI (temperatures in °C) with its 5 % and 95 % points and its source.

    `value` is None when the quantity is unknown; `text` holds values that are words.
    `low` and `high` are None when no spread is stated (the value is then taken as exact).
    """

    value: float | None
    unit: str
    source: Source = ASSUMED
    low: float | None = None
    high: float | None = None
    text: str | None = None

    @property
    def known(self) -> bool:
        """True when a number or a word is there."""
        return self.value is not None or self.text is not None

    @property
    def number(self) -> float:
        """The number; raises ValueError when it is unknown."""
        if self.value is None:
            raise ValueError("an unknown quantity has no number")
        return self.value

    def with_spread(self, fraction: float) -> Quantity:
        """Return a copy with a symmetric 90 % spread of `fraction` of the value, if none is stated."""
        if self.value is None or self.low is not None or self.high is not None:
            return self
        half = abs(self.value) * fraction
        return replace(self, low=self.value - half, high=self.value + half)


def unknown(unit: str, question: str) -> Quantity:
    """An unknown quantity; `question` says what has to be measured or asked."""
    return Quantity(None, unit, Source(Kind.ASSUMED, question, "unknown"))
