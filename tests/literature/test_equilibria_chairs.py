"""data/equilibria.csv: every row is a ring flip of a molecule that the program builds.

Sources: named in each row. The names of the chairs say who is axial; they are compared with what the words of
the sources say.
"""

import pytest

from chairgap.shape.chairs import two_chairs
from literature.csv_rows import rows
from pipeline_helpers import molecule

ROWS = rows("equilibria")
# What the sources call ee, aa, "OH axial, NMe2 equatorial" ... in the letters of groups 1 and 2.
DIAXIAL = ("freitas_2005_", "de_oliveira_2011_amino_ccl4", "de_oliveira_2011_amino_dmso", "de_oliveira_2006_")
UNLIKE = {
    "de_oliveira_2005_trans_ccl4": "ae",  # OH axial, N(CH3)2 equatorial
    "de_oliveira_2005_ether_trans": "ae",  # OCH3 axial, N(CH3)2 equatorial
    "wiberg_2000_methyl_phenyl": "ea",  # phenyl axial
    "francisco_2019_f_cd2cl2": "ea",  # NH2 equatorial, halogen axial
    "francisco_2019_f_cd3od": "ea",
    "francisco_2019_cl_cd2cl2": "ea",
    "francisco_2019_cl_cd3od": "ea",
    "francisco_2019_br_cd2cl2": "ea",
    "francisco_2019_br_cd3od": "ea",
}


@pytest.mark.parametrize("row", ROWS, ids=[row["key"] for row in ROWS])
def test_the_named_chair_is_one_of_two_and_the_one_that_the_source_speaks_of(row: dict[str, str]) -> None:
    built = molecule(row["groups_by_face"])
    chairs = {chair.name: chair for chair in two_chairs(built.topology)}
    assert len(chairs) == 2
    letters = "".join(ligand.position[0] for ligand in chairs[row["chair"]].groups)
    count = row["groups_by_face"].count(",") + 1
    all_alike = ("a" if row["key"].startswith(DIAXIAL) else "e") * count
    assert letters == UNLIKE.get(row["key"], all_alike)
