"""Speed of one set: a changed rig evaluated anew, the designer, and how soon the bands settle."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from pathlib import Path

import numpy as np
from figure import Figure
from timing import seconds

from setwright.desk.demo import write_demo
from setwright.desk.plan import read_job
from setwright.sets.designer import design
from setwright.sets.evaluate import evaluate
from setwright.sets.retune import other_forces, with_force

SITES = ("ridge", "orchard", "dam")


def what_if(book: Path, draws: int = 1000) -> float:
    """Median time of one changed set on a warm process: another trip force or another trap, all links anew, s."""
    job = read_job(book, draws=draws)
    times = []
    for key in SITES:
        context, rig = job.contexts[key], job.stated[key]
        evaluate(context, rig, job.person)
        forces = [with_force(rig.trap, force) for force in other_forces(context, rig.trap)]
        for trap in (*forces, *job.options.traps[:8]):
            changed = replace(rig, trap=trap)
            times.append(seconds(partial(evaluate, context, changed, job.person), 1))
    return float(np.median(times))


def designer(book: Path, draws: int = 300) -> tuple[float, int, int]:
    """Longest time of the designer over the sites, s, with all combinations and the traps that it searched."""
    job = read_job(book, draws=draws)
    longest, possible = 0.0, 0
    for key in SITES:
        search = partial(design, job.contexts[key], job.options, job.stated[key], job.person)
        found = search()
        taken = seconds(search, 1)
        longest, possible = max(longest, taken), max(possible, found.possible)
    return longest, possible, len(job.options.traps)


def settling(book: Path, fewer: int = 1000, more: int = 8000) -> tuple[float, float]:
    """Greatest move of a median and of an end of a band, in waits of a hundred, from fewer to more draws."""
    ends = []
    for draws in (fewer, more):
        job = read_job(book, draws=draws)
        found = [evaluate(job.contexts[key], job.stated[key], job.person).held for key in SITES]
        ends.append([np.quantile(held, (0.05, 0.5, 0.95)) for held in found])
    moved = 100.0 * np.abs(np.array(ends[0]) - np.array(ends[1]))
    return float(moved[:, 1].max()), float(moved[:, (0, 2)].max())


def figures(folder: Path) -> list[Figure]:
    """Figures of one set."""
    book = write_demo(folder)
    taken, possible, traps = designer(book)
    middle, end = settling(book)
    return [
        Figure("one set changed, 1,000 draws, warm", 1000.0 * what_if(book), "ms", most=100.0, digits=0),
        Figure("designer", taken, "s", most=3.0, note=f"{traps} traps, {possible:,} combinations"),
        Figure("1,000 to 8,000 draws: medians move", middle, "in 100 waits", most=1.0),
        Figure("1,000 to 8,000 draws: ends of bands move", end, "in 100 waits", most=1.0),
    ]
