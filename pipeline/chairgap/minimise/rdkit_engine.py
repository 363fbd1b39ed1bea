"""RDKit's force fields (MMFF94, MMFF94s, UFF) as an energy surface: the production engine."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from rdkit import rdBase
from rdkit.Chem import Conformer as RdConformer
from rdkit.Chem import Mol, rdForceFieldHelpers

from chairgap.errors import EngineError
from chairgap.minimise.hessian import hessian
from chairgap.records import Floats, ForceField

# Far beyond any molecule here: no pair is left out, so the surface has no cut-off step.
_ALL_PAIRS_ANGSTROM = 1000.0
_MOST_ITERATIONS = 20_000
_FORCE_TOLERANCE = 1e-6


@dataclass(frozen=True, kw_only=True)
class RdkitModel:
    """A molecule with its force field. Not a record: it owns native objects and stays in one process."""

    mol: Mol
    field: Any
    conformer: RdConformer

    def energy_and_gradient(self, positions_angstrom: Floats) -> tuple[float, Floats]:
        """Energy (kcal/mol) and gradient (n, 3) (kcal/mol/angstrom) at positions (n, 3)."""
        self._place(positions_angstrom)
        return self.field.CalcEnergy(), np.array(self.field.CalcGrad(), dtype=np.float64).reshape(-1, 3)

    def gradient(self, positions_angstrom: Floats) -> Floats:
        """Gradient (n, 3) (kcal/mol/angstrom) at positions (n, 3), at two thirds of the cost of both."""
        self._place(positions_angstrom)
        return np.array(self.field.CalcGrad(), dtype=np.float64).reshape(-1, 3)

    def hessian(self, positions_angstrom: Floats) -> Floats:
        """Second derivatives (3n, 3n), kcal/mol/angstrom^2, by differences of the gradient."""
        return hessian(self.gradient, positions_angstrom)

    def minimise(self, positions_angstrom: Floats) -> Floats | None:
        """Positions (n, 3) of the minimum downhill from the given ones, or None when it did not converge."""
        self._place(positions_angstrom)
        failed = self.field.Minimize(_MOST_ITERATIONS, _FORCE_TOLERANCE)
        positions: Floats = np.array(self.conformer.GetPositions())
        return None if failed or not np.isfinite(positions).all() else positions

    def _place(self, positions_angstrom: Floats) -> None:
        """Move the atoms, and make RDKit forget the distances that it keeps from the last geometry: both its
        energy and its gradient would read them and be silently wrong."""
        self.conformer.SetPositions(np.ascontiguousarray(positions_angstrom))
        self.field.Initialize()


def rdkit_model(mol: Mol, force_field: ForceField) -> RdkitModel:
    """Force field of a molecule with explicit hydrogens. Raises EngineError when RDKit cannot set it up."""
    own = Mol(mol)
    own.RemoveAllConformers()
    own.AddConformer(RdConformer(own.GetNumAtoms()))
    if force_field == "UFF":
        with rdBase.BlockLogs():  # it remarks on atom types that it then finds
            field = rdForceFieldHelpers.UFFGetMoleculeForceField(
                own, vdwThresh=_ALL_PAIRS_ANGSTROM, ignoreInterfragInteractions=False
            )
    else:
        properties = rdForceFieldHelpers.MMFFGetMoleculeProperties(own, mmffVariant=force_field)
        field = properties and rdForceFieldHelpers.MMFFGetMoleculeForceField(
            own,
            properties,
            nonBondedThresh=_ALL_PAIRS_ANGSTROM,
            ignoreInterfragInteractions=False,
        )
    if not field:
        raise EngineError(f"{force_field} could not be set up; choose another force field for this molecule.")
    return RdkitModel(mol=own, field=field, conformer=own.GetConformer())
