"""What does a series of solvents cost, against the gas phase of the same molecule? One run, both.

    PYTHONPATH=tests python tests/benchmarks/medium_series.py [NAME ...]

The gas phase is a complete treatment: search, verified minima with Hessians, check by OpenMM. The series is
cyclohexane, chloroform and water: every minimum minimised again in each, verified with a Hessian. In the same
run one gradient and one Hessian of the largest molecule by OpenMM and by the closed form. CPU seconds of this
process, one thread.
"""

import argparse
import time
from collections.abc import Callable
from dataclasses import replace

from threadpoolctl import threadpool_limits

from chairgap.minimise.hessian import hessian
from chairgap.minimise.solvated import open_solute, solvated_check, solvated_model
from chairgap.model.treatment import ensemble_of, in_media, search
from chairgap.molecule.build import open_molecule
from chairgap.tables.shipped import find_medium
from pipeline_helpers import SETTINGS, molecule

SERIES = tuple(find_medium(name) for name in ("cyclohexane", "chloroform", "water"))
MOLECULES = (
    "1 up Cl, 2 down Cl",
    "1 up OH, 3 up OH",
    "1 up OH, 3 up NH2",
    "1 up OH, 3 up Cl",
    "1 up OH, 3 up OCH3",
    "1 up OCOCH3, 2 down F",
    "1 up OH, 3 up N(CH3)2",
)
REPEATS = 200


def cpu_s(work: Callable[[], object], repeats: int = 1) -> float:
    begin = time.process_time()
    for _ in range(repeats):
        work()
    return (time.process_time() - begin) / repeats


def compare(groups_by_face: str) -> tuple[float, float]:
    """CPU seconds of the gas phase and of the series."""
    built, settings = molecule(groups_by_face), replace(SETTINGS, medium_series=SERIES)
    begin = time.process_time()
    searched = search(built, settings)
    ensemble = ensemble_of(searched, settings)
    gas_s = time.process_time() - begin
    series_s = cpu_s(lambda: in_media(searched, ensemble, settings))
    atoms, minima = len(built.topology.symbols), len(ensemble.species)
    print(
        f"{groups_by_face:28}{atoms:5}{minima:7}{gas_s:9.2f}{series_s:9.2f}{series_s / gas_s:8.2f}",
        flush=True,
    )
    return gas_s, series_s


def parts(groups_by_face: str) -> None:
    """One gradient and one Hessian in water, in milliseconds."""
    mol = open_molecule(molecule(groups_by_face))
    own, other = (
        solvated_model(open_solute(mol, "MMFF94", SERIES[-1].born_radii), 80.1),
        solvated_check(mol, "MMFF94", SERIES[-1]),
    )
    positions = search(molecule(groups_by_face), SETTINGS).minima[0].positions
    few = REPEATS // 20
    rows = (
        (
            "gradient",
            cpu_s(lambda: other.gradient(positions), REPEATS),
            cpu_s(lambda: own.gradient(positions), REPEATS),
        ),
        (
            "Hessian",
            cpu_s(lambda: hessian(other.gradient, positions), few),
            cpu_s(lambda: own.hessian(positions), few),
        ),
    )
    for name, theirs, ours in rows:
        print(f"{name}: OpenMM {1e3 * theirs:.2f} ms, ours {1e3 * ours:.2f} ms, ratio {theirs / ours:.1f}")


def main() -> None:
    threadpool_limits(1)
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("molecules", nargs="*", default=MOLECULES, metavar="GROUPS")
    names = parser.parse_args().molecules
    print(f"{'molecule':28}{'atoms':>5}{'minima':>7}{'gas s':>9}{'series s':>9}{'ratio':>8}")
    gas_s, series_s = (sum(column) for column in zip(*map(compare, names), strict=True))
    print(f"{'all':40}{gas_s:9.2f}{series_s:9.2f}{series_s / gas_s:8.2f}")
    parts(names[-1])


if __name__ == "__main__":
    main()
