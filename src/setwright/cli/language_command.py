"""The command for whoever puts setwright into another language."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def language(
    catalogue: Annotated[
        Path | None,
        typer.Argument(metavar="FILE", help="Catalogue (.po) to look over; those that come along without."),
    ] = None,
    template: Annotated[
        Path | None, typer.Option("--template", metavar="FILE", help="Write all messages as a gettext template.")
    ] = None,
) -> None:
    """Write all messages for a translator, or tell what is wrong with a catalogue and how far it has come."""
    from setwright.sheets import speech
    from setwright.sheets.catalogue import how_far, sheet_messages, write_template
    from setwright.web.words import app_messages

    found = [*app_messages(), *sheet_messages()]
    if template is not None:
        typer.echo(f"{write_template(found, template)}")
        return
    known = [speech.read_catalogue(catalogue)] if catalogue is not None else []
    for one in known or [speech.catalogue(name) for name in speech.languages() if name != speech.ENGLISH]:
        read = "read over by a native speaker" if one.read else "not yet read over by a native speaker"
        typer.echo(f"{one.language}: {read}")
        for room, (done, of) in how_far(found, one).items():
            typer.echo(f"  {room:9} {done:5d} of {of}")
