"""How many starts are expected of a ring, from its writing alone, against the lattice built for it."""

import pytest

from chairgap.molecule.build import writing_of
from chairgap.search.expected import expected_starts
from chairgap.search.lattice import build_lattice
from pipeline_helpers import CYCLOHEXANE, molecule


@pytest.mark.parametrize(
    ("groups_by_face", "starts"),
    [
        # ring starts by symmetry (8 without any) x variants x states, by hand
        (CYCLOHEXANE, 2),
        ("1 up F", 5),
        ("1 up OH, 3 up OH, 5 up OH", 3 * 3**3),
        ("1 up OH, 2 down OH, 3 up OH, 4 down OH, 5 up OH, 6 down OH", 3 * 3**6),
        ("1 up C(CH3)3, 4 up C(CH3)3", 4 * 2 * 2),
        ("1 up *NC, 2 down CH3", 8 * 2 * 3),
        ("1 up *C1CCCCC1, 2 down OH", 8 * 4 * 3 * 3),
        ("1 up *C(=O)OCC, 2 down CH3", 8 * 6 * 2 * 6),
        ("1 up *[S@](C)=O", 8 * 3),
        ("1 up *[C@H](F)C, 4 down *[C@@H](F)C", 5 * 3 * 3),
    ],
)
def test_the_lattice_has_as_many_starts_as_expected(groups_by_face: str, starts: int) -> None:
    built = molecule(groups_by_face)
    assert expected_starts(writing_of(built.topology)) == starts
    assert build_lattice(built, "MMFF94", 1).size == starts
