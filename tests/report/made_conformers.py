"""Hand-made rings and conformers for tests of layout. All numbers are invented."""

from dataclasses import replace

import numpy as np

from chairgap.records import (
    Conformer,
    EngineCheck,
    Ligand,
    LigandPosition,
    Minimum,
    RingCarbon,
    RingShape,
    Topology,
)
from chairgap.shape.chairs import position_in_chair

EMPTY = np.zeros((0, 4), dtype=np.int64)


def topology(groups: dict[tuple[int, str], str]) -> Topology:
    """Six ring carbons; `groups` maps (locant, face) to a group other than H."""
    carbons = tuple(
        RingCarbon(
            locant=locant,
            atom=locant - 1,
            up=ligand(4 + 2 * locant, "up", groups.get((locant, "up"), "H")),
            down=ligand(5 + 2 * locant, "down", groups.get((locant, "down"), "H")),
        )
        for locant in range(1, 7)
    )
    return Topology(
        symbols=("C",) * 18,
        masses_u=np.full(18, 12.0),
        bonds=np.zeros((0, 2), dtype=np.int64),
        carbons=carbons,
        labelled=np.arange(6),
        automorphisms=np.arange(18)[None, :],
        centres=EMPTY,
        stiff_bonds=EMPTY,
        charges_e=None,
        charges_from="",
    )


def ligand(atom: int, face: str, group: str) -> Ligand:
    return Ligand(atom=atom, face=face, group=group, fragment="*[H]" if group == "H" else "*C", mass_u=15.0)


def conformer(top: Topology, number: int, odd_up_axial: bool, **changes: object) -> Conformer:
    ligands = tuple(
        LigandPosition(
            carbon=carbon.locant,
            face=side.face,
            group=side.group,
            position=position_in_chair(carbon.locant, side.face, odd_up_axial),
            angle_deg=5.25 if position_in_chair(carbon.locant, side.face, odd_up_axial) == "axial" else 69.5,
        )
        for carbon in top.carbons
        for side in carbon.ligands
    )
    made = Conformer(
        number=number,
        minimum=Minimum(
            # In no line and no plane; x counts by threes.
            positions=np.array([(3.0 * k, k * k % 7.0, 5.0 * k % 11.0) for k in range(18)]),
            energy_kcal_mol=-3.0,
            gradient_rms_kcal_mol_angstrom=3.2e-6,
            frequencies_cm1=np.array([151.25, 230.0]),
            start="chair A, lattice 1",
        ),
        shape=RingShape(
            q_angstrom=0.5534,
            theta_deg=1.5,
            phi_deg=60.0,
            family="chair",
            form="4C1",
            distance_deg=1.5,
        ),
        chair="A",
        ligands=ligands,
        contacts=(),
        degeneracy_a=1,
        degeneracy_b=0,
        degeneracy_other=0,
        rotational_symmetry=1,
        mirror_images=1,
        enthalpy_kcal_mol=120.0,
        gibbs_kcal_mol=100.0,
        harmonic_gibbs_kcal_mol=99.5,
        dipole_debye=None,
        check=EngineCheck(
            energy_difference_kcal_mol=3e-12, gradient_difference_kcal_mol_angstrom=2e-11, note=""
        ),
    )
    return replace(made, **changes)
