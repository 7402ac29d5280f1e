"""A release: the same bytes from the same source, whole, and usable without the repository."""

from __future__ import annotations

import csv
import hashlib
import importlib.util
import io
import json
import os
import shutil
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[2]


def _module() -> ModuleType:
    spec = importlib.util.spec_from_file_location("release_of_setwright", ROOT / "release" / "release.py")
    assert spec is not None
    assert spec.loader is not None
    found = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(found)
    return found


release = _module()


def _archive(names: list[str], when: int, owner: str) -> bytes:
    out = io.BytesIO()
    with tarfile.open(fileobj=out, mode="w:gz") as file:
        for name in names:
            one = tarfile.TarInfo(name)
            one.size, one.mtime, one.uname, one.uid = 1, when, owner, when % 1000
            file.addfile(one, io.BytesIO(b"x"))
    return out.getvalue()


def test_order_times_and_owners_leave_no_trace_in_the_archive() -> None:
    one = release.plain_archive(_archive(["a", "b"], 1_700_000_000, "me"), 1_000_000_000)
    other = release.plain_archive(_archive(["b", "a"], 1_800_000_000, "you"), 1_000_000_000)
    assert one == other
    assert one != release.plain_archive(_archive(["a", "b"], 1_700_000_000, "me"), 1_000_000_001)


def test_every_requirement_of_the_lock_is_in_the_bill_and_states_a_licence() -> None:
    bill = json.loads(release.bill())
    listed = {(part["name"].lower(), part["version"]) for part in bill["components"]}
    known = release.locked()
    assert len(known) > 40
    assert {(name.lower(), version) for name, version in known} <= listed
    rows = list(csv.DictReader(io.StringIO(release.licences())))
    assert [row["package"] for row in rows if not row["licence"]] == []


def _made(out: Path) -> dict[str, bytes]:
    command = [sys.executable, str(ROOT / "release" / "release.py"), "--out", str(out)]
    surroundings = {**os.environ, "SOURCE_DATE_EPOCH": "1700000000"}
    done = subprocess.run(command, env=surroundings, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return {path.name: path.read_bytes() for path in out.iterdir()}


@pytest.mark.slow
def test_a_release_made_twice_is_the_same_and_runs_without_the_repository(tmp_path: Path) -> None:
    made = _made(tmp_path / "one")
    assert made == _made(tmp_path / "two")
    for line in made["SHA256SUMS"].decode().splitlines():
        digest, name = line.split("  ")
        assert hashlib.sha256(made[name]).hexdigest() == digest
    wheel = next(tmp_path.glob("one/*.whl"))
    names = set(zipfile.ZipFile(wheel).namelist())
    source = {str(path.relative_to(ROOT / "src")) for path in (ROOT / "src" / "setwright").rglob("*")
              if path.is_file() and "__pycache__" not in path.parts}  # fmt: skip
    assert source <= names
    python = tmp_path / "environment" / "bin" / "python"
    for command in (
        [sys.executable, "-m", "venv", str(tmp_path / "environment")],
        [str(python), "-m", "pip", "install", "-q", "--require-hashes", "-r", str(ROOT / "requirements.lock")],
        [str(python), "-m", "pip", "install", "-q", "--no-deps", "--no-index", str(wheel)],
        [str(python.with_name("setwright")), "self-check"],
        [str(python.with_name("setwright")), "demo", "--no-serve", "--out", "plan"],
    ):
        _run(command, tmp_path)
    assert json.loads((tmp_path / "plan" / "plan.json").read_text(encoding="utf-8"))["sets"]


def _run(command: list[str], folder: Path, code: int = 0) -> str:
    """Run a command with nothing of this environment in sight; what it wrote."""
    bare = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "VIRTUAL"))}
    done = subprocess.run(command, cwd=folder, env=bare, capture_output=True, text=True, check=False)
    assert done.returncode == code, done.stdout[-1000:] + done.stderr[-2000:]
    return done.stdout + done.stderr


@pytest.mark.slow
def test_a_wheel_by_itself_installs_and_says_what_it_lacks(tmp_path: Path) -> None:
    wheel, _ = release.built(tmp_path, 1_700_000_000)
    # As tools do that give each program an environment of its own: versions as the bounds allow, no lock, no extras.
    home = tmp_path / "home"
    python, own = home / "bin" / "python", home / "bin" / "setwright"
    _run([sys.executable, "-m", "venv", str(home)], tmp_path)
    _run([str(python), "-m", "pip", "install", "-q", str(wheel)], tmp_path)
    assert "Nothing is wrong" in _run([str(own), "self-check"], tmp_path)
    shutil.copytree(ROOT / "docs" / "examples" / "study-practice", tmp_path / "study")
    told = _run([str(own), "study", "study/jaws-and-pans.yaml", "--parquet"], tmp_path, code=2)
    assert 'pip install "setwright[parquet]"' in told
    assert "Traceback" not in told
    _run([str(python), "-m", "pip", "uninstall", "-q", "-y", "tzdata"], tmp_path)
    told = _run([str(own), "self-check"], tmp_path, code=1)
    assert 'pip install "tzdata' in told
