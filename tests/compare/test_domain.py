"""Groups by elements and charge of their fragment, against RDKit, and errors apart, by hand."""

import pytest
from rdkit import Chem

from chairgap.compare.domain import (
    COMMON_ELEMENTS,
    distrust_note,
    elements_of,
    errors_apart,
    is_common,
    net_charge,
)
from chairgap.records import ScorecardRow
from chairgap.tables.shipped import read_scorecard
from pipeline_helpers import TABLE

FRAGMENTS = [row.fragment for row in TABLE.a_values] + [
    "*[13CH3]",
    "*[C@H](C)F",
    "*c1cc[nH]c1",
    "*[N+](C)(C)[O-]",
]


@pytest.mark.parametrize("fragment", FRAGMENTS)
def test_elements_and_charge_are_those_that_rdkit_reads(fragment: str) -> None:
    mol = Chem.MolFromSmiles(fragment)
    symbols = {atom.GetSymbol() for atom in mol.GetAtoms()} - {"*", "H"}
    assert elements_of(fragment) - {"H"} == symbols
    assert net_charge(fragment) == Chem.GetFormalCharge(mol)
    assert is_common(fragment) == (symbols <= COMMON_ELEMENTS and not Chem.GetFormalCharge(mol))


def row(fragment: str, error: float | None, model: str = "GFN2-xTB") -> ScorecardRow:
    return ScorecardRow(
        model=model,
        group=fragment,
        fragment=fragment,
        temperature_k=298.15,
        potential_kcal_mol=0.0,
        ensemble_kcal_mol=0.0,
        gibbs_kcal_mol=None if error is None else 1.0 + error,
        a_value_kcal_mol=1.0,
        a_value_low_kcal_mol=1.0,
        a_value_high_kcal_mol=1.0,
        note="",
    )


ROWS = (row("*C", 0.2), row("*[N+](=O)[O-]", -0.4), row("*P", -1.0), row("*[NH3+]", 3.0), row("*S", None))


def test_errors_apart_by_hand() -> None:
    """(0.2 + 0.4) / 2 and (1 + 3) / 2; a group without gap counts nowhere."""
    (common, common_error), (other, other_error) = errors_apart(ROWS)
    assert (common, other) == (2, 2)
    assert (common_error, other_error) == (pytest.approx(0.3), pytest.approx(2.0))
    assert errors_apart(()) == ((0, None), (0, None))


def test_a_note_names_the_groups_and_both_errors() -> None:
    groups = [("CH3", "*C"), ("PH2", "*P"), ("NH3+", "*[NH3+]"), ("PH2", "*P")]
    assert distrust_note("GFN2-xTB", groups, ROWS) == (
        "GFN2-xTB is not to be believed for NH3+, PH2: its mean absolute error against A-values is 2.00 "
        "kcal/mol for the 2 groups of other elements than C, H, N, O and halogens or with a charge, 0.30 for "
        "the 2 others."
    )
    assert distrust_note("GFN2-xTB", groups[:1], ROWS) == ""
    assert distrust_note("MMFF94", groups, ROWS) == ""


def test_the_shipped_scorecard_says_to_believe_gfn2_xtb_for_common_elements_only() -> None:
    """Should another release of the method change this, the text of the report must go too."""
    own = [row for row in read_scorecard() if row.model == "GFN2-xTB"]
    (_, common), (_, other) = errors_apart(own)
    assert common is not None and other is not None
    assert common < 0.35 and other > 0.8
