"""dynamics.csv, theta_profile.csv and its figure, and the lines that go with them."""

from typing import TYPE_CHECKING

import pandas as pd

from chairgap.records import DynamicsReport, Flip, ThetaProfile
from chairgap.report.canvas import blank_figure
from chairgap.report.cells import frame_of
from chairgap.text import one_line

if TYPE_CHECKING:
    from matplotlib.figure import Figure

DYNAMICS_HEADERS = (
    "ring_family",
    "temperature_k",
    "fraction_of_time_percent",
    "standard_error_percent",
    "classical_harmonic_population_percent",
)
# Below this, block errors stay too small whatever the block (measured against the scatter over seeds).
_FEW_FLIPS = 10
PROFILE_HEADERS = (
    "cremer_pople_theta_deg",
    "temperature_k",
    "free_energy_along_theta_kcal_mol",
    "free_energy_per_area_of_the_sphere_kcal_mol",
    "standard_error_over_runs_kcal_mol",
)


def _families(report: DynamicsReport) -> tuple[tuple[str, float, float, float], ...]:
    """Name, fraction of time, its error and the harmonic population of each family."""
    return (
        ("chair A", report.fraction_a, report.error_a, report.harmonic_a),
        ("chair B", report.fraction_b, report.error_b, report.harmonic_b),
        ("non-chair", report.fraction_other, report.error_other, report.harmonic_other),
    )


def dynamics_frame(report: DynamicsReport) -> pd.DataFrame:
    """One row for each family of ring shapes."""
    return frame_of(
        (
            {
                "ring_family": name,
                "temperature_k": report.temperature_k,
                "fraction_of_time_percent": 100.0 * fraction,
                "standard_error_percent": 100.0 * error,
                "classical_harmonic_population_percent": 100.0 * harmonic,
            }
            for name, fraction, error, harmonic in _families(report)
        ),
        DYNAMICS_HEADERS,
    )


def theta_profile_frame(profile: ThetaProfile) -> pd.DataFrame:
    """One row per theta; both free energies have their lowest value at 0."""
    columns = (
        profile.theta_deg.tolist(),
        profile.free_energy_kcal_mol.tolist(),
        profile.per_area_kcal_mol.tolist(),
        profile.error_kcal_mol.tolist(),
    )
    return frame_of(
        (
            dict(zip(PROFILE_HEADERS, (theta, profile.temperature_k, *values), strict=True))
            for theta, *values in zip(*columns, strict=True)
        ),
        PROFILE_HEADERS,
    )


def theta_profile_figure(flip: Flip, profile: ThetaProfile) -> "Figure":
    """Both free energies against theta, with the band of the standard error over the runs."""
    figure = blank_figure(7.0, 4.6)
    axes = figure.subplots()
    theta, low = profile.theta_deg, profile.free_energy_kcal_mol
    axes.fill_between(
        theta, low - profile.error_kcal_mol, low + profile.error_kcal_mol, color="#1b3a6b", alpha=0.2
    )
    axes.plot(theta, low, color="#1b3a6b", label="-RT ln p(theta)")
    axes.plot(
        theta,
        profile.per_area_kcal_mol,
        color="#d95f02",
        linestyle="--",
        label="the same per area of the sphere: + RT ln sin(theta)",
    )
    axes.set(xlabel="Cremer-Pople theta, degrees", ylabel="free energy, kcal/mol", xlim=(0.0, 180.0))
    figure.legend(loc="outside lower center", frameon=False, fontsize=9, ncols=2)
    axes.set_title(
        f"{one_line(flip.molecule.name)}: free energy along theta at {profile.temperature_k:.0f} K,\n"
        f"metadynamics, {profile.runs} runs of {profile.steps} steps; band: standard error",
        fontsize=10,
    )
    return figure


def dynamics_lines(report: DynamicsReport) -> list[str]:
    """What the dynamics says, against the classical harmonic populations."""
    phrase = "; ".join(
        f"{name} {100 * fraction:.0f} +- {100 * error:.0f} % (harmonic {100 * harmonic:.0f} %)"
        for name, fraction, error, harmonic in _families(report)
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
