"""What tasks cost: what is usual, from what is known before anything is computed; how the tasks of a run
compare with that, and what a larger study would take. Pure."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from chairgap.records import QuantumMethod

_LEAST_POINTS = 5
# Tasks with MMFF94 in the gas phase at standard effort: fitted to 60 molecules of mixed kinds, with the
# scatter of ln t about it; 0.30 about it for 40 others (tests/benchmarks/cost_law.py).
_FACTOR_S, _OF_ATOMS, _OF_STARTS, _SCATTER = 4.1e-4, 1.17, 0.69, 0.35
# GFN2-xTB took 142, 340 and 276 times what (1) says of three molecules (tests/benchmarks/README.md): their
# geometric mean.
_DEARER: dict[QuantumMethod, float] = {"none": 1.0, "GFN2-xTB": 237.0}


@dataclass(frozen=True, kw_only=True)
class Cost:
    """What tasks took: CPU seconds and atoms on average; their seconds together over those expected, and the
    standard deviation of the logarithm of that ratio over the tasks."""

    tasks: int
    mean_s: float
    mean_atoms: float
    least_atoms: int
    most_atoms: int
    of_expected: float
    scatter: float


def cost_of(costs: Sequence[tuple[int, float, float]]) -> Cost | None:
    """The account of (atoms, CPU seconds, expected CPU seconds); None for fewer than five tasks."""
    kept = [row for row in costs if min(row) > 0]
    if len(kept) < _LEAST_POINTS:
        return None
    atoms, seconds, expected = (np.array(column, dtype=float) for column in zip(*kept, strict=True))
    return Cost(
        tasks=len(kept),
        mean_s=float(seconds.mean()),
        mean_atoms=float(atoms.mean()),
        least_atoms=int(atoms.min()),
        most_atoms=int(atoms.max()),
        of_expected=float(seconds.sum() / expected.sum()),
        scatter=float(np.log(seconds / expected).std()),
    )


def usual_seconds(atoms: int, starts: int, method: QuantumMethod) -> float:
    """What a task of so many atoms and starts (`chairgap.search.expected`) takes on average, CPU seconds; one
    of three is off by a factor of 1.4 or more."""
    # (1) mean of a logarithmic normal distribution: t = a n**b N**c exp(s**2 / 2)
    middle_s = _FACTOR_S * atoms**_OF_ATOMS * starts**_OF_STARTS
    return float(_DEARER[method] * middle_s * math.exp(_SCATTER**2 / 2.0))


def projected_hours(*, tasks: int, mean_s: float, cores: int, serial_s_per_task: float = 0.0) -> float:
    """Hours on the clock for so many tasks on so many cores, where the program itself spends
    serial_s_per_task on each that no core can share."""
    # (2) t = tasks * max(mean / cores, serial): both go on side by side, and the slower one counts
    return tasks * max(mean_s / cores, serial_s_per_task) / 3600.0
