"""Property tests draw the same cases in every run; `SETWRIGHT_RANDOM=1` draws new ones."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from typing import TYPE_CHECKING

import pytest
from hypothesis import settings

if TYPE_CHECKING:
    from playwright.sync_api import Browser

FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"]
# A busy machine is no fault of what is tested, so no case has a deadline.
settings.register_profile("fixed", derandomize=True, deadline=None)
if not os.environ.get("SETWRIGHT_RANDOM"):
    settings.load_profile("fixed")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """A real Chromium, one for all tests of a process: a second one could not be driven beside it."""
    from playwright.sync_api import sync_playwright

    found = os.environ.get("SETWRIGHT_CHROMIUM") or shutil.which("chromium")
    with sync_playwright() as play:
        made = play.chromium.launch(executable_path=found, args=FLAGS)
        yield made
        made.close()
