"""The evening's work against every choice tried one by one."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from setwright.line.evening import Choice, Task, best_evening
from setwright.line.run import SPEEDS, Place, travel_times

BASE = (36.1, -79.95)


def place(key, east, north):
    return Place(str(key), BASE[0] + north, BASE[1] + east, "truck", 0.0, None, True)


choices = st.builds(
    Choice, seconds=st.integers(1, 40).map(lambda minutes: 60.0 * minutes), must=st.booleans(), saves=st.booleans()
)
tasks_of = st.lists(
    st.tuples(st.floats(-0.02, 0.02), st.floats(-0.02, 0.02), st.lists(choices, min_size=1, max_size=2)),
    min_size=0, max_size=4,
)  # fmt: skip


def brute(tasks, seconds):
    times = travel_times(BASE, [task.place for task in tasks], dict(SPEEDS))
    best = (0, 0, 0.0)
    for picks in product(*(range(-1, len(task.choices)) for task in tasks)):
        for order in (range(len(tasks)), range(len(tasks) - 1, -1, -1)):
            here, clock, musts, saved = 0, 0.0, 0, 0
            for index in order:
                if picks[index] < 0:
                    continue
                choice = tasks[index].choices[picks[index]]
                clock += times[here, index + 1] + choice.seconds
                musts, saved, here = musts + choice.must, saved + choice.saves, index + 1
            clock += times[here, 0]
            if clock <= seconds and (musts, saved, -clock) > best:
                best = (musts, saved, -clock)
    return best


@settings(max_examples=120, deadline=None)
@given(rows=tasks_of, minutes=st.integers(0, 150))
def test_no_choice_is_better(rows, minutes):
    tasks = [Task(place(n, east, north), tuple(ways)) for n, (east, north, ways) in enumerate(rows)]
    found = best_evening(tasks, BASE, SPEEDS, 60.0 * minutes)
    musts, saved, clock = brute(tasks, 60.0 * minutes)
    assert (found.musts, found.saved) == (musts, saved)
    assert (found.seconds <= 60.0 * minutes and found.seconds <= -clock + 1e-6) or found.seconds == 0.0
    assert sum(tasks[index].choices[number].saves for index, number in found.taken) == found.saved
    assert all(a < b for a, b in zip(found.done_at, found.done_at[1:], strict=False))


def test_what_must_not_stand_comes_before_any_catch():
    kept = [Task(place(n, 0.001 * n, 0.0), (Choice(300.0),)) for n in range(5)]
    must = Task(place(9, 0.0, 0.001), (Choice(1800.0, must=True), Choice(900.0, must=True, saves=False)))
    found = best_evening([*kept, must], BASE, SPEEDS, 1200.0)
    assert (5, 1) in found.taken and found.musts == 1


def test_no_time_and_no_tasks_give_nothing():
    assert best_evening([], BASE, SPEEDS, 3600.0).taken == ()
    far = Task(place(1, 0.5, 0.5), (Choice(60.0),))
    assert best_evening([far], BASE, SPEEDS, 600.0).saved == 0
    assert best_evening([far], BASE, SPEEDS, 24 * 3600.0).saved == pytest.approx(1)
