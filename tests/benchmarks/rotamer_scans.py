"""The lowest minimum of each chair of seven long molecules: full scans by RDKit alone against our search.

    PYTHONPATH=tests python tests/benchmarks/rotamer_scans.py [--seeds 20] [--only octyl]

A scan embeds both chairs (and all chairs of a second ring), sets every rotor to each of its states and
minimises with MMFF94; it shares nothing with our search. The search runs by the engine of a study that says
nothing, with the quick budget of 600 starts, of which the first 540 are those of any larger budget, once for
each seed.
"""

import argparse
import itertools
import math
import time
from dataclasses import replace

from rdkit import Chem
from rdkit.Chem import rdDistGeom, rdForceFieldHelpers, rdMolTransforms

from chairgap.minimise.engines import search_model
from chairgap.molecule.agreed import agreed
from chairgap.search.explore import CHAIRS, explore
from chairgap.search.lattice import build_lattice
from pipeline_helpers import SETTINGS, molecule, molecule_from_smiles

# The first carbon of each text is ring carbon 1; the group named stands on it.
MOLECULES = {
    "hexyl": "C1(CCCCCC)CCCCC1",
    "heptyl": "C1(CCCCCCC)CCCCC1",
    "octyl": "C1(CCCCCCCC)CCCCC1",
    "trans-4-heptylcyclohexanol": "[C@H]1(CCCCCCC)CC[C@H](O)CC1",
    "hexyl carboxylate": "C1(C(=O)OCCCCCC)CCCCC1",
    "2-(2-hydroxyethoxy)ethoxy": "C1(OCCOCCO)CCCCC1",
    "bicyclohexyl": "C1(C2CCCCC2)CCCCC1",
}
SEARCHED = {"bicyclohexyl": "1 up C6H11"}
_EMBEDDINGS = 60
_SAME_KCAL_MOL = 0.01
_QUICK = 600


def scanned(smiles: str) -> dict[str, float]:
    """Lowest MMFF94 energy, kcal/mol, with the first group equatorial and axial, over all rotor states."""
    mol = Chem.AddHs(Chem.MolFromSmiles(smiles))
    ring = next(list(r) for r in mol.GetRingInfo().AtomRings() if 0 in r)
    ring = ring[ring.index(0) :] + ring[: ring.index(0)]
    properties = rdForceFieldHelpers.MMFFGetMoleculeProperties(mol)
    rotors = list(_rotors(mol))
    lowest: dict[str, float] = {}
    for base in _bases(mol):
        for states in itertools.product(*(angles for _, angles in rotors)):
            trial = Chem.Mol(base)
            for (chain, _), angle in zip(rotors, states, strict=True):
                rdMolTransforms.SetDihedralDeg(trial.GetConformer(), *chain, angle)
            field = rdForceFieldHelpers.MMFFGetMoleculeForceField(trial, properties)
            if field.Minimize(maxIts=2000):
                continue
            kind = _kind(trial, ring)
            if kind:
                lowest[kind] = min(lowest.get(kind, math.inf), field.CalcEnergy())
    return lowest


def _rotors(mol: Chem.Mol):
    for bond in mol.GetBonds():
        ends = sorted((bond.GetBeginAtom(), bond.GetEndAtom()), key=lambda atom: atom.GetIdx())
        if bond.IsInRing() or bond.GetBondType() != Chem.BondType.SINGLE:
            continue
        outer = [
            [o for o in end.GetNeighbors() if o.GetIdx() not in (ends[0].GetIdx(), ends[1].GetIdx())]
            for end in ends
        ]
        top = any(len(side) == 3 and all(o.GetAtomicNum() == 1 for o in side) for side in outer)
        if top or not all(outer):
            continue
        first, last = (
            min(side, key=lambda o: (o.GetAtomicNum() == 1, o.GetIdx())).GetIdx() for side in outer
        )
        planar = [end.GetHybridization() == Chem.HybridizationType.SP2 for end in ends]
        angles = (0.0, 180.0) if all(planar) else range(0, 360, 60) if any(planar) else (60.0, 180.0, 300.0)
        yield (first, ends[0].GetIdx(), ends[1].GetIdx(), last), tuple(map(float, angles))


def _bases(mol: Chem.Mol):
    """One geometry for each set of ring puckers that random embedding meets."""
    seen = set()
    for number in range(_EMBEDDINGS):
        trial = Chem.Mol(mol)
        rdDistGeom.EmbedMolecule(trial, randomSeed=number + 1)
        rdForceFieldHelpers.MMFFOptimizeMolecule(trial, maxIters=2000)
        key = tuple(
            round(
                rdMolTransforms.GetDihedralDeg(trial.GetConformer(), *(r[(k + s) % 6] for s in range(4))) / 55
            )
            for r in trial.GetRingInfo().AtomRings()
            for k in range(6)
        )
        if all(key) and key not in seen:
            seen.add(key)
            yield trial


def _kind(mol: Chem.Mol, ring: list[int]) -> str:
    """'equatorial', 'axial' or '' when the ring is no chair."""
    places = mol.GetConformer()
    torsions = [
        rdMolTransforms.GetDihedralDeg(places, *(ring[(k + s) % 6] for s in range(4))) for k in range(6)
    ]
    if min(abs(angle) for angle in torsions) < 35.0 or any(
        one * other > 0.0 for one, other in itertools.pairwise(torsions)
    ):
        return ""
    first = next(
        o.GetIdx()
        for o in mol.GetAtomWithIdx(ring[0]).GetNeighbors()
        if o.GetIdx() not in ring and o.GetAtomicNum() > 1
    )
    out = abs(rdMolTransforms.GetDihedralDeg(places, first, *ring[:3]))
    return "equatorial" if out > 120.0 else "axial"


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--seeds", type=int, default=20)
    parser.add_argument("--only", choices=MOLECULES)
    wanted = parser.parse_args()
    for name in [wanted.only] if wanted.only else MOLECULES:
        began = time.process_time()
        lowest = sorted(scanned(MOLECULES[name]).values())
        scan_s, began = time.process_time() - began, time.process_time()
        built = molecule(SEARCHED[name]) if name in SEARCHED else molecule_from_smiles(MOLECULES[name])
        built = agreed(built).molecule
        model = search_model(built, SETTINGS)
        found, latest = 0, 0
        for seed in range(1, wanted.seeds + 1):
            settings = replace(SETTINGS.search, effort="quick", most_starts=_QUICK, seed=seed)
            minima, _ = explore(build_lattice(built, "MMFF94", seed), model, settings)
            best = [
                min(m for m in ((x.energy_kcal_mol, x.met_after) for x in minima if x.form == chair))
                for chair in CHAIRS
            ]
            found += all(
                energy < goal + _SAME_KCAL_MOL for (energy, _), goal in zip(sorted(best), lowest, strict=True)
            )
            latest = max(latest, *(after for _, after in best))
        search_s = (time.process_time() - began) / wanted.seeds
        print(
            f"{name}: lowest of the chairs {lowest[0]:.3f} and {lowest[1]:.3f}, scan {scan_s:.0f} s; both by "
            f"{found} of {wanted.seeds} seeds, at the latest after {latest} starts; search {search_s:.1f} s",
            flush=True,
        )


if __name__ == "__main__":
    main()
