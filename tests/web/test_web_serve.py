from __future__ import annotations

import http.client
import threading

import pytest

from setwright.basis.errors import BadInput
from setwright.web.serve import server_for


@pytest.fixture
def served(tmp_path):
    (tmp_path / "plan.html").write_text("<!doctype html><title>plan</title>", encoding="utf-8")
    (tmp_path / "secret.txt").write_text("no", encoding="utf-8")
    with server_for(tmp_path, 0) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield server
        server.shutdown()


def get(server, path):
    connection = http.client.HTTPConnection(*server.server_address[:2], timeout=10)
    connection.request("GET", path)
    return connection.getresponse()


def test_only_the_plan_on_loopback_with_a_strict_policy(served):
    assert served.server_address[0] == "127.0.0.1"
    answer = get(served, "/")
    assert answer.status == 200 and "default-src 'none'" in answer.headers["Content-Security-Policy"]
    for path in ("/secret.txt", "/../secret.txt", "/%2e%2e/secret.txt", "/plan.html/../secret.txt", "/nothing"):
        assert get(served, path).status == 404, path


def test_a_port_in_use_is_said(served, tmp_path):
    with pytest.raises(BadInput, match="port"):
        server_for(tmp_path, served.server_address[1])
