"""The command that makes handouts; joined to the command line by cli.py."""

from pathlib import Path
from typing import Annotated

import typer

from chairgap.cli.running import RunOptions, exit_code, ran_in_folder
from chairgap.errors import InputError, Place
from chairgap.files import OutputFolder, check_output, write_files
from chairgap.handout.choosing import LETTERS
from chairgap.handout.make import PAPERS, HandoutOptions, make_handout, possible_names
from chairgap.report.terminal import written_line
from chairgap.study.reading import read_study
from chairgap.text import did_you_mean


def handout(  # noqa: PLR0913 - one parameter for each option
    file: Annotated[Path, typer.Argument(help="The study, a TOML file.")],
    output: Annotated[
        Path | None,
        typer.Option(help="Folder of the handout. Default: 'handout' in the output folder of the study."),
    ] = None,
    versions: Annotated[int, typer.Option(min=1, max=len(LETTERS), help="Number of versions.")] = 2,
    questions: Annotated[
        int | None,
        typer.Option(
            min=1, max=30, help="Questions in each version. Default: 5, or fewer if the study has fewer."
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
    debug: Annotated[bool, typer.Option("--debug", help="Show the traceback of an error.")] = False,
) -> None:
    """Write question sheets in versions of equal difficulty, and their keys, from a study."""
    del debug
    requested = HandoutOptions(
        versions=versions,
        questions=questions,
        seed=seed,
        large_print=large_print,
        paper=_paper(paper),
        pdf=pdf,
    )
    study = read_study(file)
    folder = Path(study.settings.output)
    home = OutputFolder(path=output or folder / "handout", command="handout", inputs=study.inputs)
    check_output(home, possible_names(versions))
    with ran_in_folder(study, folder, RunOptions()) as ran:
        made = make_handout(ran.outcome, requested)
        code = exit_code(ran.outcome)
    paths = [path for path in write_files(home, made.contents) if path.parent == home.path]
    for remark in made.remarks:
        typer.echo(f"Note: {remark}", err=True)
    typer.echo(written_line(ran.paths))
    typer.echo(written_line(paths))
    typer.echo("Read the key before a class sees the questions. A person decides a grade.")
    raise typer.Exit(code)


def _paper(named: str) -> str:
    by_small_letters = {paper.casefold(): paper for paper in PAPERS}
    found = by_small_letters.get(named.strip().casefold())
    if found is None:
        message = f"There is no paper '{named}'.{did_you_mean(named, PAPERS)} Write A4 or Letter."
        raise InputError(message, place=Place(file="command line", field="--paper"), value=named)
    return found
