"""Energy levels: heights against the records they are drawn from, shares against a Boltzmann sum."""

import math
import re
from dataclasses import replace

import numpy as np
import pytest
import scipy.constants

from chairgap.drawings.flip_levels import flip_levels, levels_of
from chairgap.drawings.levels import energy_levels
from chairgap.records import Result
from flip_helpers import flipped
from pipeline_helpers import treated
from svg_helpers import Element, ends, having, placed_texts, sound, texts

DIMETHYL = "1 up CH3, 2 down CH3"
MOLECULES = ["1 up H", "1 up CH3", DIMETHYL, "1 up C(CH3)3, 4 up OH"]
RT = scipy.constants.R * 298.15 / (1000.0 * scipy.constants.calorie)


def per_kcal(root: Element) -> tuple[float, float]:
    """(y of zero, px for 1 kcal/mol), from the numbers of the axis alone."""
    ticks = [
        (float(text.replace("−", "-")), y)
        for text, (x, y) in placed_texts(root)
        if x < 50.0 and re.fullmatch(r"−?\d+\.?\d*", text)
    ]
    assert len(ticks) >= 3
    slope, zero = np.polyfit(*zip(*ticks, strict=True), 1)
    # The middle of the digits, not their foot, stands at the tick.
    return float(zero) - 0.365 * 12.0, -float(slope)


def height(path: Element, scale: tuple[float, float]) -> float:
    (_, y), (_, other) = ends(path)
    assert y == other
    return (scale[0] - y) / scale[1]


@pytest.mark.parametrize("groups_by_face", MOLECULES)
def test_heights_are_gibbs_energies(groups_by_face: str) -> None:
    result = treated(groups_by_face)
    root = sound(energy_levels(result, 298.15))
    scale = per_kcal(root)
    lowest = min(one.gibbs_kcal_mol for one in result.conformers)
    expected = {str(one.number): one.gibbs_kcal_mol - lowest for one in result.conformers}
    drawn = having(root, "data-conformer")
    for path in drawn:
        assert height(path, scale) == pytest.approx(expected[path.attrib["data-conformer"]], abs=0.01)
    held = [
        bool(one.degeneracy_a) + bool(one.degeneracy_b) + bool(one.degeneracy_other)
        for one in result.conformers
    ]
    assert len(drawn) == sum(held)


@pytest.mark.parametrize("groups_by_face", MOLECULES)
def test_the_arrow_is_the_gibbs_gap(groups_by_face: str) -> None:
    result = treated(groups_by_face)
    picture = energy_levels(result, 298.15)
    root = sound(picture)
    gap = result.gaps.gibbs_kcal_mol
    assert gap is not None
    (arrow,) = having(root, "data-gap")
    start, end = map(float, re.findall(r"-?\d+\.?\d*", arrow.attrib["d"])[1:])
    assert (start - end) / per_kcal(root)[1] == pytest.approx(gap, abs=0.01)
    shown = f"{gap:+.2f}".replace("+0.00", "0.00")
    assert f"ΔG = G(B) − G(A) = {shown} kcal/mol" in "".join(texts(root))
    assert f"G(B) − G(A): {shown} kcal/mol" in picture.alt
    assert "298.15 K, kcal/mol" in "".join(texts(root))


@pytest.mark.parametrize("groups_by_face", MOLECULES)
def test_shares_are_boltzmann_weights(groups_by_face: str) -> None:
    result = treated(groups_by_face)
    weights = {
        one.number: [
            degeneracies * math.exp(-(one.gibbs_kcal_mol - result.conformers[0].gibbs_kcal_mol) / RT)
            for degeneracies in (one.degeneracy_a, one.degeneracy_b, one.degeneracy_other)
        ]
        for one in result.conformers
    }
    total = sum(sum(column) for column in weights.values())
    expected = [
        100.0 * each / total for column in zip(*weights.values(), strict=True) for each in column if each
    ]
    labels = [text for text in texts(sound(energy_levels(result, 298.15))) if re.match(r"\d+: [+\d]", text)]
    assert len(labels) == len(expected)
    told = [label.rsplit(", ", 1)[1] for label in labels]
    exact = [float(text.removesuffix(" %")) for text in told if not text.startswith("<")]
    large = sorted(each for each in expected if each >= 0.05)
    assert sorted(exact) == pytest.approx(large, abs=0.051)
    assert sum(text == "<0.1 %" for text in told) == sum(each < 0.05 for each in expected)


def turned(result: Result) -> Result:
    """Chair B lower than A by 0.8 kcal/mol: both kinds exchange their energies."""
    best = {letter: next(one for one in result.conformers if one.chair == letter) for letter in ("A", "B")}
    low, high = best["A"].gibbs_kcal_mol, best["A"].gibbs_kcal_mol + 0.8
    conformers = (replace(best["A"], gibbs_kcal_mol=high), replace(best["B"], gibbs_kcal_mol=low))
    share = 1.0 / (1.0 + math.exp(0.8 / RT))
    gaps = replace(
        result.gaps,
        gibbs_kcal_mol=-0.8,
        population_a=share,
        population_b=1.0 - share,
        population_non_chair=0.0,
    )
    return replace(result, conformers=conformers, gaps=gaps)


def test_a_negative_gap_points_down() -> None:
    picture = energy_levels(turned(treated(DIMETHYL)), 298.15)
    root = sound(picture)
    (arrow,) = having(root, "data-gap")
    start, end = map(float, re.findall(r"-?\d+\.?\d*", arrow.attrib["d"])[1:])
    assert (start - end) / per_kcal(root)[1] == pytest.approx(-0.8, abs=0.01)
    assert "−0.80 kcal/mol (negative: chair B is the lower chair)" in picture.alt
    assert "no minimum found" in texts(root)


def test_without_one_chair_there_is_no_arrow() -> None:
    result = treated(DIMETHYL)
    alone = tuple(one for one in result.conformers if one.chair != "B")
    without = replace(result, conformers=alone, gaps=replace(result.gaps, gibbs_kcal_mol=None))
    picture = energy_levels(without, 298.15)
    assert not having(sound(picture), "data-gap")
    assert "no Gibbs gap: one of the chairs has no minimum" in texts(sound(picture))


def test_labels_of_many_levels_do_not_overlap() -> None:
    result = treated(DIMETHYL)
    first = result.conformers[0]
    crowd = tuple(
        replace(first, number=number, gibbs_kcal_mol=first.gibbs_kcal_mol + 0.01 * number)
        for number in range(1, 40)
    )
    root = sound(energy_levels(replace(result, conformers=crowd), 298.15))
    heights = sorted(y for text, (x, y) in placed_texts(root) if 100.0 < x < 200.0 and y > 90.0)
    assert len(heights) == 9
    assert np.diff(heights).min() >= 15.9
    assert "and 31 higher" in texts(root)


def test_levels_of_hundreds_of_conformers_are_thinned_but_counted() -> None:
    result = treated(DIMETHYL)
    first = result.conformers[0]
    crowd = tuple(
        replace(first, number=number, gibbs_kcal_mol=first.gibbs_kcal_mol + 0.01 * number)
        for number in range(1, 1001)
    )
    picture = energy_levels(replace(result, conformers=crowd), 298.15)
    root = sound(picture)
    assert len(picture.svg) < 50_000
    assert "98.2 %, 1000 conformers" in texts(root)
    levels = sorted(height(path, per_kcal(root)) for path in having(root, "data-conformer"))
    assert (levels[0], levels[-1]) == (pytest.approx(0.0, abs=0.02), pytest.approx(9.99, abs=0.05))
    assert np.diff(levels).max() < 0.06


def test_the_flip_has_its_minima_and_saddles_at_their_heights() -> None:
    flip = flipped("1 up CH3")[0]
    picture = flip_levels(levels_of(flip, "MMFF94"))
    root = sound(picture)
    scale = per_kcal(root)
    lowest = min(one.minimum.energy_kcal_mol for one in flip.minima)
    by_form = {one.form: one.minimum.energy_kcal_mol - lowest for one in flip.minima}
    saddles = {one.number: one.saddle.energy_kcal_mol - lowest for one in flip.saddles}
    expected = [by_form[flip.path[0].from_form]]
    for step in flip.path:
        expected += [saddles[step.saddle], by_form[step.to_form]]
    drawn = having(root, "data-level")
    assert [height(path, scale) for path in drawn] == pytest.approx(expected, abs=0.01)
    assert [path.attrib["data-level"] for path in drawn] == ["minimum", "saddle"] * len(flip.path) + [
        "minimum"
    ]
    assert [("stroke-dasharray" in path.attrib) for path in drawn] == [False, True] * len(flip.path) + [False]
    numbers = {f"{each:+.2f}" for each in expected if each > 0.005}
    assert numbers <= set(texts(root))
    assert f"{flip.temperature_k:.2f} K" in "".join(texts(root))


def test_a_flip_without_a_path_says_so() -> None:
    flip = replace(flipped("1 up CH3")[0], path=(), rates=None, note="the saddles <found> do not join them")
    picture = flip_levels(levels_of(flip, "MMFF94"))
    assert "no path between the chairs was found. the saddles <found> do not join them" in picture.alt
    assert picture.alt == " ".join(texts(sound(picture)))


def test_names_are_text_and_bytes_are_the_same_twice() -> None:
    result = treated(DIMETHYL)
    odd = replace(result, molecule=replace(result.molecule, name="<script>1</script>\n\x07"))
    picture = energy_levels(odd, 298.15)
    assert "<script" not in picture.svg
    assert "<script>1</script>" in texts(sound(picture))
    assert picture == energy_levels(odd, 298.15)
    flip = flipped("1 up CH3")[0]
    assert flip_levels(levels_of(flip, "MMFF94")) == flip_levels(levels_of(flip, "MMFF94"))
