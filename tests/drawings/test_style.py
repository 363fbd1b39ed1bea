"""Every colour is readable: contrast ratio by WCAG 2.1, success criterion 1.4.3 (4.5:1 for text),
with the relative luminance of its glossary."""

import pytest

from chairgap.drawings.picture import DARK, LIGHT, STYLE


def _luminance(colour: str) -> float:
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, two: str) -> float:
    low, high = sorted((_luminance(one), _luminance(two)))
    return (high + 0.05) / (low + 0.05)


def test_the_formula_by_known_values() -> None:
    """Black on white is 21:1 (WCAG 2.1 glossary, contrast ratio); #767676 is the lightest grey that passes on
    white (common practice, no source)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#767676", "#ffffff") >= 4.5 > contrast("#777777", "#ffffff")


@pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])
def test_every_colour_is_readable_on_its_paper(colours: dict[str, str]) -> None:
    ratios = {name: contrast(colour, colours["paper"]) for name, colour in colours.items() if name != "paper"}
    assert {name: ratio for name, ratio in ratios.items() if ratio < 4.5} == {}


def test_light_and_dark_know_the_same_names_and_the_style_has_a_class_for_each() -> None:
    assert LIGHT.keys() == DARK.keys()
    assert all(f".line-{name}{{" in STYLE and f".fill-{name}{{" in STYLE for name in LIGHT)
