"""The ring flip of the molecules of a study, for the command and for Python: what is asked for is checked
before anything is computed, then each molecule is taken by itself."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import chain, count, zip_longest
from pathlib import Path

from chairgap.errors import ChairgapError, InputError, MoleculeError, Place, StudyError
from chairgap.files import OutputFolder, check_output
from chairgap.flip.report.write import FILES, FlipResults, write_flip
from chairgap.flip.sampling import DEFAULT_TEMPERATURE_K, LEAST_STEPS
from chairgap.minimise.threads import one_native_thread
from chairgap.molecule.build import build_molecules
from chairgap.records import Molecule, Refusal, Settings, Study
from chairgap.study.typed import COMMAND_LINE, Origin

_RUNS = 3
BOUNDS = {
    "step_deg": (5.0, 45.0),
    "dynamics": (0, 10**12),
    "free_energy": (0, 10**12),
    "dynamics_temperature_k": (100.0, 2000.0),
    "seed": (0, 2**31 - 2),
}


@dataclass(frozen=True, kw_only=True)
class FlipOptions:
    """What is computed besides the path: degrees between places of the map, steps of dynamics and of each
    metadynamics run (0: none), the temperature of both in kelvin, and their seed."""

    step_deg: float = 15.0
    dynamics: int = 0
    free_energy: int = 0
    dynamics_temperature_k: float = DEFAULT_TEMPERATURE_K
    seed: int = 1


@dataclass(frozen=True, kw_only=True)
class FlipMolecules:
    """The molecules to take, each with the name of its folder ('' where the study has this one alone), and
    those of the study that were refused."""

    molecules: tuple[Molecule, ...]
    folders: tuple[str, ...]
    refused: tuple[Refusal, ...]


def check_options(options: FlipOptions, settings: Settings, origin: Origin = COMMAND_LINE) -> None:
    """Raises InputError for a number out of bounds, for too few steps, and for dynamics with a force field
    that OpenMM does not have."""

    def place(field: str) -> Place:
        return Place(file=origin.file, field=origin.fields.get(field, field))

    for field, (least, most) in BOUNDS.items():
        value = getattr(options, field)
        if not least <= value <= most:
            message = f"{value:g} is out of bounds; give {least:g} to {most:g}."
            raise InputError(message, place=place(field), value=value)
    for field, steps, few in (
        ("dynamics", options.dynamics, LEAST_STEPS),
        ("free_energy", options.free_energy, 2 * LEAST_STEPS),
    ):
        if 0 < steps < few:
            message = f"{steps} steps are too few for a mean; give {few} or more, or leave the option out."
            raise InputError(message, place=place(field))
        if steps and settings.force_field == "UFF":
            message = "OpenMM, which runs the dynamics, has no UFF; choose MMFF94 in the study."
            raise InputError(message, place=place(field))


def molecules_to_flip(study: Study, only: str = "", origin: Origin = COMMAND_LINE) -> FlipMolecules:
    """All molecules of a study, or the one of a name. Raises StudyError with the reason for each when none
    can be treated, InputError when there is none of that name."""
    settings, table = study.settings, study.tables.estimate
    molecules: list[Molecule] = []
    refused = list(study.refused)
    for request in study.requests:
        try:
            molecules += build_molecules(
                request,
                table,
                force_field=settings.force_field,
                atom_limit=settings.atom_limit,
                numbering=settings.numbering,
            )
        except MoleculeError as error:
            refused.append(Refusal(name=request.name, message=error.message, place=error.place))
    if not molecules:
        raise StudyError([item.as_error() for item in refused])
    folders = folder_names([item.name for item in molecules]) if len(molecules) > 1 else [""]
    chosen = [
        (item, folder)
        for item, folder in zip(molecules, folders, strict=True)
        if not only or item.name == only
    ]
    if not chosen:
        known = ", ".join(repr(item.name) for item in molecules)
        message = f"There is no molecule '{only}'; there are: {known}."
        raise InputError(message, place=Place(file=origin.file, field=origin.fields.get("only", "only")))
    return FlipMolecules(
        molecules=tuple(item for item, _ in chosen),
        folders=tuple(folder for _, folder in chosen),
        refused=tuple(refused),
    )


def outputs_for(asked: FlipMolecules, study: Study, output: Path) -> tuple[OutputFolder, ...]:
    """A folder for each molecule: one of its own in the output, but the output itself for a study of one.
    Raises InputError when files cannot be written there."""
    outputs = tuple(
        OutputFolder(path=output / folder, command="flip", inputs=study.inputs) for folder in asked.folders
    )
    for place in outputs:
        check_output(place, FILES)
    return outputs


def flip_of(molecule: Molecule, settings: Settings, options: FlipOptions) -> FlipResults:
    """Everything about the flip of one molecule, on the force field's surface in the gas phase. Raises
    EngineError when no minimum is found."""
    # Here and not above: half of every start would be spent on their libraries. Before the limit, which
    # holds for the libraries that are there already.
    from chairgap.flip.dynamics import run_dynamics, theta_profile
    from chairgap.flip.frames import path_frames
    from chairgap.flip.recipe import compute_flip
    from chairgap.flip.sphere import sphere_map

    at_k, seed = options.dynamics_temperature_k, options.seed
    with one_native_thread():
        found, ground = compute_flip(molecule, settings)
        return FlipResults(
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


def flips_of(
    molecules: Sequence[Molecule],
    settings: Settings,
    options: FlipOptions,
    outputs: Sequence[OutputFolder],
) -> Iterator[tuple[Molecule, FlipResults | ChairgapError, tuple[Path, ...]]]:
    """Each molecule with its flip and the files written, or the error that it failed with; without outputs
    nothing is written."""
    for molecule, place in zip_longest(molecules, outputs):
        try:
            results = flip_of(molecule, settings, options)
            paths = () if place is None else write_flip(results, settings.force_field, place)
        except ChairgapError as error:
            yield molecule, error, ()
        else:
            yield molecule, results, paths


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
