"""Criteria that look at structures: ring shapes, symmetry, charges, hydrogen bonds, dipoles, flat groups."""

from collections.abc import Iterator

import numpy as np

from chairgap.compare.domain import net_charge
from chairgap.compare.reasons.apolar import apolar_reasons
from chairgap.compare.reasons.case import Case
from chairgap.records import Conformer, Floats, Reason, Topology
from chairgap.shape.contacts import dihedral_deg
from chairgap.shape.hydrogen_bonds import hydrogen_bonds
from chairgap.units import signed

CHARGED = "charged-groups"
MISSING = "missing-table-value"
DIPOLE = "solvent-or-dipole"
NON_CHAIR_SHARE = 0.05
DIPOLES_DIFFER_DEBYE = 1.0
TURNED_DEG = 30.0

# Three bonds within this of one plane: the sum of the angles at a flat atom is 360 degrees.
_FLAT_WITHIN_DEG = 3.0


def early_structure_reasons(case: Case) -> Iterator[Reason]:
    """Those that question the comparison itself."""
    yield from _twist_boat(case)
    yield from _chair_missing(case)
    yield from _charged(case)
    if case.gaps.equal_by_symmetry:
        yield Reason(
            code="equal-by-symmetry", evidence="the two chairs are identical or mirror images; gap 0"
        )
    yield from _missing(case)


def structure_reasons(case: Case) -> Iterator[Reason]:
    """Those that say what differs between the best conformers of the two chairs."""
    if case.gaps.equal_by_symmetry:
        return
    yield from _hydrogen_bond(case)
    yield from apolar_reasons(case)
    yield from _dipole(case)
    yield from _flat_groups(case)


def _twist_boat(case: Case) -> Iterator[Reason]:
    lead, share = case.gaps.to_non_chair_kcal_mol, case.gaps.population_non_chair
    below = lead is not None and lead < 0.0
    if below or share >= NON_CHAIR_SHARE:
        energy = (
            ""
            if lead is None
            else f"best non-chair {signed(lead)} kcal/mol (potential) against the best chair, "
        )
        yield Reason(
            code="twist-boat-intrudes",
            evidence=f"{energy}non-chair share {100.0 * share:.0f} % at {case.temperature_k:.2f} K",
        )


def _chair_missing(case: Case) -> Iterator[Reason]:
    absent = [chair.name for chair in case.chairs if case.best(chair.letter) is None]
    if absent:
        yield Reason(
            code="chair-missing", evidence="no minimum found for chair " + " and chair ".join(absent)
        )


def _charged(case: Case) -> Iterator[Reason]:
    charged = sorted({ligand.group for _, ligand in case.topology.groups if net_charge(ligand.fragment)})
    if charged:
        yield Reason(
            code=CHARGED,
            evidence=f"{', '.join(charged)}: the computation is of the bare ions, A-values are of solutions",
        )


def _missing(case: Case) -> Iterator[Reason]:
    estimate = case.estimate
    if estimate.complete:
        return
    chairs = sorted({term.chair for term in estimate.terms if term.value_kcal_mol is None})
    where = f" (in chair {' and '.join(chairs)})" if chairs else ""
    yield Reason(code=MISSING, evidence=f"no published value for {'; '.join(estimate.missing)}{where}")


def _hydrogen_bond(case: Case) -> Iterator[Reason]:
    best = case.both_best()
    if best is None:
        return
    found = [hydrogen_bonds(case.topology, item.minimum.positions) for item in best]
    if len(found[0]) == len(found[1]):
        return
    side = 0 if len(found[0]) > len(found[1]) else 1
    length, angle = min(found[side])
    yield Reason(
        code="internal-hydrogen-bond",
        evidence=(
            f"best conformer of chair {case.chairs[side].name} has {len(found[side])}, "
            f"of the other {len(found[1 - side])}; "
            f"shortest H...Y {length:.2f} angstrom at {angle:.0f} degrees"
        ),
    )


def _dipole(case: Case) -> Iterator[Reason]:
    best = case.both_best()
    if best is None:
        return
    one, other = best[0].dipole_debye, best[1].dipole_debye
    if one is None or other is None or abs(other - one) < DIPOLES_DIFFER_DEBYE:
        return
    names = [chair.name for chair in case.chairs]
    yield Reason(
        code=DIPOLE,
        evidence=(
            f"dipole {one:.1f} D in chair {names[0]}, {other:.1f} D in chair {names[1]} "
            f"({case.topology.charges_from} charges): a polar solvent favours the larger"
        ),
    )


def _flat_groups(case: Case) -> Iterator[Reason]:
    best = case.both_best()
    if best is None:
        return
    phrases = []
    for locant, ligand in case.topology.groups:
        angles = [plane_turn_deg(case.topology, item, locant, ligand.atom) for item in best]
        one, other = angles
        if one is not None and other is not None and abs(one - other) >= TURNED_DEG:
            phrases.append(f"{ligand.group} on C{locant} {one:.0f} and {other:.0f} degrees")
    if phrases:
        yield Reason(
            code="flat-group-rotation",
            evidence="plane of the group against its ring carbon's other bond, in chair A and B: "
            + "; ".join(phrases),
        )


def plane_turn_deg(topology: Topology, conformer: Conformer, locant: int, atom: int) -> float | None:
    """Angle, 0 to 90 degrees, by which the plane of a flat group is turned out of the plane that holds the
    ring carbon, the group and the carbon's other ligand (for one group: its hydrogen). None when the group
    is not flat: its first atom then has no three bonds in one plane.
    """
    positions = conformer.minimum.positions
    carbon = topology.carbons[locant - 1]
    beyond = [
        int(b if a == atom else a) for a, b in topology.bonds if atom in (a, b) and carbon.atom not in (a, b)
    ]
    other = next(ligand.atom for ligand in carbon.ligands if ligand.atom != atom)
    if len(beyond) != 2 or not _is_flat(positions, atom, [carbon.atom, *beyond]):
        return None
    turns = [abs(dihedral_deg(positions[[other, carbon.atom, atom, end]])) for end in beyond]
    return min(min(turn, 180.0 - turn) for turn in turns)


def _is_flat(positions: Floats, centre: int, around: list[int]) -> bool:
    arms = positions[around] - positions[centre]
    arms = arms / np.linalg.norm(arms, axis=1)[:, None]
    cosines = np.clip([arms[0] @ arms[1], arms[1] @ arms[2], arms[2] @ arms[0]], -1.0, 1.0)
    return float(np.degrees(np.arccos(cosines)).sum()) > 360.0 - _FLAT_WITHIN_DEG
