"""What was looked at on a trap that came in, as it is written in the line book."""

from __future__ import annotations

import datetime as dt
from typing import Literal

from setwright.basis.fields import Length
from setwright.line.part import Part


class LookedEntry(Part):
    """How a trap was found by eye and hand; what is left out was not looked at.

    `play`: by how much an end of a jaw can be moved in its hole.
    """

    date: dt.date | None = None
    frame: Literal["straight", "bent", "cracked"] | None = None
    jaws: Literal["straight", "bent", "cracked"] | None = None
    ends: Literal["sound", "worn", "cracked"] | None = None
    rivets: Literal["tight", "loose", "missing"] | None = None
    springs: Literal["alike", "unlike", "broken"] | None = None
    dog: Literal["square", "rounded", "bent"] | None = None
    notch: Literal["square", "rounded"] | None = None
    pan: Literal["level", "high", "low"] | None = None
    swivels: Literal["turn", "stiff", "seized"] | None = None
    rust: Literal["light", "pitted"] | None = None
    play: Length | None = None
