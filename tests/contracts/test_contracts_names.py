"""Every public argument and field of the physics rooms and of basis stands in the glossary."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
ROOMS = ("basis", "trap", "animal", "ground", "water", "weather", "tackle", "law", "log")
# The frost part of the ground has a page of names of its own.
PAGES = {"ground": ("ground", "frost")}


def _public(name: str) -> bool:
    return not name.startswith("_")


def _is_dataclass(node: ast.ClassDef) -> bool:
    return any("dataclass" in ast.unparse(decorator) for decorator in node.decorator_list)


def _arguments(node: ast.FunctionDef) -> set[str]:
    every = [*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs]
    every += [extra for extra in (node.args.vararg, node.args.kwarg) if extra is not None]
    return {argument.arg for argument in every if argument.arg not in ("self", "cls") and _public(argument.arg)}


def names_of(text: str) -> set[str]:
    """Public argument and dataclass field names of one module's text."""
    found: set[str] = set()
    for node in ast.parse(text).body:
        if isinstance(node, ast.FunctionDef) and _public(node.name):
            found |= _arguments(node)
        elif isinstance(node, ast.ClassDef) and _public(node.name):
            for part in node.body:
                if isinstance(part, ast.FunctionDef) and (_public(part.name) or part.name == "__init__"):
                    found |= _arguments(part)
                elif isinstance(part, ast.AnnAssign) and _is_dataclass(node) and isinstance(part.target, ast.Name):
                    found |= {part.target.id} if _public(part.target.id) else set()
    return found


def glossary(room: str) -> dict[str, tuple[str, str]]:
    """Unit and meaning by name, from the tables of one room."""
    found = {}
    pages = [ROOT / "docs" / "names" / f"{page}.md" for page in PAGES.get(room, (room,))]
    for line in (line for page in pages for line in page.read_text(encoding="utf-8").splitlines()):
        cells = [cell.strip() for cell in re.split(r"(?<!\\)\|", line.strip().strip("|"))]
        if len(cells) >= 3 and line.startswith("|") and set(cells[0]) - set("-: "):
            for name in re.findall(r"[A-Za-z_]\w*", cells[0]):
                found[name] = (cells[1], cells[2])
    return found


@pytest.mark.parametrize("room", ROOMS)
def test_every_public_name_is_in_the_glossary(room: str) -> None:
    used: dict[str, str] = {}
    for path in sorted((ROOT / "src" / "setwright" / room).glob("*.py")):
        used.update(dict.fromkeys(names_of(path.read_text(encoding="utf-8")), path.name))
    known = glossary(room)
    missing = sorted(f"{name} ({place})" for name, place in used.items() if name not in known)
    assert not missing, f"docs/names/{room}.md lacks: {', '.join(missing)}"


@pytest.mark.parametrize("room", ROOMS)
def test_every_name_has_a_unit_and_a_meaning(room: str) -> None:
    empty = sorted(name for name, (unit, meaning) in glossary(room).items() if not unit or not meaning)
    assert not empty, f"docs/names/{room}.md: no unit or meaning for {', '.join(empty)}"


def test_the_reader_of_names_sees_arguments_and_fields() -> None:
    text = "@dataclass(frozen=True)\nclass A:\n    field: float\n    def act(self, way, *, _own=1): ...\n"
    text += "def go(far, /, *more): ..."
    assert names_of(text) == {"field", "way", "far", "more"}
