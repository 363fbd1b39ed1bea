"""The seven dimethylcyclohexanes and gauche-butane counting.

Source: C. W. Beckett, K. S. Pitzer, R. Spitzer, J. Am. Chem. Soc. 1947, 69, 2488 (from memory): the
energy of a methylcyclohexane chair is counted in gauche butanes, two for each axial methyl and one for
each pair of neighbouring methyls at 60 degrees. With A(CH3) = 1.74 a gauche butane is 0.87 kcal/mol. The
syn-diaxial pair, 3.7, is from N. L. Allinger, M. A. Miller, J. Am. Chem. Soc. 1961, 83, 2145 (from
memory).
"""

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from chairgap.estimate.ledger import estimate_gap
from chairgap.records import Chair
from chairgap.tables.shipped import read_estimate_table
from estimate.chairs_by_face import ByFace, chair_pair

TABLE = read_estimate_table("chairgap")
GAUCHE_BUTANE_KCAL_MOL = 0.87
SYN_DIAXIAL_EXCESS_KCAL_MOL = 3.70 - 2 * GAUCHE_BUTANE_KCAL_MOL

DIMETHYLS = {
    "1,1": ([(1, "up", "CH3"), (1, "down", "CH3")], 0.0),
    "cis-1,2": ([(1, "up", "CH3"), (2, "up", "CH3")], 0.0),
    "trans-1,2": ([(1, "up", "CH3"), (2, "down", "CH3")], 2 * 1.74 - 0.87),
    "cis-1,3": ([(1, "up", "CH3"), (3, "up", "CH3")], 0.87 + 0.87 + 3.70),
    "trans-1,3": ([(1, "up", "CH3"), (3, "down", "CH3")], 0.0),
    "cis-1,4": ([(1, "up", "CH3"), (4, "up", "CH3")], 0.0),
    "trans-1,4": ([(1, "up", "CH3"), (4, "down", "CH3")], 2 * 1.74),
}


@pytest.mark.parametrize("isomer", DIMETHYLS)
def test_the_seven_dimethylcyclohexanes(isomer: str) -> None:
    groups_by_face, expected = DIMETHYLS[isomer]
    found = estimate_gap(chair_pair(groups_by_face), TABLE)
    assert found.complete
    assert found.gap_kcal_mol == pytest.approx(expected, abs=1e-12)
    if expected == 0.0:
        assert (found.low_kcal_mol, found.gap_kcal_mol, found.high_kcal_mol) == (0.0, 0.0, 0.0)


# --- the same by counting in space -----------------------------------------------------------------------


def methyl_positions(chair: Chair) -> tuple[np.ndarray, np.ndarray]:
    """Ring carbons (6, 3) and methyl carbons (m, 3) on a diamond lattice with bonds of length 1.

    Carbons run clockwise seen from above (+z). Each methyl points along the free bond on its own face.
    """
    angles = -np.pi / 3.0 * np.arange(6)
    heights = np.array([1.0, -1.0] * 3) / 6.0 * (1.0 if chair.odd_up_axial else -1.0)
    outward = np.stack([np.cos(angles), np.sin(angles), np.zeros(6)], axis=1) * np.sqrt(8.0) / 3.0
    ring = outward.copy()
    ring[:, 2] = heights
    methyls = []
    for ligand in chair.groups:
        at = ligand.carbon - 1
        side = 1.0 if ligand.face == "up" else -1.0
        upright = side * heights[at] > 0.0  # the carbon stands on this side of the mean plane
        bond = np.array([0.0, 0.0, side]) if upright else outward[at] + [0.0, 0.0, side / 3.0]
        methyls.append(ring[at] + bond)
    return ring, np.array(methyls).reshape(-1, 3)


def count_gauche_and_syn(chair: Chair) -> tuple[int, int]:
    """Gauche C-C-C-C chains with a methyl at an end, and methyl pairs on parallel bonds 1,3 to each other."""
    ring, methyls = methyl_positions(chair)
    atoms = np.concatenate([ring, methyls])
    distance = np.linalg.norm(atoms[:, None] - atoms[None, :], axis=2)
    bonded = np.isclose(distance, 1.0, atol=1e-6)
    assert bonded.sum() == 2 * (6 + len(methyls))
    gauche = 0
    for i, j, k, n in itertools.permutations(range(len(atoms)), 4):
        if i < n and (i >= 6 or n >= 6) and bonded[i, j] and bonded[j, k] and bonded[k, n]:
            gauche += abs(cos_dihedral(*atoms[[i, j, k, n]]) - 0.5) < 1e-6
    # Parallel bonds at 1,3-related carbons: their ends stand as far apart as the carbons, sqrt(8/3).
    apart = distance[6:, 6:][np.triu_indices(len(methyls), 1)]
    carbons = [ligand.carbon for ligand in chair.groups]
    other_carbon = np.array([a != b for a, b in itertools.combinations(carbons, 2)], dtype=bool)
    return int(gauche), int((np.isclose(apart, np.sqrt(8.0 / 3.0), atol=1e-6) & other_carbon).sum())


def cos_dihedral(a: np.ndarray, b: np.ndarray, c: np.ndarray, d: np.ndarray) -> float:
    first, second = np.cross(b - a, c - b), np.cross(c - b, d - c)
    return float(first @ second / np.linalg.norm(first) / np.linalg.norm(second))


def test_counting_in_space_knows_the_textbook_cases() -> None:
    a, b = chair_pair([(1, "up", "CH3")])
    assert (count_gauche_and_syn(a), count_gauche_and_syn(b)) == ((0, 0), (2, 0))
    a, b = chair_pair([(1, "up", "CH3"), (3, "up", "CH3")])
    assert (count_gauche_and_syn(a), count_gauche_and_syn(b)) == ((0, 0), (4, 1))
    a, b = chair_pair([(1, "up", "CH3"), (2, "down", "CH3")])
    assert (count_gauche_and_syn(a), count_gauche_and_syn(b)) == ((1, 0), (4, 0))


@given(
    st.lists(st.tuples(st.integers(1, 6), st.sampled_from(["up", "down"])), unique=True, max_size=6).map(
        lambda sites: [(carbon, face, "CH3") for carbon, face in sites]
    )
)
def test_any_methyl_pattern_agrees_with_counting_in_space(groups_by_face: ByFace) -> None:
    chairs = chair_pair(groups_by_face)
    (gauche_a, syn_a), (gauche_b, syn_b) = map(count_gauche_and_syn, chairs)
    expected = GAUCHE_BUTANE_KCAL_MOL * (gauche_b - gauche_a) + SYN_DIAXIAL_EXCESS_KCAL_MOL * (syn_b - syn_a)
    found = estimate_gap(chairs, TABLE)
    assert found.complete
    assert found.gap_kcal_mol == pytest.approx(expected, abs=1e-9)
