"""Write a plan's files: all made first, then put into place one by one, so that no half plan is left."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from setwright.basis.errors import BadInput
from setwright.desk.document import Plan
from setwright.sheets.cards import set_cards
from setwright.sheets.page import plan_page
from setwright.sheets.tables import kit_csv, line_geojson, line_gpx, run_csv

NAMES = ("plan.json", "plan.html", "set-cards.pdf", "kit.csv", "run.csv", "line.geojson", "line.gpx")


def contents(plan: Plan) -> dict[str, bytes]:
    """Every file of the plan by name, wholly made."""
    texts = {
        "plan.json": plan.model_dump_json(indent=2, by_alias=True) + "\n",
        "plan.html": plan_page(plan),
        "kit.csv": kit_csv(plan),
        "run.csv": run_csv(plan),
        "line.geojson": line_geojson(plan),
        "line.gpx": line_gpx(plan),
    }
    found = {name: text.encode("utf-8") for name, text in texts.items()}
    found["set-cards.pdf"] = set_cards(plan)
    return {name: found[name] for name in NAMES}


def write_plan(plan: Plan, folder: Path) -> list[Path]:
    """Write the plan into `folder`, made when absent; returns the files in a fixed order.

    All contents are made before anything is written; each file is written beside its place and renamed.

    Raises
    ------
    BadInput
        When the folder cannot be made or written.
    """
    made = contents(plan)
    written: list[tuple[Path, Path]] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        try:
            for name, content in made.items():
                handle, beside = tempfile.mkstemp(prefix=f".{name}.", dir=folder)
                written.append((Path(beside), folder / name))
                with os.fdopen(handle, "wb") as stream:
                    stream.write(content)
                    stream.flush()
                    os.fsync(stream.fileno())
                Path(beside).chmod(0o644)
            for beside_path, place in written:
                beside_path.replace(place)
        finally:
            for beside_path, _ in written:
                beside_path.unlink(missing_ok=True)
    except OSError as error:
        raise BadInput(
            "the plan cannot be written here",
            file=folder,
            found=error.strerror or "error",
            allowed="a folder that can be written",
        ) from None
    return [place for _, place in written]
