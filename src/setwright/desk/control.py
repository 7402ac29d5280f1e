"""A change as a control of a form."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Control:
    """One change as a control: its name and words, what stands now, what may be chosen (any text where empty)."""

    name: str
    label: str
    now: str
    choices: tuple[tuple[str, str], ...] = ()
    example: str = ""
