"""The command that says how far a study is."""

from pathlib import Path
from typing import Annotated

import typer

from chairgap.batch.status import status_lines
from chairgap.cli.options import Debug


def status(
    folder: Annotated[Path, typer.Argument(help="The output folder of a study.")],
    debug: Debug = False,
) -> None:
    """How far a study is, while it runs or afterwards."""
    for line in status_lines(folder):
        typer.echo(line)
