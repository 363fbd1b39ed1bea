"""The terminal table: words at 100 columns, no colour alone, no markup from user text."""

import io
import re
from dataclasses import replace
from pathlib import Path

import pytest
from made_outcome import outcome, polar_result, result, symmetric_result
from rich.console import Console, RenderableType

from chairgap.cli.details import detail_tables
from chairgap.cli.lines import closing_lines
from chairgap.cli.overview import OutcomeTable, headlines
from chairgap.cli.table_views import estimate_table_view, group_view, sources_view
from chairgap.errors import InputError
from chairgap.records import Outcome, Reason, Source
from chairgap.report.overview import overview_rows
from chairgap.tables.shipped import read_sources, read_whole_table
from chairgap.text import typeset


def shown(renderable: RenderableType, width: int, *, colour: bool = False) -> str:
    stream = io.StringIO()
    console = Console(
        file=stream, width=width, force_terminal=colour, color_system="standard" if colour else None
    )
    console.print(renderable)
    return stream.getvalue()


def table_of(made: Outcome) -> OutcomeTable:
    return OutcomeTable(outcome=made, rows=overview_rows(made))


def test_table_fits_100_columns_and_says_the_verdicts() -> None:
    text = shown(table_of(outcome()), 100)
    assert max(len(line) for line in text.split("\n")) <= 100
    for words in (
        "methylcyclohexane",
        "1e (A)",
        "+1.74",
        "+1.74 \u00b1 0.06",
        "95 (94\u201395)",
        "+1.50",
        "+ both agree",
        "x MMFF94:",
        "charged groups",
        "+1.74*",
        "* incomplete",
        typeset("gap = G(chair B) - G(chair A); positive means that chair A is preferred."),
        "! refused: =benzene: There is no saturated ring of six carbons. Give a cyclohexane.",
        "! failed: hard one: No start converged. Raise the effort.",
        "MMFF94, gas phase, 298.15 K",
    ):
        assert words in text, words


@pytest.mark.parametrize("width", [50, 60, 80, 95, 96, 100, 120, 200])
def test_no_width_loses_a_verdict_or_a_reason_or_breaks_a_word(width: int) -> None:
    long_name = replace(result().molecule, name="cis-1,4-di-tert-butylcyclohexane")
    results = (polar_result(), replace(result(), molecule=long_name))
    shown_lines = shown(table_of(outcome(*results)), width).splitlines()
    assert max(map(len, shown_lines)) <= width
    text = "".join("".join(shown_lines).split())
    assert "chargedgroups" in text and "MMFF94:" in text and "opposite" in text
    assert ("\u22120.37" in text) is (width >= 80)  # below, the headline rounds it to 0.4
    words = {word.strip("(:,)") for line in shown_lines for word in line.split()}
    assert {"opposite", "chair", "charged", "groups", "MMFF94"} <= words
    assert words & {"butylcyclohexane", "tert-butylcyclohexane", "cis-1,4-di-tert-butylcyclohexane"}


def test_colour_adds_nothing_to_the_words() -> None:
    plain = shown(table_of(outcome()), 100)
    coloured = shown(table_of(outcome()), 100, colour=True)
    assert "\x1b[31m" in coloured and "\x1b" not in plain
    for mark in ("+ both agree", "x MMFF94:"):
        assert mark in plain


def test_no_color_is_respected(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    assert "\x1b[31m" not in shown(table_of(outcome()), 100, colour=True)


@pytest.mark.parametrize(
    ("chair", "model", "words", "verdict"),
    [
        ("B", "agrees", "1a (B)", "+ both agree"),
        ("non-chair", "not comparable", "non-chair", "- not comparable"),
        ("undecided", "agrees", "undecided", "? undecided"),
        ("unknown", "none", "unknown", "- not comparable"),
    ],
)
def test_preference_is_reported_in_words(chair: str, model: str, words: str, verdict: str) -> None:
    base = result()
    odd = replace(base, headline=replace(base.headline, chair=chair, model=model))
    text = shown(table_of(outcome(odd)), 160)
    assert words in text and verdict in text
    assert "1e (A)" not in text


def test_the_parts_of_the_anchored_gap_and_their_sum_stand_behind_the_ledger() -> None:
    text = shown(detail_tables(outcome(), polar_result()), 100)
    for line in ("computed single group +1 +F +\\+0.20 +0.30 +MMFF94", "anchored gap +\\+0.60 +0.50"):
        assert re.search(line, text), text
    assert re.search(r"pair, cis-1,3 +1 3 +F, OH +\+0.40 +0.40 +MP2/def2-TZVP", text)
    assert text.index("Hand estimate") < text.index("in parts") < text.index("Computed gaps")


def test_the_headline_stands_in_sentences() -> None:
    text = " ".join(shown(headlines(outcome()), 100).split())
    assert "methylcyclohexane (Numbers as given: 1 up CH3) Chair 1e (A) by 1.74 \u00b1 0.06" in text
    assert "Gibbs energies at 298.15 K, G(1a) \u2212 G(1e)" in text


def test_brackets_and_escapes_of_user_text_are_text() -> None:
    base = result()
    odd = replace(
        base,
        molecule=replace(base.molecule, name="[bold]C[C@@H]\x1b[31m"),
        comparison=replace(
            base.comparison, size="disagrees", reasons=(Reason(code="[red]code", evidence=""),)
        ),
        anchored=polar_result().anchored,
        headline=replace(base.headline, model="differs"),
    )
    text = shown(table_of(outcome(odd)), 200)
    assert "[bold]C[C@@H] [31m" in text and "[red]code" in text
    assert "\x1b" not in text


def test_details_show_ledger_and_conformers() -> None:
    text = shown(detail_tables(outcome(), polar_result()), 100)
    for words in ("no published value", "Booth & Everett 1980", "chair \u2074C\u2081", "92.6 %", "1.37"):
        assert words in text
    assert max(len(line) for line in text.split("\n")) <= 100


def test_symmetric_molecule_shows_one_conformer_of_two_copies() -> None:
    text = shown(detail_tables(outcome(), symmetric_result()), 100)
    assert "100.0 %" in text and re.search(r"100.0 % +2$", text, re.MULTILINE)


def test_closing_lines_name_the_files_and_the_cautions() -> None:
    lines = closing_lines([Path("reports/made/gaps.csv"), Path("reports/made/report.md")])
    assert lines[0] == "Written to reports/made: gaps.csv, report.md"
    assert "A computed preference is not an instruction for the laboratory." in lines
    assert closing_lines([])[0] == "A computed preference is not an instruction for the laboratory."


SOURCE = Source(
    key="booth_everett_1980",
    short="Booth & Everett 1980",
    citation="Booth & Everett 1980, 255.",
    doi="10.1/2",
    doi_known="seen",
    how_seen="abstract",
)


def test_tables_are_shown_with_range_sign_and_source() -> None:
    text = shown(estimate_table_view(outcome().table), 100)
    for words in ("CH3", "Me, methyl", "+1.74 (1.70 to 1.82)", "298", "primary", "Booth & Everett 1980"):
        assert words in text
    assert typeset("A-value = G(axial) - G(equatorial) in kcal/mol; positive means") in text


def test_one_group_is_shown_in_full_and_unknown_groups_get_a_hint() -> None:
    text = shown(group_view(outcome().table, "methyl", {SOURCE.key: SOURCE}), 100)
    assert "Booth & Everett 1980, 255. DOI 10.1/2. How seen: abstract." in " ".join(text.split())
    assert "not stated" in text and re.search(r"(?m)^group +CH3 *$", text)  # as it is typed
    with pytest.raises(InputError) as caught:
        group_view(outcome().table, "methly", {})
    assert str(caught.value) == (
        "The table 'chairgap' has no group 'methly'. Did you mean 'methyl'? "
        "'chairgap tables' lists all groups of a table."
    )


def test_all_rows_of_a_group_are_shown_with_their_media() -> None:
    table = read_whole_table("chairgap")
    text = shown(group_view(table, "hydroxy", read_sources()), 100)
    assert re.findall(r"A-value  +\+(\d\.\d\d)", text) == ["0.70", "0.80", "0.90"]
    assert re.findall(r"medium  +(\w+)", text) == ["tetrachloromethane", "acetone", "water"]
    assert "Of several rows a study takes the one in its own medium" in text
    whole = shown(estimate_table_view(table), 200)
    assert len(re.findall(r"(?m)^OH .*(tetrachloromethane|acetone|water)", whole)) == 3


def test_sources_are_listed() -> None:
    assert "Booth & Everett 1980" in shown(sources_view({SOURCE.key: SOURCE}), 100)
