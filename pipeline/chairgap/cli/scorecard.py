"""The command that scores energy models: `chairgap scorecard`."""

import time
from dataclasses import replace
from pathlib import Path
from typing import Annotated, cast, get_args

import typer

from chairgap.cli.equilibria import score_equilibria
from chairgap.cli.scoring import say, scores_folder, scoring
from chairgap.errors import InputError, Place
from chairgap.estimate.groups import needed_row
from chairgap.records import QuantumMethod, Settings
from chairgap.report.model_scores import ModelScore, apart_words, model_scores
from chairgap.scorecard.compute import run_scorecard
from chairgap.scorecard.write import FILES, write_scorecard
from chairgap.tables.shipped import find_medium, read_tables

_SHOWN = (
    "mean absolute error {error:.2f}, bias {bias:+.2f}, rank correlation {rank:.2f}, wrong in sign {wrong}"
)


def scorecard(  # noqa: PLR0913 - one parameter for each option
    folder: Annotated[Path, typer.Argument(help="Where to write the scorecard and its plot.")] = Path(
        "reports/scorecard"
    ),
    table: Annotated[str, typer.Option(help="A-values: chairgap, textbook or a file.")] = "chairgap",
    group: Annotated[list[str] | None, typer.Option(help="Only this group; repeat it for more.")] = None,
    solvent: Annotated[str, typer.Option(help="The solvent in which MMFF94 is scored as well.")] = "water",
    quantum_method: Annotated[
        str, typer.Option(help="Score GFN2-xTB as well (minutes; needs chairgap[quantum]).")
    ] = Settings.quantum_method,
    temperature: Annotated[float, typer.Option(help="Temperature, kelvin.")] = Settings.temperature_k,
    equilibria: Annotated[
        bool,
        typer.Option(
            "--equilibria",
            help="Score published equilibria of several groups instead, each at its own temperature.",
        ),
    ] = False,
    workers: Annotated[
        int | None, typer.Option(min=1, help="Worker processes. Default: one for each core.")
    ] = None,
    debug: Annotated[bool, typer.Option("--debug", help="Show the traceback of an error.")] = False,
) -> None:
    """How far energy models are from measured values."""
    method = _known_method(quantum_method)
    if equilibria:
        _not_with_equilibria(group, solvent, temperature)
        score_equilibria(folder, table, method, workers)
        return
    read = read_tables(table)
    models = scored_models(solvent, temperature, method)
    estimate = read.estimate
    groups = [needed_row(estimate, name) for name in group or ()] or list(estimate.a_values)
    output = scores_folder(folder, table, FILES, "chairgap scorecard FOLDER")
    started = time.perf_counter()
    with scoring(workers) as (executor, progress):
        rows = run_scorecard(read, models, groups, executor=executor, progress=progress)
    head = f"Gibbs gap, axial - equatorial, at {temperature:.2f} K against the A-value, kcal/mol:"
    say(write_scorecard(rows, output), [head, *map(_line, model_scores(rows))], started)


def _line(score: ModelScore) -> str:
    phrase = _SHOWN.format(
        error=score.mean_absolute_error_kcal_mol,
        bias=score.bias_kcal_mol,
        rank=score.rank_correlation,
        wrong=len(score.wrong),
    )
    groups = f"{score.groups} group{'' if score.groups == 1 else 's'}"
    return f"{score.model}, {groups}: {phrase}; {apart_words(score)}"


def _not_with_equilibria(group: list[str] | None, solvent: str, temperature_k: float) -> None:
    given = {
        "--group": bool(group),
        "--solvent": solvent != "water",
        "--temperature": temperature_k != Settings.temperature_k,
    }
    for option in (name for name, is_given in given.items() if is_given):
        message = (
            f"{option} has no meaning with --equilibria, which takes molecules, media and temperatures as "
            "published. Leave one of the two out."
        )
        raise InputError(message, place=Place(file="command line", field=option))


def _known_method(name: str) -> QuantumMethod:
    for known in get_args(QuantumMethod):
        if name == known:
            return cast(QuantumMethod, known)
    message = f"There is no quantum method '{name}'. Write {' or '.join(get_args(QuantumMethod))}."
    raise InputError(message, place=Place(file="command line", field="--quantum-method"))


def scored_models(
    solvent: str, temperature_k: float, quantum_method: QuantumMethod = "none"
) -> tuple[Settings, ...]:
    """MMFF94, MMFF94s and UFF in the gas phase, MMFF94 in a solvent, and a quantum method on request.

    Raises InputError for an unknown solvent.
    """
    plain = Settings(title="scorecard", output="", temperature_k=temperature_k)
    models = [
        plain,
        replace(plain, force_field="MMFF94s"),
        replace(plain, force_field="UFF"),
        replace(plain, medium=find_medium(solvent)),
    ]
    return (*models, *([replace(plain, quantum_method=quantum_method)] if quantum_method != "none" else []))
