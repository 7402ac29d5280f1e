"""No committed text speaks of machines, addresses of packages, or unfinished work."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
HERE = Path(__file__).name
BINARY = {".png", ".jpg", ".pdf", ".woff", ".woff2", ".ttf", ".otf", ".gz", ".zip"}
LIMIT = 3_000_000

FORBIDDEN = {
    "a path of one machine": r"(?<![\w.])/(?:work|root|tmp|farm|home)/[\w.]",
    "a host of packages": r"pypi\.org|pythonhosted\.org|registry\.npmjs|deb\.debian\.org|crates\.io",
    "a document that is not the project's": r"seed document|reference card",
    "who or what wrote it": r"\bLLM\b|\bAI\b|language model|transcript",
    "unfinished work": r"\bTODO\b|\bFIXME\b|\bXXX\b|NotImplementedError",
    "a check switched off": r"#\s*noqa|type:\s*ignore|pytest\.mark\.(?:skip|xfail)|pytest\.skip\(",
}


def committed() -> list[Path]:
    """Text files of the project as git lists them, or all of them outside a checkout."""
    try:
        done = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=True)
        names = [name for name in done.stdout.split("\0") if name]
    except (OSError, subprocess.CalledProcessError):
        names = [str(path.relative_to(ROOT)) for path in ROOT.rglob("*") if path.is_file()]
        names = [name for name in names if not name.startswith((".venv", "docs/_build", "demo-plan"))]
    paths = [ROOT / name for name in names]
    return [path for path in paths if path.suffix not in BINARY and path.is_file() and path.name != HERE]


@pytest.mark.parametrize("what", FORBIDDEN)
def test_no_text_holds(what: str) -> None:
    pattern = re.compile(FORBIDDEN[what])
    found = []
    for path in committed():
        if path.stat().st_size > LIMIT:
            continue
        for number, line in enumerate(path.read_text(encoding="utf-8", errors="replace").splitlines(), start=1):
            if pattern.search(line):
                found.append(f"{path.relative_to(ROOT)}:{number}: {line.strip()[:100]}")
    assert not found, f"{what}:\n" + "\n".join(found)


@pytest.mark.parametrize("name", ["requirements.lock", "requirements-dev.lock", "requirements-proof.lock"])
def test_locks_hold_names_and_hashes_only(name: str) -> None:
    text = (ROOT / name).read_text(encoding="utf-8")
    assert not re.search(r"https?:|--index|--extra-index|--find-links|file:|git\+|@ ", text), f"{name}: an address"
    blocks = re.split(r"\n(?=\w)", text.strip())
    assert len(blocks) > 20, f"{name}: too short to be a lock"
    for block in blocks:
        assert re.match(r"[\w.\-\[\]]+==\S+", block), f"{name}: not pinned: {block[:60]}"
        assert "--hash=sha256:" in block, f"{name}: no hash: {block[:60]}"


def test_the_lock_for_work_has_everything_of_the_lock_for_use() -> None:
    pins = [
        set(re.findall(r"^([\w.\-]+)==(\S+)", (ROOT / name).read_text(encoding="utf-8"), re.MULTILINE))
        for name in ("requirements.lock", "requirements-dev.lock")
    ]
    assert pins[0] <= pins[1], f"only in requirements.lock: {sorted(pins[0] - pins[1])}"
