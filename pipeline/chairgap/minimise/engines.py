"""The surfaces a study asks for: the one that is searched, the one reported, and a check on each minimum."""

from dataclasses import dataclass

import numpy as np

from chairgap.errors import InputError
from chairgap.minimise.compiled.engine import CompiledModel, force_field_model
from chairgap.minimise.openmm_engine import openmm_model, openmm_model_of
from chairgap.minimise.rdkit_engine import rdkit_model
from chairgap.minimise.solvated import Solute, open_solute, solvated_check, solvated_model
from chairgap.minimise.verified import EnergyModel
from chairgap.molecule.build import open_molecule
from chairgap.records import EngineCheck, Minimum, Molecule, Settings


@dataclass(frozen=True, kw_only=True)
class Engines:
    """surface is what everything reported belongs to; the others are asked at the same geometry."""

    surface: EnergyModel
    others: tuple[EnergyModel, ...]
    note: str

    def check(self, minimum: Minimum) -> EngineCheck:
        """Largest absolute differences between the surface and the other engines at a minimum: energy
        (kcal/mol) and component of the gradient (kcal/mol/angstrom)."""
        if not self.others:
            return EngineCheck(
                energy_difference_kcal_mol=None,
                gradient_difference_kcal_mol_angstrom=None,
                note=self.note,
            )
        energy, gradient = self.surface.energy_and_gradient(minimum.positions)
        asked = [other.energy_and_gradient(minimum.positions) for other in self.others]
        # In numpy's maximum not-a-number wins.
        return EngineCheck(
            energy_difference_kcal_mol=float(np.max([abs(energy - there) for there, _ in asked])),
            gradient_difference_kcal_mol_angstrom=float(
                np.abs(gradient - [slope for _, slope in asked]).max()
            ),
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
    if settings.engine == "rdkit":
        return rdkit_model(mol, settings.force_field)
    return force_field_model(mol, settings.force_field)


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
        return Engines(surface=xtb_model(mol), others=(), note=phrase)
    if not medium.is_gas:
        own = solvated_model(solute or open_solute(mol, force_field, medium.born_radii), medium.dielectric)
        check = () if solute else (solvated_check(mol, force_field, medium),)
        phrase = f"minima of the gas phase minimised again in {medium.name}, checked by OpenMM"
        return Engines(surface=own, others=check, note=phrase)
    if force_field == "UFF":
        return Engines(surface=searched, others=(), note="UFF has no second engine to check it")
    if settings.engine == "openmm":
        phrase = "minimised by OpenMM, checked by RDKit"
        return Engines(surface=searched, others=(rdkit_model(mol, force_field),), note=phrase)
    if isinstance(searched, CompiledModel):
        both = rdkit_model(mol, force_field), openmm_model_of(searched.terms)
        return Engines(
            surface=searched, others=both, note="minimised by compiled code, checked by RDKit and OpenMM"
        )
    phrase = "minimised by RDKit, checked by OpenMM"
    return Engines(surface=searched, others=(openmm_model(mol, force_field),), note=phrase)
