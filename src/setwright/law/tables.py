"""Reading of law packs: a user's file, and the two that come with the program."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from setwright.basis.errors import BadInput
from setwright.basis.yamlfile import load, read_text, validate
from setwright.law.pack import Pack

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
