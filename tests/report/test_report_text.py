"""report.md: what a person must find in it, and that user text cannot break it."""

import re
from collections.abc import Mapping
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from made_outcome import conformer, outcome, polar_result, result, symmetric_result
from markdown_it import MarkdownIt

from chairgap.errors import Place
from chairgap.records import Comparison, Outcome, Source
from chairgap.report.markdown import code, table
from chairgap.text import escaped, typeset
from texts_written import report_of

SOURCES = {
    "booth_everett_1980": Source(
        key="booth_everett_1980",
        short="Booth & Everett 1980",
        citation="Booth, H.; Everett, J. R. J. Chem. Soc., Perkin Trans. 2 1980, 255.",
        doi="10.1039/P29800000255",
        doi_known="seen",
        how_seen="abstract seen",
    )
}


def report(made: Outcome, sources: Mapping[str, Source] = SOURCES) -> str:
    """The report of an outcome whose tables have these sources."""
    tables = replace(made.study.tables, sources=sources)
    return report_of(replace(made, study=replace(made.study, tables=tables)))


def shown(markdown: str) -> str:
    """The text a reader sees after a general Markdown library has rendered it."""
    html = MarkdownIt("commonmark").enable("table").render(markdown)
    text = re.sub(r"<[^>]*>", "", html)
    for entity, letter in (("&lt;", "<"), ("&gt;", ">"), ("&quot;", '"'), ("&amp;", "&")):
        text = text.replace(entity, letter)
    return text


def test_report_states_sign_conditions_and_cautions() -> None:
    text = report(outcome())
    assert text.startswith("# Made for tests\n")
    assert typeset("gap = G(chair B) - G(chair A); positive means that chair A is preferred") in text
    assert "Force field MMFF94, gas phase" in text
    assert "298.15 K" in text
    assert "- A computed preference is not an instruction for the laboratory." in text
    assert "licensed supervision" in text and "A person decides a grade" in text
    assert "10.1039/P29800000255" in text


def test_gaps_stand_in_both_units() -> None:
    text = report(outcome(result()))
    assert typeset("| Gibbs energy, quasi-harmonic, at 298.15 K, G(B) - G(A) | +1.50 | +6.28 |") in text
    # 1.50 kcal/mol x 4.184 = 6.276 kJ/mol
    assert typeset("| Gibbs energy, harmonic, at 298.15 K, G(B) - G(A) | +1.52 | +6.36 |") in text
    assert typeset("| enthalpy at 298.15 K, H(B) - H(A) | +1.40 | +5.86 |") in text
    assert "K = [A]/[B] = 11.5." in text
    assert "chair A 92.0 %, chair B 8.0 %, non-chair 0.0 %" in text


def test_percent_of_the_model_stands_with_its_name() -> None:
    """The headline has the percent of the anchored gap: two numbers for a chair, one of them of nobody."""
    text = report(outcome(result()))
    assert "Populations by MMFF94 at 298.15 K, from its Gibbs energies: chair A" in text
    assert "### Temperature; K and percent are those of MMFF94" in text
    assert "### Conformers by MMFF94, kcal/mol above the lowest" in text


def test_ledger_verdict_and_missing_terms_are_in_words() -> None:
    text = report(outcome(polar_result()))
    assert "sign x disagrees; size x disagrees" in text
    assert "charged groups: -F has 0.20 e" in text
    assert "| B | A-value | 1 | F | +1.74 (1.70 to 1.82) |" in text
    assert "Without a published value, and left out: syn-diaxial F/OH on carbons 1 and 3." in text
    assert "| B | syn-diaxial | 1 3 | F, OH | no published value |" in text
    assert "geminal" in text


def test_undecided_names_no_winner() -> None:
    base = result()
    close = replace(
        base,
        headline=replace(base.headline, chair="undecided"),
        gaps=replace(base.gaps, gibbs_kcal_mol=0.1),
        comparison=Comparison(
            difference_kcal_mol=-1.64,
            computed_low_kcal_mol=-0.14,
            computed_high_kcal_mol=0.34,
            sign="undecided",
            size="disagrees",
            preferred="undecided",
            reasons=(),
        ),
    )
    text = report(outcome(close))
    assert "Preferred by the computation: undecided." in text
    assert "| undecided | sign ? undecided; size x disagrees |" in text
    assert "1e (A)" not in text


def test_symmetric_chairs_are_said_to_be_equal() -> None:
    text = report(outcome(symmetric_result()))
    assert "exactly 0 by symmetry" in text
    assert "Chair B: a copy by symmetry of conformer 1 of chair A" in text


def test_contacts_of_the_best_conformer_of_each_chair() -> None:
    text = report(outcome(result()))
    assert "- Chair A, conformer 1: none." in text
    assert typeset("1,3-diaxial 1 CH3 / 3 H 2.38 Å; gauche 1 CH3 / 2 OH 2.90 Å (-62°).") in text


def test_only_ten_conformers_are_shown_and_the_rest_is_named() -> None:
    top = result().molecule.topology
    many = tuple(conformer(top, number, False) for number in range(1, 14))
    text = report(outcome(replace(result(), conformers=many)))
    assert "\n| 10 | A: 1e |" in text and "\n| 11 | A: 1e |" not in text
    assert "3 more are in conformers.csv." in text


def test_refused_molecules_are_listed_with_place_and_advice() -> None:
    text = report(outcome())
    assert "There is no saturated ring of six carbons. Give a cyclohexane." in shown(text)
    assert "made.toml, line 20, field 'molecule[3].smiles'" in shown(text)


def test_a_study_with_no_treated_molecule_still_makes_a_report() -> None:
    text = report(replace(outcome(), results=()))
    assert "No molecule was treated" in text and "hard one" in text


def test_source_keys_without_a_citation_are_named() -> None:
    assert "booth\\_everett\\_1980: as the table names it." in report(outcome(), {})


def test_no_time_and_no_place_of_work_in_the_report() -> None:
    placed = replace(result(), molecule=replace(result().molecule, place=Place(file="/home/someone/s.toml")))
    assert report(outcome(placed)) == report(outcome(result()))


@pytest.mark.parametrize(
    "name", ["a | b", "<script>x</script>", "*star*", "_under_", "[link](x)", "# head", "a\nb"]
)
def test_names_with_markdown_signs_are_shown_as_written(name: str) -> None:
    odd = replace(result(), molecule=replace(result().molecule, name=name))
    text = report(outcome(odd))
    assert " ".join(name.split()) in shown(text)
    assert "<script>" not in text


@given(st.text(min_size=1, max_size=30).filter(lambda text: text.strip()))
def test_escaped_text_fills_exactly_one_cell(text: str) -> None:
    html = (
        MarkdownIt("commonmark")
        .enable("table")
        .render("\n".join(table(["h", "end"], [[escaped(text), "end"]])))
    )
    assert html.count("<td>") == 2
    assert "<td>end</td>" in html
    assert not re.search(r"<(?!/?(table|thead|tbody|tr|th|td)>)", html)


@pytest.mark.parametrize("note", ["- dash", "+ plus", "1. one", "2) two", "= equal", "1.5 kcal/mol"])
def test_a_note_never_opens_a_list_of_its_own(note: str) -> None:
    html = MarkdownIt("commonmark").render(f"- {escaped(note)}")
    assert html == f"<ul>\n<li>{note}</li>\n</ul>\n"


@pytest.mark.parametrize("smiles", ["C/C=C\\C1CCCCC1", "a`b", "``", "[C@@H]"])
def test_code_spans_hold_any_text(smiles: str) -> None:
    html = MarkdownIt("commonmark").render(code(smiles))
    assert f"<code>{smiles}</code>" in html
