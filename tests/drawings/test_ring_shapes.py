"""The dial of ring shapes against the geometry of the sphere."""

import math
from dataclasses import replace

import numpy as np
import pytest

from chairgap.drawings.ring_shapes import ring_dial
from chairgap.records import Conformer
from chairgap.shape.canonical import CANONICAL_FORMS, ring_shape
from chairgap.shape.puckering import puckering, ring_from_puckering
from pipeline_helpers import CYCLOHEXANE, treated
from svg_helpers import Element, Point, sound, tag, texts

PATTERN = treated(CYCLOHEXANE).conformers[0]


def shaped(number: int, theta_deg: float, phi_deg: float, q_angstrom: float = 0.55) -> Conformer:
    shape = ring_shape(ring_from_puckering(q_angstrom, theta_deg, phi_deg))
    return replace(PATTERN, number=number, shape=shape)


def halves(root: Element) -> tuple[Point, Point, float]:
    """Centres of both discs, and their radius."""
    big = [each for each in root.iter() if tag(each) == "circle" and float(each.attrib["r"]) > 100.0]
    left, right = sorted((float(each.attrib["cx"]), float(each.attrib["cy"])) for each in big)
    return left, right, float(big[0].attrib["r"])


def marks(root: Element) -> list[tuple[str, Point]]:
    """(class and shape, place) of the marks, the legend's left out: it lies below the discs."""
    (_, level), _, radius = halves(root)
    found = []
    for each in root.iter():
        looks = f"{tag(each)} {each.attrib.get('class', '').split('-')[0]}"
        if tag(each) == "circle" and float(each.attrib["r"]) < 10.0:
            found.append((looks, (float(each.attrib["cx"]), float(each.attrib["cy"]))))
        if tag(each) == "rect":
            half = float(each.attrib["width"]) / 2.0
            found.append((looks, (float(each.attrib["x"]) + half, float(each.attrib["y"]) + half)))
    return [(looks, place) for looks, place in found if place[1] < level + radius + 10.0]


def test_ideal_chairs_are_the_poles() -> None:
    root = sound(ring_dial([shaped(1, 0.0, 0.0), shaped(2, 180.0, 0.0)]))
    left, right, _ = halves(root)
    assert [place for _, place in marks(root)] == [pytest.approx(left), pytest.approx(right)]


def test_boats_and_twist_boats_are_on_the_equator() -> None:
    """By definition of the sphere (Cremer and Pople 1975): all of them have theta 90 degrees."""
    forms = [form for form in CANONICAL_FORMS if form.family in ("boat", "twist-boat")]
    root = sound(
        ring_dial([shaped(number, 90.0, form.phi_deg, 0.7) for number, form in enumerate(forms, start=1)])
    )
    left, right, radius = halves(root)
    assert len(forms) == len(marks(root)) == 12
    for _, place in marks(root):
        assert min(math.dist(place, centre) for centre in (left, right)) == pytest.approx(radius, abs=0.02)


@pytest.mark.parametrize("theta_deg", [20.0, 60.0, 89.0, 91.0, 130.0, 175.0])
@pytest.mark.parametrize("phi_deg", [0.0, 100.0, 275.0])
def test_areas_are_those_of_the_sphere(theta_deg: float, phi_deg: float) -> None:
    """A cap has the share 1 - cos(theta) of the hemisphere (Archimedes); so has its disc of the disc."""
    root = sound(ring_dial([shaped(1, theta_deg, phi_deg)]))
    left, right, radius = halves(root)
    ((_, place),) = marks(root)
    centre, cosine = (left, math.cos(math.radians(theta_deg))), (right, -math.cos(math.radians(theta_deg)))
    (middle, height) = centre if theta_deg <= 90.0 else cosine
    assert (math.dist(place, middle) / radius) ** 2 == pytest.approx(1.0 - height, abs=2e-3)
    turn = math.degrees(math.atan2(middle[1] - place[1], place[0] - middle[0])) % 360.0
    expected = phi_deg if theta_deg <= 90.0 else (180.0 - phi_deg) % 360.0
    assert abs((turn - expected + 180.0) % 360.0 - 180.0) < 0.1


def test_real_conformers_stand_where_their_rings_are() -> None:
    result = treated("1 up CH3, 2 down CH3")
    picture = ring_dial(result.conformers)
    root = sound(picture)
    for one in result.conformers:
        q, theta, phi = puckering(one.minimum.positions[result.molecule.topology.ring])
        assert f"Q {q:.3f} angstrom, theta {theta:.1f}, phi {phi:.1f} degrees" in picture.alt
    assert len(marks(root)) == len(result.conformers)


def test_families_have_marks_of_their_own() -> None:
    shapes = [(0.0, 0.0), (90.0, 30.0), (90.0, 0.0), (54.7, 0.0)]
    root = sound(ring_dial([shaped(number, *shape) for number, shape in enumerate(shapes, start=1)]))
    assert len({looks for looks, _ in marks(root)}) == 4
    assert {"chair", "twist-boat", "boat", "envelope"} <= set(texts(root))


def test_marks_that_lie_together_share_a_label() -> None:
    near = [shaped(number, 2.0 + 0.1 * number, 40.0) for number in range(1, 6)]
    shown = texts(sound(ring_dial([*near, shaped(7, 90.0, 30.0)])))
    assert "1-5" in shown
    assert shown.count("7") == 1


def test_many_conformers_and_none() -> None:
    rng = np.random.default_rng(5)
    many = [shaped(number, *rng.uniform((0.0, 0.0), (180.0, 360.0))) for number in range(1, 61)]
    picture = ring_dial(many)
    assert len(marks(sound(picture))) == 60
    assert picture.alt.endswith("and 47 more.")
    assert picture == ring_dial(many)
    assert "no conformer" in ring_dial([]).alt
    sound(ring_dial([]))


@pytest.mark.parametrize("groups_by_face", ["1 up CH3", "2 up CH3", "1 up CH3, 2 up OH"])
def test_the_middles_are_named_by_their_chairs(groups_by_face: str) -> None:
    """Theta near 0 means that the upper ligands of carbons 1, 3, 5 are axial."""
    result = treated(groups_by_face)
    shown = texts(sound(ring_dial(result.conformers)))
    for chair in result.chairs:
        span, form = ("0° to 90°", "1C4") if chair.odd_up_axial else ("90° to 180°", "4C1")
        assert f"θ {span}; middle: chair {chair.letter}, {form}" in shown
