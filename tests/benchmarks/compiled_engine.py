"""What does the compiled force field save, and does it find the same minima? One run, both engines.

    python tests/benchmarks/compiled_engine.py [--others 100] [--only NAME ...]

For each molecule a complete treatment (search, verified minima with Hessians, checks) with engine 'rdkit',
which is what 0.4.0 did, and with engine 'compiled'; CPU seconds of this process on one thread. Minima are
compared by geometry, under every relabelling, as far up as the search follows them: chairs to 7.9 kcal/mol
above the lowest of the same chair, other forms to 7.9 above the lowest of all (the window is 8). Other forms
further up are reported where they were met, but nothing looks for them. The others are molecules of one to
three groups drawn with a fixed seed, none of them in molecules.py.
"""

import argparse
import time
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from complete_treatment import SETTINGS
from molecules import SPOKEN
from threadpoolctl import threadpool_limits

from chairgap.errors import MoleculeError, Place
from chairgap.model.treatment import compute
from chairgap.molecule.build import build_molecules
from chairgap.molecule.group_lists import read_group_list
from chairgap.records import Computation, Molecule, MoleculeRequest
from chairgap.shape.degeneracy import every_relabelling
from chairgap.shape.duplicates import find_same
from chairgap.tables.shipped import read_estimate_table

INSIDE_KCAL_MOL = 7.9
GAPS = ("potential_kcal_mol", "ensemble_kcal_mol", "gibbs_kcal_mol")
TABLE = read_estimate_table("chairgap")
# Of the others.
MOST_ATOMS = 36


def build(groups_by_face: str, most_atoms: int = 100) -> Molecule:
    request = MoleculeRequest(
        name=groups_by_face, place=Place(), substituents=read_group_list(groups_by_face).groups
    )
    (molecule,) = build_molecules(request, TABLE, force_field="MMFF94", atom_limit=most_atoms)
    return molecule


def others(count: int) -> Iterator[str]:
    """Groups by face of so many molecules that MMFF94 knows."""
    rng = np.random.default_rng(20261129)
    groups = [row.group for row in TABLE.a_values]
    while count:
        places = sorted(rng.choice(6, size=int(rng.integers(1, 4)), replace=False).tolist())
        text = ", ".join(f"{place + 1} {rng.choice(['up', 'down'])} {rng.choice(groups)}" for place in places)
        try:
            build(text, MOST_ATOMS)
        except MoleculeError:
            continue
        if text not in SPOKEN.values():
            count -= 1
            yield text


def timed(molecule: Molecule, engine: str) -> tuple[Computation, float]:
    begin = time.process_time()
    computed = compute(molecule, replace(SETTINGS, engine=engine))
    return computed, time.process_time() - begin


def missing(here: Computation, there: Computation) -> list[str]:
    """Minima of `there` that are not among those of `here`: chair, and height as the search measures it,
    above the lowest of the same chair, for other forms above the lowest of all."""
    topology = here.molecule.topology
    relabellings = every_relabelling(topology)
    known = [(c.minimum.energy_kcal_mol, c.minimum.positions) for c in here.conformers]
    lowest = there.conformers[0].minimum.energy_kcal_mol
    floors: dict[str | None, float] = {None: lowest}
    lost = []
    for conformer in there.conformers:
        own = conformer.minimum.energy_kcal_mol, conformer.minimum.positions
        height = own[0] - floors.setdefault(conformer.chair, own[0])
        if height <= INSIDE_KCAL_MOL and find_same(topology, relabellings, known, *own) is None:
            lost.append(f"{conformer.chair or 'no chair'} {height:.2f}")
    return lost


def furthest(one: Computation, other: Computation) -> float:
    """The largest difference of a gap, kcal/mol."""
    pairs = [(getattr(one.gaps, name), getattr(other.gaps, name)) for name in GAPS]
    return max(abs(a - b) if a is not None and b is not None else 0.0 for a, b in pairs)


def main() -> None:
    threadpool_limits(1)
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--others", type=int, default=0, metavar="COUNT")
    parser.add_argument("--only", nargs="*", default=None, metavar="NAME")
    arguments = parser.parse_args()
    chosen = {name: SPOKEN[name] for name in arguments.only or SPOKEN}
    if arguments.others:
        chosen = {text: text for text in others(arguments.others)}
    for engine in ("rdkit", "compiled"):
        timed(build("1 up CH3"), engine)
    totals: dict[str, list[float]] = {"rdkit": [0, 0, 0], "compiled": [0, 0, 0]}
    lost, gained = [], []
    for name, text in chosen.items():
        found = {}
        for engine, total in totals.items():
            found[engine], seconds = timed(build(text), engine)
            report = found[engine].search
            total[0] += seconds
            total[1] += report.starts_minimised
            total[2] += len(found[engine].conformers)
        before, after = found["rdkit"], found["compiled"]
        less, more = missing(after, before), missing(before, after)
        lost += less
        gained += more
        counts = f"minima {len(before.conformers)} and {len(after.conformers)}"
        changed = f"lost: {', '.join(less) or 'none'}; gained: {', '.join(more) or 'none'}"
        print(f"{name:45} gaps within {furthest(before, after):.1e}; {counts}; {changed}", flush=True)
    for engine, (seconds, starts, minima) in totals.items():
        print(
            f"{engine}: {seconds:.1f} s, {starts:.0f} minimisations, {starts / minima:.2f} for each minimum"
        )
    ratio = totals["rdkit"][0] / totals["compiled"][0]
    print(f"ratio {ratio:.2f}; {len(lost)} minima lost, {len(gained)} gained")


if __name__ == "__main__":
    main()
