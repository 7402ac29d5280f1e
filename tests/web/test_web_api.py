"""The interface answers anything with what it declares: drawn requests, the same in every run."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
import schemathesis
from fastapi import FastAPI
from hypothesis import HealthCheck, given, settings
from schemathesis.checks import CHECKS
from starlette.testclient import TestClient

from setwright.desk.law_document import LawSheet
from setwright.desk.run_document import RunDocument
from setwright.web.app import create_app
from setwright.web.open_line import OpenLine

HOST = "http://127.0.0.1:8470"


@pytest.fixture(scope="session")
def api_app(book: Path, tmp_path_factory: pytest.TempPathFactory) -> FastAPI:
    own = Path(shutil.copy(book, tmp_path_factory.mktemp("api") / "line-book.yaml"))
    line = OpenLine(own, draws=50)
    line.now()
    return create_app(line)


def drawn(app: FastAPI, examples: int) -> dict[str, int]:
    """Ask every operation with drawn requests; how often each was answered with which status."""
    client, seen = TestClient(app, base_url=HOST), {}
    token = client.get("/api/session").json()["token"]
    own = {"Host": "127.0.0.1"}
    schema = schemathesis.openapi.from_asgi("/api/openapi.json", app, headers=own)
    for found in schema.get_all_operations():
        operation = found.ok()

        @settings(max_examples=examples, deadline=None, derandomize=True, database=None,
                  suppress_health_check=list(HealthCheck))  # fmt: skip
        @given(operation.as_strategy())
        def answered(case: schemathesis.Case) -> None:
            answer = case.call(headers={**own, "X-Token": token} if case.method != "GET" else own)
            assert answer.status_code < 500, answer.text
            # Words that a schema cannot tell apart, such as `3 lbf` from `3 lb`, are refused, and it says so.
            case.validate_response(answer, excluded_checks=[CHECKS.get_one("positive_data_acceptance")])
            key = f"{case.method} {case.path} {answer.status_code}"
            seen[key] = seen.get(key, 0) + 1

        answered()
    return seen


def test_what_is_answered_is_declared(api_app: FastAPI) -> None:
    seen = drawn(api_app, 6)
    operations = {key.rsplit(" ", 1)[0] for key in seen}
    assert len(operations) >= 12, operations
    assert sum(key.endswith(" 200") for key in seen) >= 8, "not all of them refused"


@pytest.mark.slow
def test_what_is_answered_is_declared_at_length(api_app: FastAPI) -> None:
    drawn(api_app, 100)


def test_law_run_and_season_are_what_the_desk_says(api_app: FastAPI) -> None:
    client = TestClient(api_app, base_url=HOST)
    found = LawSheet.model_validate(client.get("/api/law").json())
    assert {part.site for part in found.sets} == {"track", "hedge"}
    one = LawSheet.model_validate(client.get("/api/law?site=hedge&on=2026-12-21").json())
    assert [part.site for part in one.sets] == ["hedge"] and one.on == "2026-12-21"
    made = RunDocument.model_validate(client.get("/api/run?days=2").json())
    assert len(made.days) == 2 and client.get("/api/run?days=2").json() == client.get("/api/run?days=2").json()
    assert client.get("/api/season").status_code == 422, "nothing is written in its log"


@pytest.mark.parametrize(
    "query",
    [
        "pack=../line-book.yaml",
        "pack=/etc/passwd",
        "pack=line-book.yaml",
        "site=nowhere",
        "on=yesterday",
        "on=2026-13-01",
    ],
)
def test_law_takes_no_path_and_no_unknown_name(api_app: FastAPI, query: str) -> None:
    answer = TestClient(api_app, base_url=HOST).get(f"/api/law?{query}")
    assert answer.status_code == 422 and "root:" not in answer.text


@pytest.mark.parametrize("query", ["day=never", "day=-1", "days=0", "days=15", "day=2026-02-30", "day=1900-01-01"])
def test_run_takes_no_day_that_is_none(api_app: FastAPI, query: str) -> None:
    answer = TestClient(api_app, base_url=HOST).get(f"/api/run?{query}")
    assert answer.status_code == 422 and answer.headers["content-type"] == "application/problem+json"
