"""MMFF94 and MMFF94s evaluated by OpenMM: the second engine, independent of RDKit's formulas and gradients.

Only the parameters come from RDKit (`chairgap.minimise.mmff_terms`). Equation numbers are those of Halgren,
J. Comput. Chem. 1996, 17, 490-519, doi 10.1002/(SICI)1096-987X(199604)17:5/6<490::AID-JCC1>3.0.CO;2-P
(equation numbers and DOI from memory).

OpenMM works in kJ/mol, nm and radian; this is the only module that knows it. Everything runs in double
precision on OpenMM's Reference platform over an explicit list of nonbonded pairs, so that the same positions
give the same bits; the nonbonded loops of its CPU platform are single precision and depend on the threads.
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
import openmm
from openmm import unit
from rdkit.Chem import Mol

from chairgap.errors import EngineError
from chairgap.minimise.hessian import gradient_rms, hessian
from chairgap.minimise.mmff_terms import MmffTerms, mmff_terms
from chairgap.minimise.verified import GRADIENT_RMS_KCAL_MOL_ANGSTROM, needed_shape
from chairgap.records import Floats, ForceField, Integers
from chairgap.units import ANGSTROM_PER_NM, KJ_PER_KCAL

# Constants of Halgren 1996. The products the paper rounds (0.043844 in eq. 3 and 6, 2.51210 in eq. 5) are
# formed in full here, as RDKit does; the cubic bend constant of eq. 3, -0.4 per radian, is RDKit's figure.
KCAL_PER_MDYN_ANGSTROM = 143.9325
CUBIC_STRETCH_PER_ANGSTROM = -2.0
CUBIC_BEND_PER_DEGREE = -0.006981317
COULOMB_KCAL_ANGSTROM_PER_E2 = 332.0716
COULOMB_BUFFER_ANGSTROM = 0.05

# Unit names inside the expressions: r, angle() and so on come in nm and radian, energies leave in kJ/mol.
_A = f"{ANGSTROM_PER_NM}"
_DEG = f"{180.0 / math.pi!r}"
_HALF_MDYN = f"{KJ_PER_KCAL * KCAL_PER_MDYN_ANGSTROM / 2.0!r}"
_MDYN = f"{KJ_PER_KCAL * KCAL_PER_MDYN_ANGSTROM!r}"
_RAD = f"{math.pi / 180.0!r}"

# Eq. 2: quartic stretch, E = 143.9325/2 k dr^2 (1 + cs dr + 7/12 cs^2 dr^2).
_STRETCH = f"{_HALF_MDYN}*k*dr^2*(1+cs*dr+7/12*cs^2*dr^2); cs={CUBIC_STRETCH_PER_ANGSTROM}; dr={_A}*r-length"
# Eq. 3: cubic bend, E = 0.043844/2 k da^2 (1 + cb da), da in degrees.
_BEND = f"{_HALF_MDYN}*{_RAD}^2*k*da^2*(1+cb*da); cb={CUBIC_BEND_PER_DEGREE}; da={_DEG}*theta-angle0"
# Eq. 4: bend at a straight centre, E = 143.9325 k (1 + cos a). The cosine is taken from the three distances:
# OpenMM caps the derivative of an angle within about 5e-5 radian of 180 degrees (1e-3 kcal/mol/angstrom off).
_LINEAR_BEND = f"{_MDYN}*k*((a+b)^2-c^2)/(2*a*b); a=distance(p1,p2); b=distance(p3,p2); c=distance(p1,p3)"
# Eq. 5: stretch-bend, E = 2.51210 (k_ij dr_ij + k_kj dr_kj) da, da in degrees.
_STRETCH_BEND = (
    f"{_MDYN}*{_RAD}*(k1*({_A}*distance(p1,p2)-length1)+k2*({_A}*distance(p3,p2)-length2))"
    f"*({_DEG}*angle(p1,p2,p3)-angle0)"
)
# Eq. 6: out of plane, E = 0.043844/2 k chi^2, chi (degrees in the paper) the angle of the bond j-l to the
# plane i-j-k; its sine is that of the angle k-j-l times that of the dihedral between i and l seen along j-k.
_OUT_OF_PLANE = f"{_HALF_MDYN}*k*asin(sin(angle(p3,p2,p4))*sin(dihedral(p1,p2,p3,p4)))^2"
# Eq. 7: torsion, E = 1/2 (V1 (1 + cos p) + V2 (1 - cos 2p) + V3 (1 + cos 3p)).
_TORSION = f"{KJ_PER_KCAL}/2*(v1*(1+cos(theta))+v2*(1-cos(2*theta))+v3*(1+cos(3*theta)))"
# Eq. 8: buffered 14-7, E = e (1.07 R/(r + 0.07 R))^7 (1.12 R^7/(r^7 + 0.12 R^7) - 2), with x = r/R.
# Eq. 13: buffered Coulomb, E = 332.0716 q_i q_j/(r + 0.05), the charge product scaled for 1-4 pairs.
_PAIR = (
    f"{KJ_PER_KCAL}*(well*(1.07/(x+0.07))^7*(1.12/(x^7+0.12)-2)"
    f"+{COULOMB_KCAL_ANGSTROM_PER_E2}*charges/(ra+{COULOMB_BUFFER_ANGSTROM})); x=ra/radius; ra={_A}*r"
)

_FORCE_UNIT = unit.kilojoule_per_mole / unit.nanometer
_KJ_NM_PER_KCAL_ANGSTROM = KJ_PER_KCAL * ANGSTROM_PER_NM

# OpenMM never uses the mass for energies, but a mass of zero would fix the atom in its minimiser.
_MASS_DALTON = 1.0
# The minimiser can stop short of its tolerance without a word; so it is asked again, more strictly.
_MINIMISER_ROUNDS = 8
_STRICTER = 0.3
_ITERATIONS_PER_ROUND = 20000


@dataclass(frozen=True, kw_only=True, eq=False)
class OpenmmModel:
    """One molecule ready to be evaluated. The context holds the positions of the last call, nothing else;
    a model belongs to one thread and cannot be sent to another process."""

    terms: MmffTerms
    context: Any  # openmm.Context, which keeps its system and integrator alive

    def energy_and_gradient(self, positions_angstrom: Floats) -> tuple[float, Floats]:
        """Energy (kcal/mol) and gradient (n, 3) (kcal/mol/angstrom) at positions (n, 3) in angstrom.

        Raises EngineError when the shape does not fit or a value is not finite.
        """
        self._place(positions_angstrom)
        return self._evaluate()

    def gradient(self, positions_angstrom: Floats) -> Floats:
        """The gradient alone, which costs the same. Raises as `energy_and_gradient` does."""
        return self.energy_and_gradient(positions_angstrom)[1]

    def hessian(self, positions_angstrom: Floats) -> Floats:
        """Second derivatives (3n, 3n), kcal/mol/angstrom^2, by differences of the gradient."""
        return hessian(self.gradient, positions_angstrom)

    def minimise(
        self,
        positions_angstrom: Floats,
        *,
        gradient_rms_kcal_mol_angstrom: float = GRADIENT_RMS_KCAL_MOL_ANGSTROM,
    ) -> Floats | None:
        """Positions (n, 3) in angstrom of the minimum downhill from those given, or None.

        The root mean square over the 3n gradient components is checked at the positions handed back; None
        when it does not come down to the value asked for, or the minimiser breaks down. About 1e-6 is the
        least that its step control reaches reliably.
        """
        tolerance = gradient_rms_kcal_mol_angstrom * _KJ_NM_PER_KCAL_ANGSTROM
        self._place(positions_angstrom)
        for _ in range(_MINIMISER_ROUNDS):
            try:
                openmm.LocalEnergyMinimizer.minimize(self.context, tolerance, _ITERATIONS_PER_ROUND)
                found = self._positions_angstrom()
                _, gradient = self.energy_and_gradient(found)
            except (openmm.OpenMMException, EngineError):
                return None
            if gradient_rms(gradient) <= gradient_rms_kcal_mol_angstrom:
                return found
            tolerance *= _STRICTER
        return None

    def _place(self, positions_angstrom: Floats) -> None:
        needed_shape(positions_angstrom, len(self.terms.types))
        if not np.isfinite(positions_angstrom).all():
            raise EngineError("A position is not a finite number; start from another geometry.")
        self.context.setPositions(positions_angstrom / ANGSTROM_PER_NM)

    def _positions_angstrom(self) -> Floats:
        state = self.context.getState(positions=True)
        found = state.getPositions(asNumpy=True).value_in_unit(unit.angstrom)
        return np.asarray(found, dtype=np.float64)

    def _evaluate(self) -> tuple[float, Floats]:
        state = self.context.getState(energy=True, forces=True)
        energy = state.getPotentialEnergy().value_in_unit(unit.kilojoule_per_mole) / KJ_PER_KCAL
        forces = state.getForces(asNumpy=True).value_in_unit(_FORCE_UNIT)
        gradient = np.asarray(forces, dtype=np.float64) / -_KJ_NM_PER_KCAL_ANGSTROM
        if not (math.isfinite(energy) and np.isfinite(gradient).all()):
            raise EngineError(
                "Energy or gradient is not finite: atoms coincide. Start from another geometry."
            )
        return float(energy), gradient


def openmm_model(rdmol: Mol, force_field: ForceField) -> OpenmmModel:
    """The OpenMM model of a molecule with explicit hydrogens (any conformer it has is not looked at).

    Raises the errors of `mmff_terms`.
    """
    return openmm_model_of(mmff_terms(rdmol, force_field))


def openmm_model_of(terms: MmffTerms) -> OpenmmModel:
    """The OpenMM model of a molecule whose terms are known."""
    return OpenmmModel(terms=terms, context=context_of(openmm_system(terms)))


def context_of(system: openmm.System) -> Any:
    """An openmm.Context of the system in double precision, one thread."""
    platform = openmm.Platform.getPlatformByName("Reference")
    # A context needs an integrator; no step is ever taken with it.
    return openmm.Context(system, openmm.VerletIntegrator(0.001), platform)


def openmm_system(terms: MmffTerms) -> openmm.System:
    """An OpenMM System with one named force for each kind of term the molecule has."""
    system = openmm.System()
    for _ in range(len(terms.types)):
        system.addParticle(_MASS_DALTON)
    for name, force in _forces(terms).items():
        if force is not None:  # compiling the expressions is most of the cost of a context
            force.setName(name)
            system.addForce(force)
    return system


def _forces(terms: MmffTerms) -> dict[str, Any]:
    """An openmm.Force of each kind by its name; None without any term of that kind."""
    bonds, bends, straight, mixed = terms.stretches, terms.bends, terms.linear_bends, terms.stretch_bends
    planes, pairs = terms.out_of_planes, terms.pairs
    compound = openmm.CustomCompoundBondForce
    return {
        "bond stretch": _filled(
            openmm.CustomBondForce(_STRETCH),
            bonds.atoms,
            k=bonds.force_mdyn_angstrom,
            length=bonds.length_angstrom,
        ),
        "angle bend": _filled(
            openmm.CustomAngleForce(_BEND),
            bends.atoms,
            k=bends.force_mdyn_angstrom_rad2,
            angle0=bends.angle_deg,
        ),
        "linear bend": _filled(
            compound(3, _LINEAR_BEND), straight.atoms, k=straight.force_mdyn_angstrom_rad2
        ),
        "stretch-bend": _filled(
            compound(3, _STRETCH_BEND),
            mixed.atoms,
            k=mixed.force_mdyn_rad,
            length=mixed.length_angstrom,
            angle0=mixed.angle_deg,
        ),
        "out of plane": _filled(compound(4, _OUT_OF_PLANE), planes.atoms, k=planes.force_mdyn_angstrom_rad2),
        "torsion": _filled(
            openmm.CustomTorsionForce(_TORSION), terms.torsions.atoms, v=terms.torsions.barrier_kcal_mol
        ),
        "nonbonded": _filled(
            openmm.CustomBondForce(_PAIR),
            pairs.atoms,
            well=pairs.well_kcal_mol,
            radius=pairs.radius_angstrom,
            charges=pairs.charges_e2,
        ),
    }


def _filled(force: Any, atoms: Integers, **values: Floats) -> Any | None:
    """The force with a term for each row of atoms (m, 2 to 4), or None without any; values (m,) by parameter,
    (m, c) for parameters name1, name2, ..."""
    kind = next(kind for kind in ("Bond", "Angle", "Torsion") if hasattr(force, f"add{kind}"))
    for name, columns in values.items():
        names = [name] if columns.ndim == 1 else [f"{name}{1 + at}" for at in range(columns.shape[1])]
        for each in names:
            getattr(force, f"addPer{kind}Parameter")(each)
    add = getattr(force, f"add{kind}")
    rows = np.column_stack(tuple(values.values())).tolist()
    for members, row in zip(atoms.tolist(), rows, strict=True):
        if isinstance(force, openmm.CustomCompoundBondForce):  # takes the atoms as one list
            add(members, row)
        else:
            add(*members, row)
    return force if len(atoms) else None
