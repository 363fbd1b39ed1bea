"""Published equilibria as gaps of a molecule's own chairs, errors of models, and the spread of pairs."""

import math
from dataclasses import replace

import pytest

from chairgap.compare.equilibria import equilibrium_errors, pair_spreads, published_gap
from chairgap.errors import StudyError
from chairgap.model.published import published_for
from chairgap.molecule.numbering import ALL_NUMBERINGS
from chairgap.records import Equilibrium, EquilibriumScore, PublishedGap
from chairgap.tables.shipped import TableReader
from pipeline_helpers import molecule

EQUILIBRIA = TableReader().equilibria
BY_KEY = {row.key: row for row in EQUILIBRIA}


def own(key: str) -> PublishedGap:
    """The row as the gap of its own molecule."""
    (found,) = published_for(molecule(BY_KEY[key].groups_by_face).topology, (BY_KEY[key],))
    return found


# RT = 0.592485 kcal/mol at 298.15 K, 0.751163 at 378 K. Chair A has fewer axial groups, on a tie lighter.
BY_HAND = (
    # Freitas 2005: 28 % of 1a 2a, which is B; G(A) - G(B) = RT ln(28/72) = -0.5596.
    ("freitas_2005_acetate_f_vapour", 0.5596, "", "A"),
    # Freitas 2005: E(ee) - E(aa) = 0.36, that is G(A) - G(B).
    ("freitas_2005_cl2_ccl4", -0.36, "", "B"),
    # Richardson 1999: 46 % of ee (A) at 378 K; RT ln(46/54) = -0.1204.
    ("richardson_1999_cl2", -0.1204, "", "B"),
    # de Oliveira 2011: G(ee) - G(aa) = 0.06.
    ("de_oliveira_2011_amino_ccl4", -0.06, "", "B"),
    # de Oliveira 2005: 89 % of ee (A); RT ln(89/11) = 1.2387.
    ("de_oliveira_2005_cis_dmso", 1.2387, "", "A"),
    # Eliel & Manoharan 1981: axial phenyl better by 0.32; the lighter methyl is axial in A.
    ("wiberg_2000_methyl_phenyl", -0.32, "", "B"),
    # de Oliveira 2005: 77 % of axial OH, the lighter group, so A; RT ln(77/23) = 0.7159.
    ("de_oliveira_2005_trans_ccl4", 0.7159, "", "A"),
    # Francisco 2019: more than 90 % of axial F; axial NH2 is lighter and A; -RT ln 9 = -1.3018.
    ("francisco_2019_f_cd2cl2", -1.3018, "at most", "B"),
    # Garza 2012: more than 90 % of ee.
    ("garza_2012_acid_12_water", 1.3018, "at least", "A"),
    # Abraham 1993: G(aa) - G(ee) = 2.7.
    ("abraham_1993_diol_water", 2.7, "", "A"),
)


@pytest.mark.parametrize(("key", "gap", "bound", "favoured"), BY_HAND)
def test_published_gaps_by_hand(key: str, gap: float, bound: str, favoured: str) -> None:
    found = own(key)
    assert found.gap_kcal_mol == pytest.approx(gap, abs=5e-5)
    assert (found.bound, found.favoured) == (bound, favoured)


def test_error_of_a_percentage_by_hand() -> None:
    """46 +- 6 %: RT 100 dx / (x (100 - x)) = 0.751163 * 600 / (46 * 54) = 0.1814."""
    assert own("richardson_1999_cl2").error_kcal_mol == pytest.approx(0.1814, abs=5e-5)


def test_a_sign_alone_has_no_gap() -> None:
    found = own("de_oliveira_2005_hydroxy_cl")
    assert (found.gap_kcal_mol, found.favoured, found.is_number) == (None, "A", False)


def test_temperature_is_room_temperature_where_none_is_stated() -> None:
    assert own("freitas_2005_cl2_ccl4").temperature_k == 298.15
    assert own("richardson_1999_cl2").temperature_k == 378.0


def writings(row: Equilibrium) -> set[str]:
    """Every way to write the row's molecule and its mirror image as groups by face."""
    found = set()
    for mirror_image in (False, True):
        for numbering in ALL_NUMBERINGS:
            turned = numbering.flipped != mirror_image
            pieces = [
                (
                    next(new for new in range(1, 7) if numbering.source(new) == carbon - 1),
                    {"up": "down", "down": "up"}[face] if turned else face,
                    fragment,
                )
                for carbon, face, fragment in row.groups
            ]
            found.add(", ".join(" ".join(map(str, piece)) for piece in sorted(pieces)))
    return found


@pytest.mark.parametrize("key", [key for key, *_ in BY_HAND] + ["yu_2022_trifluoride"])
def test_a_molecule_is_found_in_any_numbering_and_as_its_mirror_image(key: str) -> None:
    row, expected = BY_KEY[key], own(key)
    for groups_by_face in writings(row):
        assert published_for(molecule(groups_by_face).topology, (row,)) == (expected,), groups_by_face


def test_other_molecules_are_not_found() -> None:
    for groups_by_face in ("1 up F, 2 up F", "1 up F", "1 up F, 3 down F", "1 up F, 2 down F, 4 up F"):
        assert published_for(molecule(groups_by_face).topology, EQUILIBRIA) == ()
    found = published_for(molecule("1 down F, 6 up F").topology, EQUILIBRIA)
    assert [gap.equilibrium.medium for gap in found] == [
        "gas phase",
        "tetrachloromethane",
        "dimethyl sulfoxide",
    ]


def test_every_row_is_found_by_its_own_molecule() -> None:
    for row in EQUILIBRIA:
        assert own(row.key).equilibrium is row


# --- errors and spreads ----------------------------------------------------------------------------------


def score(
    published: float | None,
    gap: float | None,
    *,
    like: str = "freitas_2005_cl2_ccl4",
    model: str = "anchored, M pairs",
    pairs_by: str = "M",
    separation: str = "1,2",
    bond: bool = False,
    **changes: object,
) -> EquilibriumScore:
    """A made score; the published value speaks of chair A."""
    row = replace(
        BY_KEY[like], key=f"k{published}{gap}{separation}{bond}{changes}", value=published, **changes
    )
    return EquilibriumScore(
        published=published_gap(row, "A"),
        chair_a="1e 2e",
        chair_b="1a 2a",
        model=model,
        pairs_by=pairs_by,
        computed_in="gas phase",
        gap_kcal_mol=gap,
        separation=separation,  # type: ignore[arg-type]
        hydrogen_bond=bond,
        note="",
    )


MADE = (
    score(1.0, 1.5),
    score(2.0, 1.0),
    score(-0.5, 0.3),
    score(0.1, -0.3),
    score(3.0, None),
    score(1.0, 1.2, bound="more than"),
    score(1.0, 0.9, bound="more than"),
    score(None, 0.4, kind="more populated"),
    score(9.0, 0.0, known="from memory"),
    score(9.0, 0.0, method="textbook statement"),
)


def test_errors_by_hand() -> None:
    """Deviations +0.5, -1.0, +0.8, -0.4; the wrong sign of 0.1 is not counted, 0.2 being the limit."""
    errors = {row.medium_class: row for row in equilibrium_errors(MADE)}
    assert set(errors) == {"apolar", "all"}
    row = errors["apolar"]
    assert row.values == 4
    assert row.mean_absolute_error_kcal_mol == pytest.approx(2.7 / 4)
    assert row.bias_kcal_mol == pytest.approx(-0.1 / 4)
    assert row.largest_error_kcal_mol == pytest.approx(1.0)
    assert (row.clear_signs, row.wrong_signs) == (3, 1)
    assert (row.bounds, row.bounds_held, row.only_signs, row.only_signs_right) == (2, 1, 1, 1)
    assert row.without_gap == 1


def test_common_errors_are_over_what_every_computed_model_has() -> None:
    other = [replace(row, model="N") for row in MADE[:2]]
    hand = [replace(row, model="hand sum") for row in MADE[:1]]
    found = {
        row.model: row for row in equilibrium_errors((*MADE, *other, *hand)) if row.medium_class == "apolar"
    }
    assert list(found) == ["hand sum", "anchored, M pairs", "N"]
    assert found["anchored, M pairs"].common_mean_absolute_error_kcal_mol == pytest.approx(1.5 / 2)
    assert found["hand sum"].common_values == 1


def test_spread_by_hand() -> None:
    """Three values of 1,2: 0.3, 0.4, 0.0, mean square 0.25/3. One of 1,3 with a hydrogen bond: 1.0, more than
    over all. One of 1,4, 0.1, which takes that over all five, mean square 1.26/5."""
    made = [score(0.5, 0.8), score(0.5, 0.9), score(0.5, 0.5), score(0.5, 1.5, separation="1,3", bond=True)]
    made.append(score(0.5, 0.6, separation="1,4"))
    found = {(row.relation, row.hydrogen_bond): row for row in pair_spreads(made)}
    assert found["1,2", False].spread_kcal_mol == pytest.approx(math.sqrt(0.25 / 3))
    assert found["1,2", False].values == 3
    assert found["1,3", True].spread_kcal_mol == pytest.approx(1.0)
    assert found["1,4", False].spread_kcal_mol == pytest.approx(math.sqrt(1.26 / 5))
    assert found["1,4", False].values == 1


def test_spread_leaves_out_what_it_may_not_use() -> None:
    left_out = [
        score(0.5, 3.0, medium_class="polar"),
        score(0.5, 3.0, medium_class="hydrogen bonding"),
        score(0.5, 3.0, known="from memory"),
        score(0.5, 3.0, method="textbook statement"),
        score(0.5, 3.0, bound="more than"),
        score(0.5, 3.0, pairs_by=""),
        replace(score(0.5, 3.0), separation=None),
        score(96.0, 3.0, like="de_oliveira_2005_cis_ccl4"),  # percent: a saturated population
    ]
    assert pair_spreads(left_out) == ()
    kept = [score(0.5, 1.0, medium_class=name) for name in ("gas", "apolar", "not stated")]
    rows = pair_spreads([*left_out, *kept])
    assert [(row.values, row.spread_kcal_mol) for row in rows if row.values] == [(3, pytest.approx(0.5))]
    assert {row.spread_kcal_mol for row in rows} == {rows[0].spread_kcal_mol} and len(rows) == 8


# --- the table -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('"1 up F, 2 down F",1a 2a,energy,0.10', '"1 up F, 2 down F",1a 2e,energy,0.10', "is no chair of"),
        (
            '"1 up F, 2 down F",1a 2a,energy,0.10',
            '"1 up Fx, 2 down F",1a 2a,energy,0.10',
            "not in a_values.csv",
        ),
        ('"1 up F, 2 down F",1a 2a,energy,0.10', '"F, F",1a 2a,energy,0.10', "groups by face"),
        ("percent,28", "percent,100", "100 percent gives no gap"),
        ("1a 2a,energy,0.10", "1a 2a,more populated,0.10", "no number"),
        ("freitas_2005,seen", "freitas_2055,seen", "not in sources.csv"),
    ],
)
def test_what_is_wrong_with_a_table_is_said(old: str, new: str, said: str) -> None:
    from chairgap.tables.equilibria import parse_equilibria
    from chairgap.tables.shipped import _data_folder

    text = (_data_folder() / "equilibria.csv").read_text(encoding="utf-8")
    assert old in text
    reader = TableReader()
    rows, problems = parse_equilibria(
        text.replace(old, new, 1),
        "equilibria.csv",
        a_values=reader.whole_table("chairgap").a_values,
        source_keys=reader.sources.keys(),
    )
    assert len(rows) == len(EQUILIBRIA) - 1
    assert said in StudyError(problems).message
