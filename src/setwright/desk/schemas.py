"""JSON Schemas of the file formats."""

from __future__ import annotations

import json
from typing import Any

from setwright.basis.errors import BadInput

NAMES = ("line-book", "law-pack", "plan", "design", "tonight", "trap", "season", "accounts", "study")


def schema_of(name: str) -> str:
    """JSON Schema (2020-12) of a file format, as text; BadInput for an unknown name."""
    if name == "line-book":
        from setwright.line.book import LineBook

        found: dict[str, Any] = LineBook.model_json_schema(by_alias=True)
    elif name == "law-pack":
        from setwright.law.pack import Pack

        found = Pack.model_json_schema(by_alias=True)
    elif name == "plan":
        from setwright.desk.document import Plan

        found = Plan.model_json_schema(by_alias=True, mode="serialization")
    elif name == "design":
        from setwright.desk.design_document import Design

        found = Design.model_json_schema(by_alias=True, mode="serialization")
    elif name == "tonight":
        from setwright.desk.tonight_document import Tonight

        found = Tonight.model_json_schema(by_alias=True, mode="serialization")
    elif name == "trap":
        from setwright.desk.bench_pick import TrapFile

        found = TrapFile.model_json_schema(by_alias=True)
    elif name == "season":
        from setwright.desk.season_document import SeasonBook

        found = SeasonBook.model_json_schema(by_alias=True, mode="serialization")
    elif name == "accounts":
        from setwright.desk.season_accounts import Accounts

        found = Accounts.model_json_schema(by_alias=True)
    elif name == "study":
        from setwright.desk.study_file import StudyFile

        found = StudyFile.model_json_schema(by_alias=True)
    else:
        raise BadInput("no such file format", field="NAME", found=name, allowed=", ".join(NAMES))
    found = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": f"setwright {name}", **found}
    return json.dumps(found, indent=2, ensure_ascii=False)
