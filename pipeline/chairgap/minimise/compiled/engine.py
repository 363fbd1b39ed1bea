"""MMFF94 and MMFF94s compiled: the engine that searches and minimises, where the library is built."""

import ctypes
import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from rdkit.Chem import Mol

from chairgap.errors import EngineError
from chairgap.minimise.compiled.library import Known, Lists, Terms, has, library
from chairgap.minimise.mmff_terms import MmffTerms, mmff_terms
from chairgap.minimise.rdkit_engine import RdkitModel, rdkit_model
from chairgap.minimise.verified import Basins, EnergyModel, Left, needed_shape
from chairgap.records import Floats, ForceField, Integers

# Root mean square of the gradient at which a minimisation ends, kcal/mol/angstrom.
_CONVERGED_RMS = 1e-5
_MOST_STEPS = 2000


@dataclass(frozen=True, kw_only=True, eq=False)
class CompiledModel:
    """A molecule with its force field: its terms, the library, the terms as that takes them, and the arrays
    behind these. It holds no positions, so any number of threads may use it."""

    terms: MmffTerms
    library: Any  # ctypes.CDLL
    given: Terms
    arrays: tuple[tuple[Integers, Floats], ...]

    def energy_and_gradient(self, positions_angstrom: Floats) -> tuple[float, Floats]:
        """Energy (kcal/mol) and gradient (n, 3) (kcal/mol/angstrom) at positions (n, 3).

        Raises EngineError when the shape does not fit.
        """
        positions = self._own(positions_angstrom)
        gradient = np.empty_like(positions)
        energy = self._evaluate(positions, gradient, None)
        return energy, gradient

    def gradient(self, positions_angstrom: Floats) -> Floats:
        """The gradient alone, which costs the same. Raises as `energy_and_gradient` does."""
        return self.energy_and_gradient(positions_angstrom)[1]

    def hessian(self, positions_angstrom: Floats) -> Floats:
        """Second derivatives (3n, 3n), kcal/mol/angstrom^2, in closed form. Raises as `energy_and_gradient`
        does."""
        positions = self._own(positions_angstrom)
        second = np.empty((positions.size, positions.size))
        self._evaluate(positions, np.empty_like(positions), second)
        result: Floats = 0.5 * (second + second.T)
        return result

    def minimise(self, positions_angstrom: Floats) -> Floats | None:
        """Positions (n, 3) of the minimum downhill from the given ones, or None when it did not converge.
        Raises as `energy_and_gradient` does."""
        positions = self._own(positions_angstrom).copy()
        taken = self.library.mmff_minimise(
            ctypes.byref(self.given), positions.ctypes.data, _CONVERGED_RMS, _MOST_STEPS, None
        )
        return positions if taken > 0 else None

    def minimise_unless_known(self, positions_angstrom: Floats, basins: Basins) -> Floats | Left:
        """As `minimise`, by the same way, which is left where it is in the basin of a known minimum. Raises
        as `energy_and_gradient` does."""
        positions = self._own(positions_angstrom).copy()
        known = Known(
            *(len(basins.chains), len(basins.energies_kcal_mol)),
            *(array.ctypes.data for array in (basins.chains, basins.directions, basins.energies_kcal_mol)),
            *(math.radians(basins.within_deg), basins.above_kcal_mol, basins.nearer),
        )
        taken = self.library.mmff_minimise(
            ctypes.byref(self.given),
            positions.ctypes.data,
            _CONVERGED_RMS,
            _MOST_STEPS,
            ctypes.byref(known),
        )
        return positions if taken > 0 else "unconverged" if taken else "known"

    def _evaluate(self, positions: Floats, gradient: Floats, second: Floats | None) -> float:
        place = None if second is None else second.ctypes.data
        found = self.library.mmff_evaluate(
            ctypes.byref(self.given), positions.ctypes.data, gradient.ctypes.data, place, 0
        )
        return float(found)

    def _own(self, positions: Floats) -> Floats:
        """Positions as the library reads them: it trusts their size."""
        needed_shape(positions, len(self.terms.types))
        return np.ascontiguousarray(positions, dtype=np.float64)


def compiled_model(rdmol: Mol, force_field: ForceField) -> CompiledModel:
    """The compiled model of a molecule with explicit hydrogens (any conformer it has is not looked at).

    Raises the errors of `mmff_terms`, and EngineError where the library is not built.
    """
    built = library()
    if built is None:
        raise EngineError("The compiled force field is not built here; choose engine 'rdkit'.")
    terms = mmff_terms(rdmol, force_field)
    arrays = tuple(_lists(terms))
    lists = (Lists(len(rows), rows.ctypes.data, values.ctypes.data) for rows, values in arrays)
    given = Terms(len(terms.types), *lists)
    return CompiledModel(terms=terms, library=built, given=given, arrays=arrays)


def force_field_model(rdmol: Mol, force_field: ForceField) -> CompiledModel | RdkitModel:
    """The fastest engine there is for a force field: the compiled one, else RDKit's. Raises the errors of
    both."""
    return compiled_model(rdmol, force_field) if has(force_field) else rdkit_model(rdmol, force_field)


def minimise_unless_known(model: EnergyModel, positions: Floats, basins: Basins) -> Floats | Left:
    """Positions (n, 3) of the minimum downhill, or why there are none. Engines that cannot be asked on the
    way go to its end."""
    if isinstance(model, CompiledModel):
        return model.minimise_unless_known(positions, basins)
    relaxed = model.minimise(positions)
    return "unconverged" if relaxed is None else relaxed


def _lists(terms: MmffTerms) -> Sequence[tuple[Integers, Floats]]:
    """Atoms (m, 2 to 4) and constants (m, c) of each kind of term, in the order of the structure `Terms`."""
    bonds, bends, straight, mixed = terms.stretches, terms.bends, terms.linear_bends, terms.stretch_bends
    planes, turns, pairs = terms.out_of_planes, terms.torsions, terms.pairs
    return [
        _list(bonds.atoms, bonds.force_mdyn_angstrom, bonds.length_angstrom),
        _list(bends.atoms, bends.force_mdyn_angstrom_rad2, bends.angle_deg),
        _list(straight.atoms, straight.force_mdyn_angstrom_rad2),
        _list(mixed.atoms, mixed.force_mdyn_rad, mixed.length_angstrom, mixed.angle_deg),
        _list(planes.atoms, planes.force_mdyn_angstrom_rad2),
        _list(turns.atoms, turns.barrier_kcal_mol),
        _list(pairs.atoms, pairs.radius_angstrom, pairs.well_kcal_mol, pairs.charges_e2),
    ]


def _list(atoms: Integers, *columns: Floats) -> tuple[Integers, Floats]:
    return (
        np.ascontiguousarray(atoms, dtype=np.int64),
        np.ascontiguousarray(np.column_stack(columns), dtype=np.float64),
    )
