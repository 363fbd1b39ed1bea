"""What the outputs say of a published equilibrium: value, direction in own chairs, source, how gaps stand."""

from dataclasses import replace

import pytest
from made_outcome import outcome, result
from rich.console import Console

from chairgap.cli.overview import headlines
from chairgap.compare.equilibria import published_gap
from chairgap.compare.measured import measured_gap
from chairgap.notebook.results import StudyResult
from chairgap.records import Anchored, ChairLetter, Outcome
from chairgap.report.measured import PUBLISHED, measured_equilibria, measured_part
from chairgap.report.words import MEMORY_LEGEND, MEMORY_SIGN
from chairgap.tables.shipped import TableReader
from chairgap.text import typeset
from pipeline_helpers import TABLES, treated
from texts_written import report_of

READER = TableReader()
BY_KEY = {row.key: row for row in READER.equilibria}
CLASSES = READER.estimate_table("chairgap").medium_classes
# Chair A of the made molecule is 1e, chair B is 1a.


def made(key: str, letter: ChairLetter, gap: float | None = 0.2, **changes: object) -> Outcome:
    published = published_gap(replace(BY_KEY[key], **changes), letter)
    anchored = Anchored(gap_kcal_mol=gap, uncertainty_kcal_mol=0.31, parts=())
    measured = measured_gap(published, {"gas phase": anchored}, CLASSES, 0.0)
    whole = outcome(replace(result(), measured=(measured,)))
    named = replace(whole.table, short_sources={key: it.short for key, it in READER.sources.items()})
    tables = replace(whole.study.tables, sources=READER.sources, estimate=named)
    return replace(whole, study=replace(whole.study, tables=tables))


def terminal(shown: Outcome) -> str:
    console = Console(width=400, record=True)
    with console.capture() as captured:
        console.print(headlines(shown))
    return captured.get()


def sentence(key: str, letter: ChairLetter, gap: float | None = 0.2, **changes: object) -> str:
    shown = made(key, letter, gap, **changes)
    (words,) = measured_equilibria(shown, shown.results[0])
    return words


def test_a_percentage_with_its_error_and_source() -> None:
    """46 +- 6 % of chair A at 378 K is -0.12 +- 0.18 kcal/mol."""
    assert sentence("richardson_1999_cl2", "A") == (
        "Published: G(B) - G(A) -0.12 +- 0.18 kcal/mol (46 +- 6 % of chair A (1e)), gas phase, 378.00 K, "
        "electron diffraction, published as mole fraction 0.46(6); the error is two standard deviations; "
        f"source: {READER.sources['richardson_1999'].short}. Anchored gap (gas phase) +0.20 +- 0.31: agrees "
        "within the uncertainty."
    )


def test_the_direction_is_that_of_the_own_chairs() -> None:
    assert "G(B) - G(A) +0.12 +- 0.18 kcal/mol (46 +- 6 % of chair B (1a))" in sentence(
        "richardson_1999_cl2", "B"
    )
    # What is published of the own direction is not written twice.
    assert "Published: E(B) - E(A) +0.36 kcal/mol, tetra" in sentence("freitas_2005_cl2_ccl4", "A")
    assert "Published: E(B) - E(A) -0.36 kcal/mol (E(A) - E(B) +0.36 kcal/mol)" in sentence(
        "freitas_2005_cl2_ccl4", "B"
    )


def test_bounds_signs_and_missing_temperatures_are_said() -> None:
    words = sentence("garza_2012_acid_12_water", "B")
    assert "G(B) - G(A) at most -1.30 kcal/mol (more than 90 % of chair B (1a))" in words
    assert "temperature not stated, 298.15 K taken" in words
    assert words.endswith("Not compared: the study has no anchored gap in such a medium.")
    assert "Published: chair A more populated (chair A (1e) more populated)" in sentence(
        "de_oliveira_2005_hydroxy_cl", "A"
    )


def test_energy_and_gibbs_energy_are_kept_apart_and_notes_are_shown() -> None:
    """An energy is not called G; that a value was derived, not measured, is said wherever it is shown."""
    assert "derived from a solvation theory, not measured in the gas" in sentence(
        "freitas_2005_cl2_vapour", "A"
    )
    shown = made("freitas_2005_cl2_vapour", "A")
    part = report_of(shown).partition("### Published equilibria")[2].partition("###")[0]
    assert typeset("| E(B) - E(A) +0.95 |") in part
    assert "agrees within the uncertainty (G beside E)" in report_of(made("freitas_2005_cl2_ccl4", "A"))
    assert "derived from a solvation theory, not measured in the gas" in part
    quantities = [
        StudyResult(_outcome=made(key, "A")).published["quantity"].tolist()
        for key in ("freitas_2005_cl2_vapour", "richardson_1999_cl2")
    ]
    assert quantities == [["E(B) - E(A)"], ["G(B) - G(A)"]]


def test_what_is_from_memory_or_a_quotation_is_called_so() -> None:
    signed = sentence("richardson_1999_cl2", "A", known="from memory")
    assert f"source: Richardson, Hedberg & Wiberg 1999{MEMORY_SIGN}." in signed
    assert MEMORY_SIGN not in sentence("richardson_1999_cl2", "A")
    shown = made("richardson_1999_cl2", "A", known="from memory")
    assert MEMORY_LEGEND in report_of(shown) and MEMORY_LEGEND in terminal(shown)
    assert ", as another source quotes it, " in sentence("wiberg_2000_methyl_phenyl", "A")


def test_report_terminal_notebook_and_table_show_it() -> None:
    shown = made("richardson_1999_cl2", "A")
    text = report_of(shown)
    assert "### Published equilibria of this molecule" in text
    assert READER.sources["richardson_1999"].citation.split(";")[0] in text.partition("## How to cite")[2]
    words = typeset("Published: G(B) - G(A) -0.12 +- 0.18 kcal/mol")
    assert words in terminal(shown)
    study = StudyResult(_outcome=shown)
    assert words in study[0]._repr_html_()
    header = "published_gap_B_minus_A_kcal_mol_positive_favours_A"
    assert study.published[header].tolist() == [pytest.approx(-0.1204, abs=5e-5)]
    assert PUBLISHED.csv_text(shown).count("\n") == 2
    assert PUBLISHED.csv_text(outcome()).count("\n") == 1
    assert "Published equilibria of this molecule" not in report_of(outcome())


def test_a_gibbs_energy_is_not_subtracted_from_an_energy() -> None:
    header = "anchored_minus_published_gap_B_minus_A_kcal_mol_positive_favours_A"
    for key, is_empty in (("freitas_2005_cl2_ccl4", True), ("richardson_1999_cl2", False)):
        frame = StudyResult(_outcome=made(key, "A")).published
        assert frame[header].isna().tolist() == [is_empty]
    assert "(a Gibbs energy beside an energy)" in sentence("freitas_2005_cl2_ccl4", "A")
    assert "beside an energy" not in sentence("richardson_1999_cl2", "A")


def test_in_the_table_a_sentence_ends_before_the_next_begins() -> None:
    one = treated("1 up Cl, 2 down Cl")
    study = replace(outcome().study, tables=TABLES)
    part = measured_part(replace(outcome(one), study=study), one)
    cells = [row[6] for block in part.blocks for row in getattr(block, "rows", ())]
    same = [cell for cell in cells if "The hand sum takes" in cell]
    assert same and all(". The hand sum takes its Cl/Cl term" in cell for cell in same)
    assert any("(G beside E). The" in cell for cell in same)
    assert all(not cell.endswith(".") for cell in cells if cell not in same)
