"""The engine a study chose, and the other one as a check on each minimum."""

from dataclasses import dataclass

import numpy as np

from chairgap.errors import InputError
from chairgap.minimise.openmm_engine import openmm_model
from chairgap.minimise.rdkit_engine import rdkit_model
from chairgap.minimise.settle import EnergyModel
from chairgap.molecule.build import open_molecule
from chairgap.records import Engine, EngineCheck, ForceField, Minimum, Molecule


@dataclass(frozen=True, kw_only=True)
class Engines:
    """model minimises; second, when the force field is known to it, is asked at the same geometry."""

    model: EnergyModel
    second: EnergyModel | None
    note: str

    def check(self, minimum: Minimum) -> EngineCheck:
        """Absolute differences between the two engines at a minimum: energy (kcal/mol) and the largest
        component of the gradient (kcal/mol/angstrom)."""
        if self.second is None:
            return EngineCheck(
                energy_difference_kcal_mol=None,
                gradient_difference_kcal_mol_angstrom=None,
                note=self.note,
            )
        energy, gradient = self.model.energy_and_gradient(minimum.positions)
        other_energy, other_gradient = self.second.energy_and_gradient(minimum.positions)
        return EngineCheck(
            energy_difference_kcal_mol=abs(energy - other_energy),
            gradient_difference_kcal_mol_angstrom=float(np.abs(gradient - other_gradient).max()),
            note=self.note,
        )


def open_engines(molecule: Molecule, force_field: ForceField, engine: Engine) -> Engines:
    """Both engines for a molecule. UFF exists in RDKit only, so it has no second opinion.

    Raises InputError for UFF with OpenMM, EngineError when a force field cannot be set up.
    """
    mol = open_molecule(molecule)
    if force_field == "UFF":
        if engine == "openmm":
            raise InputError("UFF is not available in OpenMM; choose engine 'rdkit' or force field MMFF94.")
        return Engines(
            model=rdkit_model(mol, force_field), second=None, note="UFF has no second engine to check it"
        )
    ours, other = rdkit_model(mol, force_field), openmm_model(mol, force_field)
    if engine == "openmm":
        return Engines(model=other, second=ours, note="minimised by OpenMM, checked by RDKit")
    return Engines(model=ours, second=other, note="minimised by RDKit, checked by OpenMM")
