"""Calls the command line within the process, with streams that are no terminal."""

from __future__ import annotations

import io
import sys
from collections.abc import Callable
from dataclasses import dataclass

import pytest

from setwright.cli.main import main


@dataclass(frozen=True)
class Called:
    """What one call of the command line gave back."""

    code: int
    out: str
    err: str


Call = Callable[..., Called]


@pytest.fixture(scope="session")
def call() -> Call:
    def run(*words: object) -> Called:
        before = sys.argv, sys.stdout, sys.stderr
        out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8", newline="") for _ in range(2))
        code: object = 0
        try:
            sys.argv, sys.stdout, sys.stderr = ["setwright", *map(str, words)], out, err
            main()
        except SystemExit as stop:
            code = stop.code or 0
        finally:
            sys.argv, sys.stdout, sys.stderr = before
        texts = []
        for stream in (out, err):
            stream.flush()
            stream.seek(0)
            texts.append(stream.read())
        assert isinstance(code, int), f"an exit code is a number, not {code!r}"
        return Called(code, *texts)

    return run
