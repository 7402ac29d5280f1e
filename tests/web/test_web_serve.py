from __future__ import annotations

import http.client
import shutil
import threading

import pytest
from playwright.sync_api import sync_playwright

from setwright.basis.errors import BadInput
from setwright.sheets.page import plan_page
from setwright.web.serve import server_for
from sheets.example_plan import example


@pytest.fixture
def served(tmp_path):
    (tmp_path / "plan.html").write_text("<!doctype html><title>plan</title>", encoding="utf-8")
    (tmp_path / "secret.txt").write_text("no", encoding="utf-8")
    with server_for(tmp_path, 0) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield server
        server.shutdown()


def get(server, path, host="127.0.0.1"):
    connection = http.client.HTTPConnection(*server.server_address[:2], timeout=10)
    connection.request("GET", path, headers={"Host": f"{host}:{server.server_address[1]}"})
    return connection.getresponse()


def test_only_the_plan_on_loopback_with_a_strict_policy(served):
    assert served.server_address[0] == "127.0.0.1"
    answer = get(served, "/")
    assert answer.status == 200 and "default-src 'none'" in answer.headers["Content-Security-Policy"]
    for path in ("/secret.txt", "/../secret.txt", "/%2e%2e/secret.txt", "/plan.html/../secret.txt", "/nothing"):
        assert get(served, path).status == 404, path


@pytest.mark.parametrize("host", ["elsewhere.example", "127.0.0.1.example", "", "localhost.example"])
def test_another_name_for_this_machine_is_refused(served, host):
    answer = get(served, "/", host)
    assert answer.status == 403 and b"<title>plan" not in answer.read()
    assert get(served, "/", "LOCALHOST").status == 200


def test_the_page_of_a_plan_opens_in_a_browser(tmp_path):
    (tmp_path / "plan.html").write_text(plan_page(example()), encoding="utf-8")
    with server_for(tmp_path, 0) as server, sync_playwright() as play:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        browser = play.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        page = browser.new_page()
        faults, asked = [], []
        page.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
        page.on("pageerror", lambda error: faults.append(str(error)))
        page.on("request", lambda sent: asked.append(sent.url))
        address = f"http://127.0.0.1:{server.server_address[1]}/"
        page.goto(address)
        page.evaluate("document.fonts.ready.then(() => 1)")
        loaded = page.evaluate("[...document.fonts].filter(f => f.status === 'loaded').length")
        titles = page.locator("article h2").all_inner_texts()
        browser.close()
        server.shutdown()
    assert [url for url in asked if not url.startswith(("data:", address))] == []
    assert faults == [], "the policy of the server lets the page be as it is"
    assert loaded == 2 and titles == [part.site.name for part in example().sets]


def test_a_port_in_use_is_said(served, tmp_path):
    with pytest.raises(BadInput, match="port"):
        server_for(tmp_path, served.server_address[1])
