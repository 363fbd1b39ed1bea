"""Substituted rings for the drawing tests, as bare labels: no molecule is built for them."""

import csv
import random
from pathlib import Path

import numpy as np

from chairgap.records import Chair, Ligand, RingCarbon, Topology
from chairgap.shape.chairs import two_chairs

_TABLE = Path(__file__).parents[2] / "data" / "a_values.csv"
FACES = ("up", "down")
# Groups in no table, as a study may name them, and names that try the drawing.
ODD_GROUPS = (
    "*C1CC1",
    "*C(=O)N1CCC(CC1)c1ccc(cc1)C(F)(F)F",
    "*[C@H](C)[C@@H](OC)c1ccc2ccccc2c1" + "C" * 90,
    "<script>",
    'a&b"c',
    "t-Bu",
    "4-ClC6H4",
    "ωβЖ",
    "W" * 14,
)


def table_groups() -> tuple[str, ...]:
    with _TABLE.open(encoding="utf-8", newline="") as file:
        return tuple(row["group"] for row in csv.DictReader(file))


def topology(groups: dict[tuple[int, str], str]) -> Topology:
    """A ring whose ligands are these groups by (carbon, face), hydrogen elsewhere."""

    def ligand(locant: int, face: str) -> Ligand:
        group = groups.get((locant, face), "H")
        return Ligand(atom=0, face=face, group=group, fragment=f"*{group}", mass_u=float(len(group)))

    carbons = tuple(
        RingCarbon(locant=locant, atom=0, up=ligand(locant, "up"), down=ligand(locant, "down"))
        for locant in range(1, 7)
    )
    none = np.zeros((0,), dtype=np.int64)
    return Topology(
        symbols=(),
        masses_u=np.zeros(0),
        bonds=none,
        carbons=carbons,
        labelled=none,
        automorphisms=none,
        centres=none,
        stiff_bonds=none,
        charges_e=None,
        charges_from="",
    )


def chairs(groups: dict[tuple[int, str], str]) -> tuple[Chair, Chair]:
    return two_chairs(topology(groups))


def random_groups(seed: int) -> dict[tuple[int, str], str]:
    """One to six substituted carbons, a quarter of them with two groups; one group in eight an odd one."""
    choose = random.Random(seed)
    table = table_groups()
    found = {}
    for locant in choose.sample(range(1, 7), choose.randint(1, 6)):
        for face in FACES if choose.random() < 0.25 else (choose.choice(FACES),):
            found[locant, face] = choose.choice(ODD_GROUPS if choose.random() < 0.125 else table)
    return found
