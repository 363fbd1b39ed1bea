"""The commands that run a study: of a file, of one molecule as typed, and the demo.

What they need is imported when one runs: their help is shown without it.
"""

from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Annotated, Any

import typer

from chairgap.cli.options import Check, Debug, Output
from chairgap.errors import ChairgapError
from chairgap.files import OutputFolder, check_output, shipped_folder, write_files
from chairgap.records import SearchSettings, Settings, Study
from chairgap.text import one_line, readable


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
    page: Annotated[
        bool | None,
        typer.Option("--page/--no-page", help="Without it: tables only. Default: as the study says."),
    ] = None,
    quiet: Annotated[bool, typer.Option("--quiet", help="No bar and no table; for logs.")] = False,
    check: Check = False,
    debug: Debug = False,
) -> None:
    """All molecules of a study file: tables, report and page."""
    from chairgap.batch.part_cache import user_cache
    from chairgap.cli.check import check_study
    from chairgap.cli.running import run_in_folder
    from chairgap.running import RunOptions
    from chairgap.study.reading import read_study

    options = RunOptions(workers=workers, cluster=cluster, fresh=not resume, cache=user_cache())

    def read() -> Study:
        found = read_study(file)
        return found if page is None else replace(found, settings=replace(found.settings, page=page))

    if check:
        check_study(read, options, output=output, has_folder=True, quiet=quiet)
    found = read()
    run_in_folder(found, output or Path(found.settings.output), options, quiet=quiet)


def molecule(  # noqa: PLR0913 - one parameter for each option
    text: Annotated[
        list[str],
        typer.Argument(
            metavar="MOLECULE",
            help="A SMILES, a name, or groups by ring carbon and face: '1 up CH3, 2 down OH'.",
        ),
    ],
    name: Annotated[str, typer.Option(help="Name of the molecule. Default: the text itself.")] = "",
    temperature: Annotated[float, typer.Option(help="Temperature, kelvin.")] = Settings.temperature_k,
    force_field: Annotated[str, typer.Option(help="MMFF94, MMFF94s or UFF.")] = Settings.force_field,
    engine: Annotated[str, typer.Option(help="The minimiser: compiled, rdkit or openmm.")] = Settings.engine,
    quantum_method: Annotated[
        str, typer.Option(help="GFN2-xTB minimises the force field's minima again (needs chairgap[quantum]).")
    ] = Settings.quantum_method,
    pairs_by: Annotated[
        str,
        typer.Option(
            help="MP2/def2-TZVP computes the pairs of groups that no table has (needs chairgap[abinitio])."
        ),
    ] = Settings.pairs_by,
    solvent: Annotated[
        list[str] | None,
        typer.Option(help="A solvent, such as water; repeat it for a series beside the gas phase."),
    ] = None,
    table: Annotated[
        str, typer.Option(help="A-values: chairgap, textbook or a file.")
    ] = Settings.a_value_table,
    pairs: Annotated[
        str, typer.Option(help="published, or completed: computed terms for pairs without a published one.")
    ] = Settings.pairs,
    effort: Annotated[str, typer.Option(help="quick, standard or thorough.")] = SearchSettings.effort,
    seed: Annotated[int, typer.Option(help="Seed of the search.")] = SearchSettings.seed,
    stereo: Annotated[str, typer.Option(help="'all' takes every stereoisomer the SMILES leaves open.")] = "",
    output: Output = None,
    check: Check = False,
    debug: Debug = False,
) -> None:
    """One molecule: which chair, by how much, how sure, and why."""
    from chairgap.cli.check import check_study
    from chairgap.cli.running import run_here
    from chairgap.running import RunOptions
    from chairgap.study.typed import study_as_typed

    read = partial(
        study_as_typed,
        one_line(" ".join(text)),
        name=name,
        stereo=stereo,
        settings={
            "conditions": {"temperature_k": temperature, **_solvents(solvent or [])},
            "model": {
                "force_field": force_field,
                "engine": engine,
                "quantum_method": quantum_method,
                "pairs_by": pairs_by,
            },
            "estimate": {"table": table, "pairs": pairs},
            "search": {"effort": effort, "seed": seed},
        },
    )
    if check:
        check_study(read, RunOptions(), output=output, has_folder=False)
    run_here(read(), output)


def demo(
    folder: Annotated[Path, typer.Argument(help="Where to put the study and its results.")] = Path(),
    debug: Debug = False,
) -> None:
    """Copy the demo study here and run it: a first look."""
    from chairgap.batch.part_cache import user_cache
    from chairgap.cli.running import run_in_folder
    from chairgap.running import RunOptions

    read = _copy_demo(folder)
    shown = readable(read.file)
    typer.echo(f"The study is {shown}; change it and run: chairgap study {shown}", err=True)
    run_in_folder(read, folder / read.settings.output, RunOptions(cache=user_cache()))


def _solvents(named: list[str]) -> dict[str, Any]:
    """One solvent is the medium; several are a series beside the gas phase, which stays the medium."""
    if len(named) == 1:
        return {"medium": named[0]}
    return {"medium_series": ["gas phase", *named]} if named else {}


def _copy_demo(folder: Path) -> Study:
    """Copy the demo study and the files it names; returns the study. Nothing is written over."""
    from chairgap.study.reading import read_study
    from chairgap.study_output.write import check_folder

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
