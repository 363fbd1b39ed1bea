"""What does leaving ways downhill in known basins save, and does it lose a minimum? One run, both.

    python tests/benchmarks/left_early.py [--set sixty|others|scans|tuning] [--count 100] [--workers 1]

Each molecule is searched with the compiled engine at standard effort: with every way downhill walked to its
end, and as the search does it, where a way is left once it is in the basin of a known minimum. Compared are
all minima that either search found, at whatever height, by geometry under every relabelling. In a third
search every way that is left is walked to its end after all, to see whether it leads to a minimum known by
then. CPU seconds are those of the first two searches, one thread each.

The sets: the sixty of molecules.py; `others` of compiled_engine.py; the long molecules of rotamer_scans.py;
and those with which the numbers in chairgap.search.recognise were chosen.
"""

import argparse
import time
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, field
from unittest import mock

from compiled_engine import build, others
from complete_treatment import SETTINGS
from molecules import SPOKEN
from threadpoolctl import threadpool_limits

from chairgap.minimise.engines import search_model
from chairgap.minimise.verified import Basins, EnergyModel, Left
from chairgap.molecule.agreed import agreed
from chairgap.records import Floats, SearchReport
from chairgap.search import explore
from chairgap.search.lattice import Lattice, build_lattice
from chairgap.shape.duplicates import find_same

TUNING = (
    "1 up C2H5, 2 down OH",
    "1 up OH, 4 up OH",
    "1 up CH(CH3)2, 3 up OH",
    "1 up CO2CH3, 2 up CH3",
    "1 up NH2, 3 up OH",
    "1 up OCH3, 2 down Cl",
    "1 up C6H5, 4 up OH",
    "1 up CH=CH2, 2 down CH3",
    "1 up OH, 2 up OH, 4 down CH3",
    "1 up N(CH3)2, 4 down CH3",
    # Minima 10 to 30 degrees apart.
    "3 down NCS",
    "2 up NCS, 6 down CH=CH2",
    "6 up COCl",
    "2 down CH3, 3 down COCl",
)
SCANS = (
    "1 up *CCCCCC",
    "1 up *CCCCCCC",
    "1 up *CCCCCCCC",
    "1 up *CCCCCCC, 4 down OH",
    "1 up *C(=O)OCCCCCC",
    "1 up *OCCOCCO",
    "1 up C6H11",
)
Known = list[tuple[float, Floats]]
leave = explore.minimise_unless_known


@dataclass(frozen=True, kw_only=True)
class Line:
    """One molecule: atoms; of the search to the ends and of the one that leaves, CPU seconds, minimisations
    and minima; ways that were left, and those of them that led to a minimum not known by then; minima of one
    search only, and the difference of the potential gaps."""

    name: str
    atoms: int
    seconds: tuple[float, float]
    minimised: tuple[int, int]
    minima: tuple[int, int]
    left: int
    into_new: int
    lost: tuple[str, ...]
    gained: tuple[str, ...]
    moved_kcal_mol: float


def to_the_end(model: EnergyModel, positions: Floats, basins: Basins) -> Floats | Left:
    relaxed = model.minimise(positions)
    return "unconverged" if relaxed is None else relaxed


@dataclass(kw_only=True)
class Audit:
    """The way of the search, and where those ways lead that it leaves."""

    lattice: Lattice
    known: Known = field(default_factory=list)
    into_new: int = 0

    def __call__(self, model: EnergyModel, positions: Floats, basins: Basins) -> Floats | Left:
        found = leave(model, positions, basins)
        if isinstance(found, str) and found == "unconverged":
            return found
        end = to_the_end(model, positions, basins) if isinstance(found, str) else found
        if not isinstance(end, str):
            own = model.energy_and_gradient(end)[0], end
            topology = self.lattice.molecule.topology
            new = find_same(topology, self.lattice.relabellings, self.known, *own) is None
            if isinstance(found, str):
                self.into_new += new
            elif new:
                self.known.append(own)
        return found


def searched(
    lattice: Lattice, model: EnergyModel, way: object
) -> tuple[Known, SearchReport, list[str], float]:
    """Minima, lowest first, the account of the search, the ring form of each minimum, and CPU seconds."""
    begin = time.process_time()
    with mock.patch.object(explore, "minimise_unless_known", way):
        found, report = explore.explore(lattice, model, SETTINGS.search)
    seconds = time.process_time() - begin
    return [(x.energy_kcal_mol, x.positions) for x in found], report, [x.form for x in found], seconds


def missing(lattice: Lattice, here: Known, there: Known, forms: Sequence[str]) -> tuple[str, ...]:
    """Ring form and height above the lowest of all of each minimum of `there` that is not in `here`."""
    topology = lattice.molecule.topology
    return tuple(
        f"{form} {one[0] - there[0][0]:.2f}"
        for one, form in zip(there, forms, strict=True)
        if find_same(topology, lattice.relabellings, here, *one) is None
    )


def potential_gap(known: Known, forms: Sequence[str]) -> float:
    lowest = [
        min((energy for (energy, _), form in zip(known, forms, strict=True) if form == chair), default=0.0)
        for chair in explore.CHAIRS
    ]
    return lowest[1] - lowest[0]


def compare(item: tuple[str, str]) -> Line:
    name, text = item
    molecule = agreed(build(text)).molecule
    with threadpool_limits(1):
        model = search_model(molecule, SETTINGS)
        lattice = build_lattice(molecule, SETTINGS.force_field, SETTINGS.search.seed)
        audit = Audit(lattice=lattice)
        before, whole, forms, whole_s = searched(lattice, model, to_the_end)
        after, own, own_forms, own_s = searched(lattice, model, leave)
        searched(lattice, model, audit)
    return Line(
        name=name,
        atoms=len(molecule.topology.symbols),
        seconds=(whole_s, own_s),
        minimised=(whole.starts_minimised, own.starts_minimised),
        minima=(whole.minima_found, own.minima_found),
        left=own.starts_left_early,
        into_new=audit.into_new,
        lost=missing(lattice, after, before, forms),
        gained=missing(lattice, before, after, own_forms),
        moved_kcal_mol=abs(potential_gap(before, forms) - potential_gap(after, own_forms)),
    )


def shown(line: Line) -> str:
    return (
        f"{line.name:40}{line.atoms:4}{line.seconds[0]:8.2f}{line.seconds[1]:8.2f}{line.minimised[0]:7}"
        f"{line.minimised[1]:6}{line.left:6}{line.minima[0]:6}{line.minima[1]:6}{line.into_new:4} "
        f"{line.moved_kcal_mol:.0e} lost: {', '.join(line.lost) or '-'}; gained: "
        f"{', '.join(line.gained) or '-'}"
    )


def totals(lines: Sequence[Line]) -> str:
    whole_s, own_s = (sum(line.seconds[k] for line in lines) for k in (0, 1))
    minima, left = sum(line.minima[1] for line in lines), sum(line.left for line in lines)
    before, after = (sum(line.minimised[k] for line in lines) for k in (0, 1))
    into_new, moved = sum(line.into_new for line in lines), max(line.moved_kcal_mol for line in lines)
    lost, gained = (sum(len(getattr(line, kind)) for line in lines) for kind in ("lost", "gained"))
    return (
        f"{len(lines)} molecules: {whole_s:.1f} and {own_s:.1f} s of CPU time, ratio {own_s / whole_s:.3f}; "
        f"{before / minima:.2f} and {after / minima:.2f} minimisations for each of {minima} minima found; "
        f"{left} ways left, of which {into_new} led to a minimum not known by then; {lost} minima lost, "
        f"{gained} gained; potential gaps within {moved:.0e} kcal/mol"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--set", choices=("sixty", "others", "scans", "tuning"), default="sixty")
    parser.add_argument("--count", type=int, default=100, help="how many of the others")
    parser.add_argument("--workers", type=int, default=1)
    chosen = parser.parse_args()
    texts = {"scans": SCANS, "tuning": TUNING}.get(chosen.set)
    if texts is None:
        texts = tuple(others(chosen.count)) if chosen.set == "others" else ()
    items = [(text, text) for text in texts] or list(SPOKEN.items())
    compare(("1 up CH3", "1 up CH3"))
    print("molecule, atoms, CPU s (to the ends, as it is), minimised (both), left, minima (both), into new")
    lines = []
    with ProcessPoolExecutor(chosen.workers) as pool:
        for line in pool.map(compare, items):
            lines.append(line)
            print(shown(line), flush=True)
    print(totals(lines))


if __name__ == "__main__":
    main()
