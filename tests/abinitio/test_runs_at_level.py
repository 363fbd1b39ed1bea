"""Pairs at a level in a study: tasks, store, resume, failures and sums, with made-up energies in place of
PySCF's."""

from collections.abc import Callable, Sequence
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from chairgap.abinitio import energies
from chairgap.batch.codec import unpacked
from chairgap.batch.content import planned
from chairgap.batch.executors import InProcess
from chairgap.batch.results import outcome_of
from chairgap.batch.store import Store, open_store
from chairgap.compare.thermochemistry import thermal_of_top
from chairgap.errors import EngineError
from chairgap.model.parts_at_level import level_gap_kcal_mol
from chairgap.records import Floats, LevelConformer, LevelEnergy, LevelRing, Outcome, RunState, Study
from chairgap.run import run_study
from chairgap.study.typed import study_as_typed
from chairgap.units import GAS_CONSTANT_KCAL_PER_MOL_K, HARTREE_KCAL_MOL, KCAL_MOL_PER_CM1
from pipeline_helpers import SETTINGS, TABLE, molecule

LEVEL = "MP2/def2-SVP"
GROUPS = "1 up F, 2 down CN"
Hook = Callable[[Sequence[str]], None]


def made_up(symbols: Sequence[str], positions: Floats) -> float:
    """Hartree: small, and different for every geometry."""
    apart = np.linalg.norm(positions[:, None] - positions, axis=2)
    return float(1e-4 * np.sum(1.0 / apart[np.triu_indices(len(symbols), 1)]))


@pytest.fixture
def source(monkeypatch: pytest.MonkeyPatch) -> Callable[[Hook], list[int]]:
    """Puts made-up energies at the place of PySCF's; gives back the list of calls. The hook may raise."""

    def put(hook: Hook = lambda symbols: None) -> list[int]:
        calls: list[int] = []

        def energy(symbols, positions, charge, level, memory_mb) -> LevelEnergy:  # type: ignore[no-untyped-def]
            assert (charge, level) == (0, LEVEL)
            hook(symbols)
            calls.append(len(symbols))
            part = made_up(symbols, positions)
            return LevelEnergy(
                hf_hartree=part - 300.0, same_spin_hartree=-0.3, opposite_spin_hartree=-0.9, basis_functions=1
            )

        monkeypatch.setattr(energies, "ri_mp2", energy)
        monkeypatch.setattr(energies, "find_spec", lambda name: name)
        return calls

    return put


def study(temperature_k: float = 298.15) -> Study:
    tables = {
        "conditions": {"temperature_k": temperature_k},
        "model": {"pairs_by": LEVEL},
        "search": {"effort": "quick"},
    }
    return study_as_typed(GROUPS, settings=tables)


def run(store: Store, seen: list[RunState] | None = None, temperature_k: float = 298.15) -> Outcome:
    note = (lambda state: None) if seen is None else seen.append
    return run_study(study(temperature_k), progress=note, store=store, executor=InProcess())


def kept(store: Store) -> list[LevelRing]:
    """What the store has of rings at the level, in the order of the plan."""
    (entry,) = store.entries()
    records = [store.record(task.key) for task in entry.molecule.at_level]
    return [unpacked(record.content, LevelRing) for record in records if record is not None]


def thermal(item: LevelConformer, temperature_k: float) -> float:
    part = thermal_of_top(0.0, item.frequencies_cm1, item.moments_u_angstrom2, temperature_k)
    return part.gibbs_kcal_mol(temperature_k)


def by_hand(found: LevelRing, temperature_k: float = 298.15) -> float:
    """-RT ln of the sum of g exp(-(E + thermal)/RT), chair B less chair A."""
    rt, sums = GAS_CONSTANT_KCAL_PER_MOL_K * temperature_k, {"A": 0.0, "B": 0.0}
    for item in found.conformers:
        energy = HARTREE_KCAL_MOL * (item.energy.hf_hartree + 300.0) + thermal(item, temperature_k)
        sums[item.chair] += item.degeneracy * np.exp(-energy / rt)
    return float(-rt * np.log(sums["B"] / sums["A"]))


def test_the_pair_is_the_ring_less_its_groups(source) -> None:  # type: ignore[no-untyped-def]
    """Both groups are axial in chair B of the pair; each alone is axial in its own chair B."""
    calls, seen = source(), []
    with closing(open_store(None)) as store:
        (result,) = run(store, seen).results
        fluoride, cyanide, both = kept(store)
    assert len(calls) == sum(len(found.conformers) for found in (fluoride, cyanide, both))
    assert result.chairs[1].name == both.chairs[1].name == "1a 2a"
    pair = result.anchored.parts[2]
    assert pair.value_kcal_mol == pytest.approx(
        by_hand(both) - by_hand(fluoride) - by_hand(cyanide), abs=1e-8
    )
    assert pair.origin == f"{LEVEL} (computed here)"
    (note,) = (note for note in result.molecule.notes if LEVEL in note)
    assert f"1 up F {by_hand(fluoride):+.2f} ({len(fluoride.conformers)})" in note
    (told,) = {state.remark for state in seen if state.remark}
    assert told.startswith(f"{LEVEL} for 3 rings that the table of pairs does not cover: about ")


def test_a_stopped_run_goes_on_with_what_is_left(source, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    """Stopped at the ring of both groups: the rings of one group are kept and not computed again."""

    def stop(symbols: Sequence[str]) -> None:
        if "F" in symbols and "N" in symbols:
            raise KeyboardInterrupt

    calls = source(stop)
    with closing(open_store(tmp_path / "store")) as store, pytest.raises(KeyboardInterrupt):
        run(store)
    before = len(calls)
    assert before >= 2
    calls = source()
    with closing(open_store(tmp_path / "store")) as store:
        seen: list[RunState] = []
        (stopped,) = run(store, seen).results
        assert len(calls) == len(kept(store)[2].conformers)
    assert any(f"{LEVEL} for 1 ring that" in state.remark for state in seen)
    source()
    with closing(open_store(None)) as store:
        (at_once,) = run(store).results
    assert stopped.anchored == at_once.anchored


def test_a_field_that_does_not_converge_costs_that_pair_only(source) -> None:  # type: ignore[no-untyped-def]
    def fail(symbols: Sequence[str]) -> None:
        if "F" in symbols and "N" in symbols:
            raise EngineError("the self-consistent field did not converge; leave the molecule out.")

    source(fail)
    with closing(open_store(None)) as store:
        outcome = run(store)
        assert store.counts().failed == 1
        (result,) = outcome_of(study(), store).results
    assert outcome.failed == ()
    assert result.anchored.parts[2].origin == "MMFF94"
    assert any(
        "gave nothing for the ring with 1 up F, 2 down CN (the self-consistent field did not converge" in note
        and note.endswith("every part that needs it is taken from the model.")
        for note in result.molecule.notes
    )


def test_a_machine_without_the_library_loses_the_task_for_this_run_only(source, monkeypatch) -> None:  # type: ignore[no-untyped-def]
    """As a worker of a cluster may be; the program itself has it."""
    source()
    monkeypatch.setattr("chairgap.run.check_installed", lambda settings: None)
    monkeypatch.setattr(energies, "find_spec", lambda name: None)
    with closing(open_store(None)) as store:
        (result,) = run(store).results
        assert (store.counts().lost, store.counts().failed) == (3, 0)
        assert any("pip install 'chairgap[abinitio]'" in note for note in result.molecule.notes)
        source()
        (result,) = run(store).results
        assert store.counts().lost == 0
    assert result.anchored.parts[2].origin == f"{LEVEL} (computed here)"


def test_the_name_of_a_task_at_a_level() -> None:
    """The level changes it; temperature, and what searches and judges, do not: the protocol is its own."""

    def keys(**changed: object) -> list[str]:
        settings = replace(SETTINGS, **{"pairs_by": LEVEL, **changed})  # type: ignore[arg-type]
        return [task.key for task in planned(molecule(GROUPS), TABLE, settings).at_level]

    assert len(set(keys())) == 3
    assert set(keys()).isdisjoint(keys(pairs_by="MP2/def2-TZVP"))
    assert keys() == keys(engine="openmm", force_field="MMFF94s", title="other", temperature_k=300.0)
    assert planned(molecule(GROUPS), TABLE, SETTINGS).at_level == ()


def test_the_sum_over_conformers_by_hand() -> None:
    """Two equal conformers in A, one in B of the same energy with one more vibration, of 1000 cm-1."""

    def conformer(chair: str, modes_cm1: list[float], copies: int) -> LevelConformer:
        energy = LevelEnergy(
            hf_hartree=-1.0, same_spin_hartree=-0.2, opposite_spin_hartree=-0.3, basis_functions=5
        )
        return LevelConformer(
            number=1,
            chair=chair,  # type: ignore[arg-type]
            degeneracy=copies,
            positions=np.zeros((1, 3)),
            xtb_kcal_mol=0.0,
            frequencies_cm1=np.array(modes_cm1),
            moments_u_angstrom2=np.full(3, 100.0),
            energy=energy,
        )

    one, other = conformer("A", [500.0], 2), conformer("B", [500.0, 1000.0], 1)
    assert one.energy.total_hartree == pytest.approx(-1.5)
    rt, quantum = GAS_CONSTANT_KCAL_PER_MOL_K * 350.0, 1000.0 * KCAL_MOL_PER_CM1
    # (1) G of an oscillator = h nu / 2 + RT ln(1 - exp(-h nu / RT))
    oscillator = 0.5 * quantum + rt * np.log1p(-np.exp(-quantum / rt))
    assert level_gap_kcal_mol([one, other], 350.0) == pytest.approx(oscillator + rt * np.log(2.0))
    assert level_gap_kcal_mol([], 350.0) == 0.0


def test_another_temperature_computes_no_energy(source, tmp_path: Path) -> None:  # type: ignore[no-untyped-def]
    calls = source()
    with closing(open_store(tmp_path / "store")) as store:
        run(store)
        before = len(calls)
        (again,) = run(store, temperature_k=400.0).results
        assert len(calls) == before
        fluoride, cyanide, both = kept(store)
    with closing(open_store(None)) as store:
        (fresh,) = run(store, temperature_k=400.0).results
    assert again.anchored == fresh.anchored
    value = by_hand(both, 400.0) - by_hand(fluoride, 400.0) - by_hand(cyanide, 400.0)
    assert again.anchored.parts[2].value_kcal_mol == pytest.approx(value, abs=1e-8)
