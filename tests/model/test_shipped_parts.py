"""Parts that ship: what computing gives, and only where computing would give it."""

import json
import sys
from collections.abc import Iterator
from dataclasses import fields, replace
from importlib.metadata import version
from pathlib import Path
from types import FrameType

import pytest

from chairgap.batch.content import plan_key, planned
from chairgap.compare.gaps import solvent_point
from chairgap.files import shipped_folder
from chairgap.model import shipped_parts
from chairgap.model.reference_compounds import Part, compute_part, part_that_ships, written
from chairgap.model.shipped_parts import (
    MADE_WITH,
    PARTS,
    MadeWith,
    ShippedPart,
    groups_of,
    is_shipped,
    part_that_may_ship,
    serves,
    shipped_part,
    shipped_rings,
)
from chairgap.model.treatment import computed_for_all
from chairgap.molecule.build import build_written
from chairgap.molecule.numbering import RingFaces
from chairgap.records import MediumLevels, Settings
from chairgap.run import run_study
from chairgap.study.typed import study_as_typed
from other_settings import CHANGES
from pipeline_helpers import SETTINGS, TABLE, molecule

HOME = Path(shipped_folder("data") or "") / "parts"
RENEW = "run python data/parts/make_parts.py (5 minutes of two cores) and keep what it writes"
FEW = ("1 up *C", "1 up *O", "1 up *C#N", "1 up *OC(=O)C(F)(F)F", "1 up *Cl, 2 down *F", "1 up *O, 3 up *O")
TEMPERATURES_K = (150.0, 298.15, 900.0)
MOST_BYTES = 1_000_000
# One processor adds numbers in another order than the next.
ENERGY_KCAL_MOL, WAVENUMBER_CM1 = 1e-6, 1e-2


def ring_of(groups_by_face: str) -> RingFaces:
    return written(*molecule(groups_by_face).topology.groups)[0]


def test_they_are_those_of_the_program_as_it_is() -> None:
    is_same = json.loads((HOME / MADE_WITH).read_bytes())["rdkit"] == version("rdkit")
    assert serves(SETTINGS) == is_same, f"the sources or settings are others than those of the parts: {RENEW}"


# What runs as well and decides no energy, frequency or copy: checks by the other engine, texts, records, what
# belongs to a temperature, refusals.
DECIDES_NOTHING = {
    "compare/gaps.py",
    "compare/populations.py",
    "compare/split.py",
    "compare/uncertainty.py",
    "compare/warm.py",
    "errors.py",
    "files/system.py",
    "minimise/openmm_engine.py",
    "model/reference_compounds.py",
    "model/shipped_parts.py",
    "molecule/rdkit_log.py",
    "molecule/reading.py",
    "molecule/refuse.py",
    "molecule/substituents.py",
}


def test_every_source_that_decides_is_in_the_checksum(monkeypatch: pytest.MonkeyPatch) -> None:
    package = f"{Path(shipped_parts.__file__).parents[1].as_posix()}/"
    files: set[str] = set()

    def note(frame: FrameType, event: str, value: object) -> None:
        files.add(frame.f_code.co_filename)

    rings = [ring_of("1 up *NC"), ring_of("1 up C(CH3)3")]
    monkeypatch.setattr(shipped_parts, "_made_with", lambda: None)
    sys.setprofile(note)
    try:
        for ring in rings:
            compute_part(ring, TABLE, SETTINGS)
    finally:
        sys.setprofile(None)
    ran = {file.removeprefix(package) for file in files if file.startswith(package)}
    decide = {file for file in ran if not file.startswith(("records/", *shipped_parts._SOURCES))}
    assert "search/explore.py" in ran
    assert decide <= DECIDES_NOTHING


def test_every_group_that_can_be_and_the_pairs_of_the_commonest_ship() -> None:
    alone = [ring for ring in shipped_rings() if ", " not in ring]
    assert len(alone) > 55 and len(shipped_rings()) > 350
    assert set(FEW) < set(shipped_rings())
    size = sum((HOME / name).stat().st_size for name in (PARTS, MADE_WITH))
    assert size < MOST_BYTES


def same(ring: str) -> None:
    """A ring that ships against the same computed here."""
    faces = ring_of(ring)
    assert groups_of(faces) == ring
    found = part_that_may_ship(
        faces, computed_for_all(build_written(faces, TABLE, force_field="MMFF94"), SETTINGS)
    )
    kept = shipped_part(faces, SETTINGS)
    assert found is not None and kept is not None
    assert (kept.ring, kept.odd_up_axial, len(kept.levels)) == (ring, found.odd_up_axial, len(found.levels))
    for one, other in zip(kept.levels, found.levels, strict=True):
        assert one.energy_kcal_mol == pytest.approx(other.energy_kcal_mol, abs=ENERGY_KCAL_MOL)
        assert one.frequencies_cm1 == pytest.approx(other.frequencies_cm1, abs=WAVENUMBER_CM1)
        assert one.moments_u_angstrom2 == pytest.approx(other.moments_u_angstrom2, rel=1e-5)
        assert (one.degeneracy_a, one.degeneracy_b) == (other.degeneracy_a, other.degeneracy_b)
    for temperature_k in TEMPERATURES_K:
        gaps = [in_gas(part, temperature_k).gibbs_kcal_mol for part in (kept, found)]
        assert gaps[0] == pytest.approx(gaps[1], abs=ENERGY_KCAL_MOL)


def in_gas(part: ShippedPart, temperature_k: float):
    levels = MediumLevels(
        medium="gas phase", dielectric=1.0, levels=part.levels, hydrogen_bonds_a=0, hydrogen_bonds_b=0
    )
    return solvent_point(levels, temperature_k)


@pytest.mark.parametrize("ring", FEW)
def test_a_few_are_what_computing_gives(ring: str) -> None:
    same(ring)


@pytest.mark.long
def test_all_are_what_computing_gives() -> None:
    for ring in shipped_rings():
        same(ring)


@pytest.mark.parametrize("changed", CHANGES)
def test_other_settings_are_not_served(changed: dict[str, object]) -> None:
    other = replace(SETTINGS, **changed)
    assert not serves(other)
    assert shipped_part(ring_of("1 up CH3"), other) is None and not is_shipped(ring_of("1 up CH3"), other)


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """The folder of the parts, to be spoilt."""
    caches = (shipped_parts._made_with, shipped_parts._whole, shipped_parts._parts, shipped_parts._rdkit)
    for name in (PARTS, MADE_WITH):
        (tmp_path / name).write_bytes((HOME / name).read_bytes())
    monkeypatch.setattr(shipped_parts, "_home", lambda: tmp_path)
    for cached in caches:
        cached.cache_clear()
    yield tmp_path
    for cached in caches:
        cached.cache_clear()


@pytest.mark.parametrize("field", [field.name for field in fields(MadeWith)])
def test_parts_that_were_made_with_anything_else_are_not_served(home: Path, field: str) -> None:
    head = json.loads((home / MADE_WITH).read_bytes())
    head[field] = head[field] + 1 if isinstance(head[field], int | float) else head[field] + "x"
    (home / MADE_WITH).write_text(json.dumps(head))
    assert not serves(SETTINGS)


@pytest.mark.parametrize("spoilt", [b"", b"{}", b"nonsense", None])
@pytest.mark.parametrize("name", [PARTS, MADE_WITH])
def test_files_that_are_missing_or_damaged_serve_nothing(home: Path, name: str, spoilt: bytes | None) -> None:
    if spoilt is None:
        (home / name).unlink()
    else:
        (home / name).write_bytes(spoilt)
    assert not serves(SETTINGS) and shipped_part(ring_of("1 up CH3"), SETTINGS) is None


def test_another_rdkit_is_not_served(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shipped_parts, "version", lambda name: "2027.3.1")
    assert not serves(SETTINGS)


def test_what_ships_is_no_task_and_the_plan_knows(monkeypatch: pytest.MonkeyPatch) -> None:
    built = molecule("1 up CH3, 3 up Cl, 4 down *CCCCC")
    with_them = planned(built, TABLE, SETTINGS)
    key = plan_key((), TABLE, SETTINGS)
    texts = {groups_of(task.ring) for task in with_them.parts}
    assert texts == {groups_of(ring_of(text)) for text in PENTYL}
    monkeypatch.setattr(shipped_parts, "_made_with", lambda: None)
    assert len(planned(built, TABLE, SETTINGS).parts) == 6
    assert plan_key((), TABLE, SETTINGS) != key


PENTYL = ("1 up *CCCCC", "1 up CH3, 4 down *CCCCC", "1 up Cl, 2 down *CCCCC")


def part(ring: RingFaces, settings: Settings) -> Part:
    found = compute_part(ring, TABLE, settings)
    assert found is not None
    return found


@pytest.mark.parametrize("temperature_k", TEMPERATURES_K)
@pytest.mark.parametrize("text", ["1 up OH, 3 up OH", "2 down CH3, 3 down Cl"])
def test_a_part_that_ships_is_the_part(
    text: str, temperature_k: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings, ring = replace(SETTINGS, temperature_k=temperature_k), ring_of(text)
    kept = part_that_ships(ring, settings)
    assert kept == part(ring, settings)
    monkeypatch.setattr(shipped_parts, "_made_with", lambda: None)
    found = part(ring, settings)
    assert kept is not None and kept.odd_up_axial == found.odd_up_axial
    for kind in ("potential", "ensemble", "gibbs"):
        gaps = [getattr(one.gaps, f"{kind}_kcal_mol") for one in (kept, found)]
        assert gaps[0] == pytest.approx(gaps[1], abs=ENERGY_KCAL_MOL)


def test_a_molecule_has_the_same_result_with_them_and_without(monkeypatch: pytest.MonkeyPatch) -> None:
    study = study_as_typed("1 up CH3, 2 down F, 4 up Cl", settings={})
    (with_them,) = run_study(study, progress=lambda state: None).results
    monkeypatch.setattr(shipped_parts, "_made_with", lambda: None)
    (without,) = run_study(study, progress=lambda state: None).results
    pairs = zip(with_them.split.parts, without.split.parts, strict=True)
    for one, other in pairs:
        assert (one.kind, one.groups) == (other.kind, other.groups)
        assert one.computed_kcal_mol == pytest.approx(other.computed_kcal_mol, abs=ENERGY_KCAL_MOL)
    assert with_them.anchored.gap_kcal_mol == pytest.approx(
        without.anchored.gap_kcal_mol, abs=ENERGY_KCAL_MOL
    )
