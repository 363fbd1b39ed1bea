"""The map of ring shapes: both hemispheres of the Cremer-Pople sphere, equal areas, with the 38 forms."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from chairgap.drawings.ring_shapes import on_disc
from chairgap.records import Flip, Floats, PathFrame, SpherePoint
from chairgap.report.canvas import blank_figure
from chairgap.shape.canonical import CANONICAL_FORMS
from chairgap.shape.pucker_vector import on_sphere
from chairgap.text import one_line

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.contour import QuadContourSet
    from matplotlib.figure import Figure

# Perceptually uniform from dark to light, legible for colour-blind readers and in grey.
_COLOURS = "cividis"
_NEAR_EQUATOR_DEG = 96.0
_LABEL_SIZES = {"chair": 10.0, "twist-boat": 7.5, "boat": 7.5, "half-chair": 6.5, "envelope": 6.5}


def sphere_figure(
    flip: Flip, points: Sequence[SpherePoint], frames: Sequence[PathFrame], model: str
) -> "Figure":
    """Energy as filled contours with lines, the names of the 38 forms, and the path as a line with dots."""
    figure = blank_figure(11.5, 5.8)
    north, south = figure.subplots(1, 2)
    energies = np.array([point.energy_kcal_mol for point in points])
    levels = np.arange(0.0, np.ceil(energies.max()) + 1.0, 1.0)
    for axes, is_north in ((north, True), (south, False)):
        filled = _hemisphere(axes, points, levels, north=is_north)
        _labels(axes, north=is_north)
        _path(axes, frames, north=is_north)
        side = "0 (chair 1C4) to 90" if is_north else "90 to 180 (chair 4C1)"
        axes.set_title(f"theta {side} degrees", fontsize=10)
    bar = figure.colorbar(filled, ax=(north, south), shrink=0.75, pad=0.02)
    bar.set_label("potential energy above the lowest minimum, kcal/mol")
    figure.suptitle(
        f"{one_line(flip.molecule.name)}: ring shapes, {model}, gas phase; Q relaxed; line: lowest path",
        fontsize=11,
    )
    return figure


def _smooth(points: Sequence[SpherePoint], theta_deg: Floats, phi_deg: Floats) -> Floats:
    """The energy between the places of the map: a cubic radial function through all of them."""
    from scipy.interpolate import RBFInterpolator

    here = on_sphere(
        1.0, np.array([point.theta_deg for point in points]), np.array([point.phi_deg for point in points])
    )
    through = RBFInterpolator(here, np.array([point.energy_kcal_mol for point in points]), kernel="cubic")
    energies: Floats = through(on_sphere(1.0, theta_deg.ravel(), phi_deg.ravel())).reshape(theta_deg.shape)
    return energies


def _hemisphere(
    axes: "Axes", points: Sequence[SpherePoint], levels: Floats, *, north: bool
) -> "QuadContourSet":
    span = np.linspace(0.0, 90.0, 46) if north else np.linspace(180.0, 90.0, 46)
    theta, phi = np.meshgrid(span, np.linspace(0.0, 360.0, 121), indexing="ij")
    energy = np.maximum(_smooth(points, theta, phi), 0.0)
    x, y = on_disc(theta, phi, north=north)
    filled = axes.contourf(x, y, energy, levels=levels, cmap=_COLOURS, extend="max")
    axes.contour(x, y, energy, levels=levels, colors="white", linewidths=0.4)
    circle = np.linspace(0.0, 2.0 * np.pi, 181)
    axes.plot(np.cos(circle), np.sin(circle), color="black", linewidth=0.8)
    axes.set(aspect="equal", xlim=(-1.22, 1.22), ylim=(-1.22, 1.22))
    axes.set_axis_off()
    return filled


def _labels(axes: "Axes", *, north: bool) -> None:
    for form in CANONICAL_FORMS:
        if form.theta_deg > 90.5 if north else form.theta_deg < 89.5:
            continue
        x, y = on_disc(np.array(form.theta_deg), np.array(form.phi_deg), north=north)
        rim = abs(form.theta_deg - 90.0) < 1.0
        away = 1.1 if rim else 1.0
        lower = 0.11 if form.family == "chair" else 0.0  # below the path's dot at the pole
        axes.text(
            float(x) * away,
            float(y) * away - lower,
            form.label,
            fontsize=_LABEL_SIZES[form.family],
            ha="center",
            va="center",
            color="black",
            bbox=None if rim else {"facecolor": "white", "alpha": 0.72, "edgecolor": "none", "pad": 0.6},
        )


def _path(axes: "Axes", frames: Sequence[PathFrame], *, north: bool) -> None:
    """The path's frames on this hemisphere, broken where it leaves; dots at its minima and saddles."""
    if not frames:
        return
    theta = np.array([frame.shape.theta_deg for frame in frames])
    phi = np.array([frame.shape.phi_deg for frame in frames])
    x, y = on_disc(theta, phi, north=north)
    shrink = np.minimum(1.0, 1.0 / np.maximum(np.hypot(x, y), 1e-9))  # the equator belongs to both discs
    x, y = x * shrink, y * shrink
    here = theta <= _NEAR_EQUATOR_DEG if north else theta >= 180.0 - _NEAR_EQUATOR_DEG
    x, y = np.where(here, x, np.nan), np.where(here, y, np.nan)
    axes.plot(x, y, color="white", linewidth=3.4, zorder=3)
    axes.plot(x, y, color="#c1121f", linewidth=1.8, zorder=4)
    for kind, marker in (("minimum", "o"), ("saddle", "^")):
        marked = [index for index, frame in enumerate(frames) if frame.place.startswith(kind)]
        axes.plot(
            x[marked],
            y[marked],
            linestyle="none",
            marker=marker,
            markersize=7,
            markerfacecolor="#c1121f",
            markeredgecolor="white",
            zorder=5,
        )
