"""RI-HF and RI-MP2 energies of prepared geometries, several at once, with a stop of its own.

    python run_energies.py JOBS.jsonl RESULTS.jsonl --seconds 560 [--done IDS.jsonl ...] [--workers 16]

JOBS.jsonl holds one geometry a line ("id", "symbols", "positions_angstrom", optionally "basis", "method" and
"computed", false for one to be left out), in order of importance: prepare_conformers.py's conformers.jsonl.
As soon as a job ends a line of RESULTS.jsonl is written, in hartree: total E(RI-HF), and the same-spin
and opposite-spin parts of the correlation energy with frozen core. Needs PySCF and NumPy only.

RI-HF: density fitting of Coulomb and exchange with def2-universal-jkfit (F. Weigend, J. Comput. Chem. 2008,
29, 167). RI-MP2: F. Weigend, M. Haeser, Theor. Chem. Acc. 1997, 97, 331, auxiliary basis of the orbital
basis's own (def2-TZVP-RI and so on). Basis sets: F. Weigend, R. Ahlrichs, Phys. Chem. Chem. Phys. 2005, 7,
3297; iodine with their effective core potential. (Citations from memory.)

The integrals and the self-consistent cycle are PySCF's. Exchange, the pair energies and (T) are contracted
here by large matrix products in NumPy, or with --gpu in CuPy, faster than PySCF's own loops; a job whose
"method" is "check" or "check triples" compares them with those.
"""

import argparse
import json
import multiprocessing as mp
import os
import queue
import sys
import time
from pathlib import Path

SHELL_SIZES = {  # spherical functions of the def2 basis sets by element, for the estimate of the cost only
    "def2-tzvp": {"H": 6, "S": 37, "Cl": 37, "Br": 48, "I": 50, "other": 31},
    "def2-qzvp": {"H": 30, "S": 70, "Cl": 70, "Br": 90, "I": 100, "other": 57},
    "def2-svp": {"H": 5, "S": 18, "Cl": 18, "Br": 32, "I": 30, "other": 14},
}
START_SECONDS, START_FUNCTIONS, START_POWER = 14.0, 320, 2.8
AUX_BLOCK = 64
ON_GPU = "PAIRS_ON_GPU"
GPU = ON_GPU in os.environ


def functions(job: dict) -> int:
    """About the number of basis functions of a job."""
    sizes = SHELL_SIZES[job.get("basis", "def2-tzvp")]
    return sum(sizes.get(symbol, sizes["other"]) for symbol in job["symbols"])


def expected_seconds(job: dict) -> float:
    """A first guess of a job's time, to be scaled by the ratio seen so far."""
    return START_SECONDS * (functions(job) / START_FUNCTIONS) ** START_POWER


def molecule_of(job: dict):
    """PySCF's molecule."""
    from pyscf import gto

    basis = job.get("basis", "def2-tzvp")
    atoms = list(zip(job["symbols"], job["positions_angstrom"], strict=True))
    ecp = {"I": basis} if "I" in job["symbols"] else {}
    return gto.M(atom=atoms, unit="Angstrom", basis=basis, ecp=ecp, verbose=0, max_memory=9_000)


def arrays():
    """CuPy where the run was given a GPU, else NumPy: the same calls, float64 on both."""
    return __import__("cupy" if GPU else "numpy")


def on_host(values):
    """As a NumPy array."""
    return values.get() if GPU else values


def free_gpu() -> None:
    """Give the memory of finished products back to the GPU's other processes."""
    if GPU:
        arrays().get_default_memory_pool().free_all_blocks()


def raw_integrals(mol, auxbasis):
    """(mn|P) with m >= n, shape (n (n + 1) / 2, aux), and the lower Cholesky factor of (P|Q)."""
    import numpy as np
    from pyscf import df

    auxmol = df.addons.make_auxmol(mol, auxbasis)
    integrals = df.incore.aux_e2(mol, auxmol, intor="int3c2e", aosym="s2ij")
    return integrals, np.linalg.cholesky(auxmol.intor("int2c2e"))


def solved(factor, values):
    """L^-1 v: the fitted integrals from the raw ones."""
    if GPU:
        from cupyx.scipy.linalg import solve_triangular
    else:
        from scipy.linalg import solve_triangular
    return solve_triangular(arrays().asarray(factor), values, lower=True)


def square(packed, size: int):
    """(P, n, n) from the packed lower triangles (P, n (n + 1) / 2)."""
    xp = arrays()
    rows, columns = xp.tril_indices(size)
    whole = xp.empty((len(packed), size, size))
    whole[:, rows, columns] = packed
    whole[:, columns, rows] = packed
    return whole


def fitting_of(mol, auxbasis: str):
    """Density fitting whose Coulomb and exchange matrices come from the whole tensor by matrix products."""
    from pyscf import df

    class WholeTensor(df.DF):
        """(P|mn) unpacked once, shape (aux, n, n)."""

        whole = None

        def get_jk(self, dm, hermi=1, with_j=True, with_k=True, direct_scf_tol=1e-13, omega=None):
            xp = arrays()
            if self.whole is None:
                integrals, factor = raw_integrals(self.mol, self.auxbasis)
                self.whole = square(solved(factor, xp.asarray(integrals).T), self.mol.nao)
            orbitals = xp.asarray(scaled_orbitals(dm))
            size = len(orbitals)
            coulomb, exchange = xp.zeros(size * size), xp.zeros((size, size))
            for start in range(0, len(self.whole), AUX_BLOCK):
                block = self.whole[start : start + AUX_BLOCK]
                # (1) X_Pmi = sum_n (P|mn) C_ni; (2) K_mn = sum_Pi X_Pmi X_Pni;
                # (3) J_mn = sum_P (P|mn) sum_ki X_Pki C_ki
                half = (block.reshape(-1, size) @ orbitals).reshape(len(block), size, -1)
                flat = half.transpose(1, 0, 2).reshape(size, -1)
                exchange += flat @ flat.T
                coulomb += (half.reshape(len(block), -1) @ orbitals.ravel()) @ block.reshape(len(block), -1)
            return on_host(coulomb.reshape(size, size)), on_host(exchange)

    return WholeTensor(mol, auxbasis)


def scaled_orbitals(dm):
    """C (n, i) with C C^T = dm: occupied orbitals times the root of their occupation."""
    import numpy as np

    if getattr(dm, "mo_coeff", None) is not None:
        held = dm.mo_occ > 0
        return np.ascontiguousarray(dm.mo_coeff[:, held] * np.sqrt(dm.mo_occ[held]))
    values, vectors = np.linalg.eigh(np.asarray(dm))
    held = values > 1e-12
    return np.ascontiguousarray(vectors[:, held] * np.sqrt(values[held]))


def hartree_fock(mol):
    """Converged RI-HF. Raises RuntimeError when it does not converge."""
    from pyscf import scf

    mf = scf.RHF(mol).density_fit(with_df=fitting_of(mol, "def2-universal-jkfit"))
    mf.conv_tol, mf.conv_tol_grad, mf.conv_check, mf.max_cycle = 1e-8, 2e-5, False, 60
    mf.kernel()
    if not mf.converged:
        raise RuntimeError("RI-HF did not converge")
    mf.with_df.whole = None
    free_gpu()
    return mf


def fitted_pairs(mol, occupied, virtual, auxbasis):
    """(P|ia) as an array (i, a, P)."""
    xp = arrays()
    integrals, factor = raw_integrals(mol, auxbasis)
    size, found = len(occupied), []
    occupied, virtual = xp.asarray(occupied), xp.asarray(virtual)
    for start in range(0, len(factor), AUX_BLOCK):
        block = square(xp.asarray(integrals[:, start : start + AUX_BLOCK]).T, size)
        half = (block.reshape(-1, size) @ occupied).reshape(len(block), size, -1)
        found.append(half.transpose(0, 2, 1) @ virtual)
    raw = xp.concatenate(found)
    fitted = solved(factor, raw.reshape(len(raw), -1)).reshape(raw.shape)
    return xp.ascontiguousarray(fitted.transpose(1, 2, 0)), len(factor)


def pair_energies(pairs, occupied_energies, virtual_energies) -> tuple[float, float]:
    """Same-spin and opposite-spin parts of the closed-shell MP2 energy, hartree.

    With V = (ia|jb), D = e_i + e_j - e_a - e_b: opposite spins sum V V / D, same spins sum V (V - V^T) / D
    (S. Grimme, J. Chem. Phys. 2003, 118, 9095).
    """
    xp = arrays()
    same = opposite = 0.0
    occupied, virtual = [float(energy) for energy in occupied_energies], xp.asarray(virtual_energies)
    sums = virtual[:, None] + virtual
    for i, own in enumerate(pairs):
        for j, other in enumerate(pairs[: i + 1]):
            values = own @ other.T
            scaled = values / (occupied[i] + occupied[j] - sums)
            twice = 1.0 if i == j else 2.0
            direct = float((values * scaled).sum())
            opposite += twice * direct
            same += twice * (direct - float((values.T * scaled).sum()))
    return same, opposite


def correlation_fitting(job: dict) -> str | dict[str, str]:
    """The auxiliary basis of MP2. PySCF 2.14 has none for iodine; that of the exchange serves it."""
    name = f"{job.get('basis', 'def2-tzvp')}-ri"
    symbols = set(job["symbols"])
    return (
        {one: "def2-universal-jkfit" if one == "I" else name for one in symbols} if "I" in symbols else name
    )


def mp2_energies(job: dict) -> dict:
    """The energies of one job, in hartree."""
    import pyscf
    from pyscf.data import elements

    mol = molecule_of(job)
    mf = hartree_fock(mol)
    frozen, occupied = elements.chemcore(mol), mol.nelectron // 2
    auxbasis = correlation_fitting(job)
    orbitals, energies = mf.mo_coeff, mf.mo_energy
    pairs, aux_functions = fitted_pairs(mol, orbitals[:, frozen:occupied], orbitals[:, occupied:], auxbasis)
    same, opposite = pair_energies(pairs, energies[frozen:occupied], energies[occupied:])
    del pairs
    free_gpu()
    return {
        "hf_hartree": float(mf.e_tot),
        "same_spin_hartree": same,
        "opposite_spin_hartree": opposite,
        "basis": job.get("basis", "def2-tzvp"),
        "basis_functions": int(mol.nao),
        "auxiliary_basis": auxbasis if isinstance(auxbasis, str) else json.dumps(auxbasis),
        "auxiliary_functions": aux_functions,
        "frozen_core_orbitals": int(frozen),
        "scf_cycles": int(getattr(mf, "cycles", 0) or 0),
        "pyscf_version": pyscf.__version__,
    }


def triples(t1, t2, energies, ovvv, ovoo, ovov) -> float:
    """(T) of closed-shell CCSD, hartree, from (ia|be), (ia|jm) and (ia|jb), arrays with the indices in that
    order, amplitudes t1 (i, a), t2 (i, j, a, b) and orbital energies.

        (4) W_ijk^abc = P [sum_e (ia|be) t_kj^ce - sum_m (ia|jm) t_mk^bc],  P the six orders of (ia) (jb) (kc)
        (5) V = W + t_i^a (jb|kc) + t_j^b (ia|kc) + t_k^c (ia|jb)
        (6) E = 1/3 sum over all i, j, k, a, b, c of V R / D,
            R = 4 W^abc + W^bca + W^cab - 2 (W^cba + W^acb + W^bac),  D = e_i + e_j + e_k - e_a - e_b - e_c

    (K. Raghavachari et al., Chem. Phys. Lett. 1989, 157, 479, in a spin-summed form; from memory, and checked
    against PySCF's own: job "check triples".)
    """
    xp = arrays()
    t1, t2, ovvv, ovoo, ovov = (xp.asarray(values) for values in (t1, t2, ovvv, ovoo, ovov))
    count, virtual = t1.shape
    low, high = [float(energy) for energy in energies[:count]], xp.asarray(energies[count:])
    sums = high[:, None, None] + high[:, None] + high
    total = 0.0

    def part(i: int, j: int, k: int):
        flat = ovvv[i].reshape(-1, virtual) @ t2[k, j].T  # (a b, e) (e, c)
        gone = ovoo[i, :, j].reshape(virtual, -1) @ t2[:, k].reshape(count, -1)  # (a, m) (m, b c)
        return flat.reshape(sums.shape) - gone.reshape(sums.shape)

    for i in range(count):
        for j in range(i + 1):
            for k in range(j + 1):
                if i == k:
                    continue
                w = part(i, j, k) + part(j, i, k).transpose(1, 0, 2) + part(k, j, i).transpose(2, 1, 0)
                w += part(i, k, j).transpose(0, 2, 1) + part(j, k, i).transpose(2, 0, 1)
                w += part(k, i, j).transpose(1, 2, 0)
                v = w + t1[i][:, None, None] * ovov[j, :, k] + t1[j][:, None] * ovov[i, :, k][:, None]
                v += t1[k] * ovov[i, :, j][:, :, None]
                r = 4.0 * w + w.transpose(2, 0, 1) + w.transpose(1, 2, 0)
                r -= 2.0 * (w.transpose(2, 1, 0) + w.transpose(0, 2, 1) + w.transpose(1, 0, 2))
                v *= r
                v /= low[i] + low[j] + low[k] - sums
                total += (6.0 if i != j and j != k else 3.0) / 3.0 * float(v.sum())
    return total


def coupled_cluster(job: dict):
    """Converged CCSD by PySCF with exact integrals and frozen core, and its integrals."""
    from pyscf import cc, scf
    from pyscf.data import elements

    mol = molecule_of(job)
    mf = scf.RHF(mol)
    mf.conv_tol = 1e-9
    mf.kernel()
    solver = cc.CCSD(mf, frozen=elements.chemcore(mol))
    solver.conv_tol, solver.max_memory = 1e-7, 30_000
    integrals = solver.ao2mo()
    solver.kernel(eris=integrals)
    if not (mf.converged and solver.converged):
        raise RuntimeError("HF or CCSD did not converge")
    return mf, solver, integrals


def own_triples(solver, integrals) -> float:
    """(T) by `triples`."""
    import numpy as np

    found = triples(
        solver.t1,
        solver.t2,
        integrals.mo_energy,
        np.asarray(integrals.get_ovvv()),
        np.asarray(integrals.ovoo),
        np.asarray(integrals.ovov),
    )
    free_gpu()
    return found


def coupled_cluster_energies(job: dict) -> dict:
    """E(HF) and correlation energies of MP2, CCSD and (T), exact integrals, frozen core, hartree."""
    import pyscf

    mf, solver, integrals = coupled_cluster(job)
    return {
        "hf_hartree": float(mf.e_tot),
        "mp2_correlation_hartree": float(solver.emp2),
        "ccsd_correlation_hartree": float(solver.e_corr),
        "triples_hartree": own_triples(solver, integrals),
        "basis": job["basis"],
        "basis_functions": int(mf.mol.nao),
        "frozen_core_orbitals": int(solver.frozen),
        "pyscf_version": pyscf.__version__,
    }


def check_triples(job: dict) -> dict:
    """(T) here less PySCF's own, hartree; should be below 1e-8."""
    _, solver, integrals = coupled_cluster(job)
    return {"triples_difference_hartree": own_triples(solver, integrals) - float(solver.ccsd_t())}


def check_energies(job: dict) -> dict:
    """Differences to PySCF's own density-fitted HF and MP2, hartree; should be below 1e-7."""
    from pyscf import df, scf
    from pyscf.data import elements
    from pyscf.mp.dfmp2 import DFMP2

    mol = molecule_of(job)
    mf = scf.RHF(mol).density_fit(auxbasis="def2-universal-jkfit")
    mf.conv_tol = 1e-10
    mf.kernel()
    reference = DFMP2(mf, frozen=elements.chemcore(mol))
    reference.with_df = df.DF(mol, correlation_fitting(job)).build()
    reference.kernel(with_t2=False)
    ours = mp2_energies(job)
    return {
        "hf_difference_hartree": ours["hf_hartree"] - float(mf.e_tot),
        "same_spin_difference_hartree": ours["same_spin_hartree"] - float(reference.e_corr_ss),
        "opposite_spin_difference_hartree": ours["opposite_spin_hartree"] - float(reference.e_corr_os),
    }


METHODS = {
    "mp2": mp2_energies,
    "ccsd(t)": coupled_cluster_energies,
    "check": check_energies,
    "check triples": check_triples,
}


def work(jobs: mp.Queue, results: mp.Queue, threads: int) -> None:
    """One worker process: a job in, a line out, until None comes."""
    from pyscf import lib

    lib.num_threads(threads)
    while (job := jobs.get()) is not None:
        start = time.monotonic()
        try:
            line = METHODS[job.get("method", "mp2")](job)
        except Exception as error:  # one job must not end the rest; the line says what happened
            line = {"failed": f"{type(error).__name__}: {error}"}
            free_gpu()
        seconds = round(time.monotonic() - start, 2)
        results.put({"id": job["id"], **line, "seconds": seconds, "threads": threads})


def unfinished(path: Path, done_files: list[Path]) -> list[dict]:
    """The jobs of the list that no file of finished ids (or of result lines) names."""
    done = set()
    for file in done_files:
        if file.exists():
            done |= {json.loads(line)["id"] for line in file.read_text().splitlines() if line.strip()}
    jobs = [json.loads(line) for line in path.read_text().splitlines()]
    return [job for job in jobs if job.get("computed", True) and job["id"] not in done]


def take(waiting: list[dict], ratio: float, seconds_left: float) -> dict | None:
    """The first job that should end in time, taken off the list."""
    for place, job in enumerate(waiting):
        if 1.15 * ratio * expected_seconds(job) < seconds_left:
            return waiting.pop(place)
    return None


def drive(waiting: list[dict], out: list[Path], deadline: float, workers: int, threads: int) -> int:
    """Deal the jobs out until all are done or the time is up; the number of lines written."""
    context = mp.get_context("spawn")
    jobs, results = context.Queue(), context.Queue()
    pool = [context.Process(target=work, args=(jobs, results, threads), daemon=True) for _ in range(workers)]
    for process in pool:
        process.start()
    running: dict[str, float] = {}
    expected = measured = 0.0
    written = 0
    while time.monotonic() < deadline:
        ratio = measured / expected if measured else 1.0
        while len(running) < workers and (job := take(waiting, ratio, deadline - time.monotonic())):
            running[job["id"]] = expected_seconds(job)
            jobs.put(job)
        if not running:
            break
        try:
            line = results.get(timeout=max(0.1, min(5.0, deadline - time.monotonic())))
        except queue.Empty:
            if not any(process.is_alive() for process in pool):  # killed from outside, for memory say
                break
            continue
        expected, measured = expected + running.pop(line["id"]), measured + line["seconds"]
        for path in out:
            with path.open("a") as file:
                file.write(json.dumps(line) + "\n")
        written += 1
    for process in pool:
        process.kill()
    ratio = measured / max(expected, 1e-9)
    print(f"{written} written, {len(running)} cut off, {len(waiting)} left, time over guess {ratio:.2f}")
    return written


def main() -> None:
    begun = time.monotonic()
    parser = argparse.ArgumentParser(description="RI-MP2 energies of prepared geometries.")
    parser.add_argument("jobs", type=Path)
    parser.add_argument("results", type=Path, nargs="+", help="every line is written to each of these")
    parser.add_argument("--seconds", type=float, required=True, help="stop by then")
    parser.add_argument("--done", type=Path, nargs="*", default=[], help="files whose ids are left out")
    parser.add_argument("--workers", type=int, default=16)
    parser.add_argument("--threads", type=int, default=1)
    parser.add_argument("--gpu", action="store_true", help="matrix products by CuPy")
    asked = parser.parse_args()
    if asked.gpu:
        os.environ[ON_GPU] = "yes"
    for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
        os.environ[name] = str(asked.threads)
    waiting = unfinished(asked.jobs, [*asked.done, *asked.results])
    drive(waiting, asked.results, begun + asked.seconds, asked.workers, asked.threads)
    sys.stdout.flush()
    os._exit(0)


if __name__ == "__main__":
    main()
