"""J. Brugger, S. Leutwyler et al., J. Phys. Chem. A 2011 (doi
10.1021/jp2001546), abstract: equilibrium bond lengths of cyclohexane, C-C 1.526(1), axial C-H 1.098(1),
equatorial C-H 1.093(1) angstrom.

An r_e is what a force field's minimum stands for. 0.003 angstrom: the experiment's own 0.001, and 0.002 for
MMFF94, which gives 1.526, 1.097 and 1.096.
"""

import numpy as np
import pytest

from pipeline_helpers import CYCLOHEXANE, in_chair, treated


def test_bond_lengths() -> None:
    result = treated(CYCLOHEXANE)
    chair = in_chair(result, "A")[0]
    topology, positions = result.molecule.topology, chair.minimum.positions
    ring = positions[topology.ring]
    lengths: dict[str, list[float]] = {"axial": [], "equatorial": []}
    for carbon in topology.carbons:
        for ligand in carbon.ligands:
            (where,) = [
                item.position
                for item in chair.ligands
                if (item.carbon, item.face) == (carbon.locant, ligand.face)
            ]
            lengths[where].append(float(np.linalg.norm(positions[ligand.atom] - positions[carbon.atom])))
    assert np.linalg.norm(ring - np.roll(ring, 1, axis=0), axis=1) == pytest.approx(1.526, abs=0.003)
    assert lengths["axial"] == pytest.approx([1.098] * 6, abs=0.003)
    assert lengths["equatorial"] == pytest.approx([1.093] * 6, abs=0.003)
    assert min(lengths["axial"]) > max(lengths["equatorial"])
