"""What `--check` shows: how every molecule is understood, what is wrong, and what a run would cost."""

from collections.abc import Callable
from pathlib import Path
from typing import NoReturn

import typer

from chairgap.abinitio.levels import cost_words
from chairgap.cli.bar import left_out_line
from chairgap.cli.running import show_notes
from chairgap.errors import ChairgapError
from chairgap.records import NotPlanned, Planned, Settings, Study, Task
from chairgap.report.names import name_words
from chairgap.running import RunOptions, hindrances, molecules_of
from chairgap.study.reading import UnsoundStudyError
from chairgap.text import duration, one_line, readable


def check_study(
    read: Callable[[], Study],
    options: RunOptions,
    *,
    output: Path | None,
    has_folder: bool,
    quiet: bool = False,
) -> NoReturn:
    """List the molecules of the study that `read` gives as a run would take them, then all that is wrong,
    and leave with the exit code that the run would have. With `quiet` only what is wrong.

    The run writes into `output`, or into the study's own folder where it has one. Of a study that cannot be
    run the molecules are checked with the default in place of each wrong setting.
    """
    wrong: tuple[ChairgapError, ...] = ()
    try:
        study = read()
    except UnsoundStudyError as error:
        study, wrong = error.study, error.of_settings
    folder = output
    if has_folder and not any(problem.place.field.startswith("output") for problem in wrong):
        folder = output or Path(study.settings.output)
    show_notes(study.notes)
    left_out = [NotPlanned(status="refused", refusal=refusal) for refusal in study.refused]
    tasks: dict[str, Task] = {}
    count = 0
    if not quiet:
        typer.echo(_conditions(study.settings, is_sound=not wrong))
    for entry in molecules_of(study, options):
        if isinstance(entry, NotPlanned):
            left_out.append(entry)
            continue
        count += 1
        tasks.update((task.key, task) for task in (entry.task, *entry.parts, *entry.at_level))
        if not quiet:
            typer.echo("\n".join(_lines(count, entry)))
    stopping = [*wrong, *hindrances(study, folder)]
    for problem in stopping:
        typer.echo(f"Error: {problem}", err=True)
    for entry in left_out:
        typer.echo(left_out_line(entry), err=True)
    if not quiet:
        costs = _costs(study, list(tasks.values())) if not wrong else [_before_it_runs(len(stopping))]
        counted = _counted(study, count, len(left_out))
        typer.echo("\n".join(("", counted, *costs, "Nothing was computed or written.")))
    raise typer.Exit(max((problem.exit_code for problem in stopping), default=_code(count, left_out)))


def _code(count: int, left_out: list[NotPlanned]) -> int:
    if not count:
        return 3 if any(entry.status == "failed" for entry in left_out) else 2
    return 1 if left_out else 0


def _conditions(settings: Settings, *, is_sound: bool) -> str:
    table = settings.a_value_table
    instead = "" if is_sound else "read with the defaults in place of wrong settings: "
    return readable(
        f"{one_line(settings.title)}: {instead}{settings.force_field_or_quantum_method}, "
        f"{settings.medium.name}, {settings.temperature_k:.2f} K; A-values of table '{table}'"
    )


def _lines(number: int, entry: Planned) -> list[str]:
    return [
        f"{number}. {one_line(entry.name)}",
        f"   {name_words(entry.naming)}",
        f"   {entry.numbered}: {entry.groups_by_face}",
        f"   {entry.smiles}",
        *(f"   Note: {one_line(note)}" for note in entry.notes),
    ]


def _counted(study: Study, count: int, left_out: int) -> str:
    entries = len(study.requests) + len(study.refused)
    molecules = "1 molecule is understood" if count == 1 else f"{count:,} molecules are understood"
    refused = f", {left_out:,} {'is' if left_out == 1 else 'are'} refused" if left_out else ""
    if count + left_out > entries:
        return f"{molecules}{refused}; the study has {entries:,}, of which some stand for several isomers."
    return f"{molecules}{refused}."


def _before_it_runs(errors: int) -> str:
    return f"The study does not run before its {f'{errors} errors are' if errors > 1 else 'error is'} mended."


def _costs(study: Study, tasks: list[Task]) -> list[str]:
    settings = study.settings
    lines = []
    own = [task.expected_s for task in tasks if task.level == "none"]
    if own:
        lines.append(
            f"A run searches {len(own):,} ring{'' if len(own) == 1 else 's'}, of molecules and of groups "
            f"alone: with {settings.force_field_or_quantum_method} at standard effort about "
            f"{duration(sum(own))} on one core (half to twice that), less what is kept of an "
            "earlier run."
        )
        if settings.pairs_by != "none":
            at_level = [task.expected_s for task in tasks if task.level != "none"]
            lines.append(cost_words(at_level, settings.pairs_by))
    return lines
