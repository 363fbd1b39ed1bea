"""What `--check` shows: how every molecule is understood, what is wrong, and what a run would cost."""

from pathlib import Path
from typing import NoReturn

import typer

from chairgap.abinitio.levels import cost_words
from chairgap.cli.bar import left_out_line
from chairgap.cli.running import show_notes
from chairgap.records import NotPlanned, Planned, Settings, Study, Task
from chairgap.report.names import name_words
from chairgap.running import RunOptions, hindrances, molecules_of
from chairgap.text import duration, one_line, readable


def check_study(study: Study, folder: Path | None, options: RunOptions, *, quiet: bool = False) -> NoReturn:
    """List the molecules of a study as a run in a folder would take them, then all that is wrong, and leave
    with the exit code that the run would have. With `quiet` only what is wrong."""
    show_notes(study.notes)
    left_out = [NotPlanned(status="refused", refusal=refusal) for refusal in study.refused]
    tasks: dict[str, Task] = {}
    count = 0
    if not quiet:
        typer.echo(_conditions(study.settings))
    for entry in molecules_of(study, options):
        if isinstance(entry, NotPlanned):
            left_out.append(entry)
            continue
        count += 1
        tasks.update((task.key, task) for task in (entry.task, *entry.parts, *entry.at_level))
        if not quiet:
            typer.echo("\n".join(_lines(count, entry)))
    for entry in left_out:
        typer.echo(left_out_line(entry), err=True)
    stopping = hindrances(study, folder)
    for error in stopping:
        typer.echo(f"Error: {error}", err=True)
    if not quiet:
        typer.echo("\n".join(("", *_summary(study, count, len(left_out), list(tasks.values())))))
    raise typer.Exit(max((error.exit_code for error in stopping), default=_code(count, left_out)))


def _code(count: int, left_out: list[NotPlanned]) -> int:
    if not count:
        return 3 if any(entry.status == "failed" for entry in left_out) else 2
    return 1 if left_out else 0


def _conditions(settings: Settings) -> str:
    table = settings.a_value_table
    return readable(
        f"{one_line(settings.title)}: {settings.force_field_or_quantum_method}, {settings.medium.name}, "
        f"{settings.temperature_k:.2f} K; A-values of table '{table}'"
    )


def _lines(number: int, entry: Planned) -> list[str]:
    return [
        f"{number}. {one_line(entry.name)}",
        f"   {name_words(entry.naming)}",
        f"   {entry.numbered}: {entry.groups_by_face}",
        f"   {entry.smiles}",
        *(f"   Note: {one_line(note)}" for note in entry.notes),
    ]


def _summary(study: Study, count: int, left_out: int, tasks: list[Task]) -> list[str]:
    entries, settings = len(study.requests) + len(study.refused), study.settings
    molecules = "1 molecule is understood" if count == 1 else f"{count:,} molecules are understood"
    refused = f", {left_out:,} {'is' if left_out == 1 else 'are'} refused" if left_out else ""
    lines = [f"{molecules}{refused}."]
    if count + left_out > entries:
        lines = [f"{molecules}{refused}; the study has {entries:,}, of which some stand for several isomers."]
    own = [task.expected_s for task in tasks if task.level == "none"]
    if own:
        lines.append(
            f"A run searches {len(own):,} ring{'' if len(own) == 1 else 's'}, of molecules and of groups "
            f"alone: with {settings.force_field_or_quantum_method} at standard effort about "
            f"{duration(sum(own))} on one core (half to twice that), less what is kept of an "
            "earlier run."
        )
    if count and settings.pairs_by != "none":
        at_level = [task.expected_s for task in tasks if task.level != "none"]
        lines.append(cost_words(at_level, settings.pairs_by))
    return [*lines, "Nothing was computed or written."]
