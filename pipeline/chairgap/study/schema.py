"""What a study file may hold, as pydantic models, and its errors put into our words.

Every field has in `description` what would be right; messages end with it. Default values are those of
the records, so they stand in one place.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Annotated, Any, Literal, TypeVar

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    ValidationError,
    model_validator,
)
from pydantic_core import ErrorDetails

from chairgap.errors import InputError, Place
from chairgap.files.reading import is_file
from chairgap.molecule.patterns import MirrorImages
from chairgap.records import (
    GAS_PHASE,
    AskedNumbering,
    Effort,
    Engine,
    ForceField,
    Limits,
    PairLevel,
    PairRelation,
    PairTerms,
    QuantumMethod,
    SearchSettings,
    Settings,
)
from chairgap.study.toml_text import KeyPath, Source
from chairgap.text import did_you_mean, holds_control_character, tidy
from chairgap.units import LARGEST_ENERGY_KCAL_MOL
from chairgap.validation import is_complete, problem_of, wrong, wrong_complete

_CONTROL = (
    "The text has a line break or another control character; a backslash between double quotes makes one."
)
LONGEST_NAME = 400  # as long as a name that is read as one (`naming/reading.py`)
_MOST_PROBLEMS = 1000  # of one table; nobody reads more
_LARGEST_SEED = 2**31 - 1  # RDKit takes seeds as 32-bit signed integers


def _not_blank(text: str) -> str:
    text = text.strip()
    if not text:
        raise wrong("The text is empty.")
    if holds_control_character(text):
        raise wrong(_CONTROL)
    return text


def _not_a_file(folder: str) -> str:
    if is_file(Path(folder)):
        raise wrong("A file of this name exists already.")
    return folder


Text = Annotated[str, AfterValidator(tidy), AfterValidator(_not_blank)]
StrippedText = Annotated[str, AfterValidator(_not_blank)]
Table = TypeVar("Table", bound=BaseModel)


class _Section(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, allow_inf_nan=False)


Kelvin = Annotated[float, Field(ge=1.0, le=2000.0)]


class Conditions(_Section):
    temperature_k: Kelvin = Field(
        default=Settings.temperature_k,
        description="a temperature in kelvin from 1 to 2000, such as 298.15 for 25 degrees Celsius",
    )
    temperature_series_k: list[Kelvin] = Field(
        default=list(Settings.temperature_series_k),
        description="a list of temperatures in kelvin from 1 to 2000, such as [250, 298.15, 350]",
    )
    medium: StrippedText = Field(
        default=GAS_PHASE.name,
        description="'gas phase' or a solvent, such as 'water'; chairgap tables --solvents lists them",
    )
    medium_series: list[StrippedText] = Field(
        default=[], description='a list of media, such as ["gas phase", "cyclohexane", "water"]'
    )


class Model(_Section):
    force_field: ForceField = Field(default=Settings.force_field, description="'MMFF94', 'MMFF94s' or 'UFF'")
    engine: Engine = Field(default=Settings.engine, description="'compiled', 'rdkit' or 'openmm'")
    quantum_method: QuantumMethod = Field(default=Settings.quantum_method, description="'none' or 'GFN2-xTB'")
    pairs_by: PairLevel = Field(
        default=Settings.pairs_by,
        description=(
            "'MP2/def2-TZVP' (the level of the shipped pairs), 'MP2/def2-SVP' (a quick look) or 'none'; no "
            "other level is there"
        ),
    )

    @model_validator(mode="after")
    def _engine_knows_force_field(self) -> "Model":
        if self.force_field == "UFF" and self.engine == "openmm":
            raise wrong_complete(
                "The engine 'openmm' has no UFF. Write engine = \"rdkit\", or an MMFF94 force field."
            )
        return self


class Estimate(_Section):
    table: StrippedText = Field(
        default=Settings.a_value_table,
        description="'chairgap', 'textbook', or the path of your own table, relative to the study file",
    )
    pairs: PairTerms = Field(default=Settings.pairs, description="'published' or 'completed'")


class Verdict(_Section):
    undecided_below_kcal_mol: float = Field(
        default=Settings.undecided_below_kcal_mol,
        ge=0.0,
        description="an energy in kcal/mol, 0 or more, such as 0.3",
    )
    size_tolerance_kcal_mol: float = Field(
        default=Settings.size_tolerance_kcal_mol,
        ge=0.0,
        description="an energy in kcal/mol, 0 or more, such as 0.5",
    )


class Search(_Section):
    effort: Effort = Field(default=SearchSettings.effort, description="'quick', 'standard' or 'thorough'")
    most_starts: int | None = Field(
        default=None, ge=1, le=1_000_000, description="a whole number from 1 to 1000000, or leave it out"
    )
    window_kcal_mol: float = Field(
        default=SearchSettings.window_kcal_mol,
        ge=1.0,
        le=50.0,
        description="an energy in kcal/mol from 1 to 50, such as 8",
    )
    seed: int = Field(
        default=SearchSettings.seed,
        ge=0,
        le=_LARGEST_SEED,
        description=f"a whole number from 0 to {_LARGEST_SEED}",
    )
    atom_limit: int = Field(
        default=Settings.atom_limit,
        ge=18,
        le=400,
        description="a whole number of atoms from 18 to 400, such as 100",
    )


class Output(_Section):
    folder: Annotated[StrippedText, AfterValidator(_not_a_file)] = Field(
        description='a folder, relative to where the command runs, such as "reports/demo"'
    )

    parquet: bool | None = Field(
        default=None, description="true, false, or leave it out: then large studies write Parquet files too"
    )
    page: bool = Field(
        default=Settings.page, description="true, or false for tables only: no page and no drawings"
    )


class LimitsTable(_Section):
    time_s: float = Field(
        default=Limits.time_s,
        ge=1.0,
        le=1_000_000.0,
        description="CPU seconds from 1 to 1000000 that one molecule may take, such as 1800",
    )
    memory_mb: int = Field(
        default=Limits.memory_mb,
        ge=500,
        le=1_000_000,
        description="whole megabytes from 500 to 1000000 that a worker may hold, such as 4000",
    )


class StudyTable(_Section):
    """The whole file; a molecule is checked on its own by `MoleculeTable`, so that the others go on."""

    title: Text = Field(description='a title on one line, such as title = "Week 3"')
    numbering: AskedNumbering = Field(
        default=Settings.numbering,
        description=(
            "'iupac', or 'mine' where each molecule is a list of groups, a name, or a SMILES with atom-map "
            "numbers"
        ),
    )
    conditions: Conditions = Field(default=Conditions(), description="a section [conditions]")
    model: Model = Field(default=Model(), description="a section [model]")
    estimate: Estimate = Field(default=Estimate(), description="a section [estimate]")
    verdict: Verdict = Field(default=Verdict(), description="a section [verdict]")
    search: Search = Field(default=Search(), description="a section [search]")
    output: Output = Field(description="a section [output]")
    limits: LimitsTable = Field(default=LimitsTable(), description="a section [limits]")
    molecules_csv: list[StrippedText] = Field(
        default=[], description='a list of file names, such as ["more.csv"]'
    )
    molecules_sdf: list[StrippedText] = Field(
        default=[], description='a list of file names, such as ["more.sdf"]'
    )
    molecule: list[Any] = Field(
        default=[], description="one [[molecule]] block, in double brackets, per molecule"
    )
    pattern: list[Any] = Field(
        default=[], description="one [[pattern]] block, in double brackets, per set of groups"
    )
    pair: list[Any] = Field(
        default=[], description="one [[pair]] block, in double brackets, per pair whose value you declare"
    )


class MoleculeTable(_Section):
    name: Text = Field(description='a name on one line, such as name = "methylcyclohexane"')
    smiles: StrippedText | None = Field(
        default=None, description="a SMILES in single quotes, such as 'CC1CCCCC1'"
    )
    substituents: list[Text] | None = Field(
        default=None, description='a list of \'carbon face group\', such as ["1 up CH3", "2 down OH"]'
    )
    stereo: Literal["all"] | None = Field(default=None, description="'all', or leave it out")


def _one_is_a_list(carbons: object) -> object:
    return [carbons] if isinstance(carbons, int) and not isinstance(carbons, bool) else carbons


def _once_each(carbons: list[int]) -> list[int]:
    if len(set(carbons)) < len(carbons):
        raise wrong("A number is there twice.")
    return carbons


class PatternTable(_Section):
    name: Text | None = Field(
        default=None,
        max_length=LONGEST_NAME,
        description=f'a name on one line of at most {LONGEST_NAME} characters, such as name = "polyols"',
    )
    groups: list[Text] = Field(min_length=1, description='a list of groups, such as ["CH3", "OH"]')
    carbons: Annotated[
        list[Annotated[int, Field(ge=1, le=6)]], BeforeValidator(_one_is_a_list), AfterValidator(_once_each)
    ] = Field(
        min_length=1,
        description="how many ring carbons have a group: a number from 1 to 6, or a list such as [1, 2, 3]",
    )
    mirror_images: MirrorImages = Field(
        default="once", description="'once' to take a molecule and its mirror image once, or 'both'"
    )


class PairTable(_Section):
    groups: list[Text] = Field(
        min_length=2, max_length=2, description='a list of two groups, such as ["OH", "Cl"]'
    )
    relation: PairRelation = Field(
        description="'geminal', 'cis-1,2', 'trans-1,2', 'cis-1,3', 'trans-1,3', 'cis-1,4' or 'trans-1,4'"
    )
    value_kcal_mol: float = Field(
        ge=-LARGEST_ENERGY_KCAL_MOL,
        le=LARGEST_ENERGY_KCAL_MOL,
        description="what the pair adds to G(first group axial) - G(first group equatorial) beyond both "
        f"A-values, in kcal/mol, at most {LARGEST_ENERGY_KCAL_MOL:g} in size, such as -0.6",
    )
    uncertainty_kcal_mol: float = Field(
        ge=0.0,
        le=LARGEST_ENERGY_KCAL_MOL,
        description="one standard deviation in kcal/mol, 0 or more, such as 0.2",
    )
    source: Text = Field(description='where the value is from, on one line, such as source = "lecture 4"')
    medium: StrippedText | None = Field(
        default=None,
        description="'gas phase' or a solvent, such as 'water', or leave it out",
    )


def checked(
    table: type[Table], data: object, source: Source, prefix: KeyPath = ()
) -> Table | list[InputError]:
    """The validated table, or every problem in it, in the order of the file."""
    try:
        return table.model_validate(data)
    except ValidationError as error:
        return _problems(table, error, source, prefix)


def with_defaults(
    data: dict[str, Any], instead: dict[str, Any], source: Source
) -> tuple[StudyTable, list[InputError]]:
    """The study with its default in place of each wrong setting, or that of `instead` for those that have
    none; and what is wrong, in the order of the file.

    What is only wrong once another setting is right is found as well.
    """
    problems: list[InputError] = []
    while True:
        try:
            return StudyTable.model_validate(data), problems
        except ValidationError as error:
            problems += _problems(StudyTable, error, source, ())
            for detail in error.errors(include_url=False):
                data = without(data, _setting_of(detail["loc"]))
            data = instead | data
            data["output"] = instead["output"] | data["output"]


def without(data: dict[str, Any], setting: KeyPath) -> dict[str, Any]:
    """The data of a study without one setting, ('search', 'seed'), or one section."""
    first, *rest = map(str, setting)
    if rest and isinstance(section := data.get(first), dict):
        return data | {first: {key: value for key, value in section.items() if key != rest[0]}}
    return {key: value for key, value in data.items() if key != first}


def _setting_of(loc: KeyPath) -> KeyPath:
    return loc[:2] if str(loc[0]) in dict(_sections_of(StudyTable)) else loc[:1]


def _problems(
    table: type[BaseModel], error: ValidationError, source: Source, prefix: KeyPath
) -> list[InputError]:
    details = error.errors(include_url=False)[:_MOST_PROBLEMS]
    problems = [_problem(table, detail, source.place((*prefix, *detail["loc"]))) for detail in details]
    return sorted(problems, key=lambda problem: problem.place.line or 0)


def _problem(table: type[BaseModel], detail: ErrorDetails, place: Place) -> InputError:
    if is_complete(detail):  # also of a section as a whole
        return InputError(detail["msg"], place=place, value=detail["input"])
    holder, key = _holder(table, detail["loc"])
    if detail["type"] == "extra_forbidden":
        known = sorted(holder.model_fields)
        message = f"Unknown key.{_meant(holder, key)} Known here: {', '.join(known)}."
        return InputError(message, place=place, value=key, expected=", ".join(known))
    return problem_of(detail, holder.model_fields[key], place)


def _holder(table: type[BaseModel], loc: KeyPath) -> tuple[type[BaseModel], str]:
    """The section that holds a location and the name of its field there."""
    section = dict(_sections_of(table)).get(str(loc[0]))
    return (section, str(loc[1])) if section and len(loc) > 1 else (table, str(loc[0]))


def _meant(holder: type[BaseModel], key: str) -> str:
    """Where an unknown key belongs, or the nearest known key of its section."""
    for place, section in _sections():
        if section is not holder and key in section.model_fields:
            return f" It belongs {place}."
    return did_you_mean(key, holder.model_fields)


def _sections() -> Iterator[tuple[str, type[BaseModel]]]:
    yield "at the top of the file, above the first [section]", StudyTable
    yield "in a [[molecule]] block", MoleculeTable
    yield "in a [[pattern]] block", PatternTable
    for name, section in _sections_of(StudyTable):
        yield f"in the section [{name}]", section
    yield "in a [[pair]] block", PairTable


def _sections_of(table: type[BaseModel]) -> Iterator[tuple[str, type[BaseModel]]]:
    for name, field in table.model_fields.items():
        if isinstance(field.annotation, type) and issubclass(field.annotation, BaseModel):
            yield name, field.annotation
