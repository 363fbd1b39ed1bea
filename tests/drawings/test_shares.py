"""The bar of populations."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from chairgap.drawings.shares import population_bar
from svg_helpers import Element, having, sound, texts

NAMES = ("1e", "1a")


def spans(root: Element) -> dict[str, tuple[float, float]]:
    """(x, width) in percent of each part; its rects must agree."""
    found: dict[str, set[tuple[float, float]]] = {}
    for rect in having(root, "data-part"):
        x, width = (float(rect.attrib[name].removesuffix("%")) for name in ("x", "width"))
        found.setdefault(rect.attrib["data-part"], set()).add((x, width))
    return {part: places.pop() for part, places in found.items() if len(places) == 1}


@given(st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_widths_are_the_shares_one_behind_the_other(first: float, second: float) -> None:
    a, b = first, (1.0 - first) * second
    other = max(0.0, 1.0 - a - b)
    parts = spans(sound(population_bar(a, b, other, NAMES)))
    expected = {"A": (0.0, a), "B": (a, b), "other": (a + b, other)}
    assert parts.keys() == expected.keys()
    for part, place in expected.items():
        assert parts[part] == pytest.approx([100.0 * each for each in place], abs=1e-3)


def test_a_thousandth_is_reported_and_drawn() -> None:
    picture = population_bar(0.998, 0.001, 0.001, NAMES)
    root = sound(picture)
    assert texts(root).count("0.1 %") == 2
    assert spans(root)["B"][1] == pytest.approx(0.1)
    assert "chair A (1e) 99.8 %, chair B (1a) 0.1 %, non-chair 0.1 %" in picture.alt


def test_what_rounds_away_is_reported_by_its_bound() -> None:
    shown = texts(sound(population_bar(0.9998, 0.0002, 0.0, NAMES)))
    assert {"above 99.9 %", "below 0.1 %", "0.0 %"} <= set(shown)


def test_the_three_parts_differ_without_colour() -> None:
    """Solid, pale with an edge, dots: seen by class, opacity and dashes of their rects."""
    root = sound(population_bar(0.5, 0.4, 0.1, NAMES))
    looks = {}
    for rect in having(root, "data-part"):
        kind = rect.attrib["class"].split("-")[0]
        look = (kind, rect.attrib.get("fill-opacity"), rect.attrib.get("stroke-dasharray"))
        looks.setdefault(rect.attrib["data-part"], []).append(look)
    assert len({tuple(look) for look in looks.values()}) == 3
    assert [letter.text for letter in having(root, "data-letter")] == ["A", "B"]


@pytest.mark.parametrize(
    "shares", [(0.5, 0.4, 0.0), (1.2, -0.2, 0.0), (0.0, 0.0, 0.0), (float("nan"), 0.5, 0.5)]
)
def test_shares_that_are_none_are_refused(shares: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="add up to 1"):
        population_bar(*shares, NAMES)


def test_names_are_text() -> None:
    picture = population_bar(0.5, 0.5, 0.0, ("<b>1e</b>", '"&'))
    assert "<b>1e</b>" in texts(sound(picture))
    assert picture == population_bar(0.5, 0.5, 0.0, ("<b>1e</b>", '"&'))
