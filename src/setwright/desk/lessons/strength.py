"""Which traps of the box a student can set: force at levers, setters and feet against his own strength."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from setwright.basis.spread import Draws
from setwright.desk.bench_figures import Bed, drawn, numbers
from setwright.desk.bench_pick import pattern
from setwright.desk.bench_rows import in_words
from setwright.line.book import TrapEntry, expand, read_book
from setwright.line.outfit import trap_rig
from setwright.sets.mechanics import priors_of, readings_of
from setwright.sets.model import TrapRig
from setwright.trap import tables as trap_tables
from setwright.trap.calibrate import calibrate
from setwright.trap.setting import ANSWERS, can_set

DRAWS, SEED = 200, 20
# An answer is given where so many of the draws agree; all else is `cannot tell`.
AGREED = 0.9
WAYS = ("by hand", "with setters", "by foot")


@dataclass(frozen=True)
class BoxTrap:
    """A trap of the box and who can set it.

    Parameters
    ----------
    tag, title : str
        Tag or pattern, and its name for people.
    hand, setters, feet : str
        Force asked for, with its band, in words.
    ways : tuple of str
        Ways in which this student can surely set it; empty: not this trap.
    answers : tuple of str
        Answer for each of `WAYS`: can, cannot, cannot tell.

    """

    tag: str
    title: str
    hand: str
    setters: str
    feet: str
    ways: tuple[str, ...]
    answers: tuple[str, ...]


def box(
    student: tuple[float, float] | None, *, book: Path | None = None, draws: int = DRAWS, seed: int = SEED
) -> list[BoxTrap]:
    """Every trap of the book's outfit, one of a kind, or every pattern, lightest at the lever first.

    Parameters
    ----------
    student : tuple of float, optional
        What he presses with one hand [N] and weighs [kg]; NaN where it is not said. Without one nothing is advised.
    book : Path, optional
        Line book whose outfit is the box.
    draws, seed : int
        Number and seed of the draws.

    """
    entries = _of_book(book) if book is not None else [(key, *_parts(key)) for key in trap_tables.patterns()]
    found = [_one(tag, rig, entry, student, Draws(draws, seed, "bench")) for tag, rig, entry in entries]
    return [one for _, one in sorted(found, key=lambda pair: (np.isnan(pair[0]), pair[0], pair[1].tag))]


def _parts(key: str) -> tuple[TrapRig, TrapEntry]:
    picked = pattern(key)
    return picked.rig, picked.entry


def _of_book(path: Path) -> list[tuple[str, TrapRig, TrapEntry]]:
    book, _ = read_book(path)
    return [
        (names[0], trap_rig(book.patterns, entry, names[0]), entry)
        for entry in book.outfit.traps
        for names in [expand(entry.id, entry.count)]
    ]


def _one(
    tag: str, rig: TrapRig, entry: TrapEntry, student: tuple[float, float] | None, shared: Draws
) -> tuple[float, BoxTrap]:
    known = rig.knowledge
    posterior = calibrate(known.base, priors_of(known), readings_of(known)).posterior
    found = numbers(drawn(posterior, posterior.unknowns, rig, shared), rig, entry, Bed(), shared)
    needed = found.setting
    force, mass = student if student is not None else (np.nan, np.nan)
    told = can_set(
        needed, strength=force, body_mass=mass, doubt=0.0,
        foot_share=trap_tables.working().number("setting", "foot_share"),
    )  # fmt: skip
    answers = tuple(_agreed(codes) for codes in (told.hand, told.setters, told.foot))
    ways = tuple(way for way, word in zip(WAYS, answers, strict=True) if word == "can")
    title = rig.label if tag in trap_tables.patterns() else f"{tag}: {rig.label}"
    hand, setters, feet = (in_words(part, "force") for part in (needed.hand, needed.setters, needed.together))
    return float(np.nanmedian(needed.hand)), BoxTrap(tag, title, hand, setters, feet, ways, answers)


def _agreed(codes: NDArray[np.int_]) -> str:
    kinds, counts = np.unique(codes, return_counts=True)
    return ANSWERS[int(kinds[np.argmax(counts)])] if counts.max() / counts.sum() >= AGREED else ANSWERS[0]
