"""One ring at a level: conformers and their energies; see `chairgap.abinitio` for the protocol."""

from chairgap.abinitio import energies
from chairgap.abinitio.conformers import degeneracy, to_compute
from chairgap.compare.thermochemistry import principal_moments
from chairgap.errors import EngineError
from chairgap.model.treatment import on_surface, search
from chairgap.molecule.agreed import agreed
from chairgap.molecule.build import open_molecule
from chairgap.molecule.charges import formal_charge
from chairgap.records import (
    ChairLetter,
    ForceField,
    LevelConformer,
    LevelRing,
    Molecule,
    PairLevel,
    SearchSettings,
    Settings,
)
from chairgap.shape.chairs import two_chairs
from chairgap.shape.degeneracy import chairs_equal_by_symmetry

FORCE_FIELD: ForceField = "MMFF94"
_SEARCH = SearchSettings(window_kcal_mol=4.0)
# The rest is for what else a worker holds.
_SHARE_FOR_INTEGRALS = 0.5


def level_ring(molecule: Molecule, level: PairLevel, memory_mb: int) -> LevelRing:
    """The conformers of a molecule at a level.

    Raises EngineError when a chair has no conformer there or an energy cannot be had, MoleculeError when
    GFN2-xTB cannot treat the molecule, InputError when a library is missing.
    """
    from chairgap.minimise.xtb_engine import xtb_model  # reads SciPy: not at every start

    # The temperature is that at which conformers are chosen, whatever the study's.
    settings = Settings(title="", output="", force_field=FORCE_FIELD, search=_SEARCH)
    # All is done in the agreed writing, whose agreed writing is itself; the result is in the caller's.
    there = agreed(molecule)
    searched = search(there.molecule, settings)
    lattice = searched.lattice
    conformers: list[LevelConformer] = []
    if not chairs_equal_by_symmetry(lattice.operations):
        computed = on_surface(searched, settings)
        mol = open_molecule(there.molecule)
        model, charge, masses_u = xtb_model(mol), formal_charge(mol), there.molecule.topology.masses_u
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
                frequencies_cm1=item.conformer.minimum.frequencies_cm1,
                moments_u_angstrom2=principal_moments(item.conformer.minimum.positions, masses_u),
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
    return LevelRing(level=level, chairs=two_chairs(molecule.topology), conformers=tuple(conformers))


_LETTERS: tuple[ChairLetter, ChairLetter] = ("A", "B")
