"""Hand-made flips, to test what is shown of them: straight lines from chair to chair, energies invented."""

from dataclasses import replace
from pathlib import Path

import numpy as np

from chairgap.drawings.conformer_view import onlooker
from chairgap.flip.kept import KEPT, kept_bytes, kept_groups
from chairgap.records import FlipLevel, FlipLevels, KeptFlip, KeptFrame, Result
from chairgap.report.digest import lowest_in_chair
from chairgap.shape.canonical import ring_shape
from chairgap.shape.positions import ligand_positions

STEPS = 12


def made_flip(result: Result) -> KeptFlip:
    """From the lowest conformer of chair A to that of chair B, the top half-way."""
    molecule, topology, (chair_a, chair_b) = result.molecule, result.molecule.topology, result.chairs
    ends = [lowest_in_chair(result.conformers, letter) for letter in ("A", "B")]
    one, other = (end.minimum.positions for end in ends if end is not None)

    def frame(step: int) -> KeptFrame:
        share = step / STEPS
        positions = (1.0 - share) * one + share * other
        shape = ring_shape(positions[topology.ring])
        ring = positions[topology.ring]
        seen = (positions - ring.mean(axis=0)) @ onlooker(ring).T
        return KeptFrame(
            positions=tuple((x, y, z) for x, y, z in seen.tolist()),
            energy_kcal_mol=10.0 - 10.0 * abs(1.0 - 2.0 * share) + 0.5 * share,
            theta_deg=shape.theta_deg,
            phi_deg=shape.phi_deg,
            family=shape.family,
            form=shape.form,
            place={0: "minimum 1", STEPS // 2: "saddle 1", STEPS: "minimum 2"}.get(step, ""),
            stands=tuple(
                it.position for it in ligand_positions(topology, positions, shape) if it.group != "H"
            ),
        )

    return KeptFlip(
        smiles=molecule.smiles,
        groups_by_face=molecule.numbered_groups,
        levels=FlipLevels(
            molecule=molecule.name,
            model="MMFF94",
            temperature_k=298.15,
            chairs=(chair_a.name, chair_b.name),
            path=(
                level("minimum", f"chair A\n{chair_a.name}", 0.0),
                level("saddle", "half-chair\n1H2", 10.25),
                level("minimum", f"chair B\n{chair_b.name}", 0.5),
            ),
            barriers_kcal_mol=(10.0, 9.5),
            note="",
        ),
        north="A" if chair_a.odd_up_axial else "B",
        symbols=topology.symbols,
        bonds=tuple((first, second) for first, second in topology.bonds.tolist()),
        ring=tuple(topology.ring.tolist()),
        groups=kept_groups(topology),
        frames=tuple(map(frame, range(STEPS + 1))),
        map=tuple(
            (theta, phi, 10.0 * float(np.sin(np.radians(theta))) ** 2 + 0.01 * phi)
            for theta in np.arange(0.0, 181.0, 15.0).tolist()
            for phi in (np.arange(0.0, 360.0, 30.0).tolist() if 0.0 < theta < 180.0 else (0.0,))
        ),
    )


def level(kind: str, name: str, energy_kcal_mol: float) -> FlipLevel:
    return FlipLevel(
        kind="minimum" if kind == "minimum" else "saddle",
        name=name,
        potential_kcal_mol=energy_kcal_mol,
        enthalpy_kcal_mol=energy_kcal_mol,
        gibbs_kcal_mol=energy_kcal_mol,
    )


def without_path(kept: KeptFlip) -> KeptFlip:
    """The same flip, but that its chairs were not joined."""
    levels = replace(kept.levels, path=(), barriers_kcal_mol=None, note="The saddles do not join the chairs.")
    return replace(kept, frames=(), levels=levels)


def put_flip(study_folder: Path, kept: KeptFlip, name: str = "") -> Path:
    """The file of a flip in the folder of a study, in flip/ or a folder of this name in there."""
    folder = study_folder / "flip" / name
    folder.mkdir(parents=True, exist_ok=True)
    (folder / KEPT).write_bytes(kept_bytes(kept))
    return folder / KEPT
