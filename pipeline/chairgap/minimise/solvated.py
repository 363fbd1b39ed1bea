"""MMFF94 and MMFF94s in a solvent: the gas-phase terms and a generalised-Born continuum, by OpenMM.

The continuum is model II of Onufriev, Bashford, Case, Proteins 2004, 55, 383 (doi 10.1002/prot.20033, from
memory), which is OpenMM's own `GBSAOBCForce`; its screening follows Hawkins, Cramer, Truhlar, J. Phys. Chem.
1996, 100, 19824 (doi 10.1021/jp961710n, from memory). For charges q and a relative permittivity eps

(1) E = -C/2 (1 - 1/eps) sum_ij q_i q_j / f_ij, over all i and j, also i = j and bonded pairs
(2) f_ij = sqrt(r_ij^2 + R_i R_j exp(-r_ij^2 / (4 R_i R_j)))
(3) 1/R_i = 1/o_i - tanh(psi - 0.8 psi^2 + 4.85 psi^3) / rho_i, o_i = rho_i - 0.09 angstrom, psi = I_i o_i

with intrinsic radii rho, the integral I over the screened spheres of the other atoms, and C = 332.0637
kcal/mol angstrom/e^2 (OpenMM's; MMFF's own 332.0716 belongs to its Coulomb terms, 2e-5 more).

What this leaves out, on purpose: no cavity or surface term (those in use were fitted to water and mean
nothing in another solvent), no hydrogen bonds to the solvent, no cut-off. The charges are MMFF's, fixed and
made for the gas phase; radii and charges were not fitted to each other. The result is a mixed quantity, the
solute's potential energy plus the solvent's Gibbs energy of polarisation at the temperature of eps.
"""

import math
from collections.abc import Mapping, Sequence

import openmm
from rdkit.Chem import Mol

from chairgap.errors import EngineError, MoleculeError
from chairgap.minimise.mmff_terms import mmff_terms
from chairgap.minimise.openmm_engine import OpenmmModel, context_of, openmm_system
from chairgap.records import BornRadius, Floats, ForceField, Medium
from chairgap.units import ANGSTROM_PER_NM

SOLUTE_DIELECTRIC = 1.0


def solvated_model(rdmol: Mol, force_field: ForceField, medium: Medium) -> OpenmmModel:
    """The model of a molecule with explicit hydrogens in a continuum; a relative permittivity of 1 gives the
    gas phase.

    Raises the errors of `mmff_terms`, MoleculeError when an element has no radius, EngineError when the
    permittivity is below 1 or not finite.
    """
    dielectric = medium.dielectric
    if not (math.isfinite(dielectric) and dielectric >= 1.0):
        raise EngineError(
            f"A dielectric constant of {dielectric:g} is not possible; give a finite number of at least 1.",
            value=dielectric,
            expected="at least 1",
        )
    terms = mmff_terms(rdmol, force_field)
    system = openmm_system(terms)
    radii = {row.element: row for row in medium.born_radii}
    atoms = [_radius(radii, atom.GetSymbol(), atom.GetIdx()) for atom in rdmol.GetAtoms()]
    system.addForce(_continuum(terms.charges_e, atoms, dielectric))
    return OpenmmModel(terms=terms, context=context_of(system))


def _radius(radii: Mapping[str, BornRadius], element: str, index: int) -> BornRadius:
    found = radii.get(element)
    if found is None:
        listed = ", ".join(radii)
        raise MoleculeError(
            f"{element} (atom index {index}) has no radius against a solvent (there are radii for {listed}); "
            "compute this molecule in the gas phase or leave it out.",
            value=element,
            expected=listed,
        )
    return found


def _continuum(charges_e: Floats, atoms: Sequence[BornRadius], dielectric: float) -> openmm.GBSAOBCForce:
    force = openmm.GBSAOBCForce()
    force.setName("continuum")
    force.setSoluteDielectric(SOLUTE_DIELECTRIC)
    force.setSolventDielectric(dielectric)
    force.setSurfaceAreaEnergy(0.0)
    force.setNonbondedMethod(openmm.GBSAOBCForce.NoCutoff)
    for charge, atom in zip(charges_e.tolist(), atoms, strict=True):
        force.addParticle(charge, atom.radius_angstrom / ANGSTROM_PER_NM, atom.screening)
    return force
