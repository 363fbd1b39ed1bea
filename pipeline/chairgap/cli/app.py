"""The command line: the only place that prints, and the only one that catches.

Exit codes: 0 done; 1 done, but some molecules were refused or failed; 2 bad input, nothing was computed;
3 failure inside the program or of a force field; 130 stopped from the keyboard.
"""

import sys
import traceback
from collections.abc import Sequence
from importlib.metadata import version
from pathlib import Path
from typing import Annotated, Any, NoReturn

import typer
from typer.core import TyperGroup

from chairgap.batch.status import status_lines
from chairgap.cli import flip as cli_flip
from chairgap.cli import handout as cli_handout
from chairgap.cli import key as cli_key
from chairgap.cli import scorecard as cli_scorecard
from chairgap.cli.running import RunOptions, run_here, run_in_folder, show
from chairgap.errors import ChairgapError, StudyError
from chairgap.files import OutputFolder, check_output, shipped_folder, write_files
from chairgap.molecule.substituents import row_names
from chairgap.records import SearchSettings, Settings, Study
from chairgap.report.table_views import estimate_table_view, group_view, solvents_view, sources_view
from chairgap.study.reading import read_study
from chairgap.study.typed import study_as_typed
from chairgap.study_output.write import check_folder
from chairgap.tables.shipped import SHIPPED_TABLES, read_estimate_table, read_solvents, read_sources
from chairgap.text import one_line, readable

MOST_PROBLEMS_SHOWN = 50


class _Stopped(Exception):  # noqa: N818 - the user's wish, not an error
    """Stopped from the keyboard."""


class _Commands(TyperGroup):
    """Hands an interrupt to `main`, which says so in our words."""

    def invoke(self, ctx: Any) -> Any:
        try:
            return super().invoke(ctx)
        except KeyboardInterrupt:
            raise _Stopped from None


app = typer.Typer(
    cls=_Commands,
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    help="Chair preferences of substituted cyclohexanes: hand estimate and force-field search, side by side.",
    epilog="Start with: chairgap demo",
)

Output = Annotated[
    Path | None, typer.Option(help="Folder for the files, relative to where the command runs.")
]
Debug = Annotated[bool, typer.Option("--debug", help="Show the traceback of an error.")]


def main() -> NoReturn:
    """Run the command line and leave with its exit code."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")  # a name that the terminal cannot show stops nothing
    try:
        app(prog_name="chairgap")
    except _Stopped:
        typer.echo("Stopped from the keyboard.", err=True)
        sys.exit(130)
    except ChairgapError as error:
        _show_problems(error.problems if isinstance(error, StudyError) else (error,))
        _show_traceback()
        sys.exit(error.exit_code)
    except Exception as error:
        typer.echo(
            f"Error inside chairgap: {type(error).__name__}: {one_line(str(error))}. "
            "Please report it with what you typed and the output of the same command with --debug.",
            err=True,
        )
        _show_traceback()
        sys.exit(3)
    sys.exit(0)


def _show_problems(problems: Sequence[ChairgapError]) -> None:
    for problem in problems[:MOST_PROBLEMS_SHOWN]:
        typer.echo(f"Error: {problem}", err=True)
    if len(problems) > MOST_PROBLEMS_SHOWN:
        more = f"{len(problems) - MOST_PROBLEMS_SHOWN:,}"
        typer.echo(f"Error: {more} more are not shown. Correct these first, and run again.", err=True)


def _show_traceback() -> None:
    if "--debug" in sys.argv:
        typer.echo(traceback.format_exc(), err=True)


def _print_version(asked: bool) -> None:
    if asked:
        typer.echo(f"chairgap {version('chairgap')}")
        raise typer.Exit


@app.callback()
def _every_command(
    _: Annotated[
        bool, typer.Option("--version", callback=_print_version, is_eager=True, help="Show the version.")
    ] = False,
) -> None:
    pass


app.add_typer(cli_key.app, name="key")
app.command()(cli_scorecard.scorecard)
app.command()(cli_flip.flip)
app.command()(cli_handout.handout)


# --- commands --------------------------------------------------------------------------------------------


@app.command()
def study(  # noqa: PLR0913 - one parameter for each option
    file: Annotated[Path, typer.Argument(help="The study, a TOML file.")],
    output: Output = None,
    workers: Annotated[
        int | None,
        typer.Option(
            min=0, max=1024, help="Worker processes; 0: this process alone. Default: one for each core."
        ),
    ] = None,
    cluster: Annotated[
        str, typer.Option(help="Address of a Dask scheduler, such as tcp://10.0.0.1:8786.")
    ] = "",
    resume: Annotated[
        bool, typer.Option("--resume/--fresh", help="Go on from what the folder holds, or start over.")
    ] = True,
    quiet: Annotated[bool, typer.Option("--quiet", help="No bar and no table; for logs.")] = False,
    debug: Debug = False,
) -> None:
    """Run a study file: compare estimate and force field for all its molecules, and write the tables."""
    read = read_study(file)
    how = RunOptions(workers=workers, cluster=cluster, fresh=not resume, quiet=quiet)
    run_in_folder(read, output or Path(read.settings.output), how)


@app.command()
def status(
    folder: Annotated[Path, typer.Argument(help="The output folder of a study.")],
    debug: Debug = False,
) -> None:
    """Show how far a study is, while it runs or afterwards, and the CPU time of its molecules."""
    for line in status_lines(folder):
        typer.echo(line)


@app.command()
def molecule(  # noqa: PLR0913 - one parameter for each option
    text: Annotated[
        list[str],
        typer.Argument(
            metavar="MOLECULE", help="A SMILES, or groups by ring carbon and face: '1 up CH3, 2 down OH'."
        ),
    ],
    name: Annotated[str, typer.Option(help="Name of the molecule. Default: the text itself.")] = "",
    temperature: Annotated[float, typer.Option(help="Temperature, kelvin.")] = Settings.temperature_k,
    force_field: Annotated[str, typer.Option(help="MMFF94, MMFF94s or UFF.")] = Settings.force_field,
    engine: Annotated[str, typer.Option(help="The minimiser: rdkit or openmm.")] = Settings.engine,
    quantum_method: Annotated[
        str, typer.Option(help="GFN2-xTB minimises the force field's minima again (needs chairgap[quantum]).")
    ] = Settings.quantum_method,
    solvent: Annotated[
        list[str] | None,
        typer.Option(help="A solvent, such as water; repeat it for a series beside the gas phase."),
    ] = None,
    table: Annotated[
        str, typer.Option(help="A-values: chairgap, textbook or a file.")
    ] = Settings.a_value_table,
    effort: Annotated[str, typer.Option(help="quick, standard or thorough.")] = SearchSettings.effort,
    seed: Annotated[int, typer.Option(help="Seed of the search.")] = SearchSettings.seed,
    stereo: Annotated[str, typer.Option(help="'all' takes every stereoisomer the SMILES leaves open.")] = "",
    output: Output = None,
    debug: Debug = False,
) -> None:
    """Compare estimate and force field for one molecule, without a study file."""
    typed = study_as_typed(
        one_line(" ".join(text)),
        name=name,
        stereo=stereo,
        settings={
            "conditions": {"temperature_k": temperature, **_solvents(solvent or [])},
            "model": {"force_field": force_field, "engine": engine, "quantum_method": quantum_method},
            "estimate": {"table": table},
            "search": {"effort": effort, "seed": seed},
        },
    )
    run_here(typed, output)


@app.command()
def tables(
    table: Annotated[str, typer.Argument(help="A shipped table, or the CSV file of your own.")] = "chairgap",
    check: Annotated[bool, typer.Option("--check", help="Only check whether the table is sound.")] = False,
    group: Annotated[str, typer.Option(help="Show everything about one group, such as CH3.")] = "",
    sources: Annotated[bool, typer.Option("--sources", help="List the literature sources.")] = False,
    solvents: Annotated[bool, typer.Option("--solvents", help="List the solvents a study may name.")] = False,
    debug: Debug = False,
) -> None:
    """Show an A-value table with its sources, or check your own."""
    if sources:
        show(sources_view(read_sources()))
        return
    if solvents:
        show(solvents_view(read_solvents(), read_sources()))
        return
    read = read_estimate_table(table)
    row_names(read)  # fragments are read as chemistry only when a molecule is built
    if group:
        show(group_view(read, group, read_sources()))
    elif check:
        typer.echo(
            f"Table '{readable(table)}' is sound: {len(read.a_values)} groups, "
            f"{len(read.interactions)} interactions."
        )
    else:
        show(estimate_table_view(read))
        typer.echo(f"Shipped tables: {', '.join(SHIPPED_TABLES)}.")


@app.command()
def demo(
    folder: Annotated[Path, typer.Argument(help="Where to put the study and its results.")] = Path(),
    debug: Debug = False,
) -> None:
    """Copy the demo study here and run it: a first look at everything."""
    read = _copy_demo(folder)
    shown = readable(read.file)
    typer.echo(f"The study is {shown}; change it and run: chairgap study {shown}", err=True)
    run_in_folder(read, folder / read.settings.output, RunOptions())


# --- what the commands share -----------------------------------------------------------------------------


def _solvents(named: list[str]) -> dict[str, Any]:
    """One solvent is the medium; several are a series beside the gas phase, which stays the medium."""
    if len(named) == 1:
        return {"medium": named[0]}
    return {"medium_series": ["gas phase", *named]} if named else {}


def _copy_demo(folder: Path) -> Study:
    """Copy the demo study and the files it names; returns the study. Nothing is written over."""
    home = shipped_folder("configs")
    if home is None:
        raise ChairgapError("The demo study is missing from this installation; install chairgap again.")
    output = OutputFolder(
        path=folder,
        command="demo",
        advice="name another folder: chairgap demo FOLDER",
        once="run it with 'chairgap study', or name another folder: chairgap demo FOLDER",
    )
    copies = {source.name: source for source in sorted(home.glob("demo*"))}
    check_output(output, copies)
    shipped = read_study(copies["demo.toml"])
    check_folder(folder / shipped.settings.output, shipped)
    write_files(output, {name: source.read_bytes() for name, source in copies.items()})
    return read_study(folder / "demo.toml")
