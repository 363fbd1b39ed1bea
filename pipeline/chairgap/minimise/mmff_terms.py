"""Every MMFF94 or MMFF94s parameter of one molecule, read from RDKit into plain arrays.

The force field: Halgren, J. Comput. Chem. 1996, 17, 490-519,
doi 10.1002/(SICI)1096-987X(199604)17:5/6<490::AID-JCC1>3.0.CO;2-P; its 's' variant: Halgren, J. Comput. Chem.
1999, 20, 720-729. RDKit assigns types, charges and parameters; the formulas stand with the engine that
evaluates them. Indices are 0-based atom indices; units are those of the papers (kcal/mol, angstrom, mdyn,
degree, elementary charge).
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from rdkit.Chem import GetDistanceMatrix, GetFormalCharge, HybridizationType, Mol
from rdkit.Chem.rdForceFieldHelpers import MMFFGetMoleculeProperties

from chairgap.errors import EngineError, MoleculeError
from chairgap.records import Floats, ForceField, Integers

# MMFF types with a straight bond angle: C of alkynes, nitriles and allenes (4), inner N of azides (53), N of
# isonitriles and diazonium ions (61). They have the flag 'linh' in the force field's table of atom
# properties (Halgren 1996, part I); RDKit holds that flag but does not show it.
LINEAR_TYPES = frozenset({4, 53, 61})

# Charges of atoms three bonds apart interact by three quarters (Halgren 1996, text to equation 13).
ONE_FOUR_SCALE = 0.75

# Bond charge increments have four decimals; an ion typed as a neutral atom is off by a whole charge.
_CHARGE_TOLERANCE_E = 0.01

_TURNING = (HybridizationType.SP2, HybridizationType.SP3)


@dataclass(frozen=True, kw_only=True)
class Stretches:
    """Quartic bond stretches: atoms (b, 2), force constant and reference length (b,)."""

    atoms: Integers
    force_mdyn_angstrom: Floats
    length_angstrom: Floats


@dataclass(frozen=True, kw_only=True)
class Bends:
    """Cubic angle bends: atoms (a, 3) with the centre in the middle, force constant, reference angle (a,)."""

    atoms: Integers
    force_mdyn_angstrom_rad2: Floats
    angle_deg: Floats


@dataclass(frozen=True, kw_only=True)
class LinearBends:
    """Bends at straight centres, whose reference is 180 degrees: atoms (c, 3), force constant (c,)."""

    atoms: Integers
    force_mdyn_angstrom_rad2: Floats


@dataclass(frozen=True, kw_only=True)
class StretchBends:
    """Coupling of a bend with its two bonds: atoms (s, 3) as in `Bends`; columns 0 and 1 of the force
    constants and reference lengths (s, 2) belong to the bonds atom 0 - atom 1 and atom 2 - atom 1."""

    atoms: Integers
    force_mdyn_rad: Floats
    length_angstrom: Floats
    angle_deg: Floats


@dataclass(frozen=True, kw_only=True)
class OutOfPlanes:
    """Wilson angles: atoms (o, 4) i, j, k, l for bond j-l against the plane i-j-k; force constant (o,)."""

    atoms: Integers
    force_mdyn_angstrom_rad2: Floats


@dataclass(frozen=True, kw_only=True)
class Torsions:
    """Threefold torsions: atoms (t, 4) along the chain; columns V1, V2, V3 (t, 3)."""

    atoms: Integers
    barrier_kcal_mol: Floats


@dataclass(frozen=True, kw_only=True)
class Pairs:
    """Nonbonded pairs, three or more bonds apart or in separate fragments: atoms (p, 2); R* and epsilon of
    the buffered 14-7 potential with any donor-acceptor scaling; product of charges with the 1-4 scale."""

    atoms: Integers
    radius_angstrom: Floats
    well_kcal_mol: Floats
    charges_e2: Floats


@dataclass(frozen=True, kw_only=True)
class MmffTerms:
    """All terms of a molecule with n atoms: MMFF types and partial charges (n,), and one list of each kind.

    Out-of-plane and torsion terms whose constants are all zero are left out.
    """

    force_field: ForceField
    types: Integers
    charges_e: Floats
    stretches: Stretches
    bends: Bends
    linear_bends: LinearBends
    stretch_bends: StretchBends
    out_of_planes: OutOfPlanes
    torsions: Torsions
    pairs: Pairs


def mmff_terms(rdmol: Mol, force_field: ForceField) -> MmffTerms:
    """All MMFF terms of a molecule with explicit hydrogens; conformers are not looked at.

    Raises MoleculeError when the molecule has no MMFF parameters, lacks hydrogens, is a radical or is typed
    as something of another charge; EngineError when `force_field` is no MMFF variant or when RDKit withholds
    a parameter that every molecule with MMFF types has.
    """
    if force_field not in ("MMFF94", "MMFF94s"):
        raise EngineError(
            f"{force_field} has no MMFF parameters; choose MMFF94 or MMFF94s.",
            value=force_field,
            expected="MMFF94 or MMFF94s",
        )
    # RDKit types these without a word, as some closed-shell atom that resembles them.
    refuse_open_shells(rdmol, "MMFF has no type for it, give a closed shell")
    own = Mol(rdmol)  # typing may set aromatic flags; the caller's molecule stays as it is
    mmff = MMFFGetMoleculeProperties(own, mmffVariant=force_field)
    if mmff is None:
        raise MoleculeError(
            f"{force_field} has no parameters for an atom of this molecule; choose UFF or leave it out."
        )
    types = [int(mmff.GetMMFFAtomType(i)) for i in range(own.GetNumAtoms())]
    charges = _charges(own, mmff)
    stretches = _stretches(own, mmff)
    bends, linear_bends = _bends(own, mmff, types)
    return MmffTerms(
        force_field=force_field,
        types=np.array(types, dtype=np.int64),
        charges_e=charges,
        stretches=stretches,
        bends=bends,
        linear_bends=linear_bends,
        stretch_bends=_stretch_bends(own, mmff, stretches, bends),
        out_of_planes=_out_of_planes(own, mmff),
        torsions=_torsions(own, mmff),
        pairs=_pairs(own, mmff, types, charges),
    )


def refuse_open_shells(rdmol: Mol, why: str) -> None:
    """Raises MoleculeError for hydrogens that are no atoms, and for a radical (`why` ends that message)."""
    for atom in rdmol.GetAtoms():
        name = f"{atom.GetSymbol()} (atom index {atom.GetIdx()})"
        if atom.GetTotalNumHs() > 0:
            raise MoleculeError(f"{name} has hydrogens that are not atoms of their own; add them explicitly.")
        if atom.GetNumRadicalElectrons() > 0:
            raise MoleculeError(f"{name} is a radical; {why}.")


def _charges(rdmol: Mol, mmff: Any) -> Floats:
    charges = np.array([mmff.GetMMFFPartialCharge(i) for i in range(rdmol.GetNumAtoms())], dtype=np.float64)
    total, formal = float(charges.sum()), int(GetFormalCharge(rdmol))
    if abs(total - formal) > _CHARGE_TOLERANCE_E:
        raise MoleculeError(
            f"MMFF types this molecule with a total charge of {total:+.2f}, but its formal charges add up to "
            f"{formal:+d}: it has no type for this ion. Choose UFF or leave it out.",
            value=total,
            expected=f"{formal:+d}",
        )
    return charges


def _stretches(rdmol: Mol, mmff: Any) -> Stretches:
    rows = []
    for j, k in _bonds(rdmol):
        _, force, length = _needed(rdmol, "bond", (j, k), mmff.GetMMFFBondStretchParams(rdmol, j, k))
        rows.append((j, k, force, length))
    return Stretches(
        atoms=_atoms(rows, 2), force_mdyn_angstrom=_column(rows, 2), length_angstrom=_column(rows, 3)
    )


def _bends(rdmol: Mol, mmff: Any, types: Sequence[int]) -> tuple[Bends, LinearBends]:
    rows = []
    for j, around in enumerate(_neighbours(rdmol)):
        for i, k in ((i, k) for i in around for k in around if i < k):
            _, force, angle = _needed(rdmol, "angle", (i, j, k), mmff.GetMMFFAngleBendParams(rdmol, i, j, k))
            rows.append((i, j, k, force, angle))
    bent = [row for row in rows if types[row[1]] not in LINEAR_TYPES]
    straight = [row for row in rows if types[row[1]] in LINEAR_TYPES]
    return (
        Bends(atoms=_atoms(bent, 3), force_mdyn_angstrom_rad2=_column(bent, 3), angle_deg=_column(bent, 4)),
        LinearBends(atoms=_atoms(straight, 3), force_mdyn_angstrom_rad2=_column(straight, 3)),
    )


def _stretch_bends(rdmol: Mol, mmff: Any, stretches: Stretches, bends: Bends) -> StretchBends:
    """Bends at straight centres have none, nor have those inside three-membered rings."""
    length = {
        frozenset(pair): value
        for pair, value in zip(stretches.atoms.tolist(), stretches.length_angstrom.tolist(), strict=True)
    }
    rows = []
    for (i, j, k), angle in zip(bends.atoms.tolist(), bends.angle_deg.tolist(), strict=True):
        found = mmff.GetMMFFStretchBendParams(rdmol, i, j, k)
        if found is not None:
            rows.append((i, j, k, *found[1:], length[frozenset((i, j))], length[frozenset((k, j))], angle))
    return StretchBends(
        atoms=_atoms(rows, 3),
        force_mdyn_rad=np.stack([_column(rows, 3), _column(rows, 4)], axis=1),
        length_angstrom=np.stack([_column(rows, 5), _column(rows, 6)], axis=1),
        angle_deg=_column(rows, 7),
    )


def _out_of_planes(rdmol: Mol, mmff: Any) -> OutOfPlanes:
    """Three terms at each centre with three neighbours, one per bond that can leave the plane."""
    rows = []
    for j, around in enumerate(_neighbours(rdmol)):
        if len(around) != 3:
            continue
        a, b, c = around
        for i, k, out in ((a, b, c), (a, c, b), (b, c, a)):
            force = mmff.GetMMFFOopBendParams(rdmol, i, j, k, out)
            if force:
                rows.append((i, j, k, out, force))
    return OutOfPlanes(atoms=_atoms(rows, 4), force_mdyn_angstrom_rad2=_column(rows, 4))


def _torsions(rdmol: Mol, mmff: Any) -> Torsions:
    """Chains i-j-k-l over every bond that has no straight end; MMFF has none along a four-membered ring."""
    rows = []
    for i, j, k, m in _chains(rdmol):
        found = mmff.GetMMFFTorsionParams(rdmol, i, j, k, m)
        if found is not None and any(found[1:]):
            rows.append((i, j, k, m, *found[1:]))
    return Torsions(
        atoms=_atoms(rows, 4), barrier_kcal_mol=np.stack([_column(rows, c) for c in (4, 5, 6)], axis=1)
    )


def _chains(rdmol: Mol) -> Iterator[tuple[int, int, int, int]]:
    turning = [atom.GetHybridization() in _TURNING for atom in rdmol.GetAtoms()]
    neighbours = _neighbours(rdmol)
    for j, k in _bonds(rdmol):
        if turning[j] and turning[k]:
            for i in neighbours[j]:
                for m in neighbours[k]:
                    if i != k and m not in (i, j):  # i = m closes a three-membered ring
                        yield i, j, k, m


def _pairs(rdmol: Mol, mmff: Any, types: Sequence[int], charges: Floats) -> Pairs:
    """Van der Waals parameters depend on the two types alone, so each pair of types is asked for once."""
    bonds_apart = GetDistanceMatrix(rdmol)  # 1e8 between fragments
    first, second = np.nonzero(np.triu(bonds_apart > 2.5))
    known: dict[tuple[int, int], tuple[float, float]] = {}
    rows = []
    for i, j in zip(first.tolist(), second.tolist(), strict=True):
        key = (types[i], types[j])
        if key not in known:
            found = _needed(rdmol, "van der Waals", (i, j), mmff.GetMMFFVdWParams(i, j))
            known[key] = found[2:]  # entries 0 and 1 lack the donor-acceptor scaling
        rows.append((i, j, *known[key]))
    scale = np.where(bonds_apart[first, second] < 3.5, ONE_FOUR_SCALE, 1.0)
    return Pairs(
        atoms=_atoms(rows, 2),
        radius_angstrom=_column(rows, 2),
        well_kcal_mol=_column(rows, 3),
        charges_e2=scale * charges[first] * charges[second],
    )


def _bonds(rdmol: Mol) -> list[tuple[int, int]]:
    return [(bond.GetBeginAtomIdx(), bond.GetEndAtomIdx()) for bond in rdmol.GetBonds()]


def _neighbours(rdmol: Mol) -> list[list[int]]:
    return [sorted(other.GetIdx() for other in atom.GetNeighbors()) for atom in rdmol.GetAtoms()]


def _needed(rdmol: Mol, kind: str, atoms: Sequence[int], found: Any) -> Any:
    if found is None:
        symbols = "-".join(rdmol.GetAtomWithIdx(i).GetSymbol() for i in atoms)
        raise EngineError(
            f"RDKit gives no MMFF {kind} parameters for {symbols} (atom indices "
            f"{', '.join(map(str, atoms))}); choose UFF or leave the molecule out."
        )
    return found


def _atoms(rows: Iterable[Sequence[Any]], width: int) -> Integers:
    return np.array([row[:width] for row in rows], dtype=np.int64).reshape(-1, width)


def _column(rows: Iterable[Sequence[Any]], column: int) -> Floats:
    return np.array([row[column] for row in rows], dtype=np.float64)
