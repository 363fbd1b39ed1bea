"""What a task costs: the law of `chairgap.batch.cost`, fitted to 60 molecules and held against 40 others.

    PYTHONPATH=tests python tests/benchmarks/cost_law.py

For the molecules of molecules.py and 40 drawn with a fixed seed (compiled_engine.py) the CPU seconds of one
thread for what a task does, with what is known of each before it begins. Of every five in this order three
are fitted and two held out. The scatter is the standard deviation of ln(seconds) about each law; the first
law knows atoms alone. Put the fit into cost.py when a change is meant to move it.
"""

import math
import time

import numpy as np
from compiled_engine import SETTINGS, TABLE, build, others
from molecules import SPOKEN
from threadpoolctl import threadpool_limits

from chairgap.batch.cost import usual_seconds
from chairgap.model.treatment import on_surface, search
from chairgap.molecule.build import build_written, ring_atoms, writing_of
from chairgap.search.expected import expected_starts

OTHERS = 40


def timed(groups_by_face: str) -> tuple[int, int, float]:
    """Atoms, starts of the lattice and CPU seconds of a task."""
    ring = writing_of(build(groups_by_face).topology)
    begin = time.process_time()
    molecule = build_written(ring, TABLE, force_field=SETTINGS.force_field)
    on_surface(search(molecule, SETTINGS), SETTINGS)
    return ring_atoms(ring), expected_starts(ring), time.process_time() - begin


def show(name: str, rest: np.ndarray) -> None:
    worst = np.abs(rest).max()
    print(f"{name}: scatter of ln t {rest.std():.2f}, mean {rest.mean():+.2f}, worst {worst:.2f}")


def main() -> None:
    threadpool_limits(1)
    timed("1 up CH3, 2 up OH")
    rows = [timed(text) for text in (*SPOKEN.values(), *others(OTHERS))]
    fitted = [row for number, row in enumerate(rows) if number % 5 < 3]
    held_out = [row for number, row in enumerate(rows) if number % 5 >= 3]
    logarithms, rest_s = ((np.log(np.array(some, dtype=float)).T) for some in (fitted, held_out))
    for law, terms in (("atoms alone", 1), ("atoms and starts", 2)):
        matrix, others_matrix = (
            np.vstack([np.ones(some.shape[1]), some[:terms]]).T for some in (logarithms, rest_s)
        )
        found = np.linalg.lstsq(matrix, logarithms[2])[0]
        powers = " ".join(f"{power:.2f}" for power in found[1:])
        print(f"{law}: factor {math.exp(found[0]):.2e} s, powers {powers}")
        show(f"  {len(fitted)} fitted", logarithms[2] - matrix @ found)
        show(f"  {len(held_out)} held out", rest_s[2] - others_matrix @ found)
    shipped = [math.log(seconds / usual_seconds(n, starts, "none")) for n, starts, seconds in held_out]
    show(f"as cost.py has it, {len(held_out)} held out", np.array(shipped))


if __name__ == "__main__":
    main()
