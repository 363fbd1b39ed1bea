"""The pair energies against plain loops, the message without the libraries, and the cost told beforehand."""

import importlib.util

import numpy as np
import pytest

from chairgap.abinitio import energies
from chairgap.abinitio.energies import check_installed, pair_energies
from chairgap.abinitio.levels import (
    basis_functions,
    conformer_seconds,
    cost_words,
    part_seconds,
    polar_rotors,
)
from chairgap.errors import InputError
from chairgap.study.typed import study_as_typed
from pipeline_helpers import SETTINGS, molecule


def test_pair_energies_against_plain_loops() -> None:
    """E_os = sum (ia|jb)^2 / D, E_ss = sum (ia|jb) [(ia|jb) - (ib|ja)] / D over all i, j, a, b."""
    rng = np.random.default_rng(3)
    held, free, fitting = 3, 4, 6
    pairs = rng.normal(size=(held, free, fitting))
    low, high = -1.0 - rng.random(held), 0.5 + rng.random(free)
    same = opposite = 0.0
    for i in range(held):
        for j in range(held):
            for a in range(free):
                for b in range(free):
                    direct, exchanged = pairs[i, a] @ pairs[j, b], pairs[i, b] @ pairs[j, a]
                    below = low[i] + low[j] - high[a] - high[b]
                    opposite += direct * direct / below
                    same += direct * (direct - exchanged) / below
    assert pair_energies(pairs, low, high) == pytest.approx((same, opposite), rel=1e-12)


@pytest.mark.parametrize(
    ("lost", "words"),
    [
        (("pyscf",), "needs pyscf, which is not"),
        (("pyscf", "tblite"), "needs pyscf and tblite, which are not"),
    ],
)
def test_without_the_extra_one_message_says_what_to_install(
    monkeypatch: pytest.MonkeyPatch, lost: tuple[str, ...], words: str
) -> None:
    found = importlib.util.find_spec
    monkeypatch.setattr(energies, "find_spec", lambda name: None if name in lost else found("json"))
    study = study_as_typed("1 up F, 2 down CN", settings={"model": {"pairs_by": "MP2/def2-SVP"}})
    with pytest.raises(InputError) as raised:
        check_installed(study.settings)
    assert words in str(raised.value)
    assert "pip install 'chairgap[abinitio]'" in str(raised.value)
    check_installed(SETTINGS)


def test_basis_functions_as_pyscf_counted_them() -> None:
    """def2-TZVP: 283 for fluorocyclohexane, 289 for cyclohexanol (data/mp2/results.jsonl.gz)."""
    assert basis_functions(["C"] * 6 + ["H"] * 11 + ["F"], "MP2/def2-TZVP") == 283
    assert basis_functions(["C"] * 6 + ["H"] * 12 + ["O"], "MP2/def2-TZVP") == 289


def test_the_cost_of_a_part_is_that_of_its_own_atoms() -> None:
    topology = molecule("1 up F, 2 down OH").topology
    alone = part_seconds(topology, ((1, "up"),), "MP2/def2-TZVP")
    assert alone == pytest.approx(2.4 * conformer_seconds(["C"] * 6 + ["H"] * 11 + ["F"], "MP2/def2-TZVP"))
    polar = part_seconds(topology, ((2, "down"),), "MP2/def2-TZVP")
    assert polar == pytest.approx(4.1 * conformer_seconds(["C"] * 6 + ["H"] * 12 + ["O"], "MP2/def2-TZVP"))
    assert cost_words([alone, polar], "MP2/def2-TZVP").startswith("MP2/def2-TZVP for 2 rings that the table")
    assert "about 2.0 hours on one core" in cost_words([3600.0, 3600.0], "MP2/def2-TZVP")
    assert "nothing to compute" in cost_words([], "MP2/def2-SVP")


def test_polar_rotors_are_groups_that_turn_with_a_lone_pair() -> None:
    assert polar_rotors(molecule("1 up OH, 2 up CN, 3 up NO2, 4 up SCH3, 5 up CH3, 6 up Cl").topology) == 2
