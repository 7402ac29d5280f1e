"""JSON Schemas of the file formats: those that a person writes, and those that the program writes."""

from __future__ import annotations

import json
from importlib import import_module
from typing import TYPE_CHECKING, Any, Literal

from setwright.basis.errors import BadInput

if TYPE_CHECKING:
    from pydantic import BaseModel

# Where the model of a format stands, read only when it is asked for.
WRITTEN_BY_PEOPLE = {
    "line-book": ("setwright.line.book", "LineBook"),
    "law-pack": ("setwright.law.pack", "Pack"),
    "trap": ("setwright.desk.bench_pick", "TrapFile"),
    "accounts": ("setwright.desk.season_accounts", "Accounts"),
    "study": ("setwright.desk.study_file", "StudyFile"),
}
WRITTEN_BY_THE_PROGRAM = {
    "plan": ("setwright.desk.document", "Plan"),
    "design": ("setwright.desk.design_document", "Design"),
    "tonight": ("setwright.desk.tonight_document", "Tonight"),
    "bench": ("setwright.desk.bench_document", "BenchSheet"),
    "run": ("setwright.desk.run_document", "RunDocument"),
    "law": ("setwright.desk.law_document", "LawSheet"),
    "season": ("setwright.desk.season_document", "SeasonBook"),
    "field-pack": ("setwright.desk.field_document", "FieldPack"),
}
NAMES = (*WRITTEN_BY_PEOPLE, *WRITTEN_BY_THE_PROGRAM)


def schema_of(name: str) -> str:
    """JSON Schema (2020-12) of a file format, as text; BadInput for an unknown name."""
    mode: Literal["validation", "serialization"] = "validation" if name in WRITTEN_BY_PEOPLE else "serialization"
    place = WRITTEN_BY_PEOPLE.get(name) or WRITTEN_BY_THE_PROGRAM.get(name)
    if place is None:
        raise BadInput("no such file format", field="NAME", found=name, allowed=", ".join(NAMES))
    model: type[BaseModel] = getattr(import_module(place[0]), place[1])
    found: dict[str, Any] = model.model_json_schema(by_alias=True, mode=mode)
    # The name that the model has within the program means nothing to whoever reads the file.
    del found["title"]
    found = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": f"setwright {name}", **found}
    return json.dumps(found, indent=2, ensure_ascii=False)
