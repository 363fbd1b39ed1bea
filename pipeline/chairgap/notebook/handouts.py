"""Question sheets from a study: the same as `chairgap handout`."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from chairgap.batch.part_cache import user_cache
from chairgap.handout.make import HandoutOptions
from chairgap.handout.study import checked_options, level_called, split_kinds, write_handout_of
from chairgap.records import Refusal, Study
from chairgap.running import RunOptions
from chairgap.study.reading import read_study
from chairgap.study.typed import Origin

_ORIGIN = Origin(file="make_handout()", molecule="study", fields={})


@dataclass(frozen=True, kw_only=True)
class HandoutFiles:
    """paths: the files of the handout; study_paths: those of its study; remarks: what else there is to know,
    such as why there is no PDF. refused and failed: molecules of the study that were not treated."""

    paths: tuple[Path, ...]
    study_paths: tuple[Path, ...]
    remarks: tuple[str, ...]
    refused: tuple[Refusal, ...]
    failed: tuple[Refusal, ...]


def make_handout(  # noqa: PLR0913 - one keyword for each option
    study: str | Path | Study,
    *,
    output: str | Path | None = None,
    versions: int = 2,
    questions: int | None = None,
    seed: int = 1,
    large_print: bool = False,
    paper: str = "A4",
    pdf: bool = True,
    equal: bool = False,
    kinds: str | Sequence[str] = (),
    level: str = "",
    workers: int = 0,
) -> HandoutFiles:
    """Run a study in its own output folder and write question sheets in versions of equal difficulty, and
    their keys, into a folder (by default 'handout' in the study's own).

    questions: how many a version has, by default 5 or what there is. seed: another one, another choice and
    order. pdf: PDF besides HTML, by a Chromium browser. equal: any number of molecules with equal
    chairs, else at most one question in six. kinds: names of kinds of questions, by default the question of
    four parts alone; level: 'easy', 'medium' or 'hard', '' for all. workers: processes to compute in; 0
    means this process. Raises StudyError with every problem of the study, InputError for an option, a folder
    or a study that cannot be used.
    """
    choice = HandoutOptions(versions=versions, questions=questions, seed=seed, equal=equal)
    names = split_kinds((kinds,) if isinstance(kinds, str) else kinds)
    choice = replace(choice, kinds=names, level=level_called(level, _ORIGIN))
    options = replace(choice, large_print=large_print, paper=paper, pdf=pdf)
    wanted = checked_options(options, _ORIGIN)
    read = study if isinstance(study, Study) else read_study(Path(study))
    home = None if output is None else Path(output)
    run, paths, remarks = write_handout_of(
        read, home, wanted, RunOptions(workers=workers, cache=user_cache())
    )
    return HandoutFiles(
        paths=paths,
        study_paths=run.paths,
        remarks=remarks,
        refused=run.outcome.refused,
        failed=run.outcome.failed,
    )
