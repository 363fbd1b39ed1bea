"""A study of one molecule as it is typed on the command line, without a file."""

import json
import re
from dataclasses import replace
from pathlib import Path
from typing import Any

from chairgap.errors import ChairgapError, Place, StudyError
from chairgap.records import Study
from chairgap.report.words import one_line
from chairgap.study import study_from_text

COMMAND_LINE = "command line"
_LONGEST_NAME = 60
_OPTIONS = {
    "name": "--name",
    "temperature_k": "--temperature",
    "force_field": "--force-field",
    "engine": "--engine",
    "quantum": "--quantum",
    "model": "--force-field, --engine, --quantum, --solvent",
    "solvent": "--solvent",
    "solvent_series": "--solvent",
    "table": "--table",
    "effort": "--effort",
    "seed": "--seed",
    "stereo": "--stereo",
}


def study_as_typed(
    text: str, *, name: str = "", stereo: str = "", settings: dict[str, Any] | None = None
) -> Study:
    """The study of one molecule, a SMILES or a spoken list; `settings` holds {section: {key: value}}.

    Raises StudyError whose problems speak of the options typed, not of lines that nobody wrote.
    """
    named = one_line(name) or (text if len(text) <= _LONGEST_NAME else f"{text[: _LONGEST_NAME - 3]}...")
    given = {"name": named, **_as_smiles_or_groups(text), **({"stereo": stereo} if stereo else {})}
    lines = [f"title = {_quoted(named)}"]
    for section, keys in (settings or {}).items():
        lines.append(f"[{section}]")
        lines += [f"{key} = {_quoted(value)}" for key, value in keys.items()]
    lines.append("[[molecule]]")
    lines += [f"{key} = {_quoted(value)}" for key, value in given.items()]
    return _study_of_command_line("\n".join(lines) + "\n")


def _quoted(value: Any) -> str:
    """A TOML string, number or list; JSON writes them the same way when they hold no control character."""
    return json.dumps(value, ensure_ascii=False)


def _as_smiles_or_groups(text: str) -> dict[str, Any]:
    """The key of a [[molecule]] block of what was typed; no SMILES starts with a digit."""
    spoken = re.match(r"\d", text) or re.search(r"\b(up|down)\b", text)
    return {"substituents": [text]} if spoken else {"smiles": text}


def _study_of_command_line(text: str) -> Study:
    """The study of one molecule; problems speak of the options typed, not of lines that nobody wrote."""
    try:
        read = study_from_text(text, Path(COMMAND_LINE))
    except StudyError as error:
        raise StudyError([_at_option(problem) for problem in error.problems]) from None
    requests = tuple(replace(request, place=_option(request.place)) for request in read.requests)
    return replace(read, requests=requests)


def _at_option(problem: ChairgapError) -> ChairgapError:
    return type(problem)(
        problem.message, place=_option(problem.place), value=problem.value, expected=problem.expected
    )


def _option(place: Place) -> Place:
    """'command line, field '--seed'' for what the composed study calls search.seed. Places in other files
    stay."""
    if place.file != COMMAND_LINE:
        return place
    name = place.field.rpartition(".")[2].partition("[")[0].partition(" ")[0]
    option = _OPTIONS.get(name, "MOLECULE" if place.field.startswith("molecule") else place.field)
    return Place(file=COMMAND_LINE, field=option)
