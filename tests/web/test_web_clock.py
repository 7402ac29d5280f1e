"""The page on one's own clock."""

from __future__ import annotations

from starlette.testclient import TestClient

SHORT = "start=06:00&earliest=06:00&back=06:14&look=5"


def test_own_hours_are_worked_out_without_script_and_nothing_is_written(client: TestClient) -> None:
    told = client.get(f"/api/own-clock?{SHORT}").json()
    page = client.get(f"/run/clock?{SHORT}")
    assert page.status_code == 200 and told["most"] == 1 and told["say"] in page.text
    assert 'name="start" value="06:00"' in page.text and "Pull or never set" in page.text
    assert 'href="/run/clock"' in client.get("/run").text


def test_hours_that_are_none_stay_in_the_form_with_the_reason(client: TestClient) -> None:
    answer = client.get("/run/clock?start=%3Cb%3E&look=5")
    assert answer.status_code == 422 and "an hour such as 05:30" in answer.text
    assert 'value="&lt;b&gt;"' in answer.text and 'value="<b>' not in answer.text
    assert client.get("/api/own-clock?look=-3").status_code == 422
    assert client.get("/api/own-clock?look=3&look=4").status_code == 422
    assert client.get("/run/clock?moon=full").status_code == 422


def test_hours_in_which_no_set_can_be_made_say_so(client: TestClient) -> None:
    page = client.get("/run/clock?start=06:00&earliest=06:00&back=06:10&look=60&making=60")
    assert page.status_code == 200 and "On no day is there time to make a set." in page.text
    assert "0 of 2 daily sets" in page.text and "No day is left for:" in page.text
