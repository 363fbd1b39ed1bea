"""The command for what is kept of groups and pairs between runs."""

from typing import Annotated

import typer

from chairgap.batch.part_cache import OFF, VARIABLE, PartCache, user_cache
from chairgap.cli.options import Debug
from chairgap.text import readable


def cache(
    clear: Annotated[
        bool, typer.Option("--clear", help="Take all of it away; it is computed again.")
    ] = False,
    debug: Debug = False,
) -> None:
    """What is kept of groups and pairs between runs, or clear it."""
    found = user_cache()
    if found is None:
        typer.echo(f"Switched off: {VARIABLE} is '{OFF}'. Nothing is kept between runs.")
        return
    typer.echo(
        f"Folder: {readable(str(found.folder))} (another one, or '{OFF}': environment variable {VARIABLE})"
    )
    typer.echo(_cleared(found) if clear else _filled(found))


def _filled(cache: PartCache) -> str:
    parts, size = cache.filled()
    return f"{_parts(parts)}, {_size(size)} of at most {_size(cache.most_bytes)}."


def _cleared(cache: PartCache) -> str:
    parts, size = cache.clear()
    return f"Cleared: {_parts(parts)}, {_size(size)}."


def _parts(count: int) -> str:
    return "1 group or pair" if count == 1 else f"{count:,} groups and pairs"


def _size(size: int) -> str:
    return f"{size / 1e6:.0f} MB" if size >= 1e7 else f"{size / 1e3:.0f} kB"
