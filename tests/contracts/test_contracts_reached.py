"""No module lies about unseen: the commands reach it, or the page on limits says that it stands by itself."""

from __future__ import annotations

import ast
import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SOURCE = ROOT / "src"
# Scripts of the migrations are found by their folder, not by an import.
FOUND_OTHERWISE = re.compile(r"setwright\.log\.(?:skill_)?migrations\b")


def modules() -> dict[str, Path]:
    """Every module of the project by its name."""
    found = {}
    for path in SOURCE.rglob("*.py"):
        parts = path.relative_to(SOURCE).with_suffix("").parts
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        if not FOUND_OTHERWISE.match(name):
            found[name] = path
    return found


def imports(path: Path, known: dict[str, Path]) -> set[str]:
    """Modules of the project that a file imports anywhere, within functions too, or names to be imported by name."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {one.name for one in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module, *(f"{node.module}.{one.name}" for one in node.names)}
        elif isinstance(node, ast.Constant) and isinstance(node.value, str) and node.value.startswith("setwright."):
            found.add(node.value)
    return {name for name in found if name in known}


def reached(start: str, known: dict[str, Path]) -> set[str]:
    """Modules that a module leads to, with the packages that hold them."""
    seen, ahead = set(), [start]
    while ahead:
        name = ahead.pop()
        if name in seen:
            continue
        seen.add(name)
        parts = name.split(".")
        ahead += [".".join(parts[:size]) for size in range(1, len(parts))]
        ahead += imports(known[name], known)
    return seen


def test_every_module_is_reached_by_a_command_or_said_to_stand_by_itself() -> None:
    known = modules()
    alone = set(known) - reached("setwright.cli.main", known)
    page = (ROOT / "docs" / "limits.md").read_text(encoding="utf-8").split("## What stands by itself", 1)[1]
    told = {f"setwright.{name}" for name in re.findall(r"^\| `([\w.]+)` \|", page.split("\n## ", 1)[0], re.MULTILINE)}
    assert told == alone


def test_the_search_finds_a_module_that_nobody_imports(tmp_path: Path) -> None:
    first, second, third = (tmp_path / f"{name}.py" for name in ("one", "two", "three"))
    first.write_text("def run() -> None:\n    from two import thing\n", encoding="utf-8")
    second.write_text("thing = 1\n", encoding="utf-8")
    third.write_text("import two\n", encoding="utf-8")
    assert reached("one", {"one": first, "two": second, "three": third}) == {"one", "two"}
