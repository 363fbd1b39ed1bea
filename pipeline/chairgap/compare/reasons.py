"""Why estimate and computation differ: a closed list of codes, each given only when its criterion holds.

| code | criterion |
|---|---|
| twist-boat-intrudes | the best non-chair lies below the best chair, or non-chairs hold 5 % or more |
| chair-missing | a chair has no minimum on this surface |
| charged-groups | a group carries a net charge: gas-phase energy against A-values in solution |
| equal-by-symmetry | a feasible operation turns one chair into the other |
| missing-table-value | the ledger lacks a published value that does not cancel |
| geminal-non-additivity | two different groups share a carbon |
| single-group-error | computed gaps of the single groups minus their A-values add up to NOTEWORTHY or more |
| internal-hydrogen-bond | the best conformer of one chair has more X-H...Y contacts between groups |
| rotamer-entropy | ensemble and potential gaps differ by NOTEWORTHY or more |
| vibrations | Gibbs and ensemble gaps differ by NOTEWORTHY or more |
| within-error | the computed gap lies within the estimate's range |
"""

import re
from collections.abc import Mapping, Sequence

import numpy as np

from chairgap.records import Chair, Conformer, Estimate, Floats, Gaps, Reason, Topology
from chairgap.shape.contacts import ligand_atoms

CHARGED = "charged-groups"
NOTEWORTHY_KCAL_MOL = 0.2
_NON_CHAIR_SHARE = 0.05

# Geometric criterion of our own, looser in angle than the IUPAC recommendation (E. Arunan et al., Pure Appl.
# Chem. 2011, 83, 1637: preferably above 110 degrees), so that vicinal diols are seen.
_H_BOND_ANGSTROM = 2.5
_H_BOND_DEG = 100.0
_DONORS_ACCEPTORS = {"N", "O", "F", "Cl", "S"}


def find_reasons(
    topology: Topology,
    chairs: tuple[Chair, Chair],
    conformers: Sequence[Conformer],
    estimate: Estimate,
    gaps: Gaps,
    single_group_errors_kcal_mol: Mapping[str, float],
) -> tuple[Reason, ...]:
    """Reasons with their numbers, in the order of the table above.

    single_group_errors_kcal_mol: for each group, computed Gibbs gap of the monosubstituted ring minus its
    A-value, where known.
    """
    candidates = [
        _twist_boat(gaps),
        _chair_missing(chairs, conformers),
        _charged(topology),
        _symmetry(gaps),
        _missing(estimate),
        _geminal(estimate),
        _single_groups(chairs, gaps, single_group_errors_kcal_mol),
        _hydrogen_bond(topology, chairs, conformers),
        _between("rotamer-entropy", "ensemble", gaps.ensemble_kcal_mol, "potential", gaps.potential_kcal_mol),
        _between("vibrations", "Gibbs", gaps.gibbs_kcal_mol, "ensemble", gaps.ensemble_kcal_mol),
        _within(estimate, gaps),
    ]
    return tuple(reason for reason in candidates if reason is not None)


def _symmetry(gaps: Gaps) -> Reason | None:
    if not gaps.equal_by_symmetry:
        return None
    return Reason(code="equal-by-symmetry", evidence="the two chairs are identical or mirror images; gap 0")


def _charged(topology: Topology) -> Reason | None:
    charged = sorted({ligand.group for _, ligand in topology.groups if net_charge(ligand.fragment)})
    if not charged:
        return None
    return Reason(
        code=CHARGED,
        evidence=f"{', '.join(charged)}: the computation is of the bare ions in the gas phase",
    )


def net_charge(fragment: str) -> int:
    """Sum of the formal charges in a SMILES: those in brackets, +, -, ++, +2 and so on."""
    total = 0
    for signs, count in re.findall(r"\[[^\]]*?(\++|-+)(\d*)(?::\d+)?\]", fragment):
        size = int(count) if count else len(signs)
        total += size if signs[0] == "+" else -size
    return total


def _missing(estimate: Estimate) -> Reason | None:
    if estimate.complete:
        return None
    chairs = sorted({term.chair for term in estimate.terms if term.value_kcal_mol is None})
    where = f" (in chair {' and '.join(chairs)})" if chairs else ""
    return Reason(
        code="missing-table-value", evidence=f"no published value for {'; '.join(estimate.missing)}{where}"
    )


def _geminal(estimate: Estimate) -> Reason | None:
    if "geminal" not in estimate.flags:
        return None
    return Reason(code="geminal-non-additivity", evidence="A-values do not add for two groups on one carbon")


def _chair_missing(chairs: tuple[Chair, Chair], conformers: Sequence[Conformer]) -> Reason | None:
    absent = [
        chair.name
        for chair, held in zip(
            chairs,
            (any(c.copies_a for c in conformers), any(c.copies_b for c in conformers)),
            strict=True,
        )
        if not held
    ]
    if not absent:
        return None
    return Reason(code="chair-missing", evidence="no minimum found for chair " + " and chair ".join(absent))


def _twist_boat(gaps: Gaps) -> Reason | None:
    lead = gaps.to_non_chair_kcal_mol
    below = lead is not None and lead < 0.0
    if not below and gaps.population_non_chair < _NON_CHAIR_SHARE:
        return None
    energy = "" if lead is None else f"best non-chair {lead:+.2f} kcal/mol against the best chair, "
    return Reason(
        code="twist-boat-intrudes",
        evidence=f"{energy}non-chair share {100.0 * gaps.population_non_chair:.0f} %",
    )


def _between(code: str, name: str, value: float | None, other: str, base: float | None) -> Reason | None:
    if value is None or base is None or abs(value - base) < NOTEWORTHY_KCAL_MOL:
        return None
    return Reason(code=code, evidence=f"{name} minus {other} gap {value - base:+.2f} kcal/mol")


def hydrogen_bonds(topology: Topology, positions: Floats) -> tuple[tuple[float, float], ...]:
    """(H...Y angstrom, X-H...Y degrees) of each hydrogen bond between two different groups of the ring."""
    owner = np.full(len(topology.symbols), -1)
    for first, atoms in ligand_atoms(topology).items():
        owner[atoms] = first
    symbols = topology.symbols
    bonds = []
    for one, two in topology.bonds.tolist():
        for donor, hydrogen in ((one, two), (two, one)):
            if symbols[hydrogen] != "H" or symbols[donor] not in {"N", "O"}:
                continue
            for acceptor in range(len(symbols)):
                if symbols[acceptor] in _DONORS_ACCEPTORS and owner[acceptor] != owner[donor]:
                    bonds.append(_contact(positions, donor, hydrogen, acceptor))
    return tuple(
        (length, angle) for length, angle in bonds if length <= _H_BOND_ANGSTROM and angle >= _H_BOND_DEG
    )


def _contact(positions: Floats, donor: int, hydrogen: int, acceptor: int) -> tuple[float, float]:
    back = positions[donor] - positions[hydrogen]
    ahead = positions[acceptor] - positions[hydrogen]
    length = float(np.linalg.norm(ahead))
    cosine = float(back @ ahead) / (float(np.linalg.norm(back)) * length)
    return length, float(np.degrees(np.arccos(np.clip(cosine, -1.0, 1.0))))


def _hydrogen_bond(
    topology: Topology, chairs: tuple[Chair, Chair], conformers: Sequence[Conformer]
) -> Reason | None:
    best = [
        next((item for item in conformers if (item.copies_a, item.copies_b)[side]), None) for side in (0, 1)
    ]
    if best[0] is None or best[1] is None:
        return None
    found = [hydrogen_bonds(topology, item.minimum.positions) if item else () for item in best]
    if len(found[0]) == len(found[1]):
        return None
    side = 0 if len(found[0]) > len(found[1]) else 1
    length, angle = min(found[side])
    return Reason(
        code="internal-hydrogen-bond",
        evidence=(
            f"best conformer of chair {chairs[side].name} has {len(found[side])}, "
            f"of the other {len(found[1 - side])}; "
            f"shortest H...Y {length:.2f} angstrom at {angle:.0f} degrees"
        ),
    )


def _single_groups(chairs: tuple[Chair, Chair], gaps: Gaps, errors: Mapping[str, float]) -> Reason | None:
    if gaps.equal_by_symmetry:
        return None
    net: dict[str, int] = {}
    for chair, sign in zip(chairs, (-1, 1), strict=True):
        for group in chair.groups:
            if group.position == "axial":
                net[group.group] = net.get(group.group, 0) + sign
    parts = {group: count * errors[group] for group, count in net.items() if count and group in errors}
    if abs(sum(parts.values())) < NOTEWORTHY_KCAL_MOL:
        return None
    total = sum(parts.values())
    words = ", ".join(f"{group} {error:+.2f}" for group, error in parts.items())
    return Reason(
        code="single-group-error",
        evidence=f"each group alone already differs, computed minus A-value {total:+.2f} kcal/mol ({words})",
    )


def _within(estimate: Estimate, gaps: Gaps) -> Reason | None:
    low, high = estimate.low_kcal_mol, estimate.high_kcal_mol
    if gaps.equal_by_symmetry or not estimate.complete or gaps.gibbs_kcal_mol is None:
        return None
    if low is None or high is None or not low <= gaps.gibbs_kcal_mol <= high:
        return None
    return Reason(
        code="within-error",
        evidence=f"Gibbs gap {gaps.gibbs_kcal_mol:+.2f}, estimate's range {low:+.2f} to {high:+.2f} kcal/mol",
    )
