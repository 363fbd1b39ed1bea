"""Names of groups in print. Lowered digits, raised charges, writing from the bonded atom: common practice, no
source."""

import re
import string

import pytest
from chair_molecules import table_groups
from matplotlib.font_manager import FontProperties, findfont
from matplotlib.ft2font import FT2Font, LoadFlags

from chairgap.drawings.lettering import Run, as_text, form_runs, letterings, runs_of, width_em


@pytest.mark.parametrize(
    ("text", "runs"),
    [
        ("OH", [("OH", 0)]),
        ("CH3", [("CH", 0), ("3", -1)]),
        ("C(CH3)3", [("C(CH", 0), ("3", -1), (")", 0), ("3", -1)]),
        ("C6H11", [("C", 0), ("6", -1), ("H", 0), ("11", -1)]),
        ("NH3+", [("NH", 0), ("3", -1), ("+", 1)]),
        ("+H3N", [("+", 1), ("H", 0), ("3", -1), ("N", 0)]),
        ("CO2-", [("CO", 0), ("2", -1), ("−", 1)]),
        ("S-", [("S", 0), ("−", 1)]),
        ("6e(S-)", [("6e(S", 0), ("−", 1), (")", 0)]),
        ("t-Bu", [("t-Bu", 0)]),
        ("4-ClC6H4", [("4-ClC", 0), ("6", -1), ("H", 0), ("4", -1)]),
        ("C#CH", [("C≡CH", 0)]),
        ("R^12", [("R", 0), ("12", 1)]),
        ("A: 1e 2a", [("A: 1e 2a", 0)]),
    ],
)
def test_digits_are_lowered_and_charges_raised(text: str, runs: list[tuple[str, int]]) -> None:
    assert runs_of(text) == tuple(Run(*run) for run in runs)


@pytest.mark.parametrize("group", table_groups())
def test_a_group_turned_round_keeps_its_atoms_and_ends_with_the_bonded_one(group: str) -> None:
    """The bonded atom is the first of the table's name and fragment SMILES; turned round it comes last,
    followed by nothing but its own hydrogens."""
    bonded = re.match("[A-Z][a-z]?", group)[0]
    forward, *others = letterings(group)
    assert "".join(run.text for run in forward.runs) == group.replace("#", "≡").replace("-", "−")
    for lettering in others:
        words = "".join(run.text for run in lettering.runs)
        assert _atoms(words) == _atoms(group)
        if words != group:
            assert re.search(rf"{bonded}(H\d?)?$", words)


def _atoms(text: str) -> list[str]:
    """Every atom of a formula, brackets multiplied out, with the charge."""
    text = text.replace("−", "-").replace("≡", "").replace("#", "").replace("=", "")
    while bracket := re.search(r"\(([^()]*)\)(\d*)", text):
        atoms = "".join(_atoms(bracket[1]))
        text = text[: bracket.start()] + atoms * int(bracket[2] or 1) + text[bracket.end() :]
    return sorted(
        atom
        for symbol, many in re.findall(r"([A-Z][a-z]?|[+-])(\d*)", text)
        for atom in [symbol] * int(many or 1)
    )


def test_what_cannot_be_turned_keeps_its_order() -> None:
    assert {"".join(run.text for run in item.runs) for item in letterings("4-ClC6H4")} == {"4-ClC6H4"}


def test_widths_are_those_of_the_font() -> None:
    """Against the DejaVu Sans that matplotlib brings: never narrower, at most a fifth of an em wider (for the
    letters that are wider in Helvetica)."""
    font = FT2Font(findfont(FontProperties(family="DejaVu Sans")))
    for letter in string.printable[:95] + "≡−·":
        advance = font.load_char(ord(letter), LoadFlags.NO_SCALE).horiAdvance / font.units_per_EM
        assert advance <= width_em((Run(letter, 0),)) <= advance + 0.21, letter


def test_ring_forms_have_raised_atoms_raised_and_lowered_atoms_lowered() -> None:
    """IUPAC-IUB JCBN 1981: raised atoms before the letter, lowered atoms behind it."""
    assert [as_text(form_runs(label)) for label in ("1C4", "3S1", "E4", "6H5")] == ["¹C₄", "³S₁", "E₄", "⁶H₅"]
    assert form_runs("3,6B") == (Run("3,6", 1), Run("B", 0))
    assert form_runs("B2,5") == (Run("B", 0), Run("2,5", -1))
    assert form_runs("") == () and form_runs("planar") == (Run("planar", 0),)
