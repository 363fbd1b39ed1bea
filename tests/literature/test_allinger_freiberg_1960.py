"""N. L. Allinger, L. A. Freiberg, J. Am. Chem. Soc. 1960, 82, 2393 (from memory): the isomers of
1,3-di-tert-butylcyclohexane equilibrated at high temperature; trans -> cis dH about -5.9 kcal/mol and dS
about -4.9 eu. trans, which cannot put both groups equatorial, is taken to be no chair, and 5.9 to be the
energy of its twist-boat.

The enthalpy may differ by 1.0: 0.4 for the force field (rms of MMFF94's conformational energies, T. A.
Halgren, R. B. Nachbar 1996, from memory) and 0.6 for the measurement, assumed as for other equilibrations.
The entropy is asked for in sign only: its soft modes are taken as 100 cm-1 here.
"""

import pytest

from pipeline_helpers import enthalpy_of_all_forms, free_energy_of_all_forms, in_chair, treated

TRANS, CIS = "1 up C(CH3)3, 3 down C(CH3)3", "1 up C(CH3)3, 3 up C(CH3)3"
EQUILIBRATED_AT_K = 500.0


def test_trans_is_a_twist_boat_and_cis_a_diequatorial_chair() -> None:
    trans, cis = treated(TRANS), treated(CIS)
    assert trans.conformers[0].shape.family == "twist-boat"
    assert trans.gaps.to_non_chair_kcal_mol == pytest.approx(-1.2, abs=0.1)
    assert trans.comparison.preferred == "non-chair" and trans.gaps.population_non_chair > 0.9
    assert (cis.conformers[0].chair, cis.chairs[0].name) == ("A", "1e 3e")
    assert cis.comparison.preferred == "A"


def test_every_twisted_chair_of_trans_is_found() -> None:
    """Two conformers of each chair, 0.05 kcal/mol apart: its axial group leans to either side."""
    energies = [item.minimum.energy_kcal_mol for item in in_chair(treated(TRANS), "A")]
    assert len(energies) == 2 and energies[1] - energies[0] < 0.2


def test_enthalpy_and_sign_of_the_entropy() -> None:
    trans, cis = treated(TRANS), treated(CIS)
    at = EQUILIBRATED_AT_K
    enthalpy = enthalpy_of_all_forms(trans, at) - enthalpy_of_all_forms(cis, at)
    gibbs = free_energy_of_all_forms(trans, at) - free_energy_of_all_forms(cis, at)
    assert enthalpy == pytest.approx(5.9, abs=1.0)
    assert enthalpy - gibbs > 0.0  # T dS: the flexible form has the higher entropy
