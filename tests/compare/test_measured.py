"""A published gap beside the anchored gap: which anchored gap, and how it stands, by hand."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chairgap.compare.equilibria import published_gap
from chairgap.compare.measured import measured_gap
from chairgap.model.published import published_for
from chairgap.molecule.numbering import ALL_NUMBERINGS
from chairgap.records import Anchored, ChairLetter, Equilibrium, MeasuredStanding, PublishedGap
from chairgap.shape.chairs import two_chairs
from chairgap.tables.shipped import TableReader
from pipeline_helpers import molecule, treated

READER = TableReader()
EQUILIBRIA = READER.equilibria
BY_KEY = {row.key: row for row in EQUILIBRIA}
CLASSES = READER.estimate_table("chairgap").medium_classes


def anchored(gap: float | None, uncertainty: float = 0.3) -> Anchored:
    return Anchored(gap_kcal_mol=gap, uncertainty_kcal_mol=uncertainty, parts=())


def published(key: str, letter: ChairLetter = "A", **changes: object) -> PublishedGap:
    return published_gap(replace(BY_KEY[key], **changes), letter)


# The published gap speaks of chair A; cl2_ccl4: G(B) - G(A) = 0.36 in CCl4; error: 0.36 +- 0.4.
STANDS: tuple[tuple[PublishedGap, float | None, MeasuredStanding], ...] = (
    (published("freitas_2005_cl2_ccl4"), 0.65, "agrees"),
    (published("freitas_2005_cl2_ccl4"), 0.67, "differs"),
    (published("freitas_2005_cl2_ccl4"), -0.10, "differs"),  # wrong sign, but not beyond 0.2
    (published("freitas_2005_cl2_ccl4"), -0.25, "opposite chair"),
    (published("freitas_2005_cl2_ccl4"), None, "none"),
    # sqrt(0.3^2 + 0.4^2) = 0.5
    (published("freitas_2005_cl2_ccl4", error=0.4), 0.85, "agrees"),
    (published("freitas_2005_cl2_ccl4", error=0.4), 0.87, "differs"),
    # More than 90 %: at least 1.30; 1.01 + 0.30 reaches it.
    (published("garza_2012_acid_12_water", medium_class="gas"), 5.0, "agrees"),
    (published("garza_2012_acid_12_water", medium_class="gas"), 1.01, "agrees"),
    (published("garza_2012_acid_12_water", medium_class="gas"), 0.99, "differs"),
    (published("garza_2012_acid_12_water", medium_class="gas"), -0.40, "opposite chair"),
    # The same of chair B: at most -1.30.
    (published("garza_2012_acid_12_water", "B", medium_class="gas"), -5.0, "agrees"),
    (published("garza_2012_acid_12_water", "B", medium_class="gas"), -0.99, "differs"),
    (published("de_oliveira_2005_hydroxy_cl", medium_class="gas"), 0.1, "agrees"),
    # Only the favoured chair is published: a bound of 0, which -0.1 +- 0.3 reaches.
    (published("de_oliveira_2005_hydroxy_cl", medium_class="gas"), -0.1, "agrees"),
    (published("de_oliveira_2005_hydroxy_cl", medium_class="gas"), -0.31, "opposite chair"),
)


@pytest.mark.parametrize(("value", "gap", "stands"), STANDS)
def test_how_the_anchored_gap_stands(value: PublishedGap, gap: float | None, stands: str) -> None:
    found = measured_gap(value, {"gas phase": anchored(gap)}, CLASSES, 0.0)
    assert found.stands == stands


def test_only_a_like_medium_is_compared() -> None:
    """Water and gas phase are two things; the series may have the published medium itself."""
    of_dmso, of_ccl4 = published("freitas_2005_cl2_dmso"), published("freitas_2005_cl2_ccl4")
    gas, own = anchored(0.1), anchored(0.9)
    assert measured_gap(of_dmso, {"gas phase": gas}, CLASSES, 0.0).stands == "other medium"
    assert measured_gap(of_dmso, {"water": gas}, CLASSES, 0.0).anchored_kcal_mol is None
    there = measured_gap(of_dmso, {"gas phase": gas, "dimethyl sulfoxide": own}, CLASSES, 0.0)
    assert (there.anchored_in, there.anchored_kcal_mol) == ("dimethyl sulfoxide", 0.9)
    assert measured_gap(of_ccl4, {"water": gas, "benzene": own}, CLASSES, 0.0).anchored_in == "benzene"
    assert measured_gap(of_ccl4, {"water": gas}, CLASSES, 0.0).stands == "other medium"


def test_the_anchored_gap_is_moved_to_the_published_temperature() -> None:
    value = published("freitas_2005_cl2_ccl4")
    found = measured_gap(value, {"gas phase": anchored(0.2)}, CLASSES, 0.25)
    assert found.anchored_kcal_mol == pytest.approx(0.45)
    assert found.deviation_kcal_mol == pytest.approx(0.45 - (value.gap_kcal_mol or 0.0))
    assert measured_gap(value, {"gas phase": anchored(0.2)}, CLASSES, None).stands == "none"


# --- the right molecule, the right chair -----------------------------------------------------------------


def axial_by_name(row: Equilibrium) -> bool:
    """Whether the first group is axial in the chair the row speaks of, read from the chair's name alone."""
    carbon, _, fragment = row.groups[0]
    words = [word for word in row.chair.split() if word.startswith(str(carbon))]
    named = row.groups_by_face.split(",")[0].split()[2]
    (own,) = [word for word in words if len(words) == 1 or f"({named})" in word]
    assert fragment
    return own[1] == "a"


@given(row=st.sampled_from(EQUILIBRIA), number=st.integers(0, 11), mirror_image=st.booleans())
def test_direction_in_any_numbering_mirror_image_and_naming_of_chairs(
    row: Equilibrium, number: int, mirror_image: bool
) -> None:
    """The gap is turned to the letter of the chair in which the first group stands as the row says, in
    whichever chair the molecule as written calls A."""
    numbering = ALL_NUMBERINGS[number]
    turned = numbering.flipped != mirror_image
    pieces = [
        (
            next(new for new in range(1, 7) if numbering.source(new) == carbon - 1),
            {"up": "down", "down": "up"}[face] if turned else face,
            fragment,
        )
        for carbon, face, fragment in row.groups
    ]
    written = molecule(", ".join(" ".join(map(str, piece)) for piece in sorted(pieces)))
    (found,) = published_for(written.topology, (row,))
    place = pieces[0][:2]
    position = "axial" if axial_by_name(row) else "equatorial"
    result_chairs = two_chairs(written.topology)
    (letter,) = [
        chair.letter
        for chair in result_chairs
        for group in chair.groups
        if (group.carbon, group.face) == place and group.position == position
    ]
    expected = published_gap(row, letter)
    assert found.gap_kcal_mol == expected.gap_kcal_mol
    assert (found.bound, found.favoured) == (expected.bound, expected.favoured)


def test_a_result_has_what_is_published_of_it() -> None:
    """trans-1,2-Dichlorocyclohexane: gas phase and CCl4 are compared, dimethyl sulfoxide is not."""
    measured = treated("1 up Cl, 2 down Cl").measured
    stands = {item.published.equilibrium.medium: item.stands for item in measured}
    assert stands["dimethyl sulfoxide"] == "other medium"
    assert stands["gas phase"] != "other medium" and stands["tetrachloromethane"] != "other medium"
    assert treated("1 up CH3").measured == ()


def test_the_temperature_of_the_study_moves_nothing_twice() -> None:
    """Published at 298.15 K: beside it stands the anchored gap as it is."""
    result = treated("1 up Cl, 2 down Cl")
    for item in result.measured:
        if item.published.temperature_k == 298.15 and item.anchored_in:
            assert item.anchored_kcal_mol == result.anchored.gap_kcal_mol
