"""Stores of both kinds, empty for every test."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest
import sqlalchemy as sa

from log.databases import postgresql, programs


@pytest.fixture(scope="session")
def server() -> Iterator[str]:
    """URL of a PostgreSQL of our own."""
    with postgresql() as url:
        yield url


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Every test that asks for a place runs on both databases, or says which one is missing."""
    if "place" in metafunc.fixturenames:
        kinds = ["sqlite", "postgresql"] if programs() else ["sqlite"]
        names = kinds if programs() else ["sqlite only: no PostgreSQL here (Debian: apt-get install postgresql)"]
        metafunc.parametrize("place", kinds, indirect=True, ids=names)


@pytest.fixture
def place(request: pytest.FixtureRequest, tmp_path: Path) -> str:
    """File or URL of an empty store."""
    if request.param == "sqlite":
        return str(tmp_path / "log.db")
    url: str = request.getfixturevalue("server")
    engine = sa.create_engine(url.replace("postgresql:", "postgresql+psycopg:"))
    with engine.begin() as link:
        link.execute(sa.text("DROP SCHEMA public CASCADE"))
        link.execute(sa.text("CREATE SCHEMA public"))
    engine.dispose()
    return url


def raw(place: str) -> sa.Engine:
    """A way in past the store, for tests that do harm."""
    if place.startswith("postgresql:"):
        return sa.create_engine(place.replace("postgresql:", "postgresql+psycopg:"))
    return sa.create_engine("sqlite://", creator=lambda: sqlite3.connect(place))
