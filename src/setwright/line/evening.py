"""The least work that saves most sets in the minutes left before dark."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from setwright.line.run import Place, travel_times


@dataclass(frozen=True)
class Choice:
    """One way to deal with a set: `seconds` of work; `must` settles what law or welfare ask, `saves` keeps a set."""

    seconds: float
    must: bool = False
    saves: bool = True


@dataclass(frozen=True)
class Task:
    """A set that wants work this evening, and the choices there; at most one of them is taken."""

    place: Place
    choices: tuple[Choice, ...]


@dataclass(frozen=True)
class Evening:
    """Tasks and choices taken, by index and in the order of the way, with seconds from the start when each is done.

    `seconds` is the whole time, the way back included; `musts` and `saved` count what was settled and what was kept.
    """

    taken: tuple[tuple[int, int], ...]
    done_at: tuple[float, ...]
    seconds: float
    musts: int
    saved: int


def best_evening(
    tasks: Sequence[Task], base: tuple[float, float], speeds: Mapping[str, float], seconds: float
) -> Evening:
    """Most that fits between now and dark: first what law and welfare ask for, then sets kept, then least time.

    Parameters
    ----------
    tasks : sequence of Task
        In the order in which one comes by them, as on the check run; they are done in that order or backwards.
    base : tuple of float
        Where one starts and ends, latitude and longitude.
    speeds : mapping
        Speed by way of access [m/s].
    seconds : float
        Time until dark [s].

    Returns
    -------
    Evening
        Exact among all choices that keep the order of the way, either way round; another order may be shorter.

    Notes
    -----
    A table of least times: to have taken a choice at task i last, with so many musts and so many sets kept until
    then, from every earlier task. It grows with the square of the number of tasks times both counts.

    """
    count = len(tasks)
    if count == 0:
        return Evening((), (), 0.0, 0, 0)
    times = travel_times(base, [task.place for task in tasks], dict(speeds))
    ways = (range(count), range(count - 1, -1, -1))
    found = [_best(tasks, times, seconds, list(way)) for way in ways]
    return max(found, key=lambda one: (one.musts, one.saved, -one.seconds))


@dataclass(frozen=True, eq=False)
class _Table:
    """Least time, earlier task and choice taken, by task, musts and sets kept."""

    least: NDArray[np.float64]
    before: NDArray[np.intp]
    choice: NDArray[np.intp]


def _best(tasks: Sequence[Task], times: NDArray[np.float64], seconds: float, way: list[int]) -> Evening:
    musts = sum(any(choice.must for choice in task.choices) for task in tasks)
    shape = (len(tasks), musts + 1, len(tasks) + 1)
    table = _Table(np.full(shape, np.inf), np.full(shape, -1, dtype=np.intp), np.full(shape, -1, dtype=np.intp))
    for rank, here in enumerate(way):
        for number, choice in enumerate(tasks[here].choices):
            a, b = int(choice.must), int(choice.saves)
            start = np.full(shape[1:], np.inf)
            start[0, 0] = times[0, here + 1]
            for earlier, reached in [(-1, start)] + [
                (j, table.least[j] + times[j + 1, here + 1]) for j in way[:rank]
            ]:
                moved = np.full(shape[1:], np.inf)
                moved[a:, b:] = reached[: shape[1] - a, : shape[2] - b] + choice.seconds
                better = moved < table.least[here]
                table.least[here][better] = moved[better]
                table.before[here][better] = earlier
                table.choice[here][better] = number
    home = table.least + times[1:, 0][:, None, None]
    best = Evening((), (), 0.0, 0, 0)
    for here, done, saved in np.argwhere(home <= seconds).tolist():
        total = float(home[here, done, saved])
        if (done, saved, -total) > (best.musts, best.saved, -best.seconds):
            taken, at = _traced(tasks, table, here, done, saved)
            best = Evening(taken, at, total, done, saved)
    return best


def _traced(
    tasks: Sequence[Task], table: _Table, here: int, musts: int, saved: int
) -> tuple[tuple[tuple[int, int], ...], tuple[float, ...]]:
    taken: list[tuple[int, int]] = []
    at: list[float] = []
    while here >= 0:
        number, earlier = int(table.choice[here, musts, saved]), int(table.before[here, musts, saved])
        taken.append((here, number))
        at.append(float(table.least[here, musts, saved]))
        musts, saved = musts - tasks[here].choices[number].must, saved - tasks[here].choices[number].saves
        here = earlier
    return tuple(reversed(taken)), tuple(reversed(at))
