"""The command of the ring flip: `chairgap flip`."""

from pathlib import Path
from typing import Annotated

import typer
from threadpoolctl import threadpool_limits

from chairgap.errors import ChairgapError, InputError, Place
from chairgap.flip.frames import path_frames
from chairgap.flip.recipe import compute_flip
from chairgap.flip.sphere import sphere_map
from chairgap.records import Flip, Molecule, Settings, Study
from chairgap.report.flip_profile import levels_of
from chairgap.report.flip_text import CAVEATS, rate_lines, search_sentence
from chairgap.report.words import CAUTIONS, one_line
from chairgap.report.write_flip import write_flip
from chairgap.run import build_all
from chairgap.study import read_study
from chairgap.study_typed import study_as_typed
from chairgap.tables import read_estimate_table


def flip(
    what: Annotated[
        list[str],
        typer.Argument(
            metavar="STUDY|MOLECULE", help="A study file, a SMILES, or groups: '1 up CH3, 2 down OH'."
        ),
    ],
    name: Annotated[str, typer.Option(help="Of a study: only this molecule.")] = "",
    temperature: Annotated[
        float | None, typer.Option(help="Kelvin. Default: the study's, else 298.15.")
    ] = None,
    step: Annotated[float, typer.Option(min=5.0, max=45.0, help="Degrees between places of the map.")] = 15.0,
    output: Annotated[Path, typer.Option(help="Folder for the files.")] = Path("reports/flip"),
    debug: Annotated[bool, typer.Option("--debug", help="Show the traceback of an error.")] = False,
) -> None:
    """The ring flip: all ring shapes, the saddles between them, the lowest path, rates and the map."""
    study = _study(what, temperature)
    molecules, failed = _molecules(study, name)
    for molecule in molecules:
        folder = output / folder_name(molecule.name) if len(molecules) > 1 else output
        try:
            _one(molecule, study.settings, step, folder)
        except ChairgapError as error:
            failed += 1
            typer.echo(f"! failed: {molecule.name}: {error.message}", err=True)
    for line in (*CAVEATS, *CAUTIONS[:3]):
        typer.echo(line)
    if failed:
        raise typer.Exit(1 if failed < len(molecules) else 3)


def _one(molecule: Molecule, settings: Settings, step: float, folder: Path) -> None:
    with threadpool_limits(1):
        found, ground = compute_flip(molecule, settings)
        frames = path_frames(found, ground)
        points = sphere_map(found, ground, step)
    paths = write_flip(found, frames, points, settings.force_field, folder)
    for line in _lines(found, settings):
        typer.echo(line)
    typer.echo(f"Written to {folder}: {', '.join(path.name for path in paths)}")
    typer.echo("")


def _lines(found: Flip, settings: Settings) -> list[str]:
    lines = [
        f"{one_line(found.molecule.name)}, {settings.force_field}, gas phase; kcal/mol above the lowest "
        f"minimum, H and G at {found.temperature_k:.2f} K"
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
                "A study has its own temperature; leave --temperature out.",
                place=Place(file="command line", field="--temperature"),
            )
        return read_study(Path(text))
    conditions = {} if temperature is None else {"temperature_k": temperature}
    return study_as_typed(text, settings={"conditions": conditions})


def _molecules(study: Study, name: str) -> tuple[list[Molecule], int]:
    table = read_estimate_table(study.settings.a_value_table)
    molecules, refused = build_all(study, table)
    for item in (*study.refused, *refused):
        typer.echo(f"! refused: {item.name}: {item.message}", err=True)
    chosen = [item for item in molecules if not name or item.name == name]
    if not molecules:
        raise InputError("No molecule can be treated; correct what is refused above.")
    if not chosen:
        known = ", ".join(repr(item.name) for item in molecules)
        raise InputError(
            f"There is no molecule '{name}' to treat; there are: {known}.",
            place=Place(file="command line", field="--name"),
        )
    return chosen, len(refused) + len(study.refused)


def folder_name(name: str) -> str:
    """A molecule's name as the name of a folder: letters, digits and hyphens."""
    kept = "".join(letter if letter.isalnum() else "-" for letter in name)
    return "-".join(part for part in kept.split("-") if part) or "molecule"
