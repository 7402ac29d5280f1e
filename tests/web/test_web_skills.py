"""Skill records in the app: nothing without consent, ticked and corrected, given along, and truly gone."""

from __future__ import annotations

import pytest
from fastapi import Request, Response
from starlette.middleware.base import RequestResponseEndpoint
from starlette.testclient import TestClient

from setwright.desk.lessons import skills
from setwright.web.app import create_app
from setwright.web.open_line import OpenLine
from setwright.web.person import ACTS, Person
from web.forms_of import Form, forms_of

NAME = "Juniper Q. Testcase"
PAGE = "/lessons/skills"


@pytest.fixture
def asks(own_line: OpenLine) -> tuple[TestClient, list[str]]:
    """The app, asked by a person of the role that stands in the list."""
    role = ["instructor"]
    app = create_app(own_line)

    @app.middleware("http")
    async def known(request: Request, call_next: RequestResponseEndpoint) -> Response:
        request.state.person = Person("Ada", role[0])
        return await call_next(request)

    return TestClient(app, base_url="http://127.0.0.1", follow_redirects=False), role


def form_to(client: TestClient, action: str) -> Form:
    return next(one for one in forms_of(client.get(PAGE).text) if one.action == f"{PAGE}/{action}")


def send(client: TestClient, action: str, **words: str) -> Response:
    form = form_to(client, action)
    return client.post(form.action, data={**form.values, **{key.replace("_0", "."): v for key, v in words.items()}})


def test_an_instructor_takes_in_ticks_and_deletes(asks: tuple[TestClient, list[str]], own_line: OpenLine) -> None:
    client, _ = asks
    place = skills.records_place(own_line.book)
    refused = send(client, "add", label=NAME, consent_by="a guardian")
    assert refused.status_code == 422 and "did not agree" in refused.text and f'value="{NAME}"' in refused.text
    assert not place.exists(), "nothing is kept of anybody without consent"
    alone = send(client, "add", label=NAME, consent_by=NAME, minor="yes", agreed="yes")
    assert alone.status_code == 422 and "for a minor a guardian agrees" in alone.text
    wrong = send(client, "add", label=NAME, consent_by="a guardian", on="someday", agreed="yes")
    assert wrong.status_code == 422 and "someday" in wrong.text
    done = send(client, "add", label=NAME, consent_by="a guardian", minor="yes", on="2026-11-18", agreed="yes")
    assert done.status_code == 303 and "Taken in." in client.get(done.headers["location"]).text
    kept = skills.record(own_line.book, NAME)
    assert kept.consent.minor and kept.consent.consent_by == "a guardian" and kept.skills == {}

    done = client.post(f"{PAGE}/tick", data={**form_to(client, "tick").values, "item.3": "shown", "item.5": "not yet",
                                             "on": "2026-11-19"})  # fmt: skip
    assert done.status_code == 303
    found = {item: (shown, f"{day}") for item, (shown, day) in skills.record(own_line.book, NAME).skills.items()}
    assert found == {3: (True, "2026-11-19"), 5: (False, "2026-11-19")}
    # What stands in the form already keeps its day; what is chosen anew takes the new one.
    form = form_to(client, "tick")
    assert form.values["item.3"] == "shown" and form.values["item.5"] == "not yet" and form.values["item.4"] == ""
    client.post(f"{PAGE}/tick", data={**form.values, "item.5": "shown", "on": "2026-11-20"})
    found = {item: (shown, f"{day}") for item, (shown, day) in skills.record(own_line.book, NAME).skills.items()}
    assert found == {3: (True, "2026-11-19"), 5: (True, "2026-11-20")}
    for words, told in (({}, "nothing was chosen anew"), ({"item.3": "perhaps"}, "allowed: shown, not yet"),
                        ({"label": "Nobody", "item.1": "shown"}, "no record of this name")):  # fmt: skip
        refused = client.post(f"{PAGE}/tick", data={**form_to(client, "tick").values, **words})
        assert refused.status_code == 422 and told in refused.text, words

    given = client.get(f"{PAGE}/export", params={"name": NAME}).json()
    assert given["name"] == NAME and given["consent"]["minor"] is True
    assert NAME.encode() in place.read_bytes()
    assert send(client, "delete").status_code == 422, "the mark is not set"
    assert send(client, "delete", sure="yes").status_code == 303
    assert "Nothing is kept of anybody" in client.get(PAGE).text
    assert all(NAME.encode() not in path.read_bytes() for path in place.parent.iterdir() if path.is_file())


def test_only_whoever_teaches_sees_or_changes_them(asks: tuple[TestClient, list[str]], own_line: OpenLine) -> None:
    client, role = asks
    skills.enrol(own_line.book, NAME, NAME)
    held = form_to(client, "add").values
    for role[0] in [name for name, acts in ACTS.items() if "teach" not in acts]:
        assert client.get(PAGE).status_code == 403 and PAGE not in client.get("/lessons").text
        assert client.get(f"{PAGE}/export", params={"name": NAME}).status_code == 403
        for action in ("add", "tick", "delete"):
            sent = {**held, "label": NAME, "consent_by": NAME, "sure": "yes", "agreed": "yes", "item.1": "shown"}
            assert client.post(f"{PAGE}/{action}", data=sent).status_code == 403
    assert [one.label for one in skills.records(own_line.book)] == [NAME]
    assert skills.record(own_line.book, NAME).skills == {}
