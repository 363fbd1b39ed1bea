"""From a nearly minimised geometry to a verified minimum: Newton polishing, Hessian, falling off saddles."""

from dataclasses import dataclass
from typing import Literal, Protocol

import numpy as np
from numpy.typing import NDArray

from chairgap.errors import EngineError
from chairgap.minimise.hessian import frequencies_cm1, gradient_rms, normal_modes, polished
from chairgap.records import Floats, Integers, Minimum

GRADIENT_RMS_KCAL_MOL_ANGSTROM = 1e-4
_POLISH_STEPS = 6
_LARGEST_NEWTON_STEP_ANGSTROM = 0.05
_FALLS = 5
_FALL_STEP_ANGSTROM = 0.15

# Central differences at STEP_ANGSTROM leave noise of about 1 cm-1 on soft modes; a mode is imaginary when it
# lies below this.
IMAGINARY_BELOW_CM1 = -3.0


class EnergyModel(Protocol):
    """What every engine offers."""

    def energy_and_gradient(self, positions_angstrom: Floats) -> tuple[float, Floats]: ...

    def gradient(self, positions_angstrom: Floats) -> Floats: ...

    def hessian(self, positions_angstrom: Floats) -> Floats: ...

    def minimise(self, positions_angstrom: Floats) -> Floats | None: ...


# Why a way downhill was left before its end.
Left = Literal["known", "unconverged"]


@dataclass(frozen=True, kw_only=True, eq=False)
class Basins:
    """Known minima at which a way downhill is left before its end: their dihedrals along chains (t, 4) as
    complex directions (m, t), and their energies (m,). A way is in the basin of one where no dihedral differs
    by more than within_deg, its energy is at most above_kcal_mol above it and not below, and its next step,
    taken whole, brings the largest difference down to the share `nearer` or less."""

    chains: Integers
    directions: NDArray[np.complex128]
    energies_kcal_mol: Floats
    within_deg: float
    above_kcal_mol: float
    nearer: float


def needed_shape(positions_angstrom: Floats, atoms: int) -> None:
    """Raises EngineError where positions are not those of so many atoms."""
    shape = (atoms, 3)
    if positions_angstrom.shape != shape:
        raise EngineError(
            f"The positions have shape {positions_angstrom.shape}, the molecule needs {shape}; "
            "give x, y, z for every atom, hydrogens included.",
            value=positions_angstrom.shape,
            expected=str(shape),
        )


@dataclass(frozen=True, kw_only=True)
class Unverified:
    """A geometry that gave no minimum, and why."""

    why: Literal["unconverged", "saddle"]


def verified_minimum(
    model: EnergyModel, positions: Floats, masses_u: Floats, start: str
) -> Minimum | Unverified:
    """The verified minimum at or below positions (n, 3).

    Polishes with Newton steps to a gradient far below the promised GRADIENT_RMS, so that energies do not
    depend on the start, then demands that no mode is imaginary; a saddle is left downhill along its softest
    mode, on both sides in turn, and minimised again.
    """
    for fall in range(_FALLS + 1):
        second = model.hessian(positions)
        found = polished(
            model.gradient,
            model.hessian,
            positions,
            second,
            steps=_POLISH_STEPS,
            longest_angstrom=_LARGEST_NEWTON_STEP_ANGSTROM,
        )
        positions, second = found.positions, found.second
        energy, gradient = model.energy_and_gradient(positions)
        rms = gradient_rms(gradient)
        if rms > GRADIENT_RMS_KCAL_MOL_ANGSTROM:
            return Unverified(why="unconverged")
        frequencies = frequencies_cm1(second, positions, masses_u)
        if frequencies[0] > IMAGINARY_BELOW_CM1:
            return Minimum(
                positions=positions - masses_u @ positions / masses_u.sum(),
                energy_kcal_mol=energy,
                gradient_rms_kcal_mol_angstrom=rms,
                frequencies_cm1=frequencies,
                start=start,
            )
        side = 1.0 if fall % 2 == 0 else -1.0
        mode = normal_modes(second, positions, masses_u)[1][:, 0].reshape(-1, 3)
        push = side * _FALL_STEP_ANGSTROM * mode / np.abs(mode).max()
        fallen = model.minimise(positions + push)
        if fallen is None:
            return Unverified(why="unconverged")
        positions = fallen
    return Unverified(why="saddle")
