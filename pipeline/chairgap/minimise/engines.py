"""The surfaces a study asks for: the one that is searched, the one reported, and a check on each minimum."""

from dataclasses import dataclass

import numpy as np

from chairgap.errors import InputError
from chairgap.minimise.openmm_engine import openmm_model
from chairgap.minimise.rdkit_engine import rdkit_model
from chairgap.minimise.solvated import Solute, open_solute, solvated_check, solvated_model
from chairgap.minimise.verified import EnergyModel
from chairgap.molecule.build import open_molecule
from chairgap.records import EngineCheck, Minimum, Molecule, Settings


@dataclass(frozen=True, kw_only=True)
class Engines:
    """surface is what everything reported belongs to; second, when there is one, is asked at the same
    geometry."""

    surface: EnergyModel
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
        energy, gradient = self.surface.energy_and_gradient(minimum.positions)
        other_energy, other_gradient = self.second.energy_and_gradient(minimum.positions)
        return EngineCheck(
            energy_difference_kcal_mol=abs(energy - other_energy),
            gradient_difference_kcal_mol_angstrom=float(np.abs(gradient - other_gradient).max()),
            note=self.note,
        )


def check_available(settings: Settings) -> None:
    """See, before anything is computed, that the settings go together and their libraries are there.

    Raises InputError when they do not, or one is missing.
    """
    for problem in settings.contradictions():
        raise InputError(problem)
    if settings.quantum_method != "none":
        from chairgap.minimise.xtb_engine import needed_library  # reads SciPy: not at every start

        needed_library()


def search_model(molecule: Molecule, settings: Settings) -> EnergyModel:
    """The surface that is searched: the force field in the gas phase, by the engine of the study.

    OpenMM searches only where it also reports. Raises EngineError when the force field cannot be set up.
    """
    mol = open_molecule(molecule)
    gas = settings.quantum_method == "none" and settings.medium.is_gas
    if settings.engine == "openmm" and settings.force_field != "UFF" and gas:
        return openmm_model(mol, settings.force_field)
    return rdkit_model(mol, settings.force_field)


def open_engines(
    molecule: Molecule, settings: Settings, searched: EnergyModel, solute: Solute | None = None
) -> Engines:
    """The surfaces of a molecule, of which `searched` is the one already open; so may be the `solute` of a
    series of media, whose minima are not checked.

    UFF exists in RDKit only and the quantum method has one engine: neither has a second
    opinion. Raises InputError when the settings do not go together or a library is missing, EngineError when
    a force field cannot be set up.
    """
    mol, force_field, medium = open_molecule(molecule), settings.force_field, settings.medium
    check_available(settings)
    if settings.quantum_method != "none":
        from chairgap.minimise.xtb_engine import xtb_model

        phrase = (
            f"minima of {force_field} minimised again with {settings.quantum_method}, which nothing checks"
        )
        return Engines(surface=xtb_model(mol), second=None, note=phrase)
    if not medium.is_gas:
        own = solvated_model(solute or open_solute(mol, force_field, medium.born_radii), medium.dielectric)
        check = None if solute else solvated_check(mol, force_field, medium)
        phrase = f"minima of the gas phase minimised again in {medium.name}, checked by OpenMM"
        return Engines(surface=own, second=check, note=phrase)
    if force_field == "UFF":
        return Engines(surface=searched, second=None, note="UFF has no second engine to check it")
    if settings.engine == "openmm":
        phrase = "minimised by OpenMM, checked by RDKit"
        return Engines(surface=searched, second=rdkit_model(mol, force_field), note=phrase)
    phrase = "minimised by RDKit, checked by OpenMM"
    return Engines(surface=searched, second=openmm_model(mol, force_field), note=phrase)
