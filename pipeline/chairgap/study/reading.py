"""Reads a study: one TOML file, and the tables and SDF files it names, into a frozen Study.

Every file named in a study is looked for from the folder of the study file; the output folder is seen from
where the command runs. All problems are reported at once. What is wrong with one molecule refuses that
molecule and lets the others go on (`Study.refused`); what is wrong with the study stops it.
"""

import re
import tomllib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from chairgap.errors import ChairgapError, InputError, Place, StudyError
from chairgap.files.reading import is_file, read_text
from chairgap.molecule.substituents import row_names
from chairgap.records import (
    GAS_PHASE,
    Effort,
    EstimateTable,
    Limits,
    MoleculeRequest,
    Refusal,
    SearchSettings,
    Settings,
    Study,
)
from chairgap.study.molecules import Item, Names, from_block, from_sdf, from_table
from chairgap.study.pairs import read_pairs
from chairgap.study.patterns import from_patterns, read_patterns
from chairgap.study.schema import StudyTable, with_defaults, without
from chairgap.study.toml_text import KeyPath, Source, key_lines
from chairgap.tables.shipped import SHIPPED_TABLES, TableReader, no_such_table, table_files

# Bound on the minimisations of one molecule that each effort word stands for.
EFFORT_STARTS: dict[Effort, int] = {"quick": 600, "standard": 4000, "thorough": 20000}

# Below this a temperature meant in kelvin is rare in this trade and one meant in Celsius is likely.
_LOOKS_LIKE_CELSIUS_BELOW_K = 150.0


class UnsoundStudyError(StudyError):
    """A study that cannot be run. of_settings: what is wrong but for molecules; study: what can be read,
    with the default in place of each wrong setting, so that its molecules can be checked all the same."""

    def __init__(self, of_settings: Sequence[ChairgapError], study: Study):
        super().__init__([*of_settings, *(refusal.as_error() for refusal in study.refused)])
        self.of_settings, self.study = tuple(of_settings), study


def read_study(path: Path) -> Study:
    """The study in a TOML file.

    Raises UnsoundStudyError with every problem found when a setting or a named file cannot be used, or when
    no molecule is left; InputError when the file itself cannot be read as TOML.
    """
    text = read_text(path, instead_of_folder="Give the study file in it, such as study.toml.")
    study = study_from_text(text, path)
    return replace(study, inputs=(path.absolute(), *study.inputs))


def study_from_text(text: str, path: Path) -> Study:
    """The study in a TOML text; `path` is what messages call it, and its folder is where named files are.

    Raises as `read_study` does.
    """
    data = _parsed(text, path)
    source = Source(file=str(path), lines=key_lines(text))
    reader = TableReader()
    groups_of, problems = _estimate_table(reader, data, path, source)
    remarks: list[str] = []
    items, found = _molecules(data, path, source, groups_of, remarks)
    of_media = _medium_problems(reader, data, source)
    declared, of_pairs = read_pairs(_blocks(data, "pair"), groups_of, reader.medium, source)
    problems += [*found, *of_media.values(), *of_pairs]
    sound = _without_wrong_tables(data, bool(groups_of), of_media)
    table, of_settings = with_defaults(_with_output(sound, path), _instead(path), source)
    problems += of_settings
    problems.sort(key=lambda problem: (problem.place.file != str(path), problem.place.line or 0))
    if not items and not problems:
        message = (
            "The study has no molecule. Write a [[molecule]] or [[pattern]] block, or name a file in "
            "molecules_csv."
        )
        problems.append(InputError(message, place=Place(file=str(path))))
    settings = replace(_settings(table, path, reader), declared_pairs=declared)
    if not of_settings and not of_media:
        place = source.place(("model",))
        problems += [InputError(phrase, place=place) for phrase in settings.contradictions()]
    named = [file for key in ("molecules_csv", "molecules_sdf") for _, file in _named_files(data, key, path)]
    study = Study(
        settings=settings,
        tables=reader.tables(
            settings.a_value_table,
            settings.medium.name,
            settings.temperature_k,
            [medium.name for medium in settings.medium_series],
        ),
        requests=tuple(item for item in items if isinstance(item, MoleculeRequest)),
        text=text,
        file=str(path),
        refused=tuple(item for item in items if isinstance(item, Refusal)),
        notes=(*_notes(settings), *remarks),
        inputs=tuple(file.absolute() for file in (*named, *table_files(settings.a_value_table))),
    )
    if problems or not study.requests:
        raise UnsoundStudyError(problems, study)
    return study


def _without_wrong_tables(
    data: dict[str, Any], has_table: bool, media: Mapping[KeyPath, ChairgapError]
) -> dict[str, Any]:
    """The data with the defaults in place of the tables and media that there are not, which the schema cannot
    know."""
    for path in media:
        section, key, *index = map(str, path)
        said = data[section][key]
        instead = [GAS_PHASE.name if [str(n)] == index else name for n, name in enumerate(said)]
        data = data | {section: data[section] | {key: instead if index else GAS_PHASE.name}}
    return data if has_table else without(data, ("estimate", "table"))


def _instead(path: Path) -> dict[str, Any]:
    """What stands in for what a study must have. The folder of its output may be wrong by being a file."""
    return {"title": path.stem, "output": {"folder": "."}}


def _settings(table: StudyTable, path: Path, reader: TableReader) -> Settings:
    search = table.search
    return Settings(
        title=table.title,
        output=table.output.folder,
        numbering=table.numbering,
        temperature_k=table.conditions.temperature_k,
        temperature_series_k=tuple(table.conditions.temperature_series_k),
        medium=reader.medium(table.conditions.medium),
        medium_series=tuple(map(reader.medium, table.conditions.medium_series)),
        force_field=table.model.force_field,
        engine=table.model.engine,
        quantum_method=table.model.quantum_method,
        pairs_by=table.model.pairs_by,
        a_value_table=_table_name(table.estimate.table, path),
        pairs=table.estimate.pairs,
        undecided_below_kcal_mol=table.verdict.undecided_below_kcal_mol,
        size_tolerance_kcal_mol=table.verdict.size_tolerance_kcal_mol,
        atom_limit=search.atom_limit,
        search=SearchSettings(
            effort=search.effort,
            most_starts=search.most_starts or EFFORT_STARTS[search.effort],
            window_kcal_mol=search.window_kcal_mol,
            seed=search.seed,
        ),
        limits=Limits(time_s=table.limits.time_s, memory_mb=table.limits.memory_mb),
        parquet=table.output.parquet,
        page=table.output.page,
    )


def _notes(settings: Settings) -> tuple[str, ...]:
    kelvin = settings.temperature_k
    if kelvin >= _LOOKS_LIKE_CELSIUS_BELOW_K:
        return ()
    return (
        f"The temperature is {kelvin:g} K ({kelvin - 273.15:.2f} degrees Celsius). "
        f"If {kelvin:g} degrees Celsius was meant, write temperature_k = {kelvin + 273.15:.2f}.",
    )


def _with_output(data: dict[str, Any], path: Path) -> dict[str, Any]:
    """The data with the default output folder `reports/<name of the study file>` where none is given."""
    output = data.get("output", {})
    if isinstance(output, dict):
        output = {"folder": f"reports/{path.stem}"} | output
    return data | {"output": output}


# --- TOML ------------------------------------------------------------------------------------------------

_MOST_KEY_PARTS = 200
_KEY_PART = re.compile(r"\s*[\w\"'-]+\s*")

# The wording of CPython's parser (its start, or a part of it) and what the user should do about it.
_ADVICE = (
    (
        r"^Cannot|^Duplicate",
        "Keep one: a key or [section] is written once, and each molecule is a [[molecule]].",
    ),
    (
        r"hex value|^Escaped|^Unescaped",
        "There is a backslash between double quotes: use single quotes there.",
    ),
    (r"^Illegal|^Unterminated|^Found|^Expected \"'", "Close the text with the quote it began with."),
    (r"^Unclosed|declaration", "Close the bracket that was opened."),
    (r"^Expected newline", "Write one key = value per line, decimals with a point, text in quotes."),
    (r"^Exceeds", "A number has too many digits: shorten it."),
    (r"^Invalid (value|date)", "Write text in quotes, decimals with a point, a list in square brackets."),
    (r"", "Write each line as key = value, [section] or # comment."),
)


def _check_depth(text: str, path: Path) -> None:
    """Refuses a key a.a.a. ... of hundreds of parts: the parser takes time by the square of their number."""
    for number, line in enumerate(text.split("\n"), start=1):
        if line.count(".") < _MOST_KEY_PARTS or line.lstrip().startswith("#"):
            continue
        parts = 0
        for piece in line.split("."):
            parts = parts + 1 if _KEY_PART.fullmatch(piece) else 0
            if parts > _MOST_KEY_PARTS:
                message = "A key has far too many parts with full stops between. Remove them."
                raise InputError(message, place=Place(file=str(path), line=number))


def _parsed(text: str, path: Path) -> dict[str, Any]:
    _check_depth(text, path)
    try:
        return tomllib.loads(text)
    except RecursionError:
        message = "Lists are nested too deeply. Remove the extra brackets."
        raise InputError(message, place=Place(file=str(path))) from None
    except ValueError as error:  # also a number of more digits than Python reads
        wording = str(error)
    at = re.search(r"\(at line (\d+), column (\d+)\)$", wording)
    line = int(at[1]) if at else len(text.rstrip().split("\n")) if "end of document" in wording else None
    where = f" at column {at[2]}" if at else ""
    advice = next(advice for pattern, advice in _ADVICE if re.search(pattern, wording))
    message = f"This is not valid TOML{where}. {advice}"
    raise InputError(message, place=Place(file=str(path), line=line))


# --- molecules and tables --------------------------------------------------------------------------------


def _molecules(
    data: dict[str, Any],
    path: Path,
    source: Source,
    groups_of: EstimateTable | None,
    remarks: list[str],
) -> tuple[list[Item], list[ChairgapError]]:
    """All molecules in the order of blocks, patterns, tables, SDF files; and the problems of patterns and of
    whole files. What was passed over in a table is added to remarks."""
    taken: Names = {}
    entries = _blocks(data, "molecule")
    items = [from_block(entry, n, taken, source) for n, entry in enumerate(entries)]
    patterns, problems = read_patterns(_blocks(data, "pattern"), groups_of, source)
    if not problems:
        items += from_patterns(patterns, taken)
    readers: tuple[tuple[str, Callable[[Path, Names], list[Item]]], ...] = (
        ("molecules_csv", lambda file, taken: from_table(file, taken, remarks)),
        ("molecules_sdf", from_sdf),
    )
    for key, read in readers:
        for position, file in _named_files(data, key, path):
            try:
                items += read(file, taken)
            except ChairgapError as error:
                problems += _seen_from_study(error, source.place((key, position)))
    return items, problems


def _named_files(data: dict[str, Any], key: str, path: Path) -> Iterator[tuple[int, Path]]:
    """The files that a key names, with their positions in its list."""
    names = data.get(key)
    for position, name in enumerate(names if isinstance(names, list) else []):
        if isinstance(name, str) and name.strip():  # anything else is reported by the schema
            yield position, path.parent / name.strip()


def _blocks(data: dict[str, Any], key: str) -> list[object]:
    blocks = data.get(key)
    return blocks if isinstance(blocks, list) else []  # anything else is reported by the schema


def _medium_problems(
    reader: TableReader, data: dict[str, Any], source: Source
) -> dict[KeyPath, ChairgapError]:
    """What is wrong with the names of media, by key."""
    section = data.get("conditions")
    found = section if isinstance(section, dict) else {}
    one, several = found.get("medium"), found.get("medium_series")
    named: list[tuple[KeyPath, Any]] = [(("conditions", "medium"), one)]
    for index, name in enumerate(several if isinstance(several, list) else []):
        named.append((("conditions", "medium_series", index), name))
    problems: dict[KeyPath, ChairgapError] = {}
    for key, name in named:
        if not isinstance(name, str) or not name.strip():
            continue  # the default, or reported by the schema
        try:
            reader.medium(name)
        except InputError as error:
            problems[key] = InputError(error.message, place=source.place(key), value=name)
    return problems


def _estimate_table(
    reader: TableReader, data: dict[str, Any], path: Path, source: Source
) -> tuple[EstimateTable | None, list[ChairgapError]]:
    """The A-value table of the study, or why there is none."""
    section = data.get("estimate", {})
    name = section.get("table", Settings.a_value_table) if isinstance(section, dict) else None
    if not isinstance(name, str) or not name.strip():
        return None, []  # reported by the schema
    place = source.place(("estimate", "table"))
    found = _table_name(name.strip(), path)
    if found not in SHIPPED_TABLES and not is_file(Path(found)):
        return None, [no_such_table(name, seen_from="the study file", place=place)]
    try:
        table = reader.estimate_table(found)
        row_names(table)  # fragments are read as chemistry only here
        return table, []
    except ChairgapError as error:
        return None, _seen_from_study(error, place)


def _table_name(name: str, path: Path) -> str:
    """What `chairgap.tables` calls the table: a shipped name, or a path from where the command runs."""
    return name if name in SHIPPED_TABLES else str(path.parent / name)


def _seen_from_study(error: ChairgapError, place: Place) -> list[ChairgapError]:
    """The problems of a named file; one about the file as a whole is reported at the place that names it."""
    problems = error.problems if isinstance(error, StudyError) else (error,)
    return [
        problem
        if (problem.place.line, problem.place.row, problem.place.record) != (None, None, None)
        else InputError(str(problem), place=place)
        for problem in problems
    ]
