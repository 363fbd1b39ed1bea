"""A study that is typed, on the command line or in a notebook, without a file."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from chairgap.errors import ChairgapError, Place
from chairgap.molecule.group_lists import looks_like_groups
from chairgap.records import Study
from chairgap.study.reading import UnsoundStudyError, study_from_text
from chairgap.text import one_line

_LONGEST_NAME = 60
# Fields that the command line calls by their own names.
_OPTIONS = (
    *("name", "stereo", "table", "pairs", "force_field", "engine", "quantum_method", "pairs_by", "effort"),
    "seed",
    *("dynamics", "free_energy", "only", "paper", "versions", "questions", "kinds", "level"),
)


@dataclass(frozen=True, kw_only=True)
class Origin:
    """Where a study was typed: what messages call the place, its molecules, and its settings, each of which
    is called as in a study file unless `fields` has another word for it."""

    file: str
    molecule: str
    fields: Mapping[str, str]


COMMAND_LINE = Origin(
    file="command line",
    molecule="MOLECULE",
    fields={field: f"--{field.replace('_', '-')}" for field in _OPTIONS}
    | {
        "temperature_k": "--temperature",
        "model": "--force-field, --engine, --quantum-method, --pairs-by, --solvent",
        "medium": "--solvent",
        "medium_series": "--solvent",
        "step_deg": "--step",
        "dynamics_temperature_k": "--dynamics-temperature",
    },
)


def study_as_typed(
    text: str, *, name: str = "", stereo: str = "", settings: dict[str, Any] | None = None
) -> Study:
    """The study of one molecule, a SMILES, a name or groups by face; settings: {section: {key: value}}.

    Raises UnsoundStudyError whose problems name the options typed, not of lines that nobody wrote.
    """
    named = name_of(text, name)
    return study_of_typed({named: text}, title=named, stereo=stereo, settings=settings or {})


def study_of_typed(
    texts: Mapping[str, str],
    *,
    title: str,
    stereo: str,
    settings: Mapping[str, Mapping[str, Any]],
    origin: Origin = COMMAND_LINE,
) -> Study:
    """The same for several molecules by name, typed in another place. Raises as `study_as_typed` does."""
    lines = [f"title = {_quoted(title)}"]
    for section, keys in settings.items():
        lines.append(f"[{section}]")
        lines += [f"{key} = {_quoted(value)}" for key, value in keys.items()]
    for name, text in texts.items():
        given = {"name": name, **_as_smiles_or_groups(text), **({"stereo": stereo} if stereo else {})}
        lines.append("[[molecule]]")
        lines += [f"{key} = {_quoted(value)}" for key, value in given.items()]
    try:
        read = study_from_text("\n".join(lines) + "\n", Path(origin.file))
    except UnsoundStudyError as error:
        of_settings = [_as_typed(problem, origin) for problem in error.of_settings]
        raise UnsoundStudyError(of_settings, _study_as_typed(error.study, origin)) from None
    return _study_as_typed(read, origin)


def _study_as_typed(read: Study, origin: Origin) -> Study:
    requests = tuple(replace(request, place=_place(request.place, origin)) for request in read.requests)
    refused = tuple(replace(refusal, place=_place(refusal.place, origin)) for refusal in read.refused)
    return replace(read, requests=requests, refused=refused)


def name_of(text: str, name: str = "") -> str:
    """What to call a molecule: its name, else the text itself, shortened."""
    return one_line(name) or (text if len(text) <= _LONGEST_NAME else f"{text[: _LONGEST_NAME - 3]}...")


def _quoted(value: Any) -> str:
    """A TOML string, number or list; JSON writes them the same way when they hold no control character, but
    for numbers that are none."""
    if isinstance(value, float):
        return repr(float(value))
    return json.dumps(value, ensure_ascii=False)


def _as_smiles_or_groups(text: str) -> dict[str, Any]:
    """The key of a [[molecule]] block of what was typed; names go with SMILES."""
    return {"substituents": [text]} if looks_like_groups(text) else {"smiles": text}


def _as_typed(problem: ChairgapError, origin: Origin) -> ChairgapError:
    place = _place(problem.place, origin)
    return type(problem)(problem.message, place=place, value=problem.value, expected=problem.expected)


def _place(place: Place, origin: Origin) -> Place:
    """'command line, field '--seed'' for what the composed study calls search.seed. Places in other files
    stay."""
    if place.file != origin.file:
        return place
    name = place.field.rpartition(".")[2].partition("[")[0].partition(" ")[0]
    other = origin.molecule if place.field.startswith("molecule") else place.field
    return Place(file=origin.file, field=origin.fields.get(name, other))
