"""The plot of a study, read back from its SVG text."""

import re
from dataclasses import replace

import numpy as np
import pytest
from made_outcome import outcome, polar_result, result, symmetric_result

from chairgap.records import Headline, Result, Verdict
from chairgap.report.comparison_plot import comparison_picture
from chairgap.report.words import VERDICTS
from svg_helpers import Element, Point, placed_texts, sound, tag, texts

# Line colours of solid and open marks by verdict.
CLASSES = {
    "agrees": "fill-agrees",
    "disagrees": "fill-disagrees",
    "undecided": "line-other",
    "not comparable": "line-quiet",
}


def standing(base: Result, verdict: Verdict) -> Headline:
    """The headline of a molecule for which hand sum and model stand like this to the gap."""
    chair = "undecided" if verdict == "undecided" else base.headline.chair
    hand_sum = {"disagrees": "differs", "not comparable": "not comparable"}.get(verdict, "agrees")
    return replace(base.headline, chair=chair, hand_sum=hand_sum, model="agrees")


def placed(name: str, estimate: float, computed: float, verdict: Verdict = "agrees") -> Result:
    """A result at a place of the plot, all ranges 0.2 wide on either side."""
    base = result(name)
    return replace(
        base,
        estimate=replace(
            base.estimate,
            gap_kcal_mol=estimate,
            low_kcal_mol=estimate - 0.2,
            high_kcal_mol=estimate + 0.2,
        ),
        gaps=replace(base.gaps, gibbs_kcal_mol=computed),
        comparison=replace(
            base.comparison,
            difference_kcal_mol=computed - estimate,
            computed_low_kcal_mol=computed - 0.2,
            computed_high_kcal_mol=computed + 0.2,
        ),
        headline=standing(base, verdict),
    )


def without_estimate(name: str) -> Result:
    base = result(name)
    return replace(
        base, estimate=replace(base.estimate, gap_kcal_mol=None, low_kcal_mol=None, high_kcal_mol=None)
    )


def scales(root: Element) -> tuple[np.ndarray, np.ndarray]:
    """Straight lines px -> kcal/mol across and upwards, from numbers of the axes and places of the ticks."""
    ticks = [
        (float(each.attrib["x"]), float(each.attrib["y"]))
        for each in root.iter()
        if tag(each) == "use" and each.attrib["class"] == "fill-ink"
    ]
    foot = max(y for _, y in ticks)
    side = min(x for x, _ in ticks)
    numbers = [
        (float(text.replace("−", "-")), place)
        for text, place in placed_texts(root)
        if re.fullmatch(r"−?\d+\.?\d*", text)
    ]
    across = sorted(x for x, y in ticks if y == foot)
    upwards = sorted((y for x, y in ticks if x == side), reverse=True)
    below = sorted(value for value, (_, y) in numbers if y > foot)
    beside = sorted(value for value, (x, _) in numbers if x < side)
    assert len(across) == len(below) and len(upwards) == len(beside) >= 3
    return np.polyfit(across, below, 1), np.polyfit(upwards, beside, 1)


def marks(root: Element, kind: str) -> list[Point]:
    """(estimate, computed) of the marks of one class; the one in the legend, left of and above all, first."""
    across, upwards = scales(root)
    return [
        (
            float(np.polyval(across, float(each.attrib["x"]))),
            float(np.polyval(upwards, float(each.attrib["y"]))),
        )
        for each in root.iter()
        if tag(each) == "use" and each.attrib["class"] == kind
    ]


def test_marks_stand_at_estimate_and_computed_gap() -> None:
    chosen: list[tuple[float, float, Verdict]] = [
        (1.74, 1.5, "agrees"),
        (0.6, -0.4, "disagrees"),
        (0.1, 0.05, "undecided"),
        (2.9, 4.1, "not comparable"),
        (-0.5, -0.9, "agrees"),
    ]
    results = [placed(f"m{number}", *place) for number, place in enumerate(chosen)]
    root = sound(comparison_picture(outcome(*results)), links=True)
    for verdict, kind in CLASSES.items():
        expected = [(x, y) for x, y, told in chosen if told == verdict]
        found = marks(root, kind)
        assert len(found) == len(expected) + 1  # the legend's own
        for place in expected:
            assert min(np.hypot(x - place[0], y - place[1]) for x, y in found) < 0.01
        assert f"{len(expected)} {VERDICTS[verdict].counted}" in texts(root)


def test_shapes_tell_verdicts_apart_without_colour() -> None:
    verdicts: list[Verdict] = ["agrees", "disagrees", "undecided", "not comparable"]
    results = [placed(told, 1.0, 1.0 + number, told) for number, told in enumerate(verdicts)]
    root = sound(comparison_picture(outcome(*results)), links=True)
    shapes = {each.attrib["id"]: each.attrib["d"] for each in root.iter() if "id" in each.attrib}
    used = {
        kind: {
            shapes[each.attrib["href"].removeprefix("#")]
            for each in root.iter()
            if tag(each) == "use" and each.attrib["class"] == kind
        }
        for kind in CLASSES.values()
    }
    assert all(len(each) == 1 for each in used.values())
    assert len({shape for each in used.values() for shape in each}) == 4


def test_what_has_no_place_is_left_out_and_counted() -> None:
    no_gap = result("no chair B")
    no_gap = replace(no_gap, gaps=replace(no_gap.gaps, gibbs_kcal_mol=None))
    study = outcome(result(), symmetric_result(), without_estimate("odd"), no_gap)
    picture = comparison_picture(study)
    assert "Left out: 1 equal by symmetry, 2 without a complete estimate or a computed gap." in picture.alt
    root = sound(picture, links=True)
    assert any("left out: 1 equal by symmetry, 2 without" in text for text in texts(root))
    # The counts in the legend are of the points, those above the table on the page of all molecules.
    assert {"1 of 4 molecules drawn", "1 agree"} <= set(texts(root))
    assert len(marks(root, "fill-agrees")) == 2


@pytest.mark.parametrize("results", [(symmetric_result(),), (without_estimate("odd"),)])
def test_a_study_without_points_is_an_empty_plot_with_its_line(results: tuple[Result, ...]) -> None:
    picture = comparison_picture(outcome(*results))
    root = sound(picture, links=True)
    assert ": no molecule." in picture.alt
    assert not any(marks(root, kind) for kind in CLASSES.values())
    assert "0.0" in texts(root)


def test_one_point() -> None:
    picture = comparison_picture(outcome(placed("alone", 1.74, 1.5)))
    assert "hand estimate of G(B) − G(A), kcal/mol (line: range of the table)" in texts(
        sound(picture, links=True)
    )
    assert "1 agree; mean absolute difference 0.24 kcal/mol" in picture.alt
    assert "Furthest from the line: alone, computed +1.50, estimate +1.74 kcal/mol." in picture.alt
    assert any(text.startswith("−0.24 alone") for text in texts(sound(picture, links=True)))


def test_the_furthest_are_named_apart_from_each_other() -> None:
    """Twelve points with nearly the same computed gap: the seven with the largest difference, one below the
    other."""
    results = [placed(f"molecule {number}", 0.2 * number, 2.0 + 0.001 * number) for number in range(12)]
    root = sound(comparison_picture(outcome(*results)), links=True)
    named = {text.split(" ", 1)[1]: place for text, place in placed_texts(root) if " molecule " in text}
    by_difference = sorted(range(12), key=lambda number: -abs(2.0 + 0.001 * number - 0.2 * number))
    assert set(named) == {f"molecule {number}" for number in by_difference[:7]}
    # Letters of 12 px.
    assert np.diff(sorted(y for _, y in named.values())).min() > 12.0


def test_a_large_study_stays_small_and_keeps_its_counts() -> None:
    rng = np.random.default_rng(11)
    verdicts: list[Verdict] = ["agrees", "disagrees", "undecided", "not comparable"]
    base = result()
    results = []
    for number in range(6000):
        x, y = (float(each) for each in rng.normal(1.0, 1.5, 2))
        told = verdicts[number % 4]
        results.append(
            replace(
                base,
                estimate=replace(base.estimate, gap_kcal_mol=x, low_kcal_mol=x - 0.1, high_kcal_mol=x + 0.1),
                gaps=replace(base.gaps, gibbs_kcal_mol=y),
                headline=standing(base, told),
            )
        )
    for count in (500, 6000):
        picture = comparison_picture(outcome(*results[:count]))
        assert len(picture.svg) < 300_000
        root = sound(picture, links=True)
        assert f"{count // 4} agree" in texts(root)
        assert not any("range" in text or "uncertainty" in text for text in texts(root))
    across, _ = scales(root)
    # Every molecule has a mark within 2 % of the width of the panel.
    span = abs(np.polyval(across, 450.0) - np.polyval(across, 55.0))
    drawn = np.array(marks(root, "fill-agrees"))
    for one in results[:400:4]:
        place = (one.estimate.gap_kcal_mol, one.gaps.gibbs_kcal_mol)
        assert np.abs(drawn - place).max(axis=1).min() < 0.02 * span


def test_identifiers_are_unique_and_every_link_has_its_end() -> None:
    root = sound(comparison_picture(outcome(result(), polar_result())), links=True)
    names = [each.attrib["id"] for each in root.iter() if "id" in each.attrib]
    links = {each.attrib["href"].removeprefix("#") for each in root.iter() if "href" in each.attrib}
    assert len(set(names)) == len(names)
    assert links == set(names)


def test_names_are_text_and_bytes_are_the_same_twice() -> None:
    odd = placed('<script>$x^2$</script> & "\n', 1.0, 3.0)
    picture = comparison_picture(outcome(odd))
    assert "<script" not in picture.svg
    assert any('<script>$x^2$</script> & "' in text for text in texts(sound(picture, links=True)))
    assert picture == comparison_picture(outcome(odd))
