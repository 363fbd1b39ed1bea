"""One ring at a level: conformers, energies, Boltzmann sums; see `chairgap.abinitio` for the protocol."""

from chairgap.abinitio import energies
from chairgap.abinitio.conformers import degeneracy, to_compute
from chairgap.compare.populations import ensemble_kcal_mol
from chairgap.errors import EngineError
from chairgap.model.treatment import on_surface, search
from chairgap.molecule.agreed import agreed
from chairgap.molecule.build import open_molecule
from chairgap.molecule.charges import formal_charge
from chairgap.records import (
    ChairLetter,
    ForceField,
    LevelConformer,
    LevelGap,
    Molecule,
    PairLevel,
    SearchSettings,
    Settings,
)
from chairgap.shape.chairs import two_chairs
from chairgap.shape.degeneracy import chairs_equal_by_symmetry
from chairgap.units import HARTREE_KCAL_MOL

FORCE_FIELD: ForceField = "MMFF94"
_SEARCH = SearchSettings(window_kcal_mol=4.0)
# The rest is for what else a worker holds.
_SHARE_FOR_INTEGRALS = 0.5


def level_gap(molecule: Molecule, level: PairLevel, temperature_k: float, memory_mb: int) -> LevelGap:
    """G(B) - G(A) of a molecule at a level, kcal/mol.

    Raises EngineError when a chair has no conformer there or an energy cannot be had, MoleculeError when
    GFN2-xTB cannot treat the molecule, InputError when a library is missing.
    """
    from chairgap.minimise.xtb_engine import xtb_model  # reads SciPy: not at every start

    settings = Settings(
        title="", output="", temperature_k=temperature_k, force_field=FORCE_FIELD, search=_SEARCH
    )
    # All is done in the agreed writing, whose agreed writing is itself; the result is in the caller's.
    there = agreed(molecule)
    searched = search(there.molecule, settings)
    lattice = searched.lattice
    conformers: list[LevelConformer] = []
    gap_kcal_mol = 0.0
    if not chairs_equal_by_symmetry(lattice.operations):
        computed = on_surface(searched, settings)
        mol = open_molecule(there.molecule)
        model, charge = xtb_model(mol), formal_charge(mol)
        held = {letter: to_compute(computed, lattice, model, letter) for letter in _LETTERS}
        for letter, chosen in held.items():
            if not chosen:
                raise EngineError(
                    f"{level}: no conformer of chair {letter} stands up to minimisation with GFN2-xTB; leave "
                    "the molecule out, or leave pairs_by out."
                )
        conformers = [
            LevelConformer(
                number=item.conformer.number,
                chair=letter,
                degeneracy=degeneracy(item, lattice),
                positions=there.back(item.positions),
                xtb_kcal_mol=item.xtb_kcal_mol,
                thermal_kcal_mol=item.thermal_kcal_mol,
                energy=energies.ri_mp2(
                    there.molecule.topology.symbols,
                    item.positions,
                    charge,
                    level,
                    int(_SHARE_FOR_INTEGRALS * memory_mb),
                ),
            )
            for letter, chosen in held.items()
            for item in chosen
        ]
        gap_kcal_mol = gap_of(conformers, temperature_k)
    return LevelGap(
        level=level,
        temperature_k=temperature_k,
        chairs=two_chairs(molecule.topology),
        gap_kcal_mol=gap_kcal_mol,
        conformers=tuple(conformers),
    )


_LETTERS: tuple[ChairLetter, ChairLetter] = ("A", "B")


def gap_of(conformers: list[LevelConformer], temperature_k: float) -> float:
    """G(B) - G(A), kcal/mol; both chairs have conformers."""
    lowest = min(item.energy.total_hartree for item in conformers)
    sums = {}
    for letter in _LETTERS:
        held = [item for item in conformers if item.chair == letter]
        # (1) G_i = E_i + thermal_i, above the lowest energy of all
        levels = [
            HARTREE_KCAL_MOL * (item.energy.total_hartree - lowest) + item.thermal_kcal_mol for item in held
        ]
        # (2) G = -RT ln sum_i g_i exp(-G_i / RT)
        sums[letter] = ensemble_kcal_mol(levels, [item.degeneracy for item in held], temperature_k)
    if sums["A"] is None or sums["B"] is None:
        raise EngineError("A chair has no conformer to sum over; leave the molecule out.")
    return sums["B"] - sums["A"]
