"""The pages are a contract: a command, an option or a page that is not in them fails here."""

from __future__ import annotations

import csv
import importlib.util
import json
import re
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from setwright.desk.schemas import NAMES, schema_of
from setwright.web.app import create_app
from setwright.web.open_line import OpenLine

ROOT = Path(__file__).resolve().parents[2]
DOCS = ROOT / "docs"


def _commands() -> dict[str, Any]:
    import typer

    from setwright.cli.main import app

    return _within(typer.main.get_command(app), "")


def _within(group: Any, before: str) -> dict[str, Any]:
    """Commands of a group and of the groups in it, by their whole names."""
    found: dict[str, Any] = {}
    for name, command in group.commands.items():
        whole = f"{before}{name}"
        found.update(_within(command, f"{whole} ") if hasattr(command, "commands") else {whole: command})
    return found


def _section(name: str) -> str:
    text = (DOCS / "how" / "commands.md").read_text(encoding="utf-8")
    for part in re.split(r"^## ", text, flags=re.MULTILINE)[1:]:
        if part.split("\n", 1)[0].strip("` ").removeprefix("setwright ") == name:
            return part
    return ""


def test_every_command_and_option_is_described() -> None:
    missing = []
    for name, command in _commands().items():
        section = _section(name)
        if not section:
            missing.append(name)
            continue
        for parameter in command.params:
            words = [*parameter.opts, *parameter.secondary_opts]
            if parameter.param_type_name == "argument":
                words = [parameter.metavar or parameter.name.upper()]
            for word in words:
                if word != "--help" and not re.search(rf"`{re.escape(word)}\b", section):
                    missing.append(f"{name} {word}")
    assert not missing, f"docs/how/commands.md lacks: {', '.join(missing)}"


def test_no_command_is_described_that_does_not_exist() -> None:
    text = (DOCS / "how" / "commands.md").read_text(encoding="utf-8")
    heads = {head.strip("` ").removeprefix("setwright ") for head in re.findall(r"^## (.+)$", text, re.MULTILINE)}
    assert heads <= set(_commands()), f"described but absent: {sorted(heads - set(_commands()))}"


def _asked(text: str) -> list[str]:
    """Commands of the program in code: spans, and lines of fenced blocks."""
    fenced = re.findall(r"^```[^\n]*\n(.*?)^```", text, re.DOTALL | re.MULTILINE)
    lines = [line.split(" #")[0] for block in fenced for line in re.sub(r"\\\n\s*", " ", block).splitlines()]
    spans = re.findall(r"`(setwright [^`]+)`", re.sub(r"^```.*?^```", "", text, flags=re.DOTALL | re.MULTILINE))
    return [" ".join(one.split()) for one in (*spans, *lines) if one.strip().startswith("setwright ")]


def test_every_command_that_a_page_asks_for_exists_with_its_options() -> None:
    commands = _commands()
    groups = {name.split(" ")[0] for name in commands if " " in name}
    wrong, seen = [], 0
    for page in (ROOT / "README.md", *sorted(path for path in DOCS.rglob("*.md") if "_build" not in path.parts)):
        for asked in _asked(page.read_text(encoding="utf-8")):
            words = asked.split(" ")[1:]
            # Words on the program as a whole, or on a group of commands.
            if words[0] in ("COMMAND", "--help", "--version"):
                continue
            if words[0] in groups and (len(words) == 1 or not re.fullmatch(r"[a-z]+", words[1])):
                continue
            longest = next((size for size in (3, 2, 1) if " ".join(words[:size]) in commands), 0)
            seen += 1
            if not longest:
                wrong.append(f"{page.name}: {asked}")
                continue
            known = {word for one in commands[" ".join(words[:longest])].params
                     for word in (*one.opts, *one.secondary_opts)} | {"--help"}  # fmt: skip
            wrong += [f"{page.name}: {word} in {asked}" for word in words
                      if re.fullmatch(r"--[a-z-]+", word) and word not in known]  # fmt: skip
    assert seen > 100
    assert not wrong, "\n".join(wrong)


def test_every_page_is_in_the_contents() -> None:
    listed: set[Path] = set()
    for page in (DOCS / "index.md", DOCS / "names.md"):
        for block in re.findall(r"```\{toctree\}\n(.*?)```", page.read_text(encoding="utf-8"), re.DOTALL):
            for line in block.splitlines():
                entry = line.strip()
                if entry and not entry.startswith(":"):
                    listed |= set(DOCS.glob(f"{entry}.md"))
    pages = {path for path in DOCS.rglob("*.md") if "_build" not in path.parts} - {DOCS / "index.md"}
    assert pages <= listed, f"in no contents: {sorted(str(p.relative_to(DOCS)) for p in pages - listed)}"


class _Resources(HTMLParser):
    """Collects what a browser would fetch to show a page."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        fetched = given.get("src") if tag != "a" else None
        if tag == "link" and not {"canonical", "license"} & set((given.get("rel") or "").split()):
            fetched = given.get("href")
        if fetched:
            self.found.append(fetched)


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    target = tmp_path_factory.mktemp("pages")
    # Without working out the outside checks anew, which take most of the time and show nothing here.
    words = ["-q", "-t", "bare", "-b", "html", "-d", str(target / "trees"), str(DOCS), str(target / "html")]
    done = subprocess.run([sys.executable, "-m", "sphinx", *words], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    return target / "html"


def test_the_built_pages_fetch_nothing_from_elsewhere(built: Path) -> None:
    pages = list(built.rglob("*.html"))
    assert len(pages) > 5, "the pages were built"
    for page in pages:
        reader = _Resources()
        reader.feed(page.read_text(encoding="utf-8"))
        outside = [found for found in reader.found if re.match(r"(?:https?:)?//", found)]
        assert not outside, f"{page.name} fetches {outside}"
    for sheet in built.rglob("*.css"):
        text = sheet.read_text(encoding="utf-8")
        assert not re.search(r"@import[^;]*//|url\(\s*['\"]?(?:https?:)?//", text), (
            f"{sheet.name} fetches from elsewhere"
        )


def _reference() -> ModuleType:
    spec = importlib.util.spec_from_file_location("reference_of_setwright", DOCS / "reference.py")
    assert spec is not None
    assert spec.loader is not None
    found = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(found)
    return found


reference = _reference()


@pytest.mark.parametrize("name", NAMES)
def test_every_field_of_a_file_is_on_its_page(name: str) -> None:
    page = reference.format_page(name)
    sections = {part.split("\n", 1)[0]: part for part in re.split(r"^## ", page, flags=re.MULTILINE)}
    schema = json.loads(schema_of(name))
    parts = {page.split("\n", 1)[0]: schema, **schema.get("$defs", {})}
    for title, part in parts.items():
        for field, told in part.get("properties", {}).items():
            row = re.search(rf"^\| `{re.escape(field)}` \|.*$", sections[title], re.MULTILINE)
            assert row, f"{name}: {title}: {field}"
            assert ("**needed**" in row[0]) == (field in part.get("required", ()))
            for link in re.findall(r"#/\$defs/(\w+)", json.dumps(told)):
                assert f"[{link}](#{link.lower()})" in row[0]
                assert link in sections


def test_every_path_of_the_interface_is_on_its_page() -> None:
    page = reference.api_page()
    described = create_app(OpenLine(Path("line-book.yaml"), draws=50)).openapi()
    heads = set(re.findall(r"^## `(.+)`$", page, re.MULTILINE))
    wanted = {f"{method.upper()} {path}" for path, told in described["paths"].items() for method in told}
    assert heads == wanted
    assert len(wanted) > 10
    objects = set(re.findall(r"^## (\w+)$", page, re.MULTILINE))
    lacking = set(re.findall(r"\]\(#(\w+)\)", page)) - {name.lower() for name in objects}
    assert not lacking
    for folder, name in set(re.findall(r"\]\((fields)/([\w-]+)\.md", page)):
        assert name in NAMES, f"{folder}/{name}"


def test_every_record_of_an_independent_program_is_counted() -> None:
    page = reference.independent_programs(ROOT / "authorities")
    records = sorted((ROOT / "authorities").glob("*/*.csv"))
    assert len(records) >= 10
    for path in records:
        with path.open(encoding="utf-8", newline="") as lines:
            rows = sum(1 for _ in csv.DictReader(line for line in lines if not line.startswith("#")))
        section = page.split(f"Rows in `authorities/{path.parent.name}`: ", 1)[1].split("\n", 1)[0]
        assert f"`{path.name}` {rows:,}" in section
