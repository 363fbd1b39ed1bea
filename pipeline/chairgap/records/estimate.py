"""Tables of literature values, and the hand estimate made from them."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from chairgap.records.types import ChairLetter, CorrectionForm, Face, Known, MediumClass


@dataclass(frozen=True, kw_only=True)
class AValueRow:
    """One row of an A-value table: G(axial) - G(equatorial) in kcal/mol, positive = equatorial preferred.

    A group may have several rows, all with its names, that differ in temperature_k (None: not known) or in
    medium: the gas phase or a solvent of the table of solvents, '' when not stated. `solvent` is what the
    source says.
    """

    group: str
    names: tuple[str, ...]
    fragment: str
    value_kcal_mol: float
    low_kcal_mol: float
    high_kcal_mol: float
    temperature_k: float | None
    medium: str
    solvent: str
    method: str
    source: str
    known: Known
    note: str


@dataclass(frozen=True, kw_only=True)
class InteractionRow:
    """One correction between two groups. kind says which; `form` says how the value is to be used:
    'replacing' (the whole pair energy, takes the place of two group/H contacts) or 'excess' (on top).
    temperature_k and medium as in AValueRow."""

    kind: Literal["syn-diaxial", "vicinal gauche"]
    group_1: str
    group_2: str
    form: CorrectionForm
    value_kcal_mol: float
    low_kcal_mol: float
    high_kcal_mol: float
    temperature_k: float | None
    medium: str
    source: str
    known: Known
    note: str


@dataclass(frozen=True, kw_only=True)
class PublishedValue:
    """One value as a source prints it: an A-value (group_1), or a correction between two groups as in
    InteractionRow. unit: 'K' is [equatorial]/[axial] at 25 degrees Celsius."""

    kind: Literal["A-value", "syn-diaxial", "vicinal gauche"]
    group_1: str
    group_2: str
    form: CorrectionForm | Literal[""]
    value: float
    unit: Literal["kcal/mol", "kJ/mol", "K"]
    source: str
    known: Known
    note: str


@dataclass(frozen=True, kw_only=True, eq=False)
class EstimateTable:
    """An A-value table with its interaction rows; `name` is what a study calls it, `short_sources` gives
    'Booth & Everett 1980' for the key of a literature source, `medium_classes` the class of each medium.

    The table of a study holds one row for each group and pair (`chairgap.estimate.nearest`); `chosen` are
    those that were one of several.

    Equal to itself alone, so that caches look it up without going through all its rows.
    """

    name: str
    a_values: tuple[AValueRow, ...]
    interactions: tuple[InteractionRow, ...]
    short_sources: Mapping[str, str] = field(default_factory=dict)
    medium_classes: Mapping[str, MediumClass] = field(default_factory=dict)
    chosen: tuple[AValueRow | InteractionRow, ...] = ()


@dataclass(frozen=True, kw_only=True)
class LedgerTerm:
    """One line of the hand estimate: an energy in `chair` (kcal/mol, positive = unfavourable).

    carbons names each carbon once; faces and groups go by ligand. All three energies are None when the term
    is needed but no published value is in the table. medium is that of the row the value comes from, '' when
    none is stated.
    """

    chair: ChairLetter
    kind: Literal["A-value", "syn-diaxial", "vicinal gauche", "geminal"]
    carbons: tuple[int, ...]
    faces: tuple[Face, ...]
    groups: tuple[str, ...]
    value_kcal_mol: float | None
    low_kcal_mol: float | None
    high_kcal_mol: float | None
    source: str
    medium: str
    words: str


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """The hand estimate of G(chair B) - G(chair A), with its range and everything it rests on.

    missing names each term without a published value; flags holds 'geminal' when groups share a carbon.
    The three energies leave the missing terms out; `complete` is False when there are any.
    """

    terms: tuple[LedgerTerm, ...]
    gap_kcal_mol: float | None
    low_kcal_mol: float | None
    high_kcal_mol: float | None
    missing: tuple[str, ...]
    flags: tuple[str, ...]

    @property
    def complete(self) -> bool:
        return not self.missing

    @property
    def shown_kcal_mol(self) -> tuple[float | None, float | None, float | None]:
        """Gap, low and high as a person may see them: none where an A-value is missing, since what remains is
        the other groups' sum and no gap of this molecule."""
        if any(name.startswith("A-value of ") for name in self.missing):
            return None, None, None
        return self.gap_kcal_mol, self.low_kcal_mol, self.high_kcal_mol


@dataclass(frozen=True, kw_only=True)
class Source:
    """A literature source. `short` is what people read, 'Booth & Everett 1980'; `doi` is '' when not known;
    `doi_known` says whether the DOI was seen or is from memory. journal: its name within the citation, '' for
    what is no article."""

    key: str
    short: str
    citation: str
    doi: str
    doi_known: str
    how_seen: str
    journal: str = ""
