"""The bench in the app: traps changed by fields, readings typed, told and kept, the record card."""

from __future__ import annotations

import re

import pytest
from starlette.testclient import TestClient

from setwright.desk.bench_controls import controls
from setwright.desk.bench_readings import Typed, entries
from setwright.desk.bench_whatif import names
from setwright.web.open_line import OpenLine

TRAP = "/bench/A-01"


def token_of(page: str) -> str:
    return re.search(r'name="token" value="([0-9a-f]+)"', page)[1]


def test_every_control_is_a_change_that_the_bench_knows(line: OpenLine) -> None:
    on, _ = line.on_bench("A-01")
    known = names(on.calibration.posterior.unknowns)
    made = controls(on)
    assert {one.name for one in made} <= set(known) and len({one.name for one in made}) == len(made)
    assert {"springs", "jaws", "offset", "trip_force", "set_angle", "spread"} <= {one.name for one in made}
    for one in made:
        for value in [value for value, _ in one.choices] or [one.example]:
            assert line.trap("A-01", f"{one.name}={value}").what_if[0].words, one.name


def test_a_trap_changed_by_its_fields(client: TestClient) -> None:
    page = client.get(TRAP, params={"springs": "4", "offset": "6 mm", "jaws": ""}).text
    assert "If springs 4, offset 6 mm" in page and 'value="6 mm"' in page
    assert '<option value="4" selected>' in page and page.count('class="moving"') == 2
    assert page.index("closing time") < page.index("All other figures")
    part = client.get(TRAP, params={"springs": "4"}, headers={"X-Part": "changed"}).text
    assert part.startswith('<div id="changed"') or '<div id="changed"' in part[:200]
    assert "<html" not in part
    old = client.get(TRAP, params={"what_if": "springs=4,jaws=laminated"}).text
    assert "If springs 4, jaws laminated" in old


@pytest.mark.parametrize(
    ("query", "words"),
    [("springs=3", "2 or 4"), ("jaws=gold", "gold"), ("offset=9 ft", "outside the range"), ("spread=1", "unit"),
     ("presses=1 lbf", "no person")],
)  # fmt: skip
def test_what_cannot_be_is_said_and_kept_in_its_field(client: TestClient, query: str, words: str) -> None:
    page = client.get(f"{TRAP}?{query}")
    assert page.status_code == 200 and "Not changed:" in page.text and words in page.text
    assert client.get(f"{TRAP}?colour=red").status_code == 422


def test_who_can_set_it(client: TestClient) -> None:
    strong = client.get(TRAP, params={"presses": "200 lbf", "weighs": "150 lb"}).text
    weak = client.get(TRAP, params={"presses": "5 lbf", "weighs": "60 lb"}).text
    assert "can" in strong and strong != weak
    assert strong.count("student") == weak.count("student") > client.get(TRAP).text.count("student")


def test_the_record_card_is_a_paper(client: TestClient) -> None:
    card = client.get(f"{TRAP}/card.pdf")
    assert card.status_code == 200 and card.content.startswith(b"%PDF")
    assert client.get("/bench/nothing/card.pdf").status_code == 404


def test_readings_typed_narrow_what_is_told(client: TestClient) -> None:
    before = client.get(f"{TRAP}/readings").text
    assert "Read next" in before and "Keep these" not in before
    query = {
        "read": ["wire_diameter", "opening_force"],
        "value": ["3.4 mm", "90 lbf"],
        "settings": ["", "dowel=20 mm"],
    }
    page = client.get(f"{TRAP}/readings", params=query).text
    assert (
        "With what you typed" in page and "Keep these readings of A-01" in page and "What the readings taught" in page
    )
    assert 'value="dowel=20 mm"' in page
    assert "No reading of this trap is in the book" in page, "nothing was written by looking"


@pytest.mark.parametrize(
    ("kind", "value", "settings", "words"),
    [
        ("pan_pull", "3.2", "", "unit"), ("opening_force", "90 lbf", "", "dowel"),
        ("gold", "3 lbf", "", "no such reading"), ("pan_pull", "3 lbf", "dowel", "name=value"),
        ("closing_time", "12 ms", "frame_rate=fast", "pictures"),
    ],
)  # fmt: skip
def test_a_reading_that_cannot_be_used_is_said(
    client: TestClient, kind: str, value: str, settings: str, words: str
) -> None:
    page = client.get(f"{TRAP}/readings", params={"read": kind, "value": value, "settings": settings})
    assert page.status_code == 422 and "Not taken:" in page.text and words in page.text
    assert f'value="{value}"' in page.text, "what was typed is kept"


def test_empty_rows_are_no_readings() -> None:
    assert entries([Typed("pan_pull", " "), Typed("", "")]) == []
    assert entries([Typed("pan_pull", "3 lbf", "at_least=yes")]) == [
        {"read": "pan_pull", "value": "3 lbf", "at_least": True}
    ]


def test_kept_readings_are_of_one_trap_alone_and_can_be_undone(desk: TestClient, own_line: OpenLine) -> None:
    query = {"read": "wire_diameter", "value": "3.4 mm", "settings": ""}
    page = desk.get("/bench/A-02/readings", params=query).text
    sent = {"token": token_of(page), "seen": re.search(r'name="seen" value="([0-9a-f]+)"', page)[1], **query}
    answer = desk.post("/bench/A-02/readings", data=sent, follow_redirects=False)
    assert answer.status_code == 303 and "/bench/A-02/readings" in answer.headers["location"]
    text = own_line.book.read_text(encoding="utf-8")
    assert "wire_diameter" in text and "3.4 mm" in text
    traps = own_line.now().assembly.job.traps
    assert len(traps["A-02"].knowledge.readings) == 1 and not traps["A-01"].knowledge.readings
    assert {"A-01", "A-02", "A-03", "A-04"} <= set(traps)
    again = desk.post("/bench/A-02/readings", data=sent, follow_redirects=False)
    assert again.status_code == 409 or "Not taken:" in again.text, "the book is no longer as it was seen"


def test_nothing_typed_is_nothing_kept(desk: TestClient, own_line: OpenLine) -> None:
    before = own_line.book.read_bytes()
    token = token_of(desk.get("/edit/site/hedge").text)
    answer = desk.post("/bench/A-01/readings", data={"token": token, "read": "", "value": "", "settings": ""})
    assert answer.status_code == 422 and "nothing was typed" in answer.text
    assert own_line.book.read_bytes() == before
    assert desk.post("/bench/A-01/readings", data={"read": "pan_pull", "value": "3 lbf"}).status_code == 403
