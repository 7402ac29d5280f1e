"""Events check themselves; states are folds that know no order of arrival."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from log.makers import EAST, START, event, name, season
from setwright.basis.errors import BadInput
from setwright.log import kinds
from setwright.log.amend import history, standing, union
from setwright.log.event import Event, from_record, new_id
from setwright.log.fold import NOT_WRITTEN, Phase, fold

GOOD: dict[str, Any] = {
    "id": name(1), "device": "phone", "kind": kinds.CATCH, "time": "2026-11-02T07:10:00-05:00", "set_id": "S1",
    "details": {"species": "red fox", "sex": "male", "age": None, "part": "fore foot", "alive": True, "injuries": []},
}  # fmt: skip

BROKEN = [
    ({"id": "7"}, "id"),
    ({"id": name(1).upper().replace("0", "A")}, "id"),
    ({"device": ""}, "device"),
    ({"kind": "cought"}, "kind"),
    ({"time": "2026-11-02T07:10:00"}, "time"),
    ({"time": "yesterday"}, "time"),
    ({"time": "0099-11-02T07:10:00+00:00"}, "time"),
    ({"written": "2026-11-02"}, "written"),
    ({"set_id": ""}, "set_id"),
    ({"set_id": None}, "set_id"),
    ({"trap_id": 7}, "trap_id"),
    ({"visit": "first"}, "visit"),
    ({"place": -1}, "place"),
    ({"place": True}, "place"),
    ({"corrects": name(2)}, "corrects"),
    ({"details": {"species": "red fox"}}, "details.sex"),
    ({"details": {**GOOD["details"], "sex": "boar"}}, "details.sex"),
    ({"details": {**GOOD["details"], "alive": 1}}, "details.alive"),
    ({"details": {**GOOD["details"], "injuries": "none"}}, "details.injuries"),
    ({"details": {**GOOD["details"], "injuries": [""]}}, "details.injuries"),
    ({"details": {**GOOD["details"], "minutes": float("nan")}}, "details.minutes"),
    ({"details": {**GOOD["details"], "first_seen": "2026-11-02T07:10:00"}}, "details.first_seen"),
    ({"details": {**GOOD["details"], "photos": ["a.jpg"]}}, "details.photos"),
    ({"details": {**GOOD["details"], "wieght": 4}}, "details"),
    ({"colour": "red"}, "colour"),
    ({"kind": kinds.VOID, "details": {"reason": None}}, "corrects"),
    ({"kind": kinds.VOID, "details": {"reason": None}, "corrects": name(1)}, "corrects"),
    ({"kind": kinds.CORRECTION, "details": {"changes": {"id": name(3)}}, "corrects": name(2)}, "details.changes"),
    (
        {"kind": kinds.CORRECTION, "details": {"changes": {"kind": "void"}}, "corrects": name(2)},
        "details.changes.kind",
    ),
]


def test_a_whole_event_is_taken_and_keeps_its_offset() -> None:
    made = from_record(GOOD)
    assert made.time.utcoffset() == dt.timedelta(hours=-5)
    assert made.record()["time"] == GOOD["time"]
    assert from_record(json.loads(made.text())) == made
    assert from_record({**GOOD, "id": new_id()}) != made


@pytest.mark.parametrize(("wrong", "field"), BROKEN)
def test_a_broken_event_names_its_field(wrong: dict[str, Any], field: str) -> None:
    with pytest.raises(BadInput) as caught:
        from_record({**GOOD, **wrong})
    assert caught.value.field == field


def test_a_slip_of_the_pen_is_told_the_nearest_word() -> None:
    with pytest.raises(BadInput, match="checked"):
        from_record({**GOOD, "kind": "cheked"})


@pytest.mark.parametrize("kind", kinds.KINDS)
def test_every_kind_may_be_all_unknown_but_has_to_name_it(kind: str) -> None:
    details = kinds.blank(kind)
    corrects = name(9) if kind in kinds.AMENDMENTS else None
    if kind == kinds.CORRECTION:
        details["changes"] = {"set_id": "S2"}
    made = Event(id=name(1), device="d", kind=kind, time=START, set_id="S1", corrects=corrects, details=details)
    assert from_record(made.record()) == made
    for lacking in details:
        short = {key: value for key, value in details.items() if key != lacking}
        with pytest.raises(BadInput):
            Event(id=name(1), device="d", kind=kind, time=START, set_id="S1", corrects=corrects, details=short)


def amended() -> list[Event]:
    return [
        *season(3, 120, sets=6),
        event(500, kinds.CORRECTION, 9, corrects=name(8), changes={"set_id": "S5"}),
        event(501, kinds.CORRECTION, 10, corrects=name(8), changes={"time": "2026-11-03T09:00:00-05:00"}),
        event(502, kinds.VOID, 11, corrects=name(12), reason="twice"),
        event(503, kinds.CORRECTION, 12, corrects=name(7), changes={"kind": kinds.NOTE, "details": {"note": "rain"}}),
        event(504, kinds.VOID, 12.5, corrects=name(501), reason="was right"),
        event(505, kinds.CORRECTION, 12.6, corrects=name(9), changes={"place": -4}),
        event(506, kinds.VOID, 13, corrects=name(9999), reason="not here"),
        event(507, kinds.DUTY, 2, act="seal the otter", due="2026-11-09T12:00:00-05:00"),
        event(508, kinds.DONE, 3, duty=name(507)),
    ]


AMENDED = amended()


@settings(max_examples=60, deadline=None)
@given(st.permutations(range(len(AMENDED))), st.integers(0, len(AMENDED)))
def test_any_order_of_arrival_and_repeats_give_the_same_state(order: list[int], again: int) -> None:
    arrived = [AMENDED[k] for k in order] + [AMENDED[k] for k in order[:again]]
    assert fold(arrived) == fold(AMENDED)
    assert standing(arrived) == standing(AMENDED)


def test_the_union_is_what_two_devices_agree_on() -> None:
    twin = event(3, kinds.NOTE, 1, note="other words under the same id", device="tablet")
    first, second = union(AMENDED, [twin]), union([twin], AMENDED)
    assert first == second
    assert len(first) == len({each.id for each in AMENDED})


def test_corrections_and_voids() -> None:
    now = standing(AMENDED)
    by_id = {each.id: each for each in now.events}
    assert by_id[name(8)].set_id == "S5"
    assert by_id[name(8)].time == next(each for each in AMENDED if each.id == name(8)).time, "that change was voided"
    assert name(12) not in by_id and name(12) in {each.id for each in now.voided}
    assert by_id[name(7)].kind == kinds.NOTE and by_id[name(7)].details == {"note": "rain"}
    reasons = {one.event.id: one.reason for one in now.refused}
    assert set(reasons) == {name(505), name(506)} and "place" in reasons[name(505)]
    assert [each.id for each in history(AMENDED, name(8))] == [name(8), name(500), name(501), name(504)]


def test_the_states_of_a_set_follow_what_was_written() -> None:
    story = [
        (event(1, kinds.SET, 0, trap_id="T1", rig_id="R", site="P", tag_present=True, trip_force=9.0), Phase.ARMED),
        (event(2, kinds.CHECKED, 1, method="from a distance"), Phase.ARMED),
        (event(3, kinds.CATCH, 2, species="fox", alive=True), Phase.HOLDING),
        (event(4, kinds.DISPATCH, 2, place=1), Phase.SPRUNG),
        (event(5, kinds.RESET, 2, place=2), Phase.ARMED),
        (event(6, kinds.ANCHOR_MOVED, 2, place=3), Phase.ARMED),
        (event(7, kinds.INOPERATIVE, 3, cause="frozen"), Phase.OUT_OF_ORDER),
        (event(8, kinds.RESET, 3, place=1, trip_force=11.0), Phase.ARMED),
        (event(9, kinds.PULLED, 4), Phase.PULLED),
    ]
    for upto, (_, phase) in enumerate(story, start=1):
        assert fold(each for each, _ in story[:upto]).sets["S1"].phase is phase
    early = fold(each for each, _ in story[:6])
    assert early.sets["S1"].seen_in_person == START + dt.timedelta(days=2)
    assert fold([story[0][0], story[1][0]]).sets["S1"].seen_in_person is None
    assert early.traps["T1"].fired_since == 1 and early.traps["T1"].trip_force == 9.0
    assert early.sets["S1"].anchor_moved is not None
    late = fold(each for each, _ in story)
    assert late.traps["T1"].fired_since == 0 and late.traps["T1"].set_id is None
    assert late.sets["S1"].armed_at is None


def test_duties_open_and_close() -> None:
    caught = event(1, kinds.CATCH, 1, species="fox")
    held = fold([caught])
    assert [duty.act for duty in held.open_duties] == [NOT_WRITTEN]
    assert not fold([caught, event(2, kinds.RELEASE, 1, place=1, injuries=[])]).open_duties
    mended = event(3, kinds.CORRECTION, 2, corrects=name(1), changes={"details": {"injuries": []}})
    assert not fold([caught, mended]).open_duties
    late, soon = (event(k, kinds.DUTY, 1, act=act, due=(START + dt.timedelta(days=k)).isoformat())
                  for k, act in ((9, "late"), (8, "soon")))  # fmt: skip
    assert [duty.act for duty in fold([late, soon]).open_duties] == ["soon", "late"]
    assert [duty.act for duty in fold([late, soon, event(20, kinds.DONE, 3, duty=name(8))]).open_duties] == ["late"]


def test_order_is_of_the_moment_not_of_the_clock_face() -> None:
    west = event(1, kinds.NOTE, time=dt.datetime(2026, 11, 1, 6, 30, tzinfo=dt.timezone(dt.timedelta(hours=-6))))
    east = event(2, kinds.NOTE, time=dt.datetime(2026, 11, 1, 7, 0, tzinfo=EAST))
    assert [each.id for each in union([west, east])] == [name(2), name(1)]
