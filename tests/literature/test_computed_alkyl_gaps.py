"""Computed alkyl gaps against experiment.

Methyl, ethyl, isopropyl: H. Booth, J. R. Everett, J. Chem. Soc., Perkin Trans. 2 1980, 255 (doi
10.1039/P29800000255), averages -dH 1.75, 1.60, 1.52 kcal/mol and dS -0.03, 0.64, 2.31 eu, so -dG(298 K)
1.74, 1.79, 2.21; K. B. Wiberg et al., J. Org. Chem. 1999, 64, 2085: dH 1.76(10), 1.54(12), 1.40(15), dS
0.2(2), 1.3(8), 3.5(9) eu, so dG(298 K) 1.82, 1.93, 2.44. Dimethyl isomers: gas heats of formation of E. J.
Prosen, W. H. Johnson, F. D. Rossini (CRC tables): cis-1,2 - trans-1,2 7.8, trans-1,3 - cis-1,3 8.1, cis-1,4
- trans-1,4 7.9 kJ/mol, each +-2.4 kJ/mol.
"""

import pytest

from chairgap.units import KJ_PER_KCAL
from pipeline_helpers import treated


@pytest.mark.parametrize(
    ("spoken", "low", "high"),
    [("1 up CH3", 1.74, 1.82), ("1 up C2H5", 1.79, 1.93), ("1 up CH(CH3)2", 2.21, 2.44)],
)
def test_gibbs_gap(spoken: str, low: float, high: float) -> None:
    """Within 0.4 of the published range: what is left of MMFF94's error in potential energy (0.3 to 0.4 low
    for alkyl groups) after vibrations, which it overdoes.
    """
    gap = treated(spoken).gaps.gibbs_kcal_mol
    assert gap is not None and low - 0.4 <= gap <= high + 0.4


def test_order_of_gibbs_gaps() -> None:
    """Isopropyl > ethyl > methyl in free energy, by rotamer and mixing entropy (both papers)."""
    gaps = [
        treated(spoken).gaps.gibbs_kcal_mol or 0.0 for spoken in ("1 up CH3", "1 up C2H5", "1 up CH(CH3)2")
    ]
    assert gaps == sorted(gaps) and gaps[0] > 0.0


def test_potential_energies_do_not_show_the_measured_order_of_enthalpies() -> None:
    """Known disagreement, stated and not mended: measured dH falls from methyl to isopropyl, MMFF94's
    potential gap of the best conformers rises. Here is what it does give.
    """
    gaps = [treated(spoken).gaps.potential_kcal_mol for spoken in ("1 up CH3", "1 up C2H5", "1 up CH(CH3)2")]
    assert gaps == pytest.approx([1.37, 1.47, 1.71], abs=0.02)


@pytest.mark.parametrize(
    ("worse", "better", "measured_kj_mol"),
    [
        ("1 up CH3, 2 up CH3", "1 up CH3, 2 down CH3", 7.8),
        ("1 up CH3, 3 down CH3", "1 up CH3, 3 up CH3", 8.1),
        ("1 up CH3, 4 up CH3", "1 up CH3, 4 down CH3", 7.9),
    ],
)
def test_dimethyl_isomers(worse: str, better: str, measured_kj_mol: float) -> None:
    """MMFF94 is 0.5 to 0.7 kcal/mol low in potential energy; 0.6 more is the experiment's own uncertainty."""
    lowest = [
        min(item.minimum.energy_kcal_mol for item in treated(spoken).conformers) for spoken in (worse, better)
    ]
    computed = lowest[0] - lowest[1]
    measured = measured_kj_mol / KJ_PER_KCAL
    assert computed > 0.0
    assert -0.7 - 0.6 <= computed - measured <= 0.0
