"""Frozen records that pass between stages.

Conventions (stated here once, tested by hand in tests/trade):

* Ring carbons are numbered 1 to 6 **clockwise when the ring is looked at from above**; 'up' is the side of
  the onlooker. Arrays are indexed from 0, so carbon c sits at index c - 1.
* Energies are kcal/mol, lengths angstrom, angles degrees in records, temperature kelvin.
* A gap is always E(chair B) - E(chair A): positive means that chair A is preferred. Chair A is the chair with
  fewer axial groups; see `chairgap.shape.chairs.two_chairs` for ties.
* Arrays held by a record are never written to after the record is made.
"""

from chairgap.records.conformer import (
    Conformer,
    Contact,
    EngineCheck,
    LigandPosition,
    Minimum,
    RingShape,
    SearchReport,
)
from chairgap.records.estimate import (
    AValueRow,
    Estimate,
    EstimateTable,
    InteractionRow,
    LedgerTerm,
)
from chairgap.records.key import (
    Answer,
    Cell,
    Claim,
    Conventions,
    Diagnosis,
    DiaxialRule,
    Direction,
    Facts,
    Finding,
    GaucheRule,
    KeyVerdict,
    MesoRule,
    PercentOf,
    Quantity,
    SynForm,
)
from chairgap.records.medium import BornRadius, Solvent
from chairgap.records.molecule import (
    Chair,
    Ligand,
    Molecule,
    PlacedLigand,
    RingCarbon,
    Topology,
)
from chairgap.records.request import (
    GAS_PHASE,
    GroupOnCarbon,
    Medium,
    MoleculeRequest,
    Refusal,
    SearchSettings,
    Settings,
    Study,
)
from chairgap.records.result import (
    Comparison,
    Computation,
    Gaps,
    Outcome,
    Reason,
    Result,
)
from chairgap.records.scorecard import ScorecardRow
from chairgap.records.series import LinearFit, SeriesPoint, SolventPoint, TemperatureSeries
from chairgap.records.split import GapKinds, PartKind, Relation, Split, SplitPart
from chairgap.records.types import (
    ChairLetter,
    CorrectionForm,
    Effort,
    Engine,
    Face,
    Floats,
    ForceField,
    Integers,
    Position,
    Quantum,
    RingFamily,
    Verdict,
)

__all__ = [
    "GAS_PHASE",
    "AValueRow",
    "Answer",
    "BornRadius",
    "Cell",
    "Chair",
    "ChairLetter",
    "Claim",
    "Comparison",
    "Computation",
    "Conformer",
    "Contact",
    "Conventions",
    "CorrectionForm",
    "Diagnosis",
    "DiaxialRule",
    "Direction",
    "Effort",
    "Engine",
    "EngineCheck",
    "Estimate",
    "EstimateTable",
    "Face",
    "Facts",
    "Finding",
    "Floats",
    "ForceField",
    "GapKinds",
    "Gaps",
    "GaucheRule",
    "GroupOnCarbon",
    "Integers",
    "InteractionRow",
    "KeyVerdict",
    "LedgerTerm",
    "Ligand",
    "LigandPosition",
    "LinearFit",
    "Medium",
    "MesoRule",
    "Minimum",
    "Molecule",
    "MoleculeRequest",
    "Outcome",
    "PartKind",
    "PercentOf",
    "PlacedLigand",
    "Position",
    "Quantity",
    "Quantum",
    "Reason",
    "Refusal",
    "Relation",
    "Result",
    "RingCarbon",
    "RingFamily",
    "RingShape",
    "ScorecardRow",
    "SearchReport",
    "SearchSettings",
    "SeriesPoint",
    "Settings",
    "Solvent",
    "SolventPoint",
    "Split",
    "SplitPart",
    "Study",
    "SynForm",
    "TemperatureSeries",
    "Topology",
    "Verdict",
]
