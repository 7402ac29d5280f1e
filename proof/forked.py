"""Run tests in a child of a process that has the heavy libraries loaded already; needs a system that can fork."""

from __future__ import annotations

import importlib
import os
import resource
import signal
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

import pytest

_HEAVY = (
    "alembic", "astral", "hypothesis", "hypothesis.extra.numpy", "hypothesis.strategies", "joblib", "numba", "numpy",
    "pint", "pydantic", "ruamel.yaml", "scipy.optimize", "scipy.special", "scipy.stats", "shapely", "sqlalchemy",
)  # fmt: skip


def load_heavy() -> None:
    """Load once what every child would load; nothing of the project, which the children change."""
    for name in _HEAVY:
        importlib.import_module(name)


class Chosen:
    """Keeps the chosen tests only, in the given order, and counts them."""

    def __init__(self, tests: Sequence[str]):
        self.order = {name: place for place, name in enumerate(tests)}

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """Keep and sort."""
        items[:] = sorted(
            (item for item in items if item.nodeid in self.order), key=lambda item: self.order[item.nodeid]
        )


@dataclass(frozen=True)
class Ended:
    """How a child ended: exit code of the tests, None where time ran out; processor time [s]; last words."""

    code: int | None
    seconds: float
    words: str


def in_child(task: Callable[[], int], root: Path, processor: int, wall: float) -> Ended:
    """Run a task in a child with its output kept, ended after `processor` seconds of work or `wall` seconds."""
    kept = root / "output.txt"
    start = os.times()
    child = os.fork()
    if child == 0:
        code = 70
        try:
            os.setpgid(0, 0)
            resource.setrlimit(resource.RLIMIT_CPU, (processor, processor + 2))
            to = os.open(kept, os.O_WRONLY | os.O_CREAT | os.O_TRUNC)
            os.dup2(to, 1)
            os.dup2(to, 2)
            code = task()
        finally:
            sys.stdout.flush()
            os._exit(code)
    until = time.monotonic() + wall
    status: int | None = None
    while status is None:
        done, found = os.waitpid(child, os.WNOHANG)
        if done:
            status = found
        elif time.monotonic() > until:
            os.killpg(child, signal.SIGKILL)
            os.waitpid(child, 0)
            break
        else:
            time.sleep(0.02)
    end = os.times()
    spent = end.children_user + end.children_system - start.children_user - start.children_system
    ended = os.waitstatus_to_exitcode(status) if status is not None else -1
    words = kept.read_text(encoding="utf-8", errors="replace") if kept.exists() else ""
    return Ended(None if ended < 0 else ended, spent, words[-4000:])


def run_tests(
    root: Path, files: Sequence[str], plugins: Sequence[object], *, changed: bool, fresh_kernels: bool = False
) -> int:
    """Run test files below a copy of the project, in this process: call in a child only.

    Parameters
    ----------
    root
        The copy.
    files
        Test files, relative to it.
    plugins
        Of pytest.
    changed
        Something in the copy is not as it was.
    fresh_kernels
        Compile every kernel anew: a compiled function kept on disk does not know when what it calls has changed.
    """
    os.chdir(root)
    # The first, unchanged run keeps its bytecode for all that follow.
    sys.dont_write_bytecode = changed
    # The plugins that happen to be installed take longer to load than most tests to run.
    os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"
    sys.path.insert(0, str(root / "src"))
    os.environ["PYTHONPATH"] = str(root / "src")
    if fresh_kernels:
        config = importlib.import_module("numba.core.config")
        vars(config)["CACHE_DIR"] = tempfile.mkdtemp(dir=root)
    words = ["-q", "-x", "-m", "not slow", "--tb=short", "-p", "no:cacheprovider", *files]
    return int(pytest.main(words, plugins=list(plugins)))
