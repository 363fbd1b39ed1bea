"""Options that several commands have."""

from pathlib import Path
from typing import Annotated

import typer

Output = Annotated[
    Path | None, typer.Option(help="Folder for the files, relative to where the command runs.")
]
Check = Annotated[
    bool,
    typer.Option(
        "--check", help="Only say how each molecule is understood and what is wrong; compute nothing."
    ),
]
Debug = Annotated[bool, typer.Option("--debug", help="Show the traceback of an error.")]
