"""The command that makes handouts; joined to the command line by cli.py."""

from pathlib import Path
from typing import Annotated

import typer

from chairgap.batch.part_cache import user_cache
from chairgap.cli.bar import progress_bar
from chairgap.cli.lines import written_line
from chairgap.cli.options import Debug
from chairgap.cli.running import show_notes, stopped_with_words
from chairgap.handout.choosing import VERSIONS
from chairgap.handout.kinds import FOUR_PART, KINDS
from chairgap.handout.levels import LEVELS
from chairgap.handout.make import PAPERS, HandoutOptions
from chairgap.handout.study import (
    MOST_QUESTIONS,
    checked_options,
    level_called,
    split_kinds,
    write_handout_of,
)
from chairgap.running import RunOptions
from chairgap.study.reading import read_study


def handout(  # noqa: PLR0913 - one parameter for each option
    file: Annotated[Path, typer.Argument(help="The study, a TOML file.")],
    output: Annotated[
        Path | None,
        typer.Option(help="Folder of the handout. Default: 'handout' in the output folder of the study."),
    ] = None,
    versions: Annotated[int, typer.Option(min=1, max=len(VERSIONS), help="Number of versions.")] = 2,
    questions: Annotated[
        int | None,
        typer.Option(
            min=1,
            max=MOST_QUESTIONS,
            help="Questions in each version. Default: 5, or fewer if the study has fewer.",
        ),
    ] = None,
    seed: Annotated[int, typer.Option(min=0, help="Seed of the choice and order of questions.")] = 1,
    large_print: Annotated[
        bool, typer.Option("--large-print", help="18 pt text and larger drawings.")
    ] = False,
    paper: Annotated[str, typer.Option(help="A4 or Letter.")] = PAPERS[0],
    pdf: Annotated[
        bool, typer.Option("--pdf/--no-pdf", help="PDF as well as HTML, made by a Chromium browser.")
    ] = True,
    equal: Annotated[
        bool, typer.Option("--equal", help="Ask about any number of molecules whose chairs are equal.")
    ] = False,
    kinds: Annotated[
        list[str] | None,
        typer.Option(
            help=f"Kinds of questions, joined by commas or one by one: {', '.join(KINDS)}. "
            f"Default: {FOUR_PART.name}."
        ),
    ] = None,
    level: Annotated[str, typer.Option(help=f"Only questions so hard: {', '.join(LEVELS)}.")] = "",
    debug: Debug = False,
) -> None:
    """Question sheets of equal difficulty, and their keys."""
    requested = HandoutOptions(
        versions=versions,
        questions=questions,
        seed=seed,
        large_print=large_print,
        paper=paper,
        pdf=pdf,
        equal=equal,
        kinds=split_kinds(kinds or ()),
        level=level_called(level),
    )
    requested, study = checked_options(requested), read_study(file)
    show_notes(study.notes)
    with stopped_with_words(Path(study.settings.output)), progress_bar() as progress:
        run, paths, remarks = write_handout_of(
            study, output, requested, RunOptions(cache=user_cache()), progress
        )
    show_notes((*run.notes, *remarks))
    typer.echo(written_line(run.paths, as_before=run.as_before))
    typer.echo(written_line(paths))
    typer.echo("Read the key before a class sees the questions. A person decides a grade.")
