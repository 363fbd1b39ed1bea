"""A handout from a study, for the command and for Python: the study is run in its folder, then the sheets are
made and written."""

from dataclasses import replace
from pathlib import Path

from chairgap.batch.stages import Progress
from chairgap.errors import InputError, Place
from chairgap.files import OutputFolder, check_output, write_files
from chairgap.handout.choosing import LETTERS
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
    """The same with the paper as we write it. Raises InputError for a number out of bounds and for another
    paper."""

    def place(field: str) -> Place:
        return Place(file=origin.file, field=origin.fields.get(field, field))

    for field, value, least, most in (
        ("versions", requested.versions, 1, len(LETTERS)),
        ("questions", requested.questions, 1, MOST_QUESTIONS),
        ("seed", requested.seed, 0, 10**18),
    ):
        if value is not None and not least <= value <= most:
            message = f"{value} is out of bounds; give {least} to {most}."
            raise InputError(message, place=place(field), value=value)
    found = {paper.casefold(): paper for paper in PAPERS}.get(requested.paper.strip().casefold())
    if found is None:
        hint = did_you_mean(requested.paper, PAPERS)
        message = f"There is no paper '{requested.paper}'.{hint} Write A4 or Letter."
        raise InputError(message, place=place("paper"), value=requested.paper)
    return replace(requested, paper=found)
