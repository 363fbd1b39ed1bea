"""The command of the ring flip: `chairgap flip`."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain, count
from pathlib import Path
from typing import Annotated

import typer
from threadpoolctl import threadpool_limits

from chairgap.drawings.levels import levels_of
from chairgap.errors import ChairgapError, InputError, Place
from chairgap.files import OutputFolder, check_output
from chairgap.flip.report.dynamics import dynamics_lines
from chairgap.flip.report.text import CAVEATS, rate_lines, search_sentence
from chairgap.flip.report.write import FILES, FlipResults, write_flip
from chairgap.flip.sampling import DEFAULT_TEMPERATURE_K, LEAST_STEPS
from chairgap.records import Flip, Molecule, Settings, Study
from chairgap.report.terminal import written_line
from chairgap.report.words import CAUTIONS
from chairgap.run import build_all
from chairgap.study.reading import read_study
from chairgap.study.typed import study_as_typed
from chairgap.tables.shipped import read_estimate_table
from chairgap.text import one_line

_RUNS = 3


def flip(  # noqa: PLR0913 - one parameter for each option
    what: Annotated[
        list[str],
        typer.Argument(
            metavar="STUDY|MOLECULE", help="A study file, a SMILES, or groups: '1 up CH3, 2 down OH'."
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
    output: Annotated[Path, typer.Option(help="Folder for the files.")] = Path("reports/flip"),
    debug: Annotated[bool, typer.Option("--debug", help="Show the traceback of an error.")] = False,
) -> None:
    """The ring flip: all ring shapes, the saddles between them, the lowest path, rates and the map."""
    study = _study(what, temperature)
    if not study.settings.medium.is_gas or study.settings.quantum_method != "none":
        typer.echo("Note: a flip is computed with the force field in the gas phase.", err=True)
    molecules, failed = _molecules(study, only)
    options = _FlipOptions(
        step_deg=step,
        dynamics=dynamics,
        free_energy=free_energy,
        dynamics_temperature_k=dynamics_temperature,
        seed=seed,
    )
    for option, steps, least in (
        ("--dynamics", dynamics, LEAST_STEPS),
        ("--free-energy", free_energy, 2 * LEAST_STEPS),
    ):
        if 0 < steps < least:
            raise InputError(
                f"{steps} steps are too few for a mean; give {least} or more, or leave the option out.",
                place=Place(file="command line", field=option),
            )
    if (dynamics or free_energy) and study.settings.force_field == "UFF":
        raise InputError(
            "OpenMM, which runs the dynamics, has no UFF; choose MMFF94 in the study.",
            place=Place(file="command line", field="--dynamics"),
        )
    names = folder_names([molecule.name for molecule in molecules])
    outputs = [
        OutputFolder(
            path=output / name if len(molecules) > 1 else output, command="flip", inputs=study.inputs
        )
        for name in names
    ]
    for place in outputs:
        check_output(place, FILES)
    for molecule, place in zip(molecules, outputs, strict=True):
        try:
            _one(molecule, study.settings, options, place)
        except ChairgapError as error:
            failed += 1
            typer.echo(f"! failed: {one_line(molecule.name)}: {error}", err=True)
    for line in (*CAVEATS, *CAUTIONS[:3]):
        typer.echo(line)
    if failed:
        raise typer.Exit(1 if failed < len(molecules) else 3)


@dataclass(frozen=True, kw_only=True)
class _FlipOptions:
    """What is computed besides the path; 0 steps: none of it."""

    step_deg: float
    dynamics: int
    free_energy: int
    dynamics_temperature_k: float
    seed: int


def _one(molecule: Molecule, settings: Settings, options: _FlipOptions, output: OutputFolder) -> None:
    # Here and not above: half of every start would be spent on their libraries. Before the limit, which
    # holds for the libraries that are there already.
    from chairgap.flip.dynamics import run_dynamics, theta_profile
    from chairgap.flip.frames import path_frames
    from chairgap.flip.recipe import compute_flip
    from chairgap.flip.sphere import sphere_map

    at_k, seed = options.dynamics_temperature_k, options.seed
    with threadpool_limits(1):
        found, ground = compute_flip(molecule, settings)
        results = FlipResults(
            flip=found,
            frames=path_frames(found, ground),
            points=sphere_map(found, ground, options.step_deg),
            dynamics=run_dynamics(found, settings, temperature_k=at_k, steps=options.dynamics, seed=seed)
            if options.dynamics
            else None,
            profile=theta_profile(
                found, settings, temperature_k=at_k, steps=options.free_energy, runs=_RUNS, seed=seed
            )
            if options.free_energy
            else None,
        )
    paths = write_flip(results, settings.force_field, output)
    for line in _lines(found, settings):
        typer.echo(line)
    for line in dynamics_lines(results.dynamics) if results.dynamics else ():
        typer.echo(line)
    typer.echo(written_line(paths))
    typer.echo("")


def _lines(found: Flip, settings: Settings) -> list[str]:
    lines = [
        f"{one_line(found.molecule.name)}, {settings.force_field}, gas phase; kcal/mol above the lowest "
        f"minimum: E potential energy, H and G at {found.temperature_k:.2f} K"
    ]
    lines += [found.note] if found.note else []
    lines += [
        f"  {kind:8} {name.replace(chr(10), ' '):28} E {potential:6.2f}  H {enthalpy:6.2f}  G {gibbs:6.2f}"
        for kind, name, potential, enthalpy, gibbs in levels_of(found)
    ]
    return [*lines, *rate_lines(found), search_sentence(found)]


def _study(what: list[str], temperature: float | None) -> Study:
    text = one_line(" ".join(what))
    if text.endswith(".toml"):
        if temperature is not None:
            raise InputError(
                "The study sets the temperature; leave --temperature out, or change the study.",
                place=Place(file="command line", field="--temperature"),
            )
        return read_study(Path(text))
    conditions = {} if temperature is None else {"temperature_k": temperature}
    return study_as_typed(text, settings={"conditions": conditions})


def _molecules(study: Study, only: str) -> tuple[list[Molecule], int]:
    table = read_estimate_table(study.settings.a_value_table)
    molecules, refused = build_all(study, table)
    for item in (*study.refused, *refused):
        typer.echo(f"! refused: {one_line(item.name)}: {item.message}", err=True)
    chosen = [item for item in molecules if not only or item.name == only]
    if not molecules:
        raise InputError("No molecule can be treated; correct the refused ones above.")
    if not chosen:
        known = ", ".join(repr(item.name) for item in molecules)
        raise InputError(
            f"There is no molecule '{only}'; there are: {known}.",
            place=Place(file="command line", field="--only"),
        )
    return chosen, len(refused) + len(study.refused)


def folder_names(names: Sequence[str]) -> list[str]:
    """The names of molecules as names of folders: letters, digits and hyphens; where two come out alike but
    for capitals, the later one with a number."""
    taken: set[str] = set()
    folders = []
    for name in names:
        kept = "".join(letter if letter.isalnum() else "-" for letter in name)
        plain = "-".join(part for part in kept.split("-") if part) or "molecule"
        numbered = chain((plain,), (f"{plain}-{number}" for number in count(2)))
        folders.append(next(folder for folder in numbered if folder.casefold() not in taken))
        taken.add(folders[-1].casefold())
    return folders
