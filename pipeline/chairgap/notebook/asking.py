"""Asking for results: one molecule, several, or a study file."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TypedDict, Unpack, overload

import numpy as np

from chairgap.batch.part_cache import user_cache
from chairgap.errors import ChairgapError, EngineError, InputError, Place, StudyError
from chairgap.notebook.results import MoleculeResult, StudyResult
from chairgap.records import Study
from chairgap.run import run_study as run_here
from chairgap.running import RunOptions, ran_in_folder, silent
from chairgap.study.reading import read_study
from chairgap.study.typed import Origin, name_of, study_of_typed
from chairgap.text import did_you_mean

_CALL = "compare_chairs()"
# Where the keywords stand in a study file.
_KEYWORDS = {
    "conditions": ("temperature_k", "temperature_series_k", "medium", "medium_series"),
    "model": ("force_field", "engine", "quantum_method", "pairs_by"),
    "estimate": ("table", "pairs"),
    "verdict": ("undecided_below_kcal_mol", "size_tolerance_kcal_mol"),
    "search": ("effort", "most_starts", "window_kcal_mol", "seed", "atom_limit"),
}
_SECTIONS = {key: section for section, keys in _KEYWORDS.items() for key in keys}
_ORIGIN = Origin(
    file=_CALL,
    molecule="molecules",
    fields={
        **{key: key for key in (*_SECTIONS, "stereo")},
        "model": "force_field, engine, quantum_method, pairs_by, medium",
    },
)


class StudySettings(TypedDict, total=False):
    """The settings of a study, called as in a study file (configs/README.md); those left out keep its
    defaults."""

    temperature_k: float
    temperature_series_k: Sequence[float]
    medium: str
    medium_series: Sequence[str]
    force_field: str
    engine: str
    quantum_method: str
    pairs_by: str
    table: str | Path
    pairs: str
    undecided_below_kcal_mol: float
    size_tolerance_kcal_mol: float
    effort: str
    most_starts: int
    window_kcal_mol: float
    seed: int
    atom_limit: int


@overload
def compare_chairs(
    molecules: str, *, name: str = "", stereo: str = "", **settings: Unpack[StudySettings]
) -> MoleculeResult: ...


@overload
def compare_chairs(
    molecules: list[str] | tuple[str, ...] | dict[str, str],
    *,
    name: str = "",
    stereo: str = "",
    **settings: Unpack[StudySettings],
) -> StudyResult: ...


def compare_chairs(  # noqa: PLR0913 - one keyword for each setting
    molecules: str | list[str] | tuple[str, ...] | dict[str, str],
    *,
    name: str = "",
    stereo: str = "",
    temperature_k: float | None = None,
    temperature_series_k: Sequence[float] | None = None,
    medium: str | None = None,
    medium_series: Sequence[str] | None = None,
    force_field: str | None = None,
    engine: str | None = None,
    quantum_method: str | None = None,
    pairs_by: str | None = None,
    table: str | Path | None = None,
    pairs: str | None = None,
    undecided_below_kcal_mol: float | None = None,
    size_tolerance_kcal_mol: float | None = None,
    effort: str | None = None,
    most_starts: int | None = None,
    window_kcal_mol: float | None = None,
    seed: int | None = None,
    atom_limit: int | None = None,
    **unknown: object,
) -> MoleculeResult | StudyResult:
    """Estimate and force field side by side for one molecule, or for several.

    molecules: a SMILES, a name, or groups by ring carbon (1 to 6, clockwise as seen from above) and face,
    such as '1 up CH3, 2 down OH'; that gives a MoleculeResult. A list of them, or a dictionary of name and
    molecule, gives a StudyResult. name: what to call it (of several: the title). stereo: 'all' takes every
    stereoisomer that a SMILES leaves open. The other keywords are the settings of a study (kelvin,
    kcal/mol), with its defaults: temperature_k 298.15, force_field 'MMFF94', table 'chairgap' (or
    'textbook', or a file), pairs 'published' (or 'completed'), and so on; see configs/README.md.

    Everything is computed in this process and held in memory. Raises StudyError, with every problem, for
    what cannot be read or treated; InputError for a keyword that does not exist.
    """
    given = {key: value for key, value in locals().items() if key in _SECTIONS and value is not None}
    _check_keywords(unknown)
    several = not isinstance(molecules, str)
    texts = _named(molecules, name)
    study = study_of_typed(
        texts,
        title=(name or "Molecules") if several else next(iter(texts)),
        stereo=stereo,
        settings={
            section: {key: _plain(key, given[key]) for key in keys if key in given}
            for section, keys in _KEYWORDS.items()
        },
        origin=_ORIGIN,
    )
    results = StudyResult(_outcome=run_here(study, progress=silent, cache=user_cache()))
    if several:
        return results
    if len(results) != 1:
        raise _not_one(results, texts)
    return results[0]


def run_study(
    study: str | Path | Study, *, output: str | Path | None = None, workers: int = 0
) -> StudyResult:
    """Run a study: a file, or what `read_study` gave.

    output: a folder for the files of `chairgap study`; what it holds from an earlier run is not computed
    again. Without it nothing is written. workers: processes to compute in, with an output folder only; 0
    means this process. A script that asks for some keeps its own calls under `if __name__ == "__main__":`.
    All results are held in memory: for many thousands of molecules take the command. Raises StudyError with
    every problem of the study, InputError for a folder that cannot be used.
    """
    asked = study if isinstance(study, Study) else read_study(Path(study))
    if output is None:
        if workers:
            message = "Processes need a folder for what they compute; name one with output."
            raise InputError(message, place=Place(file="run_study()", field="workers"), value=workers)
        outcome = run_here(asked, progress=silent, cache=user_cache())
        return StudyResult(_outcome=replace(outcome, results=tuple(outcome.results)))
    with ran_in_folder(asked, Path(output), RunOptions(workers=workers, cache=user_cache())) as ran:
        return StudyResult(_outcome=replace(ran.outcome, results=tuple(ran.outcome.results)))


def _check_keywords(unknown: Mapping[str, object]) -> None:
    known = sorted((*_SECTIONS, "name", "stereo"))
    problems = [
        InputError(
            f"There is no such keyword.{did_you_mean(key, known)} Known are: {', '.join(known)}.",
            place=Place(file=_CALL, field=key),
            value=value,
        )
        for key, value in unknown.items()
    ]
    if problems:
        raise problems[0] if len(problems) == 1 else StudyError(problems)


def _named(molecules: object, name: str) -> dict[str, str]:
    """The molecules by name; those without one are called by their text."""
    if isinstance(molecules, str):
        return {name_of(molecules, name): molecules}
    pairs = list(molecules.items()) if isinstance(molecules, dict) else []
    if isinstance(molecules, list | tuple):
        pairs = [(name_of(text) if isinstance(text, str) else "", text) for text in molecules]
    problems = [
        InputError(
            "A molecule is a text: a SMILES, a name, or groups such as '1 up CH3, 2 down OH'. Write one.",
            place=Place(file=_CALL, field=f"molecules[{number}]"),
            value=text,
        )
        for number, pair in enumerate(pairs, start=1)
        for text in pair
        if not isinstance(text, str)
    ]
    if problems:
        raise StudyError(problems)
    if not pairs:
        message = "There is no molecule. Write a text, a list of texts, or a dictionary of name and text."
        raise InputError(message, place=Place(file=_CALL, field="molecules"), value=molecules)
    twice = [one for number, (one, _) in enumerate(pairs) if one in dict(pairs[:number])]
    if twice:
        message = f"'{twice[0]}' is there twice. Give it once, or give names in a dictionary."
        raise InputError(message, place=Place(file=_CALL, field="molecules"), value=twice[0])
    return dict(pairs)


def _plain(key: str, value: object) -> object:
    """A value as a study file could hold it: numbers and arrays of numpy, tuples and paths made plain."""
    if isinstance(value, np.ndarray | np.generic):
        value = value.tolist()
    if isinstance(value, Path):
        return str(value)
    if isinstance(value, list | tuple):
        return [_plain(key, item) for item in value]
    if isinstance(value, str | int | float):
        return value
    message = f"It cannot be a {type(value).__name__}. Write a number, a text or a list."
    raise InputError(message, place=Place(file=_CALL, field=key), value=value)


def _not_one(results: StudyResult, texts: Mapping[str, str]) -> ChairgapError:
    """Why one molecule was asked for and another number came out."""
    if len(results) == 0:
        return StudyError(
            [EngineError(f"{item.name}: {item.message}", place=item.place) for item in results.failed]
        )
    (text,) = texts.values()
    message = (
        f"There are {len(results)} stereoisomers of '{text}'. Ask for a list of molecules: "
        "compare_chairs(['...'], stereo='all') gives every one."
    )
    return InputError(message, place=Place(file=_CALL, field="molecules"), value=text)
