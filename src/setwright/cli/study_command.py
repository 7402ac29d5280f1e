"""The command for studies: many cases of one set, kept as they are done."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def study(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Study (YAML): a book, what varies, what is tried.")],
    out: Annotated[
        Path, typer.Option(metavar="DIR", help="Folder of the study; what is done there is not done again.")
    ] = Path("study"),
    engine: Annotated[
        str, typer.Option(metavar="NAME", help="serial, processes of this machine, or cluster.")
    ] = "processes",
    workers: Annotated[int, typer.Option(min=0, max=512, help="Processes; 0 takes one a core.")] = 0,
    address: Annotated[
        str | None, typer.Option(metavar="ADDRESS", help="Scheduler of a cluster, such as tcp://HOST:8786.")
    ] = None,
    anew: Annotated[bool, typer.Option("--anew", help="Begin again, whatever the folder holds.")] = False,
    parquet: Annotated[
        bool, typer.Option("--parquet", help="The cases as Parquet too, for programs of statistics.")
    ] = False,
    json: Annotated[bool, typer.Option("--json", help="Print JSON instead of words.")] = False,
) -> None:
    """Run a study over species, soils, climates and rigs; one that was broken off goes on."""
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

    from setwright.desk.study import study as run
    from setwright.sheets.study import write_study
    from setwright.sheets.study_parquet import parquet_library

    if parquet:
        # Hours of work are not to end in a file that cannot be written.
        parquet_library()
    shown = (TextColumn("cases"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*shown, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("cases", total=None)
        found = run(
            file, out, engine="cluster" if address else engine, workers=workers, address=address, anew=anew,
            progress=lambda done, total: bar.update(task, completed=done, total=total),
        )  # fmt: skip
    for path in write_study(found, out, parquet=parquet):
        typer.echo(f"{path}", err=True)
    if json:
        typer.echo(found.model_dump_json(indent=2, by_alias=True, exclude={"table"}))
        return
    typer.echo(f"{found.name}: {found.say}")
    for one in found.best:
        typer.echo(f"  {one.row}: {one.say}")
    for note in found.notes:
        typer.echo(note)
