"""Which tests run which lines, and how long each takes."""

from __future__ import annotations

import ast
import json
import re
import time
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import coverage
import pytest

_KERNELS = ("trap/kernel.py", "trap/lanes.py", "ground/frost_kernel.py")


class Watched:
    """Tells the measurement which test runs, and takes the time."""

    def __init__(self, measurement: coverage.Coverage):
        self.measurement = measurement
        self.seconds: dict[str, float] = {}

    @pytest.hookimpl(hookwrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        """Around one test."""
        self.measurement.switch_context(item.nodeid)
        start = time.process_time()
        yield
        self.seconds[item.nodeid] = time.process_time() - start
        self.measurement.switch_context("")


@dataclass(frozen=True)
class Reach:
    """Tests by module and line, and seconds by test."""

    lines: dict[str, dict[int, list[str]]]
    seconds: dict[str, float]

    def of_module(self, module: str) -> set[str]:
        """Tests that run any line of a module."""
        return {test for tests in self.lines.get(module, {}).values() for test in tests}

    def of_line(self, root: Path, module: str, line: int) -> list[str]:
        """Tests that run the statement of a line, quickest first; of its whole module where it runs on import."""
        source = (root / "src/setwright" / module).read_text(encoding="utf-8")
        if module in _KERNELS:
            found = self.of_users(root, module)
        else:
            known = self.lines.get(module, {})
            first, last, inside = _statement(source, line)
            found = {test for at in range(first, last + 1) for test in known.get(at, ())}
            if not found and not inside:
                found = self.of_module(module)
        return self.quickest(found)

    def quickest(self, tests: set[str]) -> list[str]:
        """Tests in the order of their time."""
        return sorted(tests, key=lambda test: (self.seconds.get(test, 0.0), test))

    def of_files(self, root: Path, module: str) -> list[str]:
        """All tests of every file that imports a module or has a test that runs it, quickest first."""
        room, stem = module.removesuffix(".py").split("/")
        named = re.compile(rf"from setwright\.{room}(\.{stem}\b| import [^\n]*\b{stem}\b)")
        files = {test.split("::")[0] for test in self.of_module(module) | self.of_users(root, module)}
        known = {test.split("::")[0] for test in self.seconds}
        files |= {file for file in known if named.search((root / file).read_text(encoding="utf-8"))}
        return self.quickest({test for test in self.seconds if test.split("::")[0] in files})

    def of_users(self, root: Path, module: str) -> set[str]:
        """Tests that run modules of the room which import one: the measurement does not see into compiled code."""
        name = "setwright." + module.removesuffix(".py").replace("/", ".")
        room = root / "src/setwright" / Path(module).parent
        users = [f"{room.name}/{file.name}" for file in room.glob("*.py") if name in file.read_text(encoding="utf-8")]
        found: set[str] = set()
        for user in users:
            found |= self.of_users(root, user) if user in _KERNELS else self.of_module(user)
        return found


def _statement(source: str, line: int) -> tuple[int, int, bool]:
    """First and last line of the smallest statement around a line, and whether it stands in a function."""
    best, inside = (line, line), False
    for node in ast.walk(ast.parse(source)):
        if not isinstance(node, ast.stmt):
            continue
        first, last = node.lineno, node.end_lineno or node.lineno
        if isinstance(node, ast.FunctionDef):
            inside = inside or node.body[0].lineno <= line <= last
        body = getattr(node, "body", None)
        if isinstance(body, list) and body:
            last = max(first, body[0].lineno - 1)
        if first <= line <= last and (best == (line, line) or last - first <= best[1] - best[0]):
            best = first, last
    return *best, inside


def is_kernel(module: str) -> bool:
    """True where the module is compiled."""
    return module in _KERNELS


def measure(root: Path, room: str, files: Sequence[str], run: object, kept: Path) -> int:
    """Run the tests of a room once, unchanged, and keep what they reach; call in a child only."""
    measurement = coverage.Coverage(data_file=None, source=[str(root / "src/setwright" / room)])
    watched = Watched(measurement)
    measurement.start()
    assert callable(run)
    code = int(run(root, files, [watched], changed=False))
    measurement.stop()
    data = measurement.get_data()
    lines: dict[str, dict[int, list[str]]] = {}
    for file in data.measured_files():
        found = data.contexts_by_lineno(file)
        lines[f"{room}/{Path(file).name}"] = {line: [one for one in tests if one] for line, tests in found.items()}
    kept.write_text(json.dumps({"lines": lines, "seconds": watched.seconds}), encoding="utf-8")
    return code


def read(kept: Path) -> Reach:
    """What `measure` kept."""
    given = json.loads(kept.read_text(encoding="utf-8"))
    lines: dict[str, dict[int, list[str]]] = defaultdict(dict)
    for module, found in given["lines"].items():
        lines[module] = {int(line): tests for line, tests in found.items()}
    return Reach(dict(lines), given["seconds"])
