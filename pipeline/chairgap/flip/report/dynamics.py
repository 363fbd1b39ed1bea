"""dynamics.csv, theta_profile.csv and its figure, and the lines that go with them."""

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from chairgap.drawings.picture import LIGHT
from chairgap.records import DynamicsReport, Flip, ThetaProfile
from chairgap.report.canvas import blank_figure, in_house_style
from chairgap.report.columns import Table, number, text
from chairgap.text import one_line

if TYPE_CHECKING:
    from matplotlib.figure import Figure

# Below this, block errors stay too small whatever the block (measured against the scatter over seeds).
_FEW_FLIPS = 10


class _Family(NamedTuple):
    """A family of ring shapes: fraction of time, its error and the harmonic population, of 1."""

    temperature_k: float
    name: str
    fraction: float
    error: float
    harmonic: float


def _families(report: DynamicsReport) -> tuple[_Family, ...]:
    kelvin = report.temperature_k
    return (
        _Family(kelvin, "chair A", report.fraction_a, report.error_a, report.harmonic_a),
        _Family(kelvin, "chair B", report.fraction_b, report.error_b, report.harmonic_b),
        _Family(kelvin, "non-chair", report.fraction_other, report.error_other, report.harmonic_other),
    )


DYNAMICS: Table[DynamicsReport, _Family] = Table(
    rows=_families,
    columns=(
        text("ring_family", lambda row: row.name),
        number("temperature", "k", lambda row: row.temperature_k),
        number("fraction_of_time", "percent", lambda row: 100.0 * row.fraction),
        number("standard_error", "percent", lambda row: 100.0 * row.error),
        number("classical_harmonic_population", "percent", lambda row: 100.0 * row.harmonic),
    ),
)


class _Place(NamedTuple):
    """A place of the profile."""

    temperature_k: float
    theta_deg: float
    free_energy_kcal_mol: float
    per_area_kcal_mol: float
    error_kcal_mol: float


def _places(profile: ThetaProfile) -> Iterator[_Place]:
    curves = (profile.free_energy_kcal_mol, profile.per_area_kcal_mol, profile.error_kcal_mol)
    for values in np.column_stack([profile.theta_deg, *curves]).tolist():
        yield _Place(profile.temperature_k, *values)


# Both free energies have their lowest value at 0.
THETA_PROFILE: Table[ThetaProfile, _Place] = Table(
    rows=_places,
    columns=(
        number("cremer_pople_theta", "deg", lambda row: row.theta_deg),
        number("temperature", "k", lambda row: row.temperature_k),
        number("free_energy_along_theta", "kcal_mol", lambda row: row.free_energy_kcal_mol),
        number("free_energy_per_area_of_the_sphere", "kcal_mol", lambda row: row.per_area_kcal_mol),
        number("standard_error_over_runs", "kcal_mol", lambda row: row.error_kcal_mol),
    ),
)


@in_house_style
def theta_profile_figure(flip: Flip, profile: ThetaProfile) -> "Figure":
    """Both free energies against theta, with the band of the standard error over the runs."""
    figure = blank_figure(7.0, 4.6)
    axes = figure.subplots()
    theta, low = profile.theta_deg, profile.free_energy_kcal_mol
    axes.fill_between(
        theta, low - profile.error_kcal_mol, low + profile.error_kcal_mol, color=LIGHT["axial"], alpha=0.2
    )
    axes.plot(theta, low, color=LIGHT["axial"], label="−RT ln p(θ)")
    axes.plot(
        theta,
        profile.per_area_kcal_mol,
        color=LIGHT["equatorial"],
        linestyle="--",
        label="the same per area of the sphere: + RT ln sin(θ)",
    )
    axes.set(xlabel="Cremer-Pople θ, °", ylabel="free energy, kcal/mol", xlim=(0.0, 180.0))
    figure.legend(loc="outside lower center", ncols=2)
    axes.set_title(
        f"{one_line(flip.molecule.name)}: free energy along θ at {profile.temperature_k:.0f} K,\n"
        f"metadynamics, {profile.runs} runs of {profile.steps} steps; band: standard error",
    )
    return figure


def dynamics_lines(report: DynamicsReport) -> list[str]:
    """What the dynamics says, against the classical harmonic populations."""
    phrase = "; ".join(
        f"{name} {100 * fraction:.0f} +- {100 * error:.0f} % (harmonic {100 * harmonic:.0f} %)"
        for _, name, fraction, error, harmonic in _families(report)
    )
    length_ps = report.steps * report.step_fs / 1000.0
    few = report.flips < _FEW_FLIPS
    return [
        f"Dynamics at {report.temperature_k:.0f} K, {length_ps:g} ps, seed {report.seed}: {phrase}; "
        f"{report.flips} flips from chair to chair; kinetic temperature "
        f"{report.kinetic_temperature_k:.0f} K.",
        *(["Too few flips for reliable error bars: give more steps."] if few else []),
        "Harmonic: classical oscillators at the minima, which fail where the ring moves far from a minimum.",
    ]
