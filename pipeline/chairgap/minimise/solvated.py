"""MMFF94 and MMFF94s in a solvent: the force field and a generalised-Born continuum of its charges.

For a relative permittivity eps, with model II of Onufriev, Bashford, Case, Proteins 2004, 55, 383 (doi
10.1002/prot.20033, from memory; formulas in `chairgap.minimise.continuum`):

(1) E_eps(x) = E_gas(x) + k E_GB(x), E_GB = -C/2 sum_ij q_i q_j / f_ij over all i, j, also i = j and bonded
(2) k = (1 - 1/eps) / (1 + alpha/eps), alpha = 0.571412, for a molecule without net charge
(3) k = 1 - 1/eps for an ion

The Born radii inside f_ij do not depend on eps, so (1) is exact for energy, gradient and Hessian. RDKit
evaluates the first part, `continuum` the second in closed form. OpenMM has its own implementation of both and
checks every minimum of a study's medium (`solvated_check`).

Equation 2 is that of Sigalov, Fenley, Onufriev, J. Chem. Phys. 2006, 124, 124902 (doi 10.1063/1.2177251, from
memory); its further term is proportional to the square of the net charge. Equation 3 is Born's, right for the
field of a net charge, which leads in an ion. For a dipole in a sphere k is (eps - 1)/(eps + 1/2), so that
equation 3 is too large by a quarter in apolar solvents; it stood here for all molecules until 0.4.0.

**Where it fails.** Internal hydrogen bonds in apolar solvents: cis-cyclohexane-1,3-diol comes out 1.2
kcal/mol more diequatorial in tetrachloromethane than in the gas phase, while the whole gap measured there is
0.1 (R. J. Abraham, E. J. Chambers, W. A. Thomas, J. Chem. Soc., Perkin Trans. 2 1993, 1061). Found by
experiment: a diequatorial rotamer without dipole (0.2 D) is polarised as much as one of 3.1 D, so what counts
is each hydroxy group on its own, against a wall of solvent 1.2 angstrom from its hydrogen. Boundary elements
on the same spheres with the same charges give the same (3.0 kcal/mol between the two chairs in a conductor,
here 2.7): neither the Born radii of buried hydrogens nor f_ij are to blame, but the cavity. Bondi's radii
suit water, which comes that close. With spheres 1.8 times as large, published for tetrachloromethane (F. J.
Luque, C. Aleman, M. Bachs, M. Orozco, J. Comput. Chem. 1996, 17, 806, from memory), boundary elements give no
shift for the diol. Generalised Born cannot take such radii: at 1.2 times Bondi's the pairwise integrals
already reverse the sign. Rejected therefore: larger radii, also oxygens of 2.29 angstrom in solvents that
give no hydrogen bonds (A. V. Marenich, C. J. Cramer, D. G. Truhlar, J. Phys. Chem. B 2009, 113, 6378, from
memory), which put the hydrogen inside its own oxygen (shift -1.9). No minimum is lost: the hydrogen-bonded
one stays one in every solvent. Molecules concerned get a reason (`chairgap.compare.reasons.apolar`).

What this leaves out, on purpose: no cavity or surface term (those in use were fitted to water and mean
nothing in another solvent), no hydrogen bonds to the solvent, no cut-off. The charges are MMFF's, fixed and
made for the gas phase; radii and charges were not fitted to each other. The result is a mixed quantity, the
solute's potential energy plus the solvent's Gibbs energy of polarisation at the temperature of eps.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import openmm
from rdkit.Chem import Mol

from chairgap.errors import EngineError, MoleculeError
from chairgap.minimise.compiled.engine import force_field_model
from chairgap.minimise.continuum import Continuum
from chairgap.minimise.mmff_terms import mmff_terms
from chairgap.minimise.openmm_engine import OpenmmModel, context_of, openmm_system
from chairgap.minimise.quasi_newton import downhill
from chairgap.minimise.verified import EnergyModel
from chairgap.records import BornRadius, Floats, ForceField, Medium
from chairgap.units import ANGSTROM_PER_NM

SOLUTE_DIELECTRIC = 1.0
ALPHA = 0.571412
# Net charges are whole numbers up to rounding.
_NO_CHARGE_E = 0.01


@dataclass(frozen=True, kw_only=True, eq=False)
class Solute:
    """What a molecule is in every medium: its force field, and its charges against a conductor. Owns native
    objects and stays in one process. `known` keeps the Hessians of both parts at places where a minimisation
    began: every medium begins at the minima of the gas phase."""

    gas: EnergyModel
    continuum: Continuum
    known: dict[bytes, tuple[Floats, Floats]] = field(default_factory=dict)

    def hessians(self, positions_angstrom: Floats) -> tuple[Floats, Floats]:
        """Of the force field and of the continuum, (3n, 3n) each."""
        key = positions_angstrom.tobytes()
        if key not in self.known:
            self.known[key] = (
                self.gas.hessian(positions_angstrom),
                self.continuum.hessian(positions_angstrom),
            )
        return self.known[key]


@dataclass(frozen=True, kw_only=True, eq=False)
class SolvatedModel:
    """A molecule in one medium: `factor` is the share of the conductor's energy (equations 2 and 3)."""

    solute: Solute
    factor: float

    def energy_and_gradient(self, positions_angstrom: Floats) -> tuple[float, Floats]:
        """Energy (kcal/mol) and gradient (n, 3) (kcal/mol/angstrom) at positions (n, 3)."""
        energy, gradient = self.solute.gas.energy_and_gradient(positions_angstrom)
        outside, push = self.solute.continuum.energy_and_gradient(positions_angstrom)
        return energy + self.factor * outside, gradient + self.factor * push

    def gradient(self, positions_angstrom: Floats) -> Floats:
        """The gradient alone, (n, 3)."""
        _, push = self.solute.continuum.energy_and_gradient(positions_angstrom)
        return self.solute.gas.gradient(positions_angstrom) + self.factor * push

    def hessian(self, positions_angstrom: Floats) -> Floats:
        """Second derivatives (3n, 3n), kcal/mol/angstrom^2: differences for the force field only."""
        outside = self.solute.continuum.hessian(positions_angstrom)
        return self.solute.gas.hessian(positions_angstrom) + self.factor * outside

    def minimise(self, positions_angstrom: Floats) -> Floats | None:
        """Positions (n, 3) of the minimum downhill from the given ones, or None when it did not converge."""
        gas, outside = self.solute.hessians(positions_angstrom)
        return downhill(self.energy_and_gradient, positions_angstrom, gas + self.factor * outside)


def open_solute(rdmol: Mol, force_field: ForceField, radii: Sequence[BornRadius]) -> Solute:
    """A molecule with explicit hydrogens, ready for any medium that it meets with these radii.

    Raises the errors of `mmff_terms`, and MoleculeError when an element has no radius.
    """
    rows = _rows(rdmol, radii)
    continuum = Continuum(
        charges_e=mmff_terms(rdmol, force_field).charges_e,
        radii_angstrom=np.array([row.radius_angstrom for row in rows]),
        screening=np.array([row.screening for row in rows]),
    )
    return Solute(gas=force_field_model(rdmol, force_field), continuum=continuum)


def solvated_model(solute: Solute, dielectric: float) -> SolvatedModel:
    """The molecule in a continuum of that relative permittivity; 1 gives the gas phase.

    Raises EngineError when the permittivity is below 1 or not finite.
    """
    charge_e = float(solute.continuum.charges_e.sum())
    return SolvatedModel(solute=solute, factor=polarised_share(dielectric, charge_e))


def solvated_check(rdmol: Mol, force_field: ForceField, medium: Medium) -> OpenmmModel:
    """The same model by OpenMM alone. Raises as `open_solute` and `solvated_model` do."""
    terms = mmff_terms(rdmol, force_field)
    share = polarised_share(medium.dielectric, float(terms.charges_e.sum()))
    force = openmm.GBSAOBCForce()
    force.setName("continuum")
    force.setSoluteDielectric(SOLUTE_DIELECTRIC)
    # Its own share is 1 - 1/eps.
    force.setSolventDielectric(1.0 / (1.0 - share))
    force.setSurfaceAreaEnergy(0.0)
    force.setNonbondedMethod(openmm.GBSAOBCForce.NoCutoff)
    for charge, row in zip(terms.charges_e.tolist(), _rows(rdmol, medium.born_radii), strict=True):
        force.addParticle(charge, row.radius_angstrom / ANGSTROM_PER_NM, row.screening)
    system = openmm_system(terms)
    system.addForce(force)
    return OpenmmModel(terms=terms, context=context_of(system))


def polarised_share(dielectric: float, charge_e: float) -> float:
    """k of equations 2 and 3: the energy of polarisation as a share of that against a conductor.

    Raises EngineError when the permittivity is below 1 or not finite.
    """
    if not (math.isfinite(dielectric) and dielectric >= 1.0):
        raise EngineError(
            f"A dielectric constant of {dielectric:g} is not possible; give a finite number of at least 1.",
            value=dielectric,
            expected="at least 1",
        )
    alpha = 0.0 if abs(charge_e) > _NO_CHARGE_E else ALPHA
    return (1.0 - 1.0 / dielectric) / (1.0 + alpha / dielectric)


def _rows(rdmol: Mol, radii: Sequence[BornRadius]) -> list[BornRadius]:
    """The radius of every atom."""
    known = {row.element: row for row in radii}
    for atom in rdmol.GetAtoms():
        if atom.GetSymbol() not in known:
            listed = ", ".join(known)
            raise MoleculeError(
                f"{atom.GetSymbol()} (atom index {atom.GetIdx()}) has no radius against a solvent (there are "
                f"radii for {listed}); compute this molecule in the gas phase or leave it out.",
                value=atom.GetSymbol(),
                expected=listed,
            )
    return [known[atom.GetSymbol()] for atom in rdmol.GetAtoms()]
