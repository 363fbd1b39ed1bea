"""Words of ours in true letters, names and tables of numbers in plain ones."""

import pytest
from made_outcome import outcome, polar_result

from chairgap.report.gaps_table import GAPS
from chairgap.report.study_tables import STUDY_TABLES
from chairgap.text import in_ascii, typeset
from texts_written import report_of


@pytest.mark.parametrize(
    ("plain", "true"),
    [
        ("G(1a(CH3) 1e) - G(1e(CH3) 1a)", "G(1a(CH\u2083) 1e) \u2212 G(1e(CH\u2083) 1a)"),
        ("-0.83 +- 0.49 kcal/mol", "\u22120.83 \u00b1 0.49 kcal/mol"),
        ("G(B) - G(A) -0.40 (-0.63 to -0.20)", "G(B) \u2212 G(A) \u22120.40 (\u22120.63 to \u22120.20)"),
        ("dG = dH - T dS, -T dS +0.33", "\u0394G = \u0394H \u2212 T \u0394S, \u2212T \u0394S +0.33"),
        ("K = 7.9e+03, limit 1e-06", "K = 7.9 \u00d7 10\u00b3, limit 1 \u00d7 10\u207b\u2076"),
        ("CH3, N(CH3)2, OSi(CH(CH3)2)3", "CH\u2083, N(CH\u2083)\u2082, OSi(CH(CH\u2083)\u2082)\u2083"),
        ("CO2-, NH3+ and SO2C6H5.", "CO\u2082\u207b, NH\u2083\u207a and SO\u2082C\u2086H\u2085."),
        ("1a(C6H5) 1e(CH3) (B)", "1a(C\u2086H\u2085) 1e(CH\u2083) (B)"),
        ("13C NMR, 250 cm-1", "\u00b9\u00b3C NMR, 250 cm\u207b\u00b9"),
        ("gauche (-61\u00b0)", "gauche (\u221261\u00b0)"),
        ("+-", "\u00b1"),
    ],
)
def test_notation_gets_its_letters_once_and_has_plain_ones_to_fall_back_on(plain: str, true: str) -> None:
    assert typeset(plain) == true
    assert typeset(true) == true
    assert in_ascii(true).isascii()


@pytest.mark.parametrize(
    "text",
    [
        "trans-1,2-dimethylcyclohexane, twist-boat, A-value",
        "CH on C1 with OH on C2 (1,2)",
        "C[C@@H]1CCCC[C@H]1C and CC1CCCCC1O and FC1CCCCC1",
        "10.1002/(SICI)1096-987X(199604)17:5/6<490::AID-JCC1>3.0.CO;2-P",
        "DOI 10.1039/P29800000255.",
        "MP2/def2-TZVP, GFN2-xTB, MMFF94",
        "- not comparable; sign - not comparable",
        "chair 4C1, twist-boat 3S1, boat B2,5, half-chair 2H1",
        "1e 2e (A)",
        "pages 69-72",
        "(-)-menthol",
    ],
)
def test_hyphens_ring_carbons_smiles_dois_and_marks_stay(text: str) -> None:
    assert typeset(text) == text


def test_letters_without_a_plain_one_are_asked_for() -> None:
    assert (
        in_ascii("\u2212 \u00b1 \u0394G \u00d7 \u00b0 \u2083 \u2020 \u00c5 \u96f2")
        == "- +- dG x  deg 3 (m) A ?"
    )
    assert in_ascii("\u207b\u2076", "1 \u00d7 10") == "^-6"


def test_the_report_has_true_letters_and_no_table_of_numbers_has_any() -> None:
    made = outcome()
    text = report_of(made)
    assert "\u22120.37" in text and "+1.74 \u00b1 0.06" in text and "G(B) \u2212 G(A)" in text
    for rest in ("-0.37", "+- 0.06", "G(B) - G(A)"):
        assert rest not in text
    for table in STUDY_TABLES.values():
        assert not set(table.csv_text(made)) & set("\u2212\u00b1\u0394\u00d7\u2083\u2020")
    assert "-0.3700" in GAPS.csv_text(made)


def test_zero_has_no_sign_in_any_text() -> None:
    text = report_of(outcome(polar_result()))
    assert "-0.00" not in text and "\u22120.00" not in text and "+0.00" not in text
