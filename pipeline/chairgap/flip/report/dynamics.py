"""dynamics.csv, theta_profile.csv and its figure, and the lines that go with them."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from chairgap.records import DynamicsReport, Flip, ThetaProfile
from chairgap.report.canvas import blank_figure
from chairgap.report.columns import Table, number, text
from chairgap.text import one_line

if TYPE_CHECKING:
    from matplotlib.figure import Figure

# Below this, block errors stay too small whatever the block (measured against the scatter over seeds).
_FEW_FLIPS = 10


def _families(report: DynamicsReport) -> tuple[tuple[str, float, float, float], ...]:
    """Name, fraction of time, its error and the harmonic population of each family."""
    return (
        ("chair A", report.fraction_a, report.error_a, report.harmonic_a),
        ("chair B", report.fraction_b, report.error_b, report.harmonic_b),
        ("non-chair", report.fraction_other, report.error_other, report.harmonic_other),
    )


@dataclass(frozen=True, kw_only=True)
class _FamilyRow:
    """A family of ring shapes: fractions of 1."""

    report: DynamicsReport
    name: str
    fraction: float
    error: float
    harmonic: float


DYNAMICS: Table[DynamicsReport, _FamilyRow] = Table(
    rows=lambda report: (
        _FamilyRow(report=report, name=name, fraction=fraction, error=error, harmonic=harmonic)
        for name, fraction, error, harmonic in _families(report)
    ),
    columns=(
        text("ring_family", lambda row: row.name),
        number("temperature", "k", lambda row: row.report.temperature_k),
        number("fraction_of_time", "percent", lambda row: 100.0 * row.fraction),
        number("standard_error", "percent", lambda row: 100.0 * row.error),
        number("classical_harmonic_population", "percent", lambda row: 100.0 * row.harmonic),
    ),
)


@dataclass(frozen=True, kw_only=True)
class _ThetaRow:
    """A place of the profile."""

    profile: ThetaProfile
    index: int


# Both free energies have their lowest value at 0.
THETA_PROFILE: Table[ThetaProfile, _ThetaRow] = Table(
    rows=lambda profile: (_ThetaRow(profile=profile, index=index) for index in range(len(profile.theta_deg))),
    columns=(
        number("cremer_pople_theta", "deg", lambda row: float(row.profile.theta_deg[row.index])),
        number("temperature", "k", lambda row: row.profile.temperature_k),
        number(
            "free_energy_along_theta",
            "kcal_mol",
            lambda row: float(row.profile.free_energy_kcal_mol[row.index]),
        ),
        number(
            "free_energy_per_area_of_the_sphere",
            "kcal_mol",
            lambda row: float(row.profile.per_area_kcal_mol[row.index]),
        ),
        number(
            "standard_error_over_runs", "kcal_mol", lambda row: float(row.profile.error_kcal_mol[row.index])
        ),
    ),
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
