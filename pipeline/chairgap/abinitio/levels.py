"""The levels by name, and what a ring costs at each, before it is computed. Pure.

The cost of a conformer at MP2/def2-TZVP is fitted to the 771 of data/mp2/results.jsonl.gz (PySCF 2.14, one
core of a server with 16 busy): seconds = 17.5 (functions / 320)^3.52, scatter of ln 0.28, 283 to 511
functions. MP2/def2-SVP: the same law at its own number of functions. The number of conformers is the mean of
data/mp2/molecules.jsonl.gz by groups that turn and have a lone pair: 2.4 and 1.7 for each, standard deviation
0.4 to 1.6; searching and GFN2-xTB are not counted. So a sum is right within a factor of two, on such a core.
"""

from collections.abc import Iterable, Sequence

from chairgap.records import Integers, PairLevel, Topology
from chairgap.shape.contacts import ligand_atoms
from chairgap.shape.hydrogen_bonds import Site
from chairgap.text import duration

# The libraries of the extra chairgap[abinitio].
LEVEL_LIBRARIES = ("pyscf", "tblite")
# Spherical functions of the basis sets by element; of others as of carbon.
_FUNCTIONS: dict[str, dict[str, int]] = {
    "def2-svp": {"H": 5, "C": 14, "Si": 18, "P": 18, "S": 18, "Cl": 18, "Br": 32, "I": 31},
    "def2-tzvp": {"H": 6, "C": 31, "Si": 37, "P": 37, "S": 37, "Cl": 37, "Br": 48, "I": 50},
}
_SECONDS, _AT_FUNCTIONS, _POWER = 17.5, 320, 3.52
_CONFORMERS, _MORE_FOR_POLAR_ROTOR = 2.4, 1.7
_STRAIGHT = (["C", "N"], ["N", "O", "O"])  # nitrile, isonitrile and nitro: turning them changes nothing polar
_WITH_LONE_PAIRS = frozenset({"N", "O", "S"})


def basis_of(level: PairLevel) -> str:
    """The basis set of a level, as PySCF calls it."""
    return level.partition("/")[2].lower()


def basis_functions(symbols: Iterable[str], level: PairLevel) -> int:
    """Number of basis functions."""
    sizes = _FUNCTIONS[basis_of(level)]
    return sum(sizes.get(symbol, sizes["C"]) for symbol in symbols)


def conformer_seconds(symbols: Iterable[str], level: PairLevel) -> float:
    """Seconds of one core for one geometry."""
    # (1) t = 17.5 s (n / 320)^3.52
    return float(_SECONDS * (basis_functions(symbols, level) / _AT_FUNCTIONS) ** _POWER)


def polar_rotors(topology: Topology) -> int:
    """Groups that turn and have a lone pair on N, O or S."""
    atoms = ligand_atoms(topology)
    return sum(_turns_polar(topology, atoms[ligand.atom]) for _, ligand in topology.groups)


def part_seconds(topology: Topology, sites: Sequence[Site], level: PairLevel) -> float:
    """About the seconds of one core for the ring of a molecule that has only the groups at these sites."""
    atoms, symbols, polar = ligand_atoms(topology), ["C"] * 6, 0
    for carbon in topology.carbons:
        for ligand in carbon.ligands:
            here = (carbon.locant, ligand.face) in sites
            symbols += [topology.symbols[atom] for atom in atoms[ligand.atom]] if here else ["H"]
            polar += here and _turns_polar(topology, atoms[ligand.atom])
    # (2) as many conformers as such rings had
    return (_CONFORMERS + _MORE_FOR_POLAR_ROTOR * polar) * conformer_seconds(symbols, level)


def _turns_polar(topology: Topology, atoms: Integers) -> bool:
    symbols = sorted(topology.symbols[atom] for atom in atoms)
    return bool(_WITH_LONE_PAIRS & set(symbols)) and symbols not in _STRAIGHT


def cost_words(seconds: Sequence[float], level: PairLevel) -> str:
    """What rings at a level will cost, in a sentence for who waits for them."""
    if not seconds:
        return f"{level}: nothing to compute; the table of pairs, or an earlier run, has what is needed."
    rings = len(seconds)
    return (
        f"{level} for {rings} ring{'' if rings == 1 else 's'} that the table of pairs does not cover: about "
        f"{duration(sum(seconds))} on one core (half to twice that), the longest about "
        f"{duration(max(seconds))}."
    )
