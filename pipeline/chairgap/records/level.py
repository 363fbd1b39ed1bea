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
    energy, the frequencies (3n - 6,) and principal moments of inertia (3,) of MMFF94's minimum, which give
    the thermal part at any temperature, and the energy at the level."""

    number: int
    chair: ChairLetter
    degeneracy: int
    positions: Floats
    xtb_kcal_mol: float
    frequencies_cm1: Floats
    moments_u_angstrom2: Floats
    energy: LevelEnergy


@dataclass(frozen=True, kw_only=True)
class LevelRing:
    """A ring at a level, gas phase, by the protocol of `chairgap.abinitio`; it has a gap at any temperature
    (`chairgap.model.parts_at_level`). No conformers where symmetry makes the chairs equal."""

    level: PairLevel
    chairs: tuple[Chair, Chair]
    conformers: tuple[LevelConformer, ...]
