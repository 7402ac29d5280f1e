"""Reading of law packs: a user's file, and those that come with the program."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

from pydantic import ValidationError

from setwright.basis.errors import BadInput
from setwright.basis.yamlfile import load, read_text, validate
from setwright.law.pack import Pack
from setwright.law.zones import with_area

FOLDER = Path(__file__).resolve().parent.parent / "data" / "law"


def read_pack(text: str, *, file: object) -> Pack:
    """Read a pack from its YAML text.

    Parameters
    ----------
    text : str
        The whole file.
    file : object
        Its name, for messages.

    Returns
    -------
    Pack
        Checked in form; whether it says what the law says is for whoever checked it.

    Raises
    ------
    BadInput
        Names file, line, field, what was found and what is allowed.

    """
    return validate(Pack, load(text, file=file), file=file)


def read_pack_file(path: Path) -> Pack:
    """Read a pack from its file, with the zones whose area lies in a GeoJSON file beside it.

    Raises
    ------
    BadInput
        As `read_pack`; also when the file of a zone is not beside the pack or holds no area.

    """
    pack = read_pack(read_text(path), file=path)
    drawn = {}
    for name, zone in pack.zones.items():
        if zone.file is None:
            continue
        place = (path.parent / zone.file).resolve()
        if not place.is_relative_to(path.parent.resolve()) or not place.is_file():
            raise BadInput(
                "no such file of a zone", file=path, field=f"zones.{name}.file", found=zone.file,
                allowed="a GeoJSON file beside the pack",
            )  # fmt: skip
        try:
            drawn[name] = with_area(zone, json.loads(read_text(place)))
        except (ValueError, RecursionError) as error:
            found = error.errors()[0]["msg"] if isinstance(error, ValidationError) else "not readable as JSON"
            raise BadInput(
                "this file holds no area", file=place, found=str(found).removeprefix("Value error, "),
                allowed="GeoJSON polygons (RFC 7946)",
            ) from None  # fmt: skip
    return pack.model_copy(update={"zones": {**pack.zones, **drawn}}) if drawn else pack


def shipped_packs() -> tuple[str, ...]:
    """Names of the packs that come with the program; law packs among them are of invented places."""
    return tuple(sorted(path.stem for path in FOLDER.glob("*.yaml")))


@cache
def shipped_pack(name: str) -> Pack:
    """Pack that comes with the program, by name; BadInput when there is none of that name."""
    if name not in shipped_packs():
        raise BadInput(
            "no law pack of this name comes with the program", found=name, allowed=", ".join(shipped_packs())
        )
    path = FOLDER / f"{name}.yaml"
    return read_pack(read_text(path), file=path.name)
