"""What molecules cost: a power of their number of atoms, fitted, what a larger study would take, and what is
usual before anything is computed. Pure."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from chairgap.records import QuantumMethod

_LEAST_POINTS = 5
# Tasks with MMFF94 in the gas phase at standard effort: 2080 of 18 to 36 atoms, the fit and its scatter of
# ln t (tests/benchmarks/README.md, 'A large run').
_USUAL_FACTOR_S, _USUAL_EXPONENT, _USUAL_SCATTER = 5.4e-4, 1.75, 0.74
# GFN2-xTB took 46, 135 and 310 times what (3) says of three molecules (tests/benchmarks/README.md): their
# geometric mean.
_DEARER: dict[QuantumMethod, float] = {"none": 1.0, "GFN2-xTB": 125.0}


@dataclass(frozen=True, kw_only=True)
class Cost:
    """CPU seconds of a task of n atoms: factor * n ** exponent, fitted to logarithms; scatter is the standard
    deviation of ln(seconds) about it. mean_s and mean_atoms are over the tasks fitted."""

    tasks: int
    factor_s: float
    exponent: float
    scatter: float
    mean_s: float
    mean_atoms: float
    least_atoms: int
    most_atoms: int

    def seconds(self, atoms: float) -> float:
        """The middle of the distribution for that many atoms, CPU seconds."""
        # (1) t = a n**b
        return float(self.factor_s * atoms**self.exponent)


def fitted_cost(costs: Sequence[tuple[int, float]]) -> Cost | None:
    """The fit to (atoms, CPU seconds); None for fewer than five tasks, or all of one size."""
    kept = [(atoms, seconds) for atoms, seconds in costs if atoms > 0 and seconds > 0.0]
    if len(kept) < _LEAST_POINTS or len({atoms for atoms, _ in kept}) < 2:
        return None
    atoms, seconds = (np.array(column, dtype=float) for column in zip(*kept, strict=True))
    # (2) ln t = ln a + b ln n, least squares
    exponent, intercept = np.polyfit(np.log(atoms), np.log(seconds), 1)
    rest = np.log(seconds) - (intercept + exponent * np.log(atoms))
    return Cost(
        tasks=len(kept),
        factor_s=math.exp(intercept),
        exponent=float(exponent),
        scatter=float(rest.std()),
        mean_s=float(seconds.mean()),
        mean_atoms=float(atoms.mean()),
        least_atoms=int(atoms.min()),
        most_atoms=int(atoms.max()),
    )


def usual_seconds(atoms: int, method: QuantumMethod) -> float:
    """What a task of so many atoms takes on average, CPU seconds; right within a factor of about three."""
    # (3) mean of a logarithmic normal distribution: t = a n**b exp(s**2 / 2)
    middle_s = _USUAL_FACTOR_S * atoms**_USUAL_EXPONENT
    return float(_DEARER[method] * middle_s * math.exp(_USUAL_SCATTER**2 / 2.0))


def projected_hours(*, tasks: int, mean_s: float, cores: int, serial_s_per_task: float = 0.0) -> float:
    """Hours on the clock for so many tasks on so many cores, where the program itself spends
    serial_s_per_task on each that no core can share."""
    # (4) t = tasks * max(mean / cores, serial): both go on side by side, and the slower one counts
    return tasks * max(mean_s / cores, serial_s_per_task) / 3600.0
