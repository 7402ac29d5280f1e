"""Pages made anew with every build: each field of each file format, and each path of the interface."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from setwright.desk.schemas import NAMES, WRITTEN_BY_THE_PROGRAM, schema_of
from setwright.web.app import create_app
from setwright.web.open_line import OpenLine

Schema = Mapping[str, Any]
ABOUT = {
    "line-book": ("The line book", "Written by you. [How to write it](../how/line-book.md)."),
    "law-pack": ("The law pack", "Written by you. [How to write and check it](../how/law-packs.md)."),
    "trap": ("The trap file", "Written by you. [What may be read on a bench](../how/trap-file.md)."),
    "accounts": ("The accounts", "`accounts.yaml` beside the line book, written by you; the season book reads it."),
    "study": ("The study", "Written by you. [Studies](../how/study.md)."),
    "plan": ("The plan", "`plan.json`, written by `setwright plan` and `setwright demo`; SI units, °C."),
    "design": ("The design of a set", "Printed by `setwright design --json`; SI units, °C."),
    "tonight": ("The evening", "Printed by `setwright tonight --json`; SI units, °C."),
    "bench": ("The bench sheet", "Printed by `setwright trap --json`; SI units, °C."),
    "run": ("The check run", "`run.json`, written by `setwright run --out`; SI units, times with offset."),
    "law": ("The law sheet", "Printed by `setwright law --json`."),
    "field-pack": ("The field pack", "What a phone takes along, from `/api/field-pack` ([sync](../how/sync.md))."),
    "season": ("The season book", "`season.json`, written by `setwright season --out`; SI units."),
}
# Least and most of what a field may hold, with the word that follows the figures.
LIMITS = (
    ("minimum", "maximum", ""), ("minLength", "maxLength", " characters"), ("minItems", "maxItems", " entries"),
    ("minProperties", "maxProperties", " entries"),
)  # fmt: skip
KINDS = {"string": "text", "integer": "whole number", "number": "number", "boolean": "true or false", "null": "null"}


def safe(text: str) -> str:
    """Text for a cell: one line, nothing in it that begins markup."""
    return re.sub(r"([|$<>*\[\]])", r"\\\1", " ".join(text.split()))


def kind(part: Schema) -> str:
    """What a field may hold, in words."""
    if "$ref" in part:
        name = part["$ref"].rsplit("/", 1)[1]
        return f"[{name}](#{name.lower()})"
    if "const" in part:
        return f"`{part['const']}`"
    if "enum" in part:
        return " / ".join(f"`{one}`" for one in part["enum"])
    for word in ("anyOf", "oneOf"):
        if word in part:
            found: list[str] = list(dict.fromkeys(kind(one) for one in part[word]))
            return " or ".join(one for one in found if one != "null") + (" or null" if "null" in found else "")
    if part.get("type") == "array":
        if "prefixItems" in part:
            return "list of " + ", ".join(kind(one) for one in part["prefixItems"])
        return f"list of {kind(part.get('items', {}))}"
    if part.get("type") == "object" or "properties" in part:
        if "properties" in part:
            return "mapping of " + ", ".join(f"`{name}`" for name in part["properties"])
        values = next(iter(part.get("patternProperties", {}).values()), part.get("additionalProperties"))
        return f"mapping to {kind(values)}" if isinstance(values, dict) and values else "mapping"
    if "type" not in part:
        return "anything"
    names: list[str] = part["type"] if isinstance(part["type"], list) else [part["type"]]
    told = " or ".join(KINDS.get(name, name) for name in names)
    if "format" in part:
        told = {"date": "day", "date-time": "time with offset", "time": "time of day", "uuid": "UUID"}.get(
            part["format"], f"{told} ({part['format']})"
        )
    return told + (f" ({safe(part['description'])})" if "description" in part else "")


def limits(part: Schema) -> Iterator[str]:
    """Bounds of a field and of what stands within it."""
    for least, most, unit in LIMITS:
        low, high = part.get(least), part.get(most)
        if low is not None and high is not None:
            yield f"{low:,} to {high:,}{unit}"
        elif low is not None or high is not None:
            yield f"at least {low:,}{unit}" if high is None else f"at most {high:,}{unit}"
    for name, words in (("exclusiveMinimum", "above"), ("exclusiveMaximum", "below")):
        if name in part:
            yield f"{words} {part[name]:,}"
    if "pattern" in part:
        yield "pattern `" + part["pattern"].replace("|", "\\|") + "`"
    for one in part.get("anyOf", ()):
        yield from limits(one)
    for inner in ("items", "additionalProperties"):
        if isinstance(part.get(inner), dict):
            yield from (f"each {words}" for words in limits(part[inner]))


def fields(part: Schema) -> str:
    """Table of the fields of one object."""
    lines = ["| field | holds | when left out | bounds and meaning |", "|---|---|---|---|"]
    needed = part.get("required", ())
    for name, one in part["properties"].items():
        if name in needed:
            absent = "**needed**"
        else:
            value = one.get("default")
            absent = "nothing" if value in (None, [], {}) or isinstance(value, dict) else f"`{json.dumps(value)}`"
        said = one.get("description", "") if "anyOf" in one or "$ref" in one else ""
        more = "; ".join([*dict.fromkeys(limits(one)), *([safe(said)] if said else [])])
        lines.append(f"| `{name}` | {kind(one)} | {absent} | {more} |")
    return "\n".join(lines)


def prose(part: Schema) -> str:
    """What an object says of itself."""
    return re.sub(r"([$<])", r"\\\1", part.get("description", "")).strip()


def format_page(name: str) -> str:
    """Every object and field of a file format."""
    schema = json.loads(schema_of(name))
    title, about = ABOUT[name]
    parts = [
        f"# {title}, field by field",
        f"{about} Made from the schema that `setwright schema {name}` prints; what is not listed is refused. "
        "A quantity is text with its unit, or a mapping with `value` and `sd`, or `low` and `high`, and `source`.",
        prose(schema), fields(schema),
    ]  # fmt: skip
    for key, part in sorted(schema.get("$defs", {}).items()):
        parts.append(f"## {key}")
        parts.append(prose(part))
        parts.append(fields(part) if "properties" in part else f"Holds {kind(part)}.")
    return "\n\n".join(part for part in parts if part) + "\n"


USUAL = ("400", "401", "403", "404", "413", "414", "422", "503")


def api_page() -> str:
    """Every path of the interface of the app, with what it takes and answers."""
    # The description depends on the routes alone: the line is never opened.
    schema = create_app(OpenLine(Path("line-book.yaml"), draws=50)).openapi()
    objects = schema["components"]["schemas"]
    elsewhere = _elsewhere()
    usual = next(iter(schema["paths"].values()))["get"]["responses"]
    parts = [
        "# The interface of the app",
        "Paths that `setwright web` answers for programs, made from its own description at `/api/openapi.json`. "
        "Figures are in SI units and °C. What writes needs the session's token in `X-Token` and a role that may; "
        "over the network every path needs a login, and positions go only to roles that see them "
        "([who may see what](how/lan.md), [threats](why/web-safety.md)).",
        "A fault is a problem by RFC 9457 (`application/problem+json`): "
        + "; ".join(f"{status} {safe(usual[status]['description']).lower()}" for status in USUAL if status in usual)
        + ".",
    ]  # fmt: skip
    for path, methods in sorted(schema["paths"].items()):
        for method, told in sorted(methods.items()):
            parts.extend(_operation(f"{method.upper()} {path}", told, elsewhere))
    for key, part in sorted(objects.items()):
        if key not in elsewhere:
            parts.append(f"## {key}")
            parts.append(prose(part))
            parts.append(_linked(fields(part) if "properties" in part else f"Holds {kind(part)}.", elsewhere))
    return "\n\n".join(part for part in parts if part) + "\n"


def _elsewhere() -> dict[str, str]:
    """Objects that a page of a written format has, with that page."""
    found: dict[str, str] = {}
    for name in WRITTEN_BY_THE_PROGRAM:
        for key in json.loads(schema_of(name)).get("$defs", {}):
            found.setdefault(key, f"fields/{name}.md#{key.lower()}")
    found.update({model: f"fields/{name}.md" for name, (_, model) in WRITTEN_BY_THE_PROGRAM.items()})
    return found


def _linked(text: str, elsewhere: Mapping[str, str]) -> str:
    """Text whose links to objects lead to the page that has them."""
    return re.sub(
        r"\[(\w+)\]\(#\w+\)", lambda one: f"[{one[1]}]({elsewhere[one[1]]})" if one[1] in elsewhere else one[0], text
    )


def _operation(name: str, told: Schema, elsewhere: Mapping[str, str]) -> Iterator[str]:
    yield f"## `{name}`"
    yield safe(told.get("description") or told.get("summary", ""))
    asked = []
    for one in told.get("parameters", ()):
        schema = one["schema"]
        absent = (
            "**needed**"
            if one.get("required")
            else f"`{json.dumps(schema['default'])}`"
            if "default" in schema
            else ""
        )
        more = "; ".join([*dict.fromkeys(limits(schema)), safe(one.get("description", ""))]).strip("; ")
        asked.append(f"| `{one['name']}` | {one['in']} | {kind(schema)} | {absent} | {more} |")
    if asked:
        head = ["| asked with | where | holds | when left out | bounds and meaning |", "|---|---|---|---|---|"]
        yield "\n".join([*head, *asked])
    for form, one in told.get("requestBody", {}).get("content", {}).items():
        yield _linked(f"Takes `{form}`: {kind(one.get('schema', {}))}.", elsewhere)
    for status, answer in sorted(told["responses"].items()):
        if status in USUAL:
            continue
        bodies = [(form, one.get("schema")) for form, one in answer.get("content", {}).items()]
        forms = [f"`{form}`: {kind(schema)}" if schema else f"`{form}`" for form, schema in bodies]
        yield _linked(f"{status}: {'; '.join(forms) or safe(answer['description'])}.", elsewhere)


def independent_programs(folder: Path) -> str:
    """What independent programs were asked: the notes of each room's recorded answers, with their rows counted."""
    parts = [
        "# Answers of independent programs",
        "Recorded once and compared with in every run of the tests; where the program can be installed, it is asked "
        "again in the long run of the checks. What can be told as one figure stands among [the outside "
        "checks](checks.md) too.",
    ]
    for notes in sorted(folder.glob("*/README.md")):
        room = notes.parent.name
        counted = ", ".join(f"`{path.name}` {_rows(path):,}" for path in sorted(notes.parent.glob("*.csv")))
        text = re.sub(r"^(#+ )", r"#\1", notes.read_text(encoding="utf-8"), flags=re.MULTILINE)
        parts.append(text.strip())
        parts.append(f"Rows in `authorities/{room}`: {counted}.")
    return "\n\n".join(parts) + "\n"


def _rows(path: Path) -> int:
    """Rows of a table below its head."""
    return sum(not line.startswith("#") for line in path.read_text(encoding="utf-8").splitlines()) - 1


def write_reference(folder: Path) -> None:
    """Write all pages into the folder of the docs."""
    (folder / "fields").mkdir(exist_ok=True)
    for name in NAMES:
        (folder / "fields" / f"{name}.md").write_text(format_page(name), encoding="utf-8")
    (folder / "api.md").write_text(api_page(), encoding="utf-8")
    (folder / "programs.md").write_text(independent_programs(folder.parent / "authorities"), encoding="utf-8")
