"""The figures of a flip: chairs at their poles, a legend, names clear of the path; colours in two readers."""

import re
from xml.etree import ElementTree

import numpy as np
import pytest

from chairgap.drawings.lettering import as_text, form_runs
from chairgap.flip.frames import path_frames
from chairgap.flip.report.dynamics import theta_profile_figure
from chairgap.flip.report.sphere import sphere_figure
from chairgap.records import Flip, PathFrame, SpherePoint, ThetaProfile
from chairgap.report.canvas import figure_bytes
from chairgap.shape.canonical import CANONICAL_FORMS
from flip_helpers import flipped
from svg_readers import READERS, rgb

# The energy is made up: only where things stand is tested.
POINTS = tuple(
    SpherePoint(
        theta_deg=theta,
        phi_deg=phi,
        q_angstrom=0.6,
        energy_kcal_mol=10.0 * np.sin(np.radians(theta)) ** 2 + 0.01 * phi,
        spread_kcal_mol=0.0,
        walks=1,
    )
    for theta in np.arange(0.0, 181.0, 15.0)
    for phi in (np.arange(0.0, 360.0, 30.0) if 0.0 < theta < 180.0 else (0.0,))
)


def flip_and_frames() -> tuple[Flip, tuple[PathFrame, ...]]:
    flip, ground = flipped("1 up CH3")
    return flip, path_frames(flip, ground)


def test_the_chairs_stand_at_their_poles() -> None:
    """Theta near 0 means that the upper ligands of carbons 1, 3, 5 are axial: chair B of '1 up CH3'."""
    flip, frames = flip_and_frames()
    north, south, _ = sphere_figure(flip, POINTS, frames, "MMFF94").get_axes()
    told = [
        [text.get_text() for text in axes.texts if text.get_text().startswith("chair")]
        for axes in (north, south)
    ]
    assert told == [["chair B, ¹C₄\n1a"], ["chair A, ⁴C₁\n1e"]]
    assert [axes.get_title() for axes in (north, south)] == ["θ 0° to 90°", "θ 90° to 180°"]


def test_every_form_is_named_once_on_each_half_clear_of_the_path() -> None:
    flip, frames = flip_and_frames()
    for number, axes in enumerate(sphere_figure(flip, POINTS, frames, "MMFF94").get_axes()[:2]):
        forms = [
            form
            for form in CANONICAL_FORMS
            if form.family != "chair" and (form.theta_deg < 90.5 if number == 0 else form.theta_deg > 89.5)
        ]
        names = {as_text(form_runs(form.label)) for form in forms}
        texts = [text for text in axes.texts if not text.get_text().startswith("chair")]
        assert {text.get_text() for text in texts} == names and len(texts) == len(names) == 24
        path = np.concatenate([line.get_xydata() for line in axes.get_lines() if line.get_linewidth() == 2.0])
        path = path[np.isfinite(path).all(axis=1)]
        assert len(path) > 10
        for text in texts:
            assert np.hypot(*(path - text.get_position()).T).min() > 0.08, text.get_text()


def test_the_legend_names_every_mark() -> None:
    flip, frames = flip_and_frames()
    (legend,) = sphere_figure(flip, POINTS, frames, "MMFF94").legends
    words = [text.get_text() for text in legend.get_texts()]
    assert words == ["lowest path from chair to chair", "minimum on it", "saddle point on it"]
    (without,) = sphere_figure(flip, POINTS, (), "MMFF94").legends
    assert not without.get_texts() and "B boat" in without.get_title().get_text()


def made_profile() -> ThetaProfile:
    theta = np.linspace(2.0, 178.0, 45)
    return ThetaProfile(
        temperature_k=1000.0,
        theta_deg=theta,
        free_energy_kcal_mol=6.0 * np.sin(np.radians(theta)) ** 2,
        per_area_kcal_mol=5.0 * np.sin(np.radians(theta)) ** 2,
        error_kcal_mol=np.full(45, 0.3),
        runs=3,
        steps=1000,
    )


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("name", ["map", "profile along theta"])
def test_the_figures_have_our_colours_and_letters_of_12_px(name: str, reader: str) -> None:
    flip, frames = flip_and_frames()
    figure = (
        sphere_figure(flip, POINTS, frames, "MMFF94")
        if name == "map"
        else theta_profile_figure(flip, made_profile())
    )
    svg = figure_bytes(figure, "svg").decode()
    seen = READERS[reader](svg)
    assert {tuple(seen[y, x].tolist()) for y in (3, -4) for x in (3, -4)} == {rgb("paper")}
    for colour in ("ink", "disagrees" if name == "map" else "axial"):
        assert (seen == rgb(colour)).all(axis=-1).sum() > 25, colour
    assert not (seen == (0, 0, 0)).all(axis=-1).any()
    # Points; of these 0.75 are a px at 100 %.
    sizes = [
        float(one or other)
        for one, other in re.findall(r"font-size: ([\d.]+)px|font: (?:\w+ )*([\d.]+)px", svg)
    ]
    assert sizes and min(sizes) >= 9.0
    assert ElementTree.fromstring(svg).attrib["width"].endswith("pt")
