"""Events in and out through the interface: a union, idempotent, in any order, with a reason for what is not kept."""

from __future__ import annotations

import json
import sqlite3
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

from setwright.desk.log import read, store_place
from setwright.desk.log_sync import given as given_out
from setwright.desk.log_sync import take
from setwright.log import kinds
from setwright.log.faults import StoreFault
from setwright.log.store import Store
from setwright.web.app import create_app
from setwright.web.open_line import OpenLine
from setwright.web.person import Person
from web.field_events import desk_of, entry


def token(desk: TestClient) -> dict[str, str]:
    return {"X-Token": desk.get("/api/session").json()["token"]}


def hand_in(desk: TestClient, records: list[Any]) -> Any:
    return desk.post("/api/events", json={"events": records}, headers=token(desk))


def test_the_session_says_who_is_there(desk: TestClient) -> None:
    found = desk.get("/api/session").json()
    assert found["role"] == "trapper" and "log" in found["may"] and found["line"] == "Two sites at a farm track"
    assert len(found["token"]) == 64 and found["now"]


def test_what_is_handed_in_is_in_the_log_and_comes_back_in_order_of_arrival(desk: TestClient) -> None:
    first = hand_in(desk, [entry(5), entry(2)]).json()
    assert len(first["added"]) == 2 and first["refused"] == []
    again = hand_in(desk, [entry(5), entry(9, device="field-b")]).json()
    assert again["known"] == [entry(5)["id"]] and len(again["added"]) == 1
    page = desk.get("/api/events?after=0").json()
    assert [one["id"] for one in page["events"]] == [entry(5)["id"], entry(2)["id"], entry(9)["id"]]
    assert page["last"] == 3 and not page["more"]
    part = desk.get("/api/events?after=1&most=1").json()
    assert [one["id"] for one in part["events"]] == [entry(2)["id"]] and part["more"] and part["last"] == 2
    assert desk.get("/api/events?after=3").json()["events"] == []


def test_no_log_yet_is_an_empty_answer_and_makes_no_file(desk: TestClient, own_line: OpenLine) -> None:
    assert desk.get("/api/events").json() == {
        "line": "Two sites at a farm track",
        "events": [],
        "last": 0,
        "more": False,
    }
    assert desk.get("/api/field-pack").status_code == 200
    assert not Path(store_place(own_line.book)).exists()


@pytest.mark.parametrize(
    ("wrong", "field", "words"),
    [
        ({"set_id": "nowhere"}, "set_id", "no such set"),
        ({"time": "2199-01-01T07:00:00-05:00"}, "time", "a time to come"),
        ({"time": "2026-01-10T07:00:00+01:00"}, "time", "the offset"),
        ({"method": "by guess"}, "details.method", "cannot be used"),
        ({"weather": "half a sign: \ud83d"}, "details.weather", "cannot be used"),
    ],
)
def test_what_cannot_be_kept_comes_back_with_its_reason_and_holds_up_no_other(
    desk: TestClient, wrong: dict[str, Any], field: str, words: str
) -> None:
    body = json.dumps({"events": [entry(1), entry(2, **wrong), entry(3)]})
    found = desk.post("/api/events", content=body, headers=token(desk)).json()
    assert len(found["added"]) == 2
    (refused,) = found["refused"]
    assert refused["at"] == 1 and refused["id"] == entry(2)["id"] and refused["field"] == field
    assert words in refused["reason"]


@pytest.mark.parametrize("record", [None, 7, "text", [], {}, {"id": "x"}, {"id": 3, "kind": []}, {"id": "\ud83d"}])
def test_what_is_no_event_is_told_by_its_place(desk: TestClient, record: Any) -> None:
    answer = desk.post("/api/events", content=json.dumps({"events": [record, entry(1)]}), headers=token(desk))
    found = answer.json()
    assert [one["at"] for one in found["refused"]] == [0] and found["added"] == [entry(1)["id"]]


def test_other_words_under_a_known_name_are_a_conflict_and_the_first_stay(desk: TestClient) -> None:
    hand_in(desk, [entry(1)])
    found = hand_in(desk, [entry(1, note="other words")]).json()
    assert found["conflicts"] == [entry(1)["id"]] and found["added"] == []
    assert "note" not in desk.get("/api/events").json()["events"][0]["details"]


@pytest.mark.parametrize(
    ("body", "status"),
    [(b"", 422), (b"[]", 422), (b'{"events": 1}', 422), (b'{"events": [], "more": 1}', 422), (b"\xff\xfe", 422),
     (b"[" * 5000, 422), (b'{"events":[' + b",".join([b"1"] * 5001) + b"]}", 422)],
)  # fmt: skip
def test_a_body_that_is_none_is_refused(desk: TestClient, body: bytes, status: int) -> None:
    answer = desk.post("/api/events", content=body, headers=token(desk))
    assert answer.status_code == status and answer.headers["content-type"] == "application/problem+json"


def test_a_batch_that_nests_too_deep_or_is_too_long_is_refused(desk: TestClient) -> None:
    headers = {**token(desk), "Content-Type": "application/json"}
    deep = b'{"events":' + b"[" * 100 + b"]" * 100 + b"}"
    assert desk.post("/api/events", content=deep, headers=headers).status_code == 400
    assert desk.post("/api/events", content=b" " * 16_000_001, headers=headers).status_code == 413


def test_without_the_token_nothing_is_taken(desk: TestClient, own_line: OpenLine) -> None:
    for given_token in (None, "0" * 64):
        headers = {} if given_token is None else {"X-Token": given_token}
        assert desk.post("/api/events", json={"events": [entry(1)]}, headers=headers).status_code == 403
    assert not Path(store_place(own_line.book)).exists()


@pytest.mark.parametrize(("role", "status"), [("helper", 200), ("viewer", 403), ("instructor", 403)])
def test_a_helper_may_log_and_a_viewer_may_not(own_line: OpenLine, role: str, status: int) -> None:
    desk = desk_of(own_line, Person("Ada", role))
    assert hand_in(desk, [entry(1)]).status_code == status
    pack = desk.get("/api/field-pack").json()
    assert pack["person"] == {"name": "Ada", "role": role, "may": pack["person"]["may"]}
    assert ("log" in pack["person"]["may"]) == (status == 200)
    hidden = [one for one in pack["sets"] if one["latitude"] is None and one["longitude"] is None]
    assert (hidden == []) == (role == "helper"), "positions go only to whoever may see where sets are"
    if role == "viewer":
        assert "36.1" not in json.dumps(pack["sets"]) and "-79.9" not in json.dumps(pack["sets"])


def test_the_server_dies_between_keeping_and_answering(
    own_line: OpenLine, desk: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = Store.append

    def dies(self: Store, events: Any) -> Any:
        kept(self, events)
        raise StoreFault("gone before it could answer")

    records = [entry(k) for k in range(20)]
    with monkeypatch.context() as patch:
        patch.setattr(Store, "append", dies)
        assert hand_in(desk, records).status_code == 422, "no receipt, so the device keeps them waiting"
    fresh = TestClient(create_app(own_line), base_url="http://127.0.0.1:8470")
    found = hand_in(fresh, records).json()
    assert len(found["known"]) == 20 and found["added"] == [] and found["refused"] == []
    assert len(read(own_line.book)) == 20


def test_a_disk_that_is_full_acknowledges_nothing(
    own_line: OpenLine, desk: TestClient, monkeypatch: pytest.MonkeyPatch
) -> None:
    hand_in(desk, [entry(1)])
    from sqlalchemy.exc import OperationalError

    def full(*_: Any) -> None:
        raise OperationalError("insert", {}, sqlite3.OperationalError("database or disk is full"))

    with monkeypatch.context() as patch:
        patch.setattr(Store, "_insert", full)
        answer = hand_in(desk, [entry(2)])
    assert answer.status_code == 422 and "nothing of this was kept" in answer.json()["detail"]
    assert len(read(own_line.book)) == 1


KINDS = (kinds.CHECKED, kinds.SPRUNG, kinds.PULLED, kinds.RESET, kinds.NOTE)


@st.composite
def devices(draw: st.DrawFn) -> list[list[dict[str, Any]]]:
    """What some devices hold: entries of their own, some of them shared, some voided by another device."""
    count = draw(st.integers(1, 12))
    made = [
        entry(k, draw(st.sampled_from(KINDS)), device=f"field-{draw(st.integers(1, 3))}",
              **({"set_id": draw(st.sampled_from(["track", "hedge"]))}))
        for k in range(count)
    ]  # fmt: skip
    made = [one | {"set_id": None} if one["kind"] == kinds.NOTE else one for one in made]
    gone = draw(st.lists(st.integers(0, count - 1), unique=True, max_size=3))
    made += [entry(100 + k, kinds.VOID, corrects=made[k]["id"], reason="wrong set") for k in gone]
    return [[one for one in made if draw(st.booleans())] for _ in range(draw(st.integers(1, 3)))]


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(held=devices(), data=st.data())
def test_whatever_the_order_the_batches_and_the_repeats_the_log_ends_the_same(
    tmp_path_factory: pytest.TempPathFactory, book: Path, held: list[list[dict[str, Any]]], data: st.DataObject
) -> None:
    def after(batches: list[list[dict[str, Any]]]) -> tuple[str, set[str]]:
        place = str(tmp_path_factory.mktemp("log") / "x.db")
        for batch in batches:
            assert take(book, batch, store=place).refused == []
        with Store(place) as store:
            return store.digest(), {one.id for one in store.read()}

    one_way = after(held)
    batches: list[list[dict[str, Any]]] = []
    for part in held:
        shuffled = data.draw(st.permutations(part))
        cut = data.draw(st.integers(0, len(part)))
        batches += [shuffled[:cut], shuffled[cut:]]
    batches = list(data.draw(st.permutations(batches)))
    repeats = data.draw(st.lists(st.sampled_from(batches), max_size=3)) if batches else []
    assert after([*batches, *repeats]) == one_way
    assert one_way[1] == {one["id"] for part in held for one in part}


def test_two_devices_that_fetch_what_they_lack_hold_the_same(own_line: OpenLine) -> None:
    book = own_line.book
    phones: dict[str, dict[str, Any]] = {name: {"has": {}, "after": 0} for name in ("a", "b")}
    for k in range(30):
        name = "ab"[k % 2]
        made = entry(k, device=f"field-{name}")
        phones[name]["has"][made["id"]] = made
        if k % 7 == 0:
            phone = phones[name]
            take(book, list(phone["has"].values()))
            page = given_out(book, phone["after"], 4)
            phone["has"] |= {one["id"]: one for one in page.events}
            phone["after"] = page.last
    for phone in (*phones.values(), *phones.values()):
        take(book, list(phone["has"].values()))
        more = True
        while more:
            page = given_out(book, phone["after"], 4)
            phone["has"] |= {one["id"]: one for one in page.events}
            phone["after"], more = page.last, page.more
    assert set(phones["a"]["has"]) == set(phones["b"]["has"]) == {entry(k)["id"] for k in range(30)}


def test_the_pack_says_what_is_known_and_has_a_name_by_what_it_says(desk: TestClient) -> None:
    answer = desk.get("/api/field-pack")
    pack = answer.json()
    assert answer.headers["etag"] == f'"{pack["digest"]}"'
    same = desk.get("/api/field-pack", headers={"If-None-Match": answer.headers["etag"]})
    assert same.status_code == 304 and same.content == b""
    assert [one["id"] for one in pack["sets"]] == ["track", "hedge"]
    one = pack["sets"][0]
    assert one["drawing"].startswith("<svg") and one["stop"]["order"] >= 1 and one["due"]["told_by"] == "the plan"
    assert one["law"] and one["steps"] and one["cautions"] and one["expected"]["set_type"] == "flat"
    assert any(row["domestic"] for row in pack["animals"]) and pack["tree"]["looks"] and len(pack["dog_release"]) == 8
    hand_in(desk, [entry(1, kinds.SET, set_id="track", medium="land", site="track"), entry(2)])
    later = desk.get("/api/field-pack", headers={"If-None-Match": answer.headers["etag"]})
    assert later.status_code == 200 and later.json()["digest"] != pack["digest"]
    told = {row["id"]: row for row in later.json()["sets"]}["track"]
    assert told["due"]["told_by"] == "the log" and told["state"]["phase"] == "armed" and later.json()["log_last"] == 2


def test_a_pet_begins_the_clocks_that_the_packs_name(desk: TestClient) -> None:
    pack = desk.get("/api/field-pack").json()
    pet = [one for one in pack["clocks"] if "dog_medium" in one["domestic"]]
    assert any("vet" in one["act"] and one["within"] == "P1D" for one in pet)
    otter = [one for one in pack["clocks"] if "otter" in " ".join(one["other"])]
    assert any(one["within"] == "PT24H" for one in otter)
    assert not any("dog_medium" in one["other"] for one in pet), "only as a pet"
