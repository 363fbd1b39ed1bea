"""Options that several commands have."""

from pathlib import Path
from typing import Annotated

import typer

Output = Annotated[
    Path | None, typer.Option(help="Folder for the files, relative to where the command runs.")
]
Debug = Annotated[bool, typer.Option("--debug", help="Show the traceback of an error.")]
