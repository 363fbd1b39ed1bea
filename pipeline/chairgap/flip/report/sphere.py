"""The map of ring shapes: both hemispheres of the Cremer-Pople sphere, equal areas, with the 38 forms."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from chairgap.drawings.lettering import as_text, form_runs
from chairgap.drawings.marks import shortened
from chairgap.drawings.picture import LIGHT
from chairgap.drawings.ring_shapes import on_disc
from chairgap.records import Flip, Floats, PathFrame, SpherePoint
from chairgap.report.canvas import blank_figure, in_house_style
from chairgap.shape.canonical import CANONICAL_FORMS
from chairgap.shape.pucker_vector import on_sphere
from chairgap.text import one_line

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.contour import QuadContourSet
    from matplotlib.figure import Figure

# Perceptually uniform from dark to light, legible for colour-blind readers and in grey.
_COLOURS = "cividis"
NEAR_EQUATOR_DEG = 96.0
_PATH = LIGHT["disagrees"]
_FORM_PT, _POLE_PT = 9.0, 10.5
# A label nearer to the path than this is moved away from it, in radii of the disc.
_CLEAR = 0.13


@in_house_style
def sphere_figure(
    flip: Flip, points: Sequence[SpherePoint], frames: Sequence[PathFrame], model: str
) -> "Figure":
    """Energy as filled contours with lines, the names of the 38 forms, the two chairs at their poles, and the
    path as a line with its minima and saddles, named beside it; a legend below."""
    figure = blank_figure(10.0, 5.7)
    halves = figure.subplots(1, 2)
    energies = np.array([point.energy_kcal_mol for point in points])
    levels = np.arange(0.0, np.ceil(energies.max()) + 1.0, 1.0)
    for axes, north in zip(halves, (True, False), strict=True):
        filled = _hemisphere(axes, points, levels, north=north)
        drawn = _path(axes, frames, north=north)
        _labels(axes, drawn, north=north)
        _pole(axes, flip, north=north)
        axes.set_title(f"θ {'0° to 90°' if north else '90° to 180°'}")
    bar = figure.colorbar(filled, ax=halves, shrink=0.75, pad=0.02)
    bar.set_label("potential energy above the lowest minimum, kcal/mol")
    figure.suptitle(
        f"{one_line(flip.molecule.name)}: ring shapes by θ and φ (Q relaxed), {model}, gas phase",
        fontsize=11.0,
    )
    _legend(figure, path=bool(frames))
    return figure


def _legend(figure: "Figure", *, path: bool) -> None:
    """What the marks mean, and how forms are named."""
    from matplotlib.lines import Line2D

    handles = [Line2D([], [], color=_PATH, linewidth=2.0, label="lowest path from chair to chair")]
    for marker, phrase in (("o", "minimum on it"), ("^", "saddle point on it")):
        line = Line2D([], [], linestyle="none", marker=marker, markersize=8, label=phrase)
        line.set(markerfacecolor=_PATH, markeredgecolor="white")
        handles.append(line)
    forms = "C chair, B boat, S twist-boat, H half-chair, E envelope; raised atoms before the letter"
    figure.legend(
        handles=handles * path, title=forms, title_fontsize=_FORM_PT, loc="outside lower center", ncols=3
    )


def energies_between(points: tuple[Floats, Floats, Floats], theta_deg: Floats, phi_deg: Floats) -> Floats:
    """The energy between the places of a map, each (n,) theta, phi, energy: a cubic radial function through
    all of them."""
    from scipy.interpolate import RBFInterpolator

    theta, phi, energy = points
    through = RBFInterpolator(on_sphere(1.0, theta, phi), energy, kernel="cubic")
    energies: Floats = through(on_sphere(1.0, theta_deg.ravel(), phi_deg.ravel())).reshape(theta_deg.shape)
    return energies


def _hemisphere(
    axes: "Axes", points: Sequence[SpherePoint], levels: Floats, *, north: bool
) -> "QuadContourSet":
    span = np.linspace(0.0, 90.0, 46) if north else np.linspace(180.0, 90.0, 46)
    theta, phi = np.meshgrid(span, np.linspace(0.0, 360.0, 121), indexing="ij")
    places = np.array([(one.theta_deg, one.phi_deg, one.energy_kcal_mol) for one in points]).T
    energy = np.maximum(energies_between((places[0], places[1], places[2]), theta, phi), 0.0)
    x, y = on_disc(theta, phi, north=north)
    filled = axes.contourf(x, y, energy, levels=levels, cmap=_COLOURS, extend="max")
    axes.contour(x, y, energy, levels=levels, colors="white", linewidths=0.4)
    circle = np.linspace(0.0, 2.0 * np.pi, 181)
    axes.plot(np.cos(circle), np.sin(circle), color=LIGHT["ink"], linewidth=0.8)
    axes.set(aspect="equal", xlim=(-1.22, 1.22), ylim=(-1.22, 1.22))
    axes.set_axis_off()
    return filled


def _labels(axes: "Axes", path: Floats, *, north: bool) -> None:
    """The forms by name, clear of the path (p, 2) on this half; chairs are named by `_pole`."""
    for form in CANONICAL_FORMS:
        here = form.theta_deg <= 90.5 if north else form.theta_deg >= 89.5
        if form.family == "chair" or not here:
            continue
        x, y = on_disc(np.array(form.theta_deg), np.array(form.phi_deg), north=north)
        rim = abs(form.theta_deg - 90.0) < 1.0
        place = np.array([float(x), float(y)])
        across, upwards = (1.12 * place if rim else beside(place, path)).tolist()
        axes.text(
            across,
            upwards,
            as_text(form_runs(form.label)),
            fontsize=_FORM_PT,
            horizontalalignment="center",
            verticalalignment="center",
            bbox=None if rim else {"facecolor": "white", "alpha": 0.8, "edgecolor": "none", "pad": 0.8},
        )


def beside(place: Floats, path: Floats) -> Floats:
    """A place on the disc of radius 1, moved straight away from the path where that is too near."""
    if not len(path):
        return place
    away = place - path
    distances = np.hypot(*away.T)
    nearest = int(np.argmin(distances))
    if distances[nearest] >= _CLEAR:
        return place
    # A place on the line itself moves at right angles to it.
    before, after = path[max(nearest - 1, 0)], path[min(nearest + 1, len(path) - 1)]
    along = (after - before) / max(float(np.hypot(*(after - before))), 1e-9)
    moved: Floats = path[nearest] + _CLEAR * np.array([-along[1], along[0]])
    return moved


def _pole(axes: "Axes", flip: Flip, *, north: bool) -> None:
    """The chair of this half by its letter, its name and its form, below the dot of the path."""
    (chair,) = (chair for chair in flip.chairs if chair.odd_up_axial is north)
    form = "1C4" if north else "4C1"
    axes.text(
        0.0,
        -0.1,
        f"chair {chair.letter}, {as_text(form_runs(form))}\n{shortened(chair.name, 24)}",
        fontsize=_POLE_PT,
        horizontalalignment="center",
        verticalalignment="top",
        bbox={"facecolor": "white", "alpha": 0.85, "edgecolor": "none", "pad": 1.5},
        zorder=6,
    )


def _path(axes: "Axes", frames: Sequence[PathFrame], *, north: bool) -> Floats:
    """The path's frames on this hemisphere, broken where it leaves; dots at its minima and saddles. Gives the
    places (p, 2) of those that are drawn."""
    if not frames:
        return np.zeros((0, 2))
    theta = np.array([frame.shape.theta_deg for frame in frames])
    phi = np.array([frame.shape.phi_deg for frame in frames])
    x, y = on_disc(theta, phi, north=north)
    shrink = np.minimum(1.0, 1.0 / np.maximum(np.hypot(x, y), 1e-9))  # the equator belongs to both discs
    x, y = x * shrink, y * shrink
    here = theta <= NEAR_EQUATOR_DEG if north else theta >= 180.0 - NEAR_EQUATOR_DEG
    x, y = np.where(here, x, np.nan), np.where(here, y, np.nan)
    axes.plot(x, y, color="white", linewidth=3.8, zorder=3)
    axes.plot(x, y, color=_PATH, linewidth=2.0, zorder=4)
    for kind, marker in (("minimum", "o"), ("saddle", "^")):
        marked = [index for index, frame in enumerate(frames) if frame.place.startswith(kind)]
        axes.plot(
            x[marked],
            y[marked],
            linestyle="none",
            marker=marker,
            markersize=8,
            markerfacecolor=_PATH,
            markeredgecolor="white",
            zorder=5,
        )
    drawn: Floats = np.column_stack([x, y])[here]
    return drawn
