"""RI-HF and RI-MP2 energies by PySCF, the only module that knows it.

RI-HF: density fitting of Coulomb and exchange with def2-universal-jkfit (F. Weigend, J. Comput. Chem. 2008,
29, 167). RI-MP2: F. Weigend, M. Haeser, Theor. Chem. Acc. 1997, 97, 331, frozen core, auxiliary basis of the
orbital basis's own. Basis sets: F. Weigend, R. Ahlrichs, Phys. Chem. Chem. Phys. 2005, 7, 3297, from rubidium
on with their effective core potentials. (Citations from memory.)

The integrals and the self-consistent cycle are PySCF's. Exchange and pair energies are contracted here by
large matrix products, which on one thread are faster than PySCF's own loops; tests compare the two. One
thread, as everywhere in a run: sums then do not depend on the number of cores. The fitted integrals stay
packed, and go to a file where they do not fit the memory given.
"""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from importlib.util import find_spec
from typing import Any

import numpy as np
from threadpoolctl import threadpool_limits

from chairgap.abinitio.levels import LEVEL_LIBRARIES, basis_of
from chairgap.errors import EngineError, InputError
from chairgap.records import Floats, LevelEnergy, PairLevel, Settings
from chairgap.text import tidy

# (symbols, positions (n, 3) in angstrom, total charge, level, memory in MB) -> energy.
Energies = Callable[[Sequence[str], Floats, int, PairLevel, int], LevelEnergy]

_FITTED = "def2-universal-jkfit"
_BLOCK = 64
_LAST_WITHOUT_CORE_POTENTIAL = 36  # krypton
_MOST_CYCLES = 60


def check_installed(settings: Settings) -> None:
    """See, before anything is computed, that the libraries of the extra are there. Raises InputError."""
    if settings.pairs_by == "none":
        return
    lost = [name for name in LEVEL_LIBRARIES if find_spec(name) is None]
    if lost:
        raise InputError(
            f"{settings.pairs_by} needs {' and '.join(lost)}, which {'is' if len(lost) == 1 else 'are'} not "
            "installed; install with pip install 'chairgap[abinitio]', or leave pairs_by out.",
            value=settings.pairs_by,
        )


def ri_mp2(
    symbols: Sequence[str], positions: Floats, charge: int, level: PairLevel, memory_mb: int
) -> LevelEnergy:
    """The energy of a closed-shell molecule at a level; `memory_mb` is what the integrals may hold.

    Raises EngineError when the self-consistent field does not converge, or an element has no basis.
    """
    from pyscf.data import elements

    with _alone():
        mol = _molecule(symbols, positions, charge, basis_of(level), memory_mb)
        field = _hartree_fock(mol, level)
        frozen, occupied = elements.chemcore(mol), mol.nelectron // 2
        orbitals, energies = field.mo_coeff, field.mo_energy
        total = float(field.e_tot)
        del field
        pairs = _fitted_pairs(mol, orbitals[:, frozen:occupied], orbitals[:, occupied:])
        same, opposite = pair_energies(pairs, energies[frozen:occupied], energies[occupied:])
    return LevelEnergy(
        hf_hartree=total,
        same_spin_hartree=same,
        opposite_spin_hartree=opposite,
        basis_functions=int(mol.nao),
    )


@contextmanager
def _alone() -> Iterator[None]:
    """One thread, of NumPy's libraries and of PySCF's own, which no other limit reaches."""
    from pyscf import lib

    before = lib.num_threads()
    with threadpool_limits(1):
        lib.num_threads(1)
        try:
            yield
        finally:
            lib.num_threads(before)


def _molecule(symbols: Sequence[str], positions: Floats, charge: int, basis: str, memory_mb: int) -> Any:
    from pyscf import gto

    core = {one for one in symbols if gto.charge(one) > _LAST_WITHOUT_CORE_POTENTIAL}
    try:
        return gto.M(
            atom=list(zip(symbols, positions.tolist(), strict=True)),
            unit="Angstrom",
            basis=basis,
            ecp=dict.fromkeys(core, basis),
            charge=charge,
            verbose=0,
            max_memory=memory_mb,
            parse_arg=False,
        )
    except (KeyError, RuntimeError, ValueError) as error:  # PySCF's errors of basis sets and electrons
        raise EngineError(
            f"{basis} cannot be set up for this molecule ({tidy(str(error))}); leave it out, or leave "
            "pairs_by out."
        ) from error


def _hartree_fock(mol: Any, level: PairLevel) -> Any:
    from pyscf import scf

    field = scf.RHF(mol).density_fit(with_df=_packed_fitting(mol))
    field.conv_tol, field.conv_tol_grad, field.conv_check = 1e-8, 2e-5, False
    field.max_cycle = _MOST_CYCLES
    field.kernel()
    if not field.converged:
        raise EngineError(
            f"{level}: the self-consistent field did not converge in {_MOST_CYCLES} cycles; leave the "
            "molecule out, or leave pairs_by out."
        )
    return field


def _packed_fitting(mol: Any) -> Any:
    """Density fitting whose Coulomb and exchange matrices are made from blocks of the tensor."""
    from pyscf import df, lib

    class Blocks(df.DF):  # type: ignore[misc]
        def get_jk(self, dm: Any, *_: Any, **__: Any) -> tuple[Floats, Floats]:
            occupied = _scaled_orbitals(dm)
            size = len(occupied)
            coulomb, exchange = np.zeros(size * size), np.zeros((size, size))
            for packed in self.loop(_BLOCK):
                block = lib.unpack_tril(packed)
                # (1) X_Pmi = sum_n (P|mn) C_ni; (2) K_mn = sum_Pi X_Pmi X_Pni;
                # (3) J_mn = sum_P (P|mn) sum_ki X_Pki C_ki
                half = (block.reshape(-1, size) @ occupied).reshape(len(block), size, -1)
                flat = half.transpose(1, 0, 2).reshape(size, -1)
                exchange += flat @ flat.T
                coulomb += (half.reshape(len(block), -1) @ occupied.ravel()) @ block.reshape(len(block), -1)
            return coulomb.reshape(size, size), exchange

    return Blocks(mol, _FITTED)


def _scaled_orbitals(dm: Any) -> Floats:
    """C (n, i) with C C^T = dm: occupied orbitals times the root of their occupation."""
    if getattr(dm, "mo_coeff", None) is not None:
        held = dm.mo_occ > 0
        return np.ascontiguousarray(dm.mo_coeff[:, held] * np.sqrt(dm.mo_occ[held]))
    values, vectors = np.linalg.eigh(np.asarray(dm))
    held = values > 1e-12
    return np.ascontiguousarray(vectors[:, held] * np.sqrt(values[held]))


def _fitted_pairs(mol: Any, occupied: Floats, virtual: Floats) -> Floats:
    """(P|ia) as an array (i, a, P)."""
    from pyscf import df, lib

    size, found = len(occupied), []
    for packed in df.DF(mol, _correlation_fitting(mol)).build().loop(_BLOCK):
        block = lib.unpack_tril(packed)
        half = (block.reshape(-1, size) @ occupied).reshape(len(block), size, -1)
        found.append(np.einsum("pmi,ma->iap", half, virtual, optimize=True))
    return np.concatenate(found, axis=2)


def _correlation_fitting(mol: Any) -> dict[str, str]:
    """The auxiliary basis of MP2 by element: the orbital basis's own, and that of the exchange for elements
    for which PySCF has none (iodine)."""
    from pyscf import gto

    chosen = {}
    for symbol in {mol.atom_pure_symbol(atom) for atom in range(mol.natm)}:
        own = f"{mol.basis}-ri"
        try:
            gto.basis.load(own, symbol)
        except (KeyError, RuntimeError):
            own = _FITTED
        chosen[symbol] = own
    return chosen


def pair_energies(pairs: Floats, occupied_hartree: Floats, virtual_hartree: Floats) -> tuple[float, float]:
    """Same-spin and opposite-spin parts of the closed-shell MP2 energy, hartree, from fitted integrals
    (P|ia) (i, a, P) and the orbital energies.

    With V = (ia|jb), D = e_i + e_j - e_a - e_b: opposite spins sum V V / D, same spins sum V (V - V^T) / D
    (S. Grimme, J. Chem. Phys. 2003, 118, 9095, from memory).
    """
    same = opposite = 0.0
    sums = virtual_hartree[:, None] + virtual_hartree
    for i, own in enumerate(pairs):
        for j, other in enumerate(pairs[: i + 1]):
            values = own @ other.T
            scaled = values / (occupied_hartree[i] + occupied_hartree[j] - sums)
            twice = 1.0 if i == j else 2.0
            direct = float(np.vdot(values, scaled))
            opposite += twice * direct
            same += twice * (direct - float(np.vdot(values.T, scaled)))
    return same, opposite
