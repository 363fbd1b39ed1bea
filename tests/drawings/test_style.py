"""Every text is large enough, no drawing too wide, and every colour is readable: contrast ratio by WCAG 2.1,
success criterion 1.4.3 (4.5:1 for text), with the relative luminance of its glossary."""

import re

import pytest
from every_kind import KINDS

from chairgap.drawings.picture import DARK, LIGHT, STYLE
from svg_helpers import sound, tag, texts


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


@pytest.mark.parametrize(("colours", "least"), [(LIGHT, 7.0), (DARK, 4.5)], ids=["light", "dark"])
def test_every_colour_is_readable_on_its_paper(colours: dict[str, str], least: float) -> None:
    """In light by criterion 1.4.6 as well (7:1)."""
    ratios = {name: contrast(colour, colours["paper"]) for name, colour in colours.items() if name != "paper"}
    assert {name: ratio for name, ratio in ratios.items() if ratio < least} == {}


def test_light_and_dark_know_the_same_names_and_the_style_has_a_class_for_each() -> None:
    assert LIGHT.keys() == DARK.keys()
    assert all(f".line-{name}{{" in STYLE and f".fill-{name}{{" in STYLE for name in LIGHT)


@pytest.mark.parametrize("kind", KINDS)
def test_letters_are_12_px_and_more(kind: str) -> None:
    """Raised and lowered digits are smaller, as in print; nothing else is."""
    for element in sound(KINDS[kind]()).iter():
        if tag(element) == "text":
            assert float(element.attrib["font-size"]) >= 12.0, "".join(element.itertext())


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind != "frames"])
def test_drawings_are_narrow_enough_for_half_a_page(kind: str) -> None:
    """The empty frames are for printing."""
    assert KINDS[kind]().width_px <= 650.0


@pytest.mark.parametrize("kind", KINDS)
def test_numbers_have_a_true_minus(kind: str) -> None:
    picture = KINDS[kind]()
    assert not re.search(r"(?<![\w)])-\d", "\n".join(texts(sound(picture))))
    assert not re.search(r"−0\.0+(?!\d)", picture.svg)
