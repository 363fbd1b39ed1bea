"""stationary.csv, path.csv and map.csv of a ring flip."""

from collections.abc import Iterable, Sequence

import numpy as np
import pandas as pd

from chairgap.records import Flip, FlipMinimum, FlipSaddle, Floats, PathFrame, SpherePoint
from chairgap.report.cells import Row, frame_of
from chairgap.shape.contacts import dihedral_deg
from chairgap.shape.puckering import displacements

# A ring bond counts as eclipsed when its ring torsion is below this (our own limit).
ECLIPSED_DEG = 15.0
# Carbons bent less than this out of the mean plane have no flagpole (our own limit).
_BENT_ANGSTROM = 0.25

STATIONARY_HEADERS = (
    "model",
    "kind",
    "number",
    "ring_form",
    "ring_family",
    "chair",
    "joins",
    "runs_down_to_minima",
    "potential_energy_above_lowest_minimum_kcal_mol_positive_less_stable",
    "enthalpy_above_lowest_minimum_kcal_mol_positive_less_stable",
    "gibbs_energy_above_lowest_minimum_kcal_mol_positive_less_stable",
    "temperature_k",
    "cremer_pople_q_angstrom",
    "cremer_pople_theta_deg",
    "cremer_pople_phi_deg",
    "ring_torsions_deg",
    "eclipsed_ring_bonds",
    "flagpole_distance_angstrom",
    "imaginary_frequency_cm1",
    "lowest_real_frequency_cm1",
    "gradient_rms_kcal_mol_per_angstrom",
)

PATH_HEADERS = (
    "model",
    "step",
    "frame",
    "place",
    "potential_energy_above_lowest_minimum_kcal_mol_positive_less_stable",
    "cremer_pople_q_angstrom",
    "cremer_pople_theta_deg",
    "cremer_pople_phi_deg",
    "nearest_ring_form",
)

MAP_HEADERS = (
    "model",
    "cremer_pople_theta_deg",
    "cremer_pople_phi_deg",
    "cremer_pople_q_angstrom",
    "potential_energy_above_lowest_minimum_kcal_mol_positive_less_stable",
    "difference_between_walks_kcal_mol",
    "walks",
)


def stationary_frame(flip: Flip, model: str) -> pd.DataFrame:
    """One row per minimum and per saddle, each kind by rising potential energy."""
    rows = [_minimum_row(flip, item) for item in flip.minima]
    rows += [_saddle_row(flip, item) for item in flip.saddles]
    head: Row = {"model": model}
    return frame_of((head | row for row in rows), STATIONARY_HEADERS)


def _minimum_row(flip: Flip, item: FlipMinimum) -> Row:
    minimum = item.minimum
    return _energies(flip, minimum.energy_kcal_mol, item.enthalpy_kcal_mol, item.gibbs_kcal_mol) | {
        "kind": "minimum",
        "number": item.number,
        "ring_form": item.shape.form,
        "ring_family": item.shape.family,
        "chair": item.chair,
        **_shape(flip, minimum.positions),
        "cremer_pople_q_angstrom": item.shape.q_angstrom,
        "cremer_pople_theta_deg": item.shape.theta_deg,
        "cremer_pople_phi_deg": item.shape.phi_deg,
        "lowest_real_frequency_cm1": float(minimum.frequencies_cm1[0]),
        "gradient_rms_kcal_mol_per_angstrom": minimum.gradient_rms_kcal_mol_angstrom,
    }


def _saddle_row(flip: Flip, item: FlipSaddle) -> Row:
    saddle = item.saddle
    return _energies(flip, saddle.energy_kcal_mol, item.enthalpy_kcal_mol, item.gibbs_kcal_mol) | {
        "kind": "saddle",
        "number": item.number,
        "ring_form": item.shape.form,
        "ring_family": item.shape.family,
        "joins": " and ".join(item.joins),
        "runs_down_to_minima": " and ".join(map(str, item.ends)),
        **_shape(flip, saddle.positions),
        "cremer_pople_q_angstrom": item.shape.q_angstrom,
        "cremer_pople_theta_deg": item.shape.theta_deg,
        "cremer_pople_phi_deg": item.shape.phi_deg,
        "imaginary_frequency_cm1": float(saddle.frequencies_cm1[0]),
        "lowest_real_frequency_cm1": float(saddle.frequencies_cm1[1]),
        "gradient_rms_kcal_mol_per_angstrom": saddle.gradient_rms_kcal_mol_angstrom,
    }


def _energies(flip: Flip, potential: float, enthalpy: float, gibbs: float) -> Row:
    floor = flip.minima[0]
    return {
        "potential_energy_above_lowest_minimum_kcal_mol_positive_less_stable": (
            potential - floor.minimum.energy_kcal_mol
        ),
        "enthalpy_above_lowest_minimum_kcal_mol_positive_less_stable": enthalpy - floor.enthalpy_kcal_mol,
        "gibbs_energy_above_lowest_minimum_kcal_mol_positive_less_stable": gibbs - floor.gibbs_kcal_mol,
        "temperature_k": flip.temperature_k,
    }


def ring_torsions_deg(ring: Floats) -> list[float]:
    """The six torsions of ring (6, 3), along C1-C2, C2-C3 ... C6-C1."""
    return [dihedral_deg(ring[[(k + step) % 6 for step in (-1, 0, 1, 2)]]) for k in range(6)]


def _shape(flip: Flip, positions: Floats) -> Row:
    torsions = ring_torsions_deg(positions[flip.molecule.topology.ring])
    eclipsed = [f"C{k + 1}-C{(k + 1) % 6 + 1}" for k in range(6) if abs(torsions[k]) < ECLIPSED_DEG]
    return {
        "ring_torsions_deg": "; ".join(f"{torsion:.1f}" for torsion in torsions),
        "eclipsed_ring_bonds": "; ".join(eclipsed),
        "flagpole_distance_angstrom": flagpole_distance_angstrom(flip, positions),
    }


def flagpole_distance_angstrom(flip: Flip, positions: Floats) -> float | None:
    """Distance of the two first atoms that point inwards over a boat, from opposite carbons bent to one side;
    None for rings in which no opposite pair is bent to one side by 0.25 angstrom each (chairs)."""
    carbons = flip.molecule.topology.carbons
    z = displacements(positions[flip.molecule.topology.ring])
    found = []
    for k in range(3):
        one, other = z[k], z[k + 3]
        if min(abs(one), abs(other)) < _BENT_ANGSTROM or one * other < 0.0:
            continue
        pair = [(carbons[i].up if one > 0.0 else carbons[i].down).atom for i in (k, k + 3)]
        found.append(float(np.linalg.norm(positions[pair[0]] - positions[pair[1]])))
    return min(found, default=None)


def path_frame(flip: Flip, frames: Sequence[PathFrame], model: str) -> pd.DataFrame:
    """One row per geometry of the path, in its order."""
    floor = flip.minima[0].minimum.energy_kcal_mol
    return frame_of(
        (
            {
                "model": model,
                "step": frame.step,
                "frame": number,
                "place": frame.place,
                "potential_energy_above_lowest_minimum_kcal_mol_positive_less_stable": (
                    frame.energy_kcal_mol - floor
                ),
                "cremer_pople_q_angstrom": frame.shape.q_angstrom,
                "cremer_pople_theta_deg": frame.shape.theta_deg,
                "cremer_pople_phi_deg": frame.shape.phi_deg,
                "nearest_ring_form": frame.shape.form,
            }
            for number, frame in enumerate(frames, start=1)
        ),
        PATH_HEADERS,
    )


def map_frame(points: Iterable[SpherePoint], model: str) -> pd.DataFrame:
    """One row per place of the sphere, by rising theta and phi."""
    return frame_of(
        (
            {
                "model": model,
                "cremer_pople_theta_deg": point.theta_deg,
                "cremer_pople_phi_deg": point.phi_deg,
                "cremer_pople_q_angstrom": point.q_angstrom,
                "potential_energy_above_lowest_minimum_kcal_mol_positive_less_stable": point.energy_kcal_mol,
                "difference_between_walks_kcal_mol": point.spread_kcal_mol,
                "walks": point.walks,
            }
            for point in points
        ),
        MAP_HEADERS,
    )
