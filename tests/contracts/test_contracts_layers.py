"""The contracts between rooms hold on the tree, and each one fails when it is broken on purpose."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
CONTRACTS = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["tool"]["importlinter"]["contracts"]

# Contract, file that is added, what it holds.
BROKEN = [
    ("layers", "trap/broken.py", "import setwright.animal"),
    ("layers", "draw/broken.py", "import setwright.desk"),
    ("layers", "basis/broken.py", "import setwright.sets"),
    ("layers", "sets/broken.py", "import setwright.line"),
    ("layers", "web/broken.py", "import setwright.cli"),
    ("layers", "newroom/__init__.py", ""),
    ("layers", "line/broken.py", "import setwright.log"),
    ("layers", "log/broken.py", "import setwright.desk"),
    ("reader", "sets/broken.py", "from setwright.basis.tables import read_table"),
    ("reader", "animal/broken.py", "from setwright.basis import tables"),
    ("figures", "animal/broken.py", "from setwright.animal import tables"),
    ("units", "animal/broken.py", "from setwright.basis.units import convert"),
    ("units", "line/broken.py", "from setwright.basis import units"),
    ("files", "sets/broken.py", "from setwright.basis.fields import Length"),
    ("files", "animal/broken.py", "from setwright.basis import yamlfile"),
    ("surfaces", "line/broken.py", "import rich"),
    ("surfaces", "sets/broken.py", "def late():\n    from sqlalchemy import select\n    return select"),
    ("records", "log/broken.py", "import jinja2"),
    ("database", "desk/broken.py", "from sqlalchemy import select"),
    ("network", "water/broken.py", "import httpx"),
    ("network", "line/broken.py", "import socket"),
    ("solver", "log/broken.py", "import pyvrp"),
    ("solver", "animal/broken.py", "from scipy.optimize import brentq"),
    ("solver", "desk/broken.py", "import pyvrp"),
]


def _lint(source: Path, *words: str) -> subprocess.CompletedProcess[str]:
    program = "import sys; from importlinter.cli import lint_imports_command as run; run(sys.argv[1:])"
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    return subprocess.run(
        [sys.executable, "-c", program, "--config", str(ROOT / "pyproject.toml"), "--no-cache", *words],
        cwd=source, env={**kept, "PYTHONPATH": str(source)}, capture_output=True, text=True, check=False,
    )  # fmt: skip


def _copy(target: Path) -> Path:
    shutil.copytree(
        ROOT / "src" / "setwright",
        target / "setwright",
        ignore=shutil.ignore_patterns("data", "__pycache__", "broken.py"),
    )
    return target


def test_the_tree_keeps_every_contract() -> None:
    done = _lint(ROOT / "src")
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize(("contract", "place", "text"), BROKEN)
def test_a_broken_contract_is_noticed(tmp_path: Path, contract: str, place: str, text: str) -> None:
    source = _copy(tmp_path)
    added = source / "setwright" / place
    added.parent.mkdir(exist_ok=True)
    added.write_text(f'"""Breaks a contract."""\n\n{text}\n', encoding="utf-8")
    done = _lint(source, "--contract", contract)
    assert done.returncode == 1, f"{contract} should fail with {text!r} in {place}: {done.stdout}{done.stderr}"
    named = "newroom" if "newroom" in place else "broken"
    assert named in done.stdout, f"the report should name the module: {done.stdout}"


def test_every_contract_is_broken_here_once() -> None:
    assert {row[0] for row in BROKEN} == {contract["id"] for contract in CONTRACTS}
