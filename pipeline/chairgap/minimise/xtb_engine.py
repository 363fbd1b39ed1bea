"""GFN2-xTB, a semi-empirical quantum method, as an energy surface in the gas phase.

The method: Bannwarth, Ehlert, Grimme, J. Chem. Theory Comput. 2019, 15, 1652, doi 10.1021/acs.jctc.8b01176.
The general library tblite evaluates it; it is an optional extra and is imported only when a model is opened.
tblite works in hartree and bohr; this is the only module that knows it.

Every evaluation starts from the same guess of the density, never from the wave function before it, and runs
on one thread: the same positions give the same bits whatever was computed before.
"""

import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from rdkit.Chem import GetFormalCharge, Mol
from scipy.optimize import minimize
from threadpoolctl import ThreadpoolController

from chairgap.errors import EngineError, InputError, MoleculeError
from chairgap.minimise.compiled.engine import force_field_model
from chairgap.minimise.hessian import gradient_rms, hessian
from chairgap.minimise.mmff_terms import refuse_open_shells
from chairgap.minimise.verified import GRADIENT_RMS_KCAL_MOL_ANGSTROM, EnergyModel, needed_shape
from chairgap.records import Floats
from chairgap.text import tidy
from chairgap.units import BOHR_ANGSTROM, HARTREE_KCAL_MOL

METHOD = "GFN2-xTB"

# tblite's scale of all its thresholds. Measured on methylcyclohexane, cyclohexanol and tert-butylcyclohexane
# against 1e-6: largest error of a gradient component 2e-5 kcal/mol/angstrom at 1e-2, 1e-6 at 1e-3, 6e-7 at
# 1e-4, 3e-8 at 1e-5; of a wavenumber by central differences 1e-3 cm-1 at 1e-2, below 1e-4 from 1e-4 on.
_ACCURACY = 1e-4
_MOST_STEPS = 2000
# Curvatures of the force field below this, kcal/mol/angstrom^2, are taken for it (rotors, rigid motions).
_SOFTEST = 5.0

_GRADIENT_UNIT = HARTREE_KCAL_MOL / BOHR_ANGSTROM


@dataclass(frozen=True, kw_only=True, eq=False)
class XtbModel:
    """One molecule, its calculator, the controller of the libraries' threads, and MMFF94 for a first guess of
    the curvature (None where that has no parameters). Owns native objects and stays in one process."""

    calculator: Any  # tblite.interface.Calculator
    threads: ThreadpoolController
    atoms: int
    guess: EnergyModel | None

    def energy_and_gradient(self, positions_angstrom: Floats) -> tuple[float, Floats]:
        """Total electronic energy (kcal/mol; about -1e4, the electrons' own) and gradient (n, 3)
        (kcal/mol/angstrom) at positions (n, 3) in angstrom.

        Raises EngineError when the shape does not fit, a position is not finite or the self-consistent
        charges do not converge.
        """
        needed_shape(positions_angstrom, self.atoms)
        if not np.isfinite(positions_angstrom).all():
            raise EngineError("A position is not a finite number; start from another geometry.")
        try:
            with self.threads.limit(limits=1):
                self.calculator.update(positions_angstrom / BOHR_ANGSTROM)
                found = self.calculator.singlepoint()
        except RuntimeError as error:  # tblite's errors of a calculation are RuntimeErrors
            raise EngineError(
                f"{METHOD} failed at a geometry ({tidy(str(error))}); start from another geometry or use "
                "a force field."
            ) from error
        energy = float(found.get("energy")) * HARTREE_KCAL_MOL
        gradient = np.asarray(found.get("gradient"), dtype=np.float64) * _GRADIENT_UNIT
        if not (math.isfinite(energy) and np.isfinite(gradient).all()):
            raise EngineError(
                "Energy or gradient is not finite: atoms coincide. Start from another geometry."
            )
        return energy, gradient

    def gradient(self, positions_angstrom: Floats) -> Floats:
        """The gradient alone, which costs the same. Raises as `energy_and_gradient` does."""
        return self.energy_and_gradient(positions_angstrom)[1]

    def hessian(self, positions_angstrom: Floats) -> Floats:
        """Second derivatives (3n, 3n), kcal/mol/angstrom^2, by differences of the gradient."""
        return hessian(self.gradient, positions_angstrom)

    def minimise(self, positions_angstrom: Floats) -> Floats | None:
        """Positions (n, 3) in angstrom of the minimum downhill from those given, or None.

        None when the root mean square of the 3n gradient components at the end is above what
        `converged_minimum` demands, or when the method breaks down on the way. Quasi-Newton (BFGS) from the
        inverse Hessian of MMFF94: from 16 minima of that force field 9 to 33 gradients, without that Hessian
        73 to 181, by the limited-memory form with 30 pairs up to 229.
        """

        def surface(flat: Floats) -> tuple[float, Floats]:
            energy, gradient = self.energy_and_gradient(flat.reshape(-1, 3))
            return energy, gradient.ravel()

        try:
            with self.threads.limit(limits=1):
                found = minimize(
                    surface,
                    positions_angstrom.ravel(),
                    jac=True,
                    method="BFGS",
                    # Tighter is lost in the rounding of the energy; `settle` polishes by gradients alone.
                    options={
                        "gtol": GRADIENT_RMS_KCAL_MOL_ANGSTROM,
                        "maxiter": _MOST_STEPS,
                        "hess_inv0": self._first_inverse(positions_angstrom),
                    },
                )
                positions: Floats = np.asarray(found.x, dtype=np.float64).reshape(-1, 3)
                _, gradient = self.energy_and_gradient(positions)
        except EngineError:
            return None
        return positions if gradient_rms(gradient) <= GRADIENT_RMS_KCAL_MOL_ANGSTROM else None

    def _first_inverse(self, positions_angstrom: Floats) -> Floats:
        """Inverse of MMFF94's Hessian (3n, 3n), its curvatures made positive and at least _SOFTEST; the unit
        matrix where MMFF94 has no parameters."""
        if self.guess is None:
            return np.eye(positions_angstrom.size)
        values, vectors = np.linalg.eigh(self.guess.hessian(positions_angstrom))
        inverse: Floats = (vectors / np.maximum(np.abs(values), _SOFTEST)) @ vectors.T
        return 0.5 * (inverse + inverse.T)


def xtb_model(rdmol: Mol) -> XtbModel:
    """GFN2-xTB of a closed-shell molecule with explicit hydrogens; any conformer it has is not looked at.

    The total charge is the sum of the formal charges. Raises InputError when tblite is not installed and
    MoleculeError when the molecule is a radical, lacks hydrogens or holds an element without parameters.
    """
    calculator_of = needed_library()
    refuse_open_shells(rdmol, f"{METHOD} is set up for closed shells, give one")
    numbers = np.array([atom.GetAtomicNum() for atom in rdmol.GetAtoms()])
    # The calculator needs a geometry when it is made; no energy is ever asked for at this one.
    apart = np.outer(np.arange(len(numbers)), [3.0, 0.0, 0.0])
    try:
        calculator = calculator_of(METHOD, numbers, apart, float(GetFormalCharge(rdmol)), 0)
        calculator.set("accuracy", _ACCURACY)
        calculator.set("verbosity", 0)
    except (RuntimeError, ValueError) as error:
        raise MoleculeError(
            f"{METHOD} cannot be set up for this molecule ({tidy(str(error))}); use a force field or "
            "leave the molecule out."
        ) from error
    return XtbModel(
        calculator=calculator, threads=ThreadpoolController(), atoms=len(numbers), guess=_guess(rdmol)
    )


def needed_library() -> Any:
    """tblite's class of calculators. Raises InputError when tblite is not installed."""
    try:
        from tblite.interface import Calculator
    except ImportError as error:
        raise InputError(
            f"{METHOD} needs the library tblite, which is not installed; install it with "
            "pip install 'chairgap[quantum]', or choose quantum_method = 'none'.",
            value=METHOD,
        ) from error
    return Calculator


def _guess(rdmol: Mol) -> EnergyModel | None:
    try:
        return force_field_model(rdmol, "MMFF94")
    except (EngineError, MoleculeError):
        return None
