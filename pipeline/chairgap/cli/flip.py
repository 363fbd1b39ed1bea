"""The command of the ring flip: `chairgap flip`."""

from pathlib import Path
from typing import Annotated

import typer

from chairgap.cli.lines import written_line
from chairgap.cli.options import Debug
from chairgap.drawings.flip_levels import levels_of
from chairgap.errors import ChairgapError, InputError, Place
from chairgap.flip.found import FLIPS
from chairgap.flip.report.dynamics import dynamics_lines
from chairgap.flip.report.text import CAVEATS, level_words, rate_lines, search_sentence
from chairgap.flip.sampling import DEFAULT_TEMPERATURE_K, LEAST_STEPS
from chairgap.flip.study import FlipOptions, check_options, flips_of, molecules_to_flip, outputs_for
from chairgap.records import Flip, Settings, Study
from chairgap.report.words import CAUTIONS
from chairgap.study.reading import read_study
from chairgap.study.typed import study_as_typed
from chairgap.text import one_line, typeset
from chairgap.units import fixed


def flip(  # noqa: PLR0913 - one parameter for each option
    what: Annotated[
        list[str],
        typer.Argument(
            metavar="STUDY|MOLECULE", help="A study file, a SMILES, a name, or groups: '1 up CH3, 2 down OH'."
        ),
    ],
    only: Annotated[str, typer.Option(help="The one molecule of the study to compute.")] = "",
    temperature: Annotated[
        float | None, typer.Option(help="Temperature, kelvin. Default: the study's, else 298.15.")
    ] = None,
    step: Annotated[float, typer.Option(min=5.0, max=45.0, help="Degrees between points of the map.")] = 15.0,
    dynamics: Annotated[
        int, typer.Option(min=0, help=f"Steps of 0.5 fs of dynamics, {LEAST_STEPS} or more, such as 400000.")
    ] = 0,
    free_energy: Annotated[
        int, typer.Option(min=0, help="Steps of each of three metadynamics runs along theta, such as 400000.")
    ] = 0,
    dynamics_temperature: Annotated[
        float,
        typer.Option(min=100.0, max=2000.0, help="Temperature of --dynamics and --free-energy, kelvin."),
    ] = DEFAULT_TEMPERATURE_K,
    seed: Annotated[int, typer.Option(min=0, help="Seed of the dynamics.")] = 1,
    output: Annotated[
        Path | None,
        typer.Option(
            help="Folder for the files. Default: for a study flip/ in its own folder, where chairgap study, "
            "run again, finds it for page and report; else reports/flip."
        ),
    ] = None,
    debug: Debug = False,
) -> None:
    """The ring flip: shapes, saddles, lowest path, rates, map."""
    study = _study(what, temperature)
    if not study.settings.medium.is_gas or study.settings.quantum_method != "none":
        typer.echo("Note: a flip is computed with the force field in the gas phase.", err=True)
    options = FlipOptions(
        step_deg=step,
        dynamics=dynamics,
        free_energy=free_energy,
        dynamics_temperature_k=dynamics_temperature,
        seed=seed,
    )
    check_options(options, study.settings)
    asked = molecules_to_flip(study, only)
    for item in asked.refused:
        typer.echo(f"! refused: {one_line(item.name)}: {item.message}", err=True)
    outputs, failed = outputs_for(asked, study, output or _default_output(what, study)), 0
    for molecule, results, paths in flips_of(asked.molecules, study.settings, options, outputs):
        if isinstance(results, ChairgapError):
            failed += 1
            typer.echo(f"! failed: {one_line(molecule.name)}: {results}", err=True)
            continue
        moved = map(typeset, dynamics_lines(results.dynamics) if results.dynamics else ())
        for line in (*_lines(results.flip, study.settings), *moved, written_line(paths), ""):
            typer.echo(line)
    for line in (*CAVEATS, *CAUTIONS[:3]):
        typer.echo(typeset(line))
    if failed or asked.refused:
        raise typer.Exit(1 if failed < len(asked.molecules) else 3)


def _lines(found: Flip, settings: Settings) -> list[str]:
    lines = [
        f"{one_line(found.molecule.name)}, {settings.force_field}, gas phase; kcal/mol above the lowest "
        f"minimum: E potential energy, H and G at {found.temperature_k:.2f} K"
    ]
    words = [found.note] if found.note else []
    for level in levels_of(found, settings.force_field).path:
        potential, enthalpy, gibbs = (f"{fixed(energy, 2):>6}" for energy in level.energies_kcal_mol)
        words.append(f"  {level.kind:8} {level_words(level.name):28} E {potential}  H {enthalpy}  G {gibbs}")
    return [*lines, *map(typeset, (*words, *rate_lines(found), search_sentence(found)))]


def _default_output(what: list[str], study: Study) -> Path:
    return Path(study.settings.output) / FLIPS if _is_file(what) else Path("reports/flip")


def _is_file(what: list[str]) -> bool:
    return one_line(" ".join(what)).endswith(".toml")


def _study(what: list[str], temperature: float | None) -> Study:
    text = one_line(" ".join(what))
    if _is_file(what):
        if temperature is not None:
            raise InputError(
                "The study sets the temperature; leave --temperature out, or change the study.",
                place=Place(file="command line", field="--temperature"),
            )
        return read_study(Path(text))
    conditions = {} if temperature is None else {"temperature_k": temperature}
    return study_as_typed(text, settings={"conditions": conditions})
