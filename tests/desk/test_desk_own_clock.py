"""The line by one's own hours: what they bear, the days of setting out, hours that are none."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest

from setwright.basis.errors import BadInput
from setwright.desk.own_clock import clock_of, own_clock

EXAMPLES = Path(__file__).parents[2] / "docs" / "examples"
BOOK = EXAMPLES / "dogs-run.yaml"


def told(**words):
    return own_clock(BOOK, words, iterations=40)


def test_hours_of_the_book_bear_its_line():
    found = told()
    assert (found.most, found.daily, found.sets, found.pull) == (2, 2, 2, [])
    assert len(found.days) == 7 and not any(day.missed or day.why for day in found.days)
    assert found.set_out[-1].standing == 2 and not found.left_over
    for day in found.days:
        assert day.latest is not None and day.leave is not None
        assert datetime.strptime(day.leave, "%a %d %b %H:%M") <= datetime.strptime(day.latest, "%a %d %b %H:%M")


def test_hours_too_short_for_both_sets_say_how_many_they_bear_and_which_to_pull():
    usual = told(start="06:00", earliest="06:00", back="18:00", look="5")
    # Twelve minutes bear the way to one set and a look of five, not two; no set can be made in them.
    short = {"start": "06:00", "earliest": "06:00", "back": "06:14"}
    found = told(**short, look="5", making="5")
    assert (usual.most, found.most, len(found.pull)) == (2, 1, 1)
    assert found.say.startswith("These hours bear 1 of the 2 sets") and found.set_out[-1].standing == 1
    assert len(found.left_over) == 1 and all(len(day.missed) == 1 for day in found.days)
    none = told(**short, look="60", making="60")
    assert none.most == 0 and none.set_out[-1].standing == 0 and len(none.left_over) == 2


def test_work_that_takes_the_whole_day_leaves_nobody_to_go():
    found = told(
        start="08:00", earliest="08:00", back="16:00", work_from="07:30", work_to="17:00", work_days="mon, Tue"
    )
    idle = [day for day in found.days if day.why]
    assert [datetime.fromisoformat(day.date).strftime("%a") for day in idle] == ["Mon", "Tue"]
    assert "Somebody has to stand in" in found.say and all(day.sets == 0 for day in idle)


def test_longer_making_takes_more_days_and_more_hours_bear_more():
    quick, slow = (told(making=minutes, start="06:00", earliest="06:00", back="08:00") for minutes in ("10", "60"))
    assert slow.set_out[0].standing < quick.set_out[0].standing == 2
    assert [day.standing for day in slow.set_out] == sorted(day.standing for day in slow.set_out)
    few, many = told(start="06:00", back="09:00"), told(start="06:00", back="12:00")
    assert few.alike is not None and many.alike is not None and few.alike < many.alike


@pytest.mark.parametrize(
    ("words", "field"),
    [
        ({"start": "soon"}, "start"),
        ({"start": "06:00Z"}, "start"),
        ({"work_from": "08:00"}, "work_to"),
        ({"work_from": "16:00", "work_to": "08:00"}, "work_to"),
        ({"work_from": "08:00", "work_to": "16:00", "work_days": "someday"}, "work_days"),
        ({"look": "0"}, "look"),
        ({"making": "nan"}, "making"),
        ({"light": "perhaps"}, "light"),
        ({"moon": "full"}, "address"),
    ],
)
def test_hours_that_are_none_are_refused_by_their_field(words, field):
    with pytest.raises(BadInput) as raised:
        clock_of(words)
    assert raised.value.field == field and raised.value.allowed
