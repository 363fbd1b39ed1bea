"""A handout from a study, for the command and for Python: the study is run in its folder, then the sheets are
made and written."""

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from chairgap.batch.stages import Progress
from chairgap.errors import InputError, Place
from chairgap.files import OutputFolder, check_output, write_files
from chairgap.handout.choosing import VERSIONS
from chairgap.handout.kinds import FOUR_PART, KINDS
from chairgap.handout.levels import LEVELS, Level
from chairgap.handout.make import PAPERS, HandoutOptions, make_handout, possible_names
from chairgap.records import Study
from chairgap.running import FinishedRun, RunOptions, ran_in_folder, silent
from chairgap.study.typed import COMMAND_LINE, Origin
from chairgap.text import did_you_mean

MOST_QUESTIONS = 30


def write_handout_of(
    study: Study,
    output: Path | None,
    requested: HandoutOptions,
    options: RunOptions,
    progress: Progress = silent,
) -> tuple[FinishedRun, tuple[Path, ...], tuple[str, ...]]:
    """Run a study in its own folder and write its handout, by default into 'handout' in there. Returns the
    run, from which results of a large study cannot be read any more, the files in the handout's own folder,
    and remarks for the user.

    Raises what `ran_in_folder` raises, and InputError for a folder that cannot be used or a study that has
    too few molecules to be asked about.
    """
    folder = Path(study.settings.output)
    home = OutputFolder(path=output or folder / "handout", command="handout", inputs=study.inputs)
    check_output(home, possible_names(requested.versions))
    with ran_in_folder(study, folder, options, progress) as run:
        made = make_handout(run.outcome, requested)
    paths = tuple(path for path in write_files(home, made.contents) if path.parent == home.path)
    return run, paths, made.remarks


def checked_options(requested: HandoutOptions, origin: Origin = COMMAND_LINE) -> HandoutOptions:
    """The same with paper and kinds as we write them. Raises InputError for a number out of bounds and for
    another paper or kind."""

    def place(field: str) -> Place:
        return Place(file=origin.file, field=origin.fields.get(field, field))

    for field, value, least, most in (
        ("versions", requested.versions, 1, len(VERSIONS)),
        ("questions", requested.questions, 1, MOST_QUESTIONS),
        ("seed", requested.seed, 0, 10**18),
    ):
        if value is not None and not least <= value <= most:
            message = f"{value} is out of bounds; give {least} to {most}."
            raise InputError(message, place=place(field), value=value)
    paper = _known(requested.paper, PAPERS, "paper", place("paper"), "Write A4 or Letter.")
    kinds = tuple(
        _known(name, tuple(KINDS), "kind of question", place("kinds"), f"There are {', '.join(KINDS)}.")
        for name in requested.kinds
    )
    return replace(requested, paper=paper, kinds=tuple(dict.fromkeys(kinds)))


def level_called(text: str, origin: Origin = COMMAND_LINE) -> Level | None:
    """The level of that name; None for ''. Raises InputError for another one."""
    if not text.strip():
        return None
    field = Place(file=origin.file, field=origin.fields.get("level", "level"))
    found = _known(text, LEVELS, "level", field, f"There are {', '.join(LEVELS)}.")
    return next(level for level in LEVELS if level == found)


def split_kinds(texts: Sequence[str]) -> tuple[str, ...]:
    """Kinds given one by one or joined by commas; the usual one when there are none."""
    names = tuple(name.strip() for text in texts for name in text.split(",") if name.strip())
    return names or (FOUR_PART.name,)


def _known(text: str, known: Sequence[str], what: str, place: Place, choices: str) -> str:
    """The known word that a text means, capitals not told apart."""
    found = {word.casefold(): word for word in known}.get(text.strip().casefold())
    if found is None:
        hint = did_you_mean(text, known)
        raise InputError(f"There is no {what} '{text}'.{hint} {choices}", place=place, value=text)
    return found
