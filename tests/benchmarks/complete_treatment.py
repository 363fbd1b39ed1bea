"""What does a complete treatment cost, against the plain library route to the same minima? One run, both.

    python tests/benchmarks/complete_treatment.py [--quick] [--only NAME ...]

Ours is `chairgap.model.treatment.compute` with the settings of a study that says nothing: MMFF94 in the gas
phase, search, verified minima with Hessians, cross-check of each by OpenMM. The plain route is random
embedding (RDKit's ETKDG), then minimisation to the same tolerance; it has no Hessians and no check, and its
weeding is not charged. Compared are the minima within 6 kcal/mol of the lowest that either route finds.

The plain route makes at least 500 embeddings for every molecule, and up to 2000 while one of our minima is
missing. 'to last' charges it only until it has met the last minimum that it ever meets, which nobody who
walks it knows; 'to all' charges all 2000 where it has still not met every one: a lower bound for the
price of the same minima. CPU seconds are those of this process, on one thread. Which calls count as native
stands in meter.py; LAPACK is counted apart.
"""

import argparse
import time
from collections.abc import Sequence
from dataclasses import dataclass

from meter import NATIVE, STAGES, Meter
from molecules import SPOKEN
from plain_route import Known, cost_to_reach, index_of, plain_route, true_minima
from threadpoolctl import threadpool_limits

from chairgap.errors import Place
from chairgap.model.treatment import compute
from chairgap.molecule.build import build_molecules
from chairgap.molecule.group_lists import read_group_list
from chairgap.records import Computation, EstimateTable, Molecule, MoleculeRequest, Settings
from chairgap.tables.shipped import read_estimate_table

WINDOW_KCAL_MOL = 6.0
FEWEST_EMBEDDINGS, MOST_EMBEDDINGS = 500, 2000
SETTINGS = Settings(title="benchmark", output="reports/benchmark")
QUICK = ("methyl", "ethyl", "isopropyl", "trans-1,2-diol", "methyl carboxylate", "3,3-dimethylalcohol")


@dataclass(frozen=True, kw_only=True)
class Line:
    """One molecule of the comparison."""

    name: str
    atoms: int
    starts: int
    left: int
    reported: int
    reported_met: int
    union: int
    missed: int
    plain_missed: int
    our_s: float
    search_s: float
    hessians_s: float
    check_s: float
    compiled_s: float
    rdkit_s: float
    openmm_s: float
    lapack_s: float
    embeddings: int
    walked: int
    last_s: float
    all_s: float


def build(name: str, table: EstimateTable) -> Molecule:
    request = MoleculeRequest(name=name, place=Place(), substituents=read_group_list(SPOKEN[name]).groups)
    (molecule,) = build_molecules(request, table, force_field="MMFF94", atom_limit=100)
    return molecule


def treated(molecule: Molecule) -> tuple[Computation, float, Meter, Meter]:
    """Our treatment, its CPU seconds, and where they went: stages, and compiled code."""
    stages, native = Meter(), Meter()
    with stages.over(STAGES), native.over(NATIVE):
        begin = time.process_time()
        computed = compute(molecule, SETTINGS)
        our_s = time.process_time() - begin
    return computed, our_s, stages, native


def compare(name: str, table: EstimateTable) -> Line:
    molecule = build(name, table)
    computed, our_s, stages, native = treated(molecule)
    ours: Known = [(c.minimum.energy_kcal_mol, c.minimum.positions) for c in computed.conformers]
    walked = plain_route(
        molecule,
        ours,
        fewest=FEWEST_EMBEDDINGS,
        most=MOST_EMBEDDINGS,
        window_kcal_mol=WINDOW_KCAL_MOL,
        seed=SETTINGS.search.seed,
    )
    ceiling = min(energy for energy, _ in (*ours, *walked.minima)) + WINDOW_KCAL_MOL
    low = [pair for pair in ours if pair[0] <= ceiling]
    theirs = [pair for pair in walked.minima if pair[0] <= ceiling]
    suspects = [pair for pair in theirs if index_of(molecule, ours, pair) is None]
    missed = true_minima(molecule, suspects, ours)
    for energy, _ in missed:
        print(f"    missed by us: {energy - ceiling + WINDOW_KCAL_MOL:.3f} kcal/mol above the lowest")
    embeddings, last_s, plain_missed = cost_to_reach(molecule, walked, [*low, *missed])
    return Line(
        name=name,
        atoms=len(molecule.topology.symbols),
        starts=computed.search.starts_minimised,
        left=computed.search.starts_left_early,
        reported=len(computed.conformers),
        reported_met=sum(index_of(molecule, walked.minima, pair) is not None for pair in ours),
        union=len(low) + len(missed),
        missed=len(missed),
        plain_missed=plain_missed,
        our_s=our_s,
        search_s=stages.seconds["search"],
        hessians_s=stages.seconds["Hessians"],
        check_s=stages.seconds["check"],
        compiled_s=native.seconds["compiled"],
        rdkit_s=native.seconds["RDKit"],
        openmm_s=native.seconds["OpenMM"],
        lapack_s=native.seconds["LAPACK"],
        embeddings=embeddings,
        walked=walked.embeddings,
        last_s=last_s,
        all_s=walked.seconds if plain_missed else last_s,
    )


HEAD = (
    f"{'molecule':35}{'atoms':>6}{'starts':>7}{'minima':>7}{'low':>5}{'missed':>7}|{'CPU s':>7}{'search':>7}"
    f"{'Hess.':>7}{'check':>6}{'native':>7}|{'embed.':>7}{'of':>6}{'missed':>7}{'to last':>8}{'to all':>8}|"
    f"{'ratio':>6}{'ratio':>6}"
)


def shown(line: Line) -> str:
    native = 100.0 * (line.compiled_s + line.rdkit_s + line.openmm_s) / line.our_s
    return (
        f"{line.name:35}{line.atoms:6}{line.starts:7}{line.reported:7}{line.union:5}{line.missed:7}|"
        f"{line.our_s:7.2f}{line.search_s:7.2f}{line.hessians_s:7.2f}{line.check_s:6.2f}{native:6.0f}%|"
        f"{line.embeddings:7}{line.walked:6}{line.plain_missed:7}{line.last_s:8.2f}{line.all_s:8.2f}|"
        f"{line.last_s / line.our_s:6.1f}{line.all_s / line.our_s:6.1f}"
    )


def totals(lines: Sequence[Line]) -> str:
    def total(key: str) -> float:
        return float(sum(getattr(line, key) for line in lines))

    ours, last, whole = total("our_s"), total("last_s"), total("all_s")
    complete = [line for line in lines if not line.plain_missed]
    parts = [100.0 * total(key) / ours for key in ("compiled_s", "rdkit_s", "openmm_s", "lapack_s")]
    mean_last = sum(line.last_s / line.our_s for line in lines) / len(lines)
    mean_all = sum(line.all_s / line.our_s for line in lines) / len(lines)
    below = [line.name for line in lines if line.all_s < 3.0 * line.our_s]
    fair = sum(line.last_s for line in complete) / sum(line.our_s for line in complete) if complete else 0.0
    low, lost = total("union"), total("plain_missed")
    return (
        f"\n{len(lines)} molecules, {low:.0f} minima within {WINDOW_KCAL_MOL:g} kcal/mol; missed by us "
        f"{total('missed'):.0f}; not met by the plain route {lost:.0f} ({100.0 - 100.0 * lost / low:.1f} % "
        f"covered), in {len(lines) - len(complete)} molecules; of all {total('reported'):.0f} minima that we "
        f"report (8 kcal/mol above the lowest of their own kind) it met {total('reported_met'):.0f}\n"
        f"{total('starts') / total('reported'):.2f} minimisations for each minimum that we report, and "
        f"{total('left') / total('reported'):.2f} ways left on the way to a known one\n"
        f"CPU s: ours {ours:.1f} (search {total('search_s'):.1f}, Hessians {total('hessians_s'):.1f}, check "
        f"{total('check_s'):.1f}), plain route to last {last:.1f}, to all {whole:.1f}\n"
        f"ratio of totals (and of mean costs): to last {last / ours:.2f}, to all {whole / ours:.2f}; mean of "
        f"ratios: to last {mean_last:.2f}, to all {mean_all:.2f}; ratio of totals of the {len(complete)} "
        f"molecules that the plain route completes {fair:.2f}\n"
        f"below 3 (to all): {len(below)}: {', '.join(below) or 'none'}\n"
        f"compiled force field {parts[0]:.1f} %, RDKit {parts[1]:.1f} %, OpenMM {parts[2]:.1f} %, LAPACK "
        f"{parts[3]:.1f} %, ours in Python and numpy {100.0 - sum(parts):.1f} %\n"
        f"{60.0 * len(lines) / ours:.0f} molecules per minute and core"
    )


def main() -> None:
    threadpool_limits(1)  # the matrices are small: a second BLAS thread only burns CPU time
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--quick", action="store_true", help=f"{len(QUICK)} small molecules only")
    parser.add_argument("--only", nargs="*", default=None, metavar="NAME")
    arguments = parser.parse_args()
    names = arguments.only or (QUICK if arguments.quick else tuple(SPOKEN))
    table = read_estimate_table("chairgap")
    print(HEAD)
    lines = []
    for name in names:
        lines.append(compare(name, table))
        print(shown(lines[-1]), flush=True)
    print(totals(lines))


if __name__ == "__main__":
    main()
