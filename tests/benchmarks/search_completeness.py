"""Does the search find what random embedding finds, and at what cost? Both run here, one after the other.

    python tests/benchmarks/search_completeness.py [--starts 1000] [--only NAME ...]

For each molecule every distinct minimum within 6 kcal/mol of the lowest that the plain library route reaches
(random distance-geometry embedding with RDKit's ETKDG, then minimisation to the same tolerance) is looked for
among ours. CPU seconds are those of this process; weeding the plain route's repeats is not charged to it,
while our search is charged for everything from the topology to distinct minima.
"""

import argparse
import time
from dataclasses import dataclass

import numpy as np
from molecules import SPOKEN
from rdkit.Chem import rdDistGeom
from threadpoolctl import threadpool_limits

from chairgap.errors import Place
from chairgap.minimise.rdkit_engine import RdkitModel, rdkit_model
from chairgap.molecule.build import build_molecules, open_molecule
from chairgap.molecule.stereo import stereo_survives
from chairgap.molecule.substituents import parse_spoken
from chairgap.records import (
    EstimateTable,
    Floats,
    Molecule,
    MoleculeRequest,
    SearchSettings,
)
from chairgap.search.explore import ENERGY_SIEVE_KCAL_MOL, explore
from chairgap.search.lattice import Lattice, build_lattice
from chairgap.search.verify import verify
from chairgap.shape.copies import every_relabelling
from chairgap.shape.duplicates import find_same
from chairgap.tables import read_estimate_table

WINDOW_KCAL_MOL = 6.0


@dataclass(kw_only=True)
class TimedModel:
    """A model that adds up the CPU seconds spent inside RDKit's native code."""

    model: RdkitModel
    native_s: float = 0.0

    def energy_and_gradient(self, positions_angstrom: Floats) -> tuple[float, Floats]:
        begin = time.process_time()
        found = self.model.energy_and_gradient(positions_angstrom)
        self.native_s += time.process_time() - begin
        return found

    def minimise(self, positions_angstrom: Floats) -> Floats | None:
        begin = time.process_time()
        found = self.model.minimise(positions_angstrom)
        self.native_s += time.process_time() - begin
        return found


@dataclass(frozen=True, kw_only=True)
class Line:
    """One molecule of the comparison."""

    name: str
    atoms: int
    starts: int
    exhaustive: bool
    ours: int
    theirs: int
    missed: int
    extra: int
    our_s: float
    verify_s: float
    native_s: float
    their_s: float


def build(name: str, table: EstimateTable) -> Molecule:
    request = MoleculeRequest(name=name, place=Place(), substituents=parse_spoken(SPOKEN[name]))
    (molecule,) = build_molecules(request, table, force_field="MMFF94", atom_limit=100)
    return molecule


def plain_route(molecule: Molecule, starts: int, seed: int) -> tuple[list[tuple[float, Floats]], float]:
    """Minimised random embeddings (energy, positions), and the CPU seconds of embedding and minimising."""
    mol = open_molecule(molecule)
    begin = time.process_time()
    parameters = rdDistGeom.ETKDGv3()
    parameters.randomSeed = seed
    numbers = rdDistGeom.EmbedMultipleConfs(mol, starts, parameters)
    model = rdkit_model(mol, "MMFF94")
    raw = []
    for number in numbers:
        relaxed = model.minimise(mol.GetConformer(number).GetPositions())
        if relaxed is not None:
            raw.append((model.energy_and_gradient(relaxed)[0], relaxed))
    return raw, time.process_time() - begin


def distinct(lattice: Lattice, raw: list[tuple[float, Floats]]) -> list[tuple[float, Floats]]:
    kept: list[tuple[float, Floats]] = []
    for energy, positions in sorted(raw, key=lambda pair: pair[0]):
        if energy > raw_floor(raw) + WINDOW_KCAL_MOL or not stereo_survives(lattice.molecule, positions):
            continue
        if not repeated(lattice, kept, energy, positions):
            kept.append((energy, positions))
    return kept


def raw_floor(raw: list[tuple[float, Floats]]) -> float:
    return min(energy for energy, _ in raw)


def repeated(lattice: Lattice, known: list[tuple[float, Floats]], energy: float, positions: Floats) -> bool:
    topology = lattice.molecule.topology
    return (
        find_same(
            topology,
            every_relabelling(topology),
            known,
            energy,
            positions,
            energy_within_kcal_mol=ENERGY_SIEVE_KCAL_MOL,
        )
        is not None
    )


def compare(name: str, table: EstimateTable, starts: int, settings: SearchSettings) -> Line:
    molecule = build(name, table)
    begin = time.process_time()
    lattice = build_lattice(molecule, "MMFF94", settings.seed)
    model = TimedModel(model=rdkit_model(open_molecule(molecule), "MMFF94"))
    found, report = explore(lattice, model, settings)
    our_s = time.process_time() - begin
    begin = time.process_time()
    floor = found[0].energy_kcal_mol
    verified = verify(
        [item for item in found if item.energy_kcal_mol <= floor + WINDOW_KCAL_MOL], lattice, model, report
    )
    verify_s = time.process_time() - begin
    raw, their_s = plain_route(molecule, starts, settings.seed)
    theirs = distinct(lattice, raw)
    ours = [(item.energy_kcal_mol, item.positions) for item in found]
    missed = [pair for pair in theirs if not repeated(lattice, ours, *pair)]
    for energy, _ in missed:
        print(f"    missed: {energy - floor:.3f} kcal/mol above our lowest")
    low = [pair for pair in ours if pair[0] <= floor + WINDOW_KCAL_MOL]
    return Line(
        name=name,
        atoms=len(molecule.topology.symbols),
        starts=report.starts_minimised,
        exhaustive=report.exhaustive,
        ours=len(verified.minima),
        theirs=len(theirs),
        missed=len(missed),
        extra=len([pair for pair in low if not repeated(lattice, theirs, *pair)]),
        our_s=our_s,
        verify_s=verify_s,
        native_s=model.native_s,
        their_s=their_s,
    )


def main() -> None:
    threadpool_limits(1)  # the matrices are small: a second BLAS thread only burns CPU time
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--starts", type=int, default=1000)
    parser.add_argument("--only", nargs="*", default=list(SPOKEN))
    arguments = parser.parse_args()
    table, settings = read_estimate_table("chairgap"), SearchSettings()
    print(
        f"{'molecule':36}{'atoms':>6}{'starts':>7}{'all?':>5}{'ours':>6}{'random':>7}{'missed':>7}"
        f"{'extra':>6}{'CPU s ours':>11}{'verify':>8}{'random':>8}{'ratio':>7}"
    )
    lines = []
    for name in arguments.only:
        line = compare(name, table, arguments.starts, settings)
        lines.append(line)
        print(
            f"{line.name:36}{line.atoms:6}{line.starts:7}{'yes' if line.exhaustive else 'no':>5}{line.ours:6}"
            f"{line.theirs:7}{line.missed:7}{line.extra:6}{line.our_s:11.2f}{line.verify_s:8.2f}"
            f"{line.their_s:8.2f}{line.their_s / line.our_s:7.1f}",
            flush=True,
        )
    ours, checked, native, theirs = (
        float(np.sum([getattr(line, key) for line in lines]))
        for key in ("our_s", "verify_s", "native_s", "their_s")
    )
    print(
        f"{len(lines)} molecules; missed {sum(line.missed for line in lines)}, found beyond the random route "
        f"{sum(line.extra for line in lines)}\n"
        f"CPU: search {ours:.1f} s, Hessians and verification {checked:.1f} s, random route {theirs:.1f} s; "
        f"ratio random/search {theirs / ours:.1f}, "
        f"random/(search + verification) {theirs / (ours + checked):.1f}; "
        f"where it goes: {100.0 * native / (ours + checked):.0f} % in RDKit's force-field code, the rest "
        f"in building, labelling and weeding\n"
        f"{60.0 * len(lines) / (ours + checked):.0f} molecules per minute and core"
    )


if __name__ == "__main__":
    main()
