"""The numbers of a molecule that the page computes and draws with."""

from chairgap.compare.thermochemistry import LOW_MODE_CM1, rotational
from chairgap.records import Conformer, Floats, Outcome, Result
from chairgap.report.digest import by_energy
from chairgap.report.words import chair_words, form_words
from chairgap.units import GAS_CONSTANT_KCAL_PER_MOL_K, KCAL_MOL_PER_CM1

SLIDER_LOW_K, SLIDER_HIGH_K = 100.0, 600.0


def constants(outcome: Outcome) -> dict[str, float]:
    """What the page needs to recompute Gibbs energies: units, the rule for low modes, temperatures."""
    at_k = outcome.study.settings.temperature_k
    return {
        "gas_constant_kcal_mol_k": GAS_CONSTANT_KCAL_PER_MOL_K,
        "kcal_mol_per_cm1": KCAL_MOL_PER_CM1,
        "low_mode_cm1": LOW_MODE_CM1,
        "temperature_k": at_k,
        "lowest_k": min(SLIDER_LOW_K, at_k),
        "highest_k": max(SLIDER_HIGH_K, at_k),
    }


def thermal_numbers(result: Result) -> list[dict[str, object]]:
    """For each conformer what its quasi-harmonic Gibbs energy at any temperature rests on: potential energy,
    ln q_rot at 1 K (it grows as 3/2 ln T), frequencies, degeneracies in chair A, chair B and neither."""
    masses_u = result.molecule.topology.masses_u
    return [
        {
            "energy_kcal_mol": round(item.minimum.energy_kcal_mol, 9),
            "ln_q_rot_1k": round(_ln_q_rot_1k(item.minimum.positions, masses_u), 10),
            # Rounded so far that a Gibbs energy moves by less than 1e-7 kcal/mol.
            "frequencies_cm1": [round(value, 5) for value in item.minimum.frequencies_cm1.tolist()],
            "degeneracy": [item.degeneracy_a, item.degeneracy_b, item.degeneracy_other],
        }
        for item in result.conformers
    ]


def _ln_q_rot_1k(positions: Floats, masses_u: Floats) -> float:
    return rotational(positions, masses_u, 1.0).entropy_kcal_mol_k / GAS_CONSTANT_KCAL_PER_MOL_K - 1.5


def shape_numbers(result: Result) -> dict[str, object]:
    """What the 3D view draws: symbols, bonds, ring atoms by ring carbon, the groups (never H) with their ring
    carbon, and for each conformer, by rising potential energy, its positions in angstrom and its groups."""
    topology = result.molecule.topology
    return {
        "symbols": list(topology.symbols),
        "bonds": topology.bonds.tolist(),
        "ring": topology.ring.tolist(),
        "ligands": [
            {"carbon": carbon.locant, "face": ligand.face, "atom": ligand.atom, "group": ligand.group}
            for carbon in topology.carbons
            for ligand in carbon.ligands
        ],
        "conformers": [_shape(result, item) for item in by_energy(result.conformers)],
    }


def _shape(result: Result, conformer: Conformer) -> dict[str, object]:
    return {
        "number": conformer.number,
        "words": f"{chair_words(result, conformer)}; {form_words(conformer)}",
        "positions": [[round(x, 3) for x in row] for row in conformer.minimum.positions.tolist()],
        "positions_of": {f"{item.carbon} {item.face}": item.position for item in conformer.ligands},
    }
