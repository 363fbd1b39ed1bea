"""What the model says of a molecule at a temperature, from what it says at none."""

from dataclasses import fields

from chairgap.compare.gaps import compute_gaps
from chairgap.compare.thermochemistry import principal_moments, thermal_of_top
from chairgap.compare.uncertainty import late_shift_kcal_mol
from chairgap.records import Computation, Conformer, Ensemble, Floats, Species

_SAME_AT_ALL = tuple(item.name for item in fields(Species))


def at_temperature(ensemble: Ensemble, temperature_k: float, window_kcal_mol: float) -> Computation:
    """Conformers and gaps at a temperature; the window is that of the search (`late_shift_kcal_mol`)."""
    masses_u = ensemble.molecule.topology.masses_u
    conformers = tuple(_warm(item, masses_u, temperature_k) for item in ensemble.species)
    return Computation(
        molecule=ensemble.molecule,
        chairs=ensemble.chairs,
        conformers=conformers,
        search=ensemble.search,
        gaps=compute_gaps(conformers, temperature_k, equal_by_symmetry=ensemble.equal_by_symmetry),
        late_shift_kcal_mol=late_shift_kcal_mol(ensemble.search.late, window_kcal_mol, temperature_k),
    )


def _warm(species: Species, masses_u: Floats, temperature_k: float) -> Conformer:
    minimum = species.minimum
    state = (
        minimum.energy_kcal_mol,
        minimum.frequencies_cm1,
        principal_moments(minimum.positions, masses_u),
        temperature_k,
    )
    warm, stiff = thermal_of_top(*state), minimum.frequencies_cm1[0] > 0.0
    return Conformer(
        **{name: getattr(species, name) for name in _SAME_AT_ALL},
        enthalpy_kcal_mol=warm.enthalpy_kcal_mol,
        gibbs_kcal_mol=warm.gibbs_kcal_mol(temperature_k),
        harmonic_gibbs_kcal_mol=(
            thermal_of_top(*state, "harmonic").gibbs_kcal_mol(temperature_k) if stiff else None
        ),
    )
