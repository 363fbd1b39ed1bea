"""An answer key: claims, the conventions they were made under, facts of a molecule, and findings."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from chairgap.records.equilibria import PublishedGap
from chairgap.records.molecule import Chair, Topology
from chairgap.records.result import Result
from chairgap.records.types import NumberedBy

Quantity = Literal[
    "position",
    "face",
    "relation",
    "flip",
    "diaxial count",
    "diaxial pairs",
    "gauche count",
    "term",
    "gap",
    "stable chair",
    "K",
    "percent",
    "ranking",
    "R/S",
    "chirality",
    "newman",
    "flip stages",
    "twist-boat",
]
KeyVerdict = Literal["RIGHT", "CONVENTION", "REVIEW", "ERROR"]
Direction = Literal["B-A", "A-B", "other-stable", "axial-equatorial"]
DiaxialRule = Literal["group-any", "group-group", "per-group"]
GaucheRule = Literal["butane", "vicinal"]
SynForm = Literal["replacing", "excess"]
MesoRule = Literal["average", "chair"]
PercentOf = Literal["stable", "A", "B", "axial", "equatorial"]


@dataclass(frozen=True, kw_only=True)
class Cell:
    """A cell of the key: sheet (or file) name, column letter and row (1-based, the header is row 1); the name
    of its column where the key is a table of text, which shows no letters, else ''."""

    sheet: str
    column: str
    row: int
    text_column: str = ""

    def __str__(self) -> str:
        if self.text_column:
            return f"{self.sheet}, row {self.row}, column {self.text_column}"
        return f"{self.sheet}!{self.column}{self.row}"


@dataclass(frozen=True, kw_only=True)
class Conventions:
    """How the key counts. Each field is one named convention; see configs/key_format.md for the words.

    table: shipped table name, book or path. gauche_kcal_mol: replaces the CH3/CH3 vicinal gauche energy; own:
    (kind, group, other group or '', kcal/mol) of other values that the key declares.
    temperature_k: for K and percent. direction: of a gap. diaxial, gauche_count: counting rules. syn: how a
    syn-diaxial term is stated. meso: whether the average or the frozen chair decides. percent_of: whose
    share. declared: the names of those that the key states; the others are defaults.
    """

    table: str = "chairgap"
    gauche_kcal_mol: float | None = None
    temperature_k: float = 298.15
    direction: Direction = "B-A"
    diaxial: DiaxialRule = "group-any"
    gauche_count: GaucheRule = "butane"
    syn: SynForm = "replacing"
    meso: MesoRule = "average"
    percent_of: PercentOf = "stable"
    own: tuple[tuple[str, str, str, float], ...] = ()
    declared: frozenset[str] = frozenset()


@dataclass(frozen=True, kw_only=True)
class Claim:
    """One row of a key.

    molecules: one text (SMILES or groups by face), several for a ranking. carbons: none, one or two locants;
    group distinguishes the ligands of a geminal carbon. claimed is the cell's text as read.
    """

    item: str
    molecules: tuple[str, ...]
    quantity: Quantity
    carbons: tuple[int, ...]
    group: str
    chair: str
    claimed: str
    unit: str
    tolerance: float | None
    points: float | None
    conventions: Conventions
    cell: Cell
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Facts:
    """What the symbolic checks know of a molecule; no force field is needed for it.

    fragments: (upper, lower) fragment SMILES of carbons 1 to 6; mirror: each fragment's mirror image. cip:
    R, S, r, s or '' for each ring carbon; the ring flip does not change them. systematic: its systematic
    name in words. carbons_of_name: the numbers here of carbons 1 to 6 of that name, () without one.
    faces_given: the text says which face each group is on; anticlockwise: the carbons are numbered so, seen
    from above, which keeps these faces under other numbers. mirror_smiles: of the mirror image, where the
    text means it as well; is_mirrored: this is that image.
    published: its measured equilibria. result: the computed side, only with --compute.
    """

    text: str
    smiles: str
    groups_by_face: str
    numbered: NumberedBy
    topology: Topology
    chairs: tuple[Chair, Chair]
    fragments: tuple[tuple[str, str], ...]
    mirror: Mapping[str, str]
    cip: tuple[str, ...]
    published: tuple[PublishedGap, ...] = ()
    systematic: str = ""
    carbons_of_name: tuple[int, ...] = ()
    faces_given: bool = False
    anticlockwise: bool = False
    mirror_smiles: str = ""
    is_mirrored: bool = False
    result: Result | None = None


@dataclass(frozen=True, kw_only=True)
class Answer:
    """The right answer under the declared conventions: text as a key would state it, number where it is one
    (in `unit`), and the steps that lead to it, each naming its rule."""

    text: str
    value: float | None
    unit: str
    steps: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Diagnosis:
    """A known slip that reproduces a wrong claim: its short name, and what was done, in words."""

    slip: str
    words: str


@dataclass(frozen=True, kw_only=True)
class Finding:
    """The verdict on one claim, with everything a person needs to act on it. source: the
    published table by which it is right, where that is not the key's ('range' for the range of all).
    diagnoses: the likeliest slip first."""

    claim: Claim
    verdict: KeyVerdict
    answer: Answer
    words: str
    feedback: str
    source: str = ""
    diagnoses: tuple[Diagnosis, ...] = ()
    sensitivity: tuple[str, ...] = ()
    suggested_tolerance: float | None = None
    solution: str = field(default="", repr=False)
