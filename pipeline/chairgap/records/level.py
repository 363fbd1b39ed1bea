"""A ring at a quantum-chemical level: what was computed, conformer by conformer."""

from dataclasses import dataclass

from chairgap.records.molecule import Chair
from chairgap.records.types import ChairLetter, Floats, PairLevel


@dataclass(frozen=True, kw_only=True)
class LevelEnergy:
    """The energy of one geometry: total RI-HF energy, and the same-spin and opposite-spin parts of the RI-MP2
    correlation energy with frozen core, hartree."""

    hf_hartree: float
    same_spin_hartree: float
    opposite_spin_hartree: float
    basis_functions: int

    @property
    def total_hartree(self) -> float:
        """E(HF) + E(same spin) + E(opposite spin)."""
        return self.hf_hartree + self.same_spin_hartree + self.opposite_spin_hartree


@dataclass(frozen=True, kw_only=True)
class LevelConformer:
    """A conformer that was computed: its number among those of MMFF94, its chair, its labelled copies there
    (`chairgap.shape.degeneracy`), positions (n, 3) in angstrom of its GFN2-xTB minimum, GFN2-xTB's potential
    energy, MMFF94's thermal part (Gibbs less potential energy, kcal/mol), and the energy at the level."""

    number: int
    chair: ChairLetter
    degeneracy: int
    positions: Floats
    xtb_kcal_mol: float
    thermal_kcal_mol: float
    energy: LevelEnergy


@dataclass(frozen=True, kw_only=True)
class LevelGap:
    """G(B) - G(A) of a ring at a level, kcal/mol, gas phase, at a temperature, by the protocol of
    `chairgap.abinitio`; no conformers where symmetry makes the chairs equal."""

    level: PairLevel
    temperature_k: float
    chairs: tuple[Chair, Chair]
    gap_kcal_mol: float
    conformers: tuple[LevelConformer, ...]
