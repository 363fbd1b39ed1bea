"""O. Bastiansen, L. Fernholt, H. M. Seip, H. Kambara, K. Kuchitsu, J. Mol. Struct. 1973, 18, 163:
cyclohexane by gas electron diffraction, r_g(CC) 1.536(2) angstrom, CCC 111.4(2), CCCC 54.9(4) degrees
(numbers from memory).

Tolerances: r_g is a thermal average, some 0.007 angstrom longer than the equilibrium distance that a force
field gives (r_e 1.526(1): J. Brugger et al., J. Phys. Chem. A 2011, doi 10.1021/jp2001546), so 0.012 on it.
0.5 degrees on CCC is less than half of the 1.2 degrees rms that MMFF94's angles deviate from experiment (T.
A. Halgren, J. Comput. Chem. 1996, 17, 520, from memory). An angle 0.1 degrees wider flattens the torsion by
0.28 (cos w = -cos a / (1 + cos a), by geometry), hence 1.5 on CCCC.
"""

import numpy as np
import pytest

from pipeline_helpers import CYCLOHEXANE, in_chair, ring_torsions_deg, treated


def test_chair_of_cyclohexane() -> None:
    result = treated(CYCLOHEXANE)
    chair = in_chair(result, "A")[0]
    ring = chair.minimum.positions[result.molecule.topology.ring]
    ahead, back = np.roll(ring, -1, axis=0) - ring, np.roll(ring, 1, axis=0) - ring
    lengths = np.linalg.norm(ahead, axis=1)
    cosines = (ahead * back).sum(axis=1) / (lengths * np.linalg.norm(back, axis=1))
    torsions = ring_torsions_deg(result, chair.minimum.positions)
    assert lengths == pytest.approx(1.536, abs=0.012)
    assert np.degrees(np.arccos(cosines)) == pytest.approx(111.4, abs=0.5)
    assert np.abs(torsions) == pytest.approx(54.9, abs=1.5)
    assert np.all(np.sign(torsions) == -np.sign(np.roll(torsions, 1)))
    # D3d symmetry: theta is exactly a pole of the sphere.
    assert min(chair.shape.theta_deg, 180.0 - chair.shape.theta_deg) == pytest.approx(0.0, abs=1e-3)
