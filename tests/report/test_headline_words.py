"""The headline in words: every case, and for one group what was measured."""

from dataclasses import replace

import pytest
from made_outcome import outcome, polar_result, result, symmetric_result

from chairgap.records import Anchored, AnchoredKind, Reason, Result
from chairgap.report.answer import headline_sentence
from chairgap.report.headline import (
    farthest_kcal_mol,
    first_reason,
    headline_verdict,
    main_reason,
    measured_sentences,
    media_of_parts,
    needs_a_look,
    parts_rows,
    short_standing,
    shown_reasons,
)
from pipeline_helpers import TABLES, treated

MADE = outcome()
SETTINGS = MADE.study.settings


def changed(base: Result, **values: object) -> Result:
    return replace(base, headline=replace(base.headline, **values))


def test_without_a_gap_the_note_says_why() -> None:
    lost = Anchored(gap_kcal_mol=None, uncertainty_kcal_mol=0.0, parts=(), note="no minimum of chair B")
    bare = replace(changed(result(), chair="unknown", gap_kcal_mol=None), anchored=lost)
    assert headline_sentence(MADE, bare) == (
        "No gap between the chairs: no minimum of chair B (hand sum 1.7, MMFF94 1.5: not comparable)"
    )
    assert headline_verdict(bare) == "not comparable"
    assert farthest_kcal_mol(bare) is None


@pytest.mark.parametrize(
    ("values", "words", "look"),
    [
        ({}, "+ both agree", False),
        ({"hand_sum": "incomplete"}, "+ MMFF94 agrees", True),
        ({"hand_sum": "incomplete", "model": "differs"}, "x MMFF94 differs", True),
        ({"hand_sum": "differs", "model": "differs"}, "x both differ", True),
        (
            {"hand_sum": "opposite chair", "model": "differs"},
            "x hand sum: opposite chair, MMFF94 differs",
            True,
        ),
        ({"chair": "undecided"}, "? undecided", False),
        ({"chair": "undecided", "hand_sum": "incomplete"}, "? undecided", True),
        ({"hand_sum": "not comparable", "model": "not comparable"}, "- not comparable", True),
    ],
)
def test_how_both_stand_with_a_mark(values: dict[str, object], words: str, look: bool) -> None:
    odd = changed(result(), **values)
    assert short_standing(odd, SETTINGS) == words
    assert needs_a_look(odd) is look


@pytest.mark.parametrize(
    ("gibbs", "kind", "hand", "words"),
    [
        (0.6, "computed single group", "incomplete", "- MMFF94 alone"),
        (0.6, "computed single group", "agrees", "+ both agree"),
        (0.6, "measured A-value", "incomplete", "+ MMFF94 agrees"),
        (0.5, "computed single group", "incomplete", "+ MMFF94 agrees"),
    ],
)
def test_a_gap_of_the_models_parts_alone_is_not_said_to_agree_with_the_model(
    gibbs: float, kind: AnchoredKind, hand: str, words: str
) -> None:
    base = changed(polar_result(), chair="A", hand_sum=hand, model="agrees")
    part = replace(base.anchored.parts[0], kind=kind, value_kcal_mol=0.6)
    base = replace(base, anchored=replace(base.anchored, gap_kcal_mol=0.6, parts=(part,)))
    base = replace(base, gaps=replace(base.gaps, gibbs_kcal_mol=gibbs))
    assert short_standing(base, SETTINGS) == words


def test_the_parts_end_with_their_sum_and_name_their_origin() -> None:
    rows = parts_rows(MADE, polar_result())
    assert rows[0] == ("computed single group", "1", "F", "+0.20", "0.30", "MMFF94")
    assert rows[1] == ("pair, cis-1,3", "1 3", "F, OH", "+0.40", "0.40", "MP2/def2-TZVP")
    assert rows[2][3:5] == ("+0.60", "0.50")
    assert parts_rows(MADE, result())[0][-1] == "Booth & Everett 1980"
    assert parts_rows(MADE, symmetric_result()) == []


def test_the_medium_is_named_for_each_part() -> None:
    def media(one: Result) -> str:
        return media_of_parts(one.anchored, MADE.table, SETTINGS)

    assert media(result()) == (
        "A-value of CH3 in a solvent that its source does not state (A-values are mostly of CFCl3, CS2 and "
        "CCl4)"
    )
    assert media(polar_result()) == (
        "computed parts by MMFF94, gas phase; computed parts by MP2/def2-TZVP, gas phase"
    )
    assert media(symmetric_result()) == ""


def test_chlorocyclohexane_says_what_was_measured_and_where_the_model_fails() -> None:
    """The value, its range and its source as data/a_values.csv and data/sources.csv have them; the model's
    gap as computed here."""
    chloro = treated("1 up Cl")
    study = replace(MADE.study, tables=TABLES)
    measured, model = measured_sentences(replace(MADE, study=study), chloro)
    row = next(row for row in TABLES.estimate.a_values if row.group == "Cl")
    for words in (
        "Measured for Cl: G(axial) - G(equatorial) = +0.53 kcal/mol (0.43 to 0.64)",
        "1H NMR",
        "193 K",
        "source: Jensen et al. 1969.",
    ):
        assert words in measured
    gibbs = chloro.gaps.gibbs_kcal_mol
    assert gibbs is not None and gibbs < 0.0 < row.value_kcal_mol
    off = f"{row.value_kcal_mol - gibbs:.2f}"
    assert model == f"MMFF94 gives {gibbs:.2f} kcal/mol at 298.15 K, {off} too low, and the wrong sign."
    assert main_reason(replace(MADE, study=study), chloro) == f"MMFF94 {off} too low"


def test_one_measured_group_is_not_explained_by_itself() -> None:
    reasons = (
        Reason(code="model-error-of-single-groups", evidence="x"),
        Reason(code="vibrations", evidence="y"),
    )
    one = result()
    one = replace(one, comparison=replace(one.comparison, reasons=reasons))
    assert [reason.code for reason in shown_reasons(MADE, one)] == ["vibrations"]
    several = replace(one, anchored=polar_result().anchored)
    assert shown_reasons(MADE, several) == reasons


def test_several_groups_have_no_measured_value() -> None:
    assert measured_sentences(MADE, polar_result()) == ()


def test_a_users_own_value_keeps_its_own_source() -> None:
    table = MADE.table
    row = replace(table.a_values[0], source="lecture 4", method="", temperature_k=None)
    own = replace(table, a_values=(row,))
    tables = replace(MADE.study.tables, estimate=own)
    base = result()
    part = replace(base.anchored.parts[0], origin="lecture 4")
    mine = replace(base, anchored=replace(base.anchored, parts=(part,)))
    measured, _ = measured_sentences(replace(MADE, study=replace(MADE.study, tables=tables)), mine)
    assert measured.endswith("source: lecture 4.")


def test_a_difference_has_its_sized_cause_before_a_hint_at_the_solvent() -> None:
    """trans-1,2-dichlorocyclohexane: MMFF94 errs for Cl alone by -1.26 of the difference; the dipoles of the
    two chairs, which differ as well, only hint at what the solvent may do."""
    one = treated("1 up Cl, 2 down Cl")
    codes = [reason.code for reason in one.comparison.reasons]
    assert codes.index("solvent-or-dipole") < codes.index("model-error-of-single-groups")
    assert headline_verdict(one) == "disagrees"
    study = replace(MADE, study=replace(MADE.study, tables=TABLES))
    assert main_reason(study, one) == "model error of single groups"
    found = first_reason(one)
    assert found is not None and found.size_kcal_mol == pytest.approx(-1.26, abs=0.005)


@pytest.mark.parametrize(
    ("codes", "first"),
    [
        (("twist-boat-intrudes", "solvent-or-dipole", "vicinal-gauche"), "twist-boat-intrudes"),
        (("chair-missing", "solvent-or-dipole", "vicinal-gauche"), "chair-missing"),
        (("internal-hydrogen-bond", "solvent-or-dipole", "vicinal-gauche"), "internal-hydrogen-bond"),
        (("solvent-or-dipole", "vicinal-gauche", "entropy-term"), "vicinal-gauche"),
        (("missing-table-value", "solvent-or-dipole", "vibrations"), "vibrations"),
        (("missing-table-value", "solvent-or-dipole"), "missing-table-value"),
        (("solvent-or-dipole",), "solvent-or-dipole"),
    ],
)
def test_the_first_reason_of_a_difference(codes: tuple[str, ...], first: str) -> None:
    sizes = {"vicinal-gauche": 0.4, "vibrations": 0.3}
    reasons = tuple(Reason(code=code, evidence="", size_kcal_mol=sizes.get(code)) for code in codes)
    odd = changed(polar_result(), model="differs")
    found = first_reason(replace(odd, comparison=replace(odd.comparison, reasons=reasons)))
    assert found is not None and found.code == first
    agrees = changed(polar_result(), hand_sum="agrees", model="agrees")
    found = first_reason(replace(agrees, comparison=replace(agrees.comparison, reasons=reasons)))
    assert found is not None and found.code == codes[0]
