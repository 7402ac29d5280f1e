"""Files of events: nothing is lost on the way, and what is refused is told with its reason."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from log.makers import EAST, START, event, name, season
from setwright.basis.errors import BadInput
from setwright.log import kinds
from setwright.log.event import Event
from setwright.log.exchange import from_csv, from_lines, to_csv, to_lines
from setwright.log.objections import Objections

SEASON = season(8, 300)
WAYS = [(to_lines, from_lines), (to_csv, from_csv)]
words = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0"), min_size=1, max_size=30)


@pytest.mark.parametrize(("out", "back"), WAYS)
def test_a_season_comes_back_to_the_letter(out, back) -> None:
    found = back(out(SEASON))
    assert list(found.events) == SEASON and not found.refused
    assert out(found.events) == out(SEASON)
    assert back("\ufeff" + out(SEASON)).all_or_nothing() == found.events


@pytest.mark.parametrize(("out", "back"), WAYS)
@settings(max_examples=80, deadline=None)
@given(
    note=words,
    person=words,
    minutes=st.one_of(st.none(), st.floats(0, 1440)),
    when=st.datetimes(dt.datetime(1950, 1, 1), dt.datetime(2100, 1, 1)),
    offset=st.integers(-14 * 60, 14 * 60),
)
def test_any_words_numbers_and_offsets_come_back(out, back, note, person, minutes, when, offset) -> None:
    time = when.replace(tzinfo=dt.timezone(dt.timedelta(minutes=offset)))
    made = Event(
        id=name(7), device="d", kind=kinds.NOTE, time=time, visitor=person,
        details={"note": note, "minutes": minutes, "photos": [{"file": note}]},
    )  # fmt: skip
    assert back(out([made, made])).events == (made, made)


def test_half_a_file_gives_its_whole_rows_and_tells_the_broken_one() -> None:
    for out, back in WAYS:
        text = out(SEASON)
        cut = text[: text.rindex('"') - 3]
        found = back(cut)
        assert list(found.events) == SEASON[:-1]
        assert len(found.refused) == 1 and found.refused[0].line == len(SEASON) + (back is from_csv)
        with pytest.raises(BadInput) as caught:
            found.all_or_nothing()
        assert caught.value.line == found.refused[0].line


def test_refused_rows_carry_line_field_and_reason() -> None:
    good = SEASON[0].record()
    rows = [good, {**good, "kind": "cought"}, {**good, "time": "2026-11-02"}, [], {**good, "extra": 1}]
    text = "\n".join(json.dumps(row) for row in rows) + "\n\n{"
    found = from_lines(text)
    assert [row.line for row in found.refused] == [2, 3, 4, 5, 7]
    assert [row.error.field for row in found.refused][:2] == ["kind", "time"]
    lines = to_csv(SEASON[:2]).splitlines()
    spoilt = "\r\n".join([lines[0], lines[1] + ",more", lines[2].replace(",0,", ",first,")])
    assert [row.line for row in from_csv(spoilt).refused] == [2, 3]
    for bad in ("", "a,b\r\n1,2\r\n", "id,id,device,kind,time\r\n"):
        with pytest.raises(BadInput):
            from_csv(bad)


def test_objections_to_events_that_are_well_formed() -> None:
    log = [
        event(1, kinds.SET, 0),
        event(2, kinds.PULLED, 3),
        event(3, kinds.SET, 5),
    ]
    judge = Objections(
        log, now=START + dt.timedelta(days=8), zone=ZoneInfo("America/New_York"), sets=["S9"], species=["red fox"]
    )
    for good in (event(10, kinds.CHECKED, 1), event(11, kinds.CATCH, 6, species="red fox"), event(12, kinds.NOTE, 4),
                 event(13, kinds.CHECKED, 1, set_id="S9"), event(14, kinds.CATCH, 6)):  # fmt: skip
        judge.check(good)
    bad = [
        (event(20, kinds.CHECKED, 9), "time"),
        (event(21, kinds.CHECKED, time=START.astimezone(dt.UTC) + dt.timedelta(days=1)), "time"),
        (event(22, kinds.CHECKED, 1, set_id="S11"), "set_id"),
        (event(23, kinds.CATCH, 4, species="red fox"), "set_id"),
        (event(24, kinds.CATCH, 6, species="red focks"), "details.species"),
    ]
    for wrong, field in bad:
        with pytest.raises(BadInput) as caught:
            judge.check(wrong)
        assert caught.value.field == field
    with pytest.raises(BadInput, match="red fox"):
        judge.check(bad[-1][0])
    found = from_lines(to_lines(each for each, _ in bad), judge.check)
    assert not found.events and len(found.refused) == len(bad)
    assert EAST.utcoffset(None) == dt.timedelta(hours=-5)


def test_the_page_on_files_has_every_kind_and_its_example_is_an_event() -> None:
    page = (Path(__file__).resolve().parents[2] / "docs" / "how" / "log.md").read_text(encoding="utf-8")
    for kind, slots in kinds.KINDS.items():
        row = next(line for line in page.splitlines() if line.startswith(f"| `{kind}` |"))
        must, may = row.split("|")[3:5]
        for detail, slot in slots.items():
            assert f"`{detail}`" in (must if slot.needed else may), f"{kind}: {detail}"
    example = page.split("```json\n", 1)[1].split("```", 1)[0]
    rows = from_lines(" ".join(example.split()))
    assert len(rows.events) == 1 and not rows.refused
