"""Writes a ring flip into a folder."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from chairgap.drawings.flip_levels import flip_levels, levels_of
from chairgap.drawings.picture import alone
from chairgap.files import OutputFolder, write_files
from chairgap.flip.kept import KEPT, kept_bytes, kept_flip
from chairgap.flip.report.dynamics import (
    DYNAMICS,
    THETA_PROFILE,
    dynamics_lines,
    theta_profile_figure,
)
from chairgap.flip.report.sphere import sphere_figure
from chairgap.flip.report.tables import MAP, PATH, STATIONARY, FlipTables, joined
from chairgap.flip.report.text import flip_text
from chairgap.molecule.sdf import sdf_block
from chairgap.records import (
    DynamicsReport,
    Flip,
    FlipMinimum,
    FlipSaddle,
    Minimum,
    PathFrame,
    Saddle,
    SpherePoint,
    ThetaProfile,
)
from chairgap.report.canvas import figure_bytes
from chairgap.text import one_line
from chairgap.units import fixed

# Of these, what was computed.
FILES = (
    *("flip.md", KEPT, "stationary.csv", "stationary.sdf", "map.csv"),
    *("path.csv", "path.sdf", "path.xyz", "profile.svg"),
    *("dynamics.csv", "theta_profile.csv"),
    *(f"{name}.{form}" for name in ("map", "theta_profile") for form in ("svg", "png")),
)


@dataclass(frozen=True, kw_only=True)
class FlipResults:
    """All that is written of one molecule; what was not asked for is None or empty."""

    flip: Flip
    frames: tuple[PathFrame, ...]
    points: tuple[SpherePoint, ...]
    dynamics: DynamicsReport | None
    profile: ThetaProfile | None


def write_flip(results: FlipResults, model: str, output: OutputFolder) -> tuple[Path, ...]:
    """Tables, report, figures (SVG, maps and curves also PNG), the path as SDF and XYZ with many models.

    Figures and frames of a path are left out when there is none. All or none are written. Raises InputError
    for a file that is not overwritten, ChairgapError when writing fails.
    """
    flip, frames, points = results.flip, results.frames, results.points
    dynamics = dynamics_lines(results.dynamics) if results.dynamics else []
    tables = FlipTables(flip=flip, model=model, frames=frames, points=points)
    contents = {
        "flip.md": flip_text(flip, model, dynamics).encode(),
        KEPT: kept_bytes(kept_flip(flip, frames, points, model)),
        "stationary.csv": STATIONARY.csv_text(tables).encode(),
        "stationary.sdf": _stationary_sdf(flip).encode(),
        "map.csv": MAP.csv_text(tables).encode(),
    }
    figures = {"map": sphere_figure(flip, points, frames, model)}
    if frames:
        contents["path.csv"] = PATH.csv_text(tables).encode()
        contents["path.sdf"] = _sdf(flip, frames).encode()
        contents["path.xyz"] = _xyz(flip, frames).encode()
        contents["profile.svg"] = alone(flip_levels(levels_of(flip, model))).encode()
    if results.dynamics:
        contents["dynamics.csv"] = DYNAMICS.csv_text(results.dynamics).encode()
    if results.profile:
        contents["theta_profile.csv"] = THETA_PROFILE.csv_text(results.profile).encode()
        figures["theta_profile"] = theta_profile_figure(flip, results.profile)
    for name, figure in figures.items():
        contents[f"{name}.svg"] = figure_bytes(figure, "svg")
        contents[f"{name}.png"] = figure_bytes(figure, "png")
    return write_files(output, contents)


def _stationary_sdf(flip: Flip) -> str:
    """Every minimum and every saddle, on the path or off it, in the order and with the numbers of
    stationary.csv."""
    floor = flip.minima[0].minimum.energy_kcal_mol
    points: list[tuple[str, FlipMinimum | FlipSaddle, Minimum | Saddle, dict[str, str]]] = [
        *(("minimum", item, item.minimum, {}) for item in flip.minima),
        *(("saddle", item, item.saddle, {"joins": joined(item.ends)}) for item in flip.saddles),
    ]
    return "".join(
        sdf_block(
            flip.molecule,
            point.positions,
            {
                "kind": kind,
                "number": str(item.number),
                "ring_form": item.shape.form,
                **own,
                "potential_energy_above_lowest_minimum_kcal_mol": fixed(point.energy_kcal_mol - floor, 4),
            },
        )
        for kind, item, point, own in points
    )


def _sdf(flip: Flip, frames: Sequence[PathFrame]) -> str:
    floor = flip.minima[0].minimum.energy_kcal_mol
    return "".join(
        sdf_block(
            flip.molecule,
            frame.positions,
            {
                "frame": str(number),
                "step": frame.step,
                "place": frame.place or "between",
                "potential_energy_above_lowest_minimum_kcal_mol": fixed(frame.energy_kcal_mol - floor, 4),
                "cremer_pople_theta_deg": fixed(frame.shape.theta_deg, 2),
                "cremer_pople_phi_deg": fixed(frame.shape.phi_deg, 2),
            },
        )
        for number, frame in enumerate(frames, start=1)
    )


def _xyz(flip: Flip, frames: Sequence[PathFrame]) -> str:
    """The plain XYZ form: count, comment, one line for each atom (common practice, no source)."""
    symbols = flip.molecule.topology.symbols
    floor, name = flip.minima[0].minimum.energy_kcal_mol, one_line(flip.molecule.name)
    lines: list[str] = []
    for number, frame in enumerate(frames, start=1):
        energy = fixed(frame.energy_kcal_mol - floor, 4)
        place = f", {frame.place}" if frame.place else ""
        lines += [str(len(symbols)), f"{name}, frame {number}, {frame.step}{place}, E {energy} kcal/mol"]
        for symbol, (x, y, z) in zip(symbols, frame.positions.tolist(), strict=True):
            lines.append(f"{symbol} {x:.6f} {y:.6f} {z:.6f}")
    return "\n".join(lines) + "\n"
