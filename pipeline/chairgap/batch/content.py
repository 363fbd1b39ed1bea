"""What a task is called: a checksum of everything its result depends on.

That is the ring, the names its groups have in the study's table (the chairs are named by them; no A-value
enters a computation), the settings of search and surface, among them what the tables say of its media, and
the versions of the program, of its source and of the libraries that compute. Temperature, title, thresholds,
A-values and the scorecard are not in it: after a change of these nothing is searched or minimised again; the
Gibbs energies, verdicts and reasons are made anew.
"""

import hashlib
from collections.abc import Sequence
from functools import cache
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path

import msgspec

from chairgap.abinitio.levels import LEVEL_LIBRARIES, part_seconds
from chairgap.batch.cost import usual_seconds
from chairgap.minimise.compiled.library import library
from chairgap.model.parts_at_level import RingAtLevel, needed_at_level
from chairgap.model.reference_compounds import needed_parts
from chairgap.model.shipped_parts import is_shipped, mark
from chairgap.molecule.build import ring_atoms, writing_of
from chairgap.molecule.substituents import group_name, groups_by_face_text
from chairgap.records import (
    EstimateTable,
    Molecule,
    MoleculeRequest,
    PairInteraction,
    Planned,
    Ring,
    Settings,
    Task,
    Topology,
)
from chairgap.search.expected import expected_starts

_LIBRARIES = ("chairgap", "numpy", "scipy", "rdkit", "openmm", "tblite")


def planned(
    molecule: Molecule,
    table: EstimateTable,
    settings: Settings,
    pairs: Sequence[PairInteraction] = (),
) -> Planned:
    """A built molecule as its task and those of its parts, but for those that ship; `pairs` need not be
    computed at a level."""
    needed = needed_at_level(molecule.topology, pairs, settings.pairs_by)
    return Planned(
        name=molecule.name,
        place=molecule.place,
        notes=molecule.notes,
        smiles=molecule.smiles,
        groups_by_face=molecule.groups_by_face,
        naming=molecule.naming,
        numbered=molecule.numbered,
        task=task_of(writing_of(molecule.topology), table, settings),
        parts=tuple(
            task_of(ring, table, settings)
            for ring in needed_parts(molecule.topology)
            if not is_shipped(ring, settings)
        ),
        at_level=tuple(
            level_task_of(item, molecule.topology, table, settings)
            for item in {item.ring: item for item in needed}.values()
        ),
    )


def task_of(ring: Ring, table: EstimateTable, settings: Settings) -> Task:
    """The task that computes a ring under these settings."""
    key = _digest(ring, _named(ring, table), _computing(settings), versions())
    expected_s = usual_seconds(ring_atoms(ring), expected_starts(ring), settings.quantum_method)
    return Task(key=key, ring=ring, expected_s=expected_s)


def level_task_of(item: RingAtLevel, topology: Topology, table: EstimateTable, settings: Settings) -> Task:
    """The task that computes a ring at the level of the study: its protocol is one for all settings of search
    and surface, and a new version of PySCF computes it anew, not the rest."""
    level = settings.pairs_by
    key = _digest(
        item.ring,
        _named(item.ring, table),
        level,
        [_version(name) for name in LEVEL_LIBRARIES],
        versions(),
    )
    expected_s = part_seconds(topology, item.sites, level)
    return Task(key=key, ring=item.ring, level=level, expected_s=expected_s)


def _named(ring: Ring, table: EstimateTable) -> tuple[object, ...]:
    names = tuple((group_name(up, table), group_name(down, table)) for up, down in ring)
    return names, groups_by_face_text(ring, table)


def plan_key(
    requests: tuple[MoleculeRequest, ...],
    table: EstimateTable,
    settings: Settings,
    pairs: Sequence[PairInteraction] = (),
) -> str:
    """A checksum of everything a plan depends on; of the `pairs` only which there are."""
    at_level: tuple[object, ...] = ()
    if settings.pairs_by != "none":
        covered = tuple((row.group_1, row.group_2, row.relation, row.method) for row in pairs)
        at_level = (settings.pairs_by, covered, [_version(name) for name in LEVEL_LIBRARIES])
    names = tuple((row.group, row.names, row.fragment) for row in table.a_values)
    each = hashlib.sha256()  # one by one: together they would stand in memory once more
    for request in requests:
        each.update(msgspec.msgpack.encode(request, order="deterministic"))
    return _digest(
        each.digest(),
        names,
        _computing(settings),
        settings.atom_limit,
        settings.numbering,
        at_level,
        mark(settings),
        versions(),
    )


def _computing(settings: Settings) -> tuple[object, ...]:
    return (
        settings.medium,
        settings.medium_series,
        settings.force_field,
        settings.engine,
        settings.quantum_method,
        settings.search.most_starts,
        settings.search.window_kcal_mol,
        settings.search.seed,
    )


@cache
def versions() -> str:
    """A checksum of the program's source, and of the versions of what computes."""
    found: list[object] = [(name, _version(name)) for name in _LIBRARIES]
    package = Path(__file__).resolve().parents[1]
    found += [
        (str(path.relative_to(package)), hashlib.sha256(path.read_bytes()).hexdigest())
        for path in sorted((*package.rglob("*.py"), *package.rglob("*.[ch]")))
    ]
    # With and without it the same surface is minimised on other ways.
    found.append(("compiled", library() is not None))
    return _digest(*found)


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return ""


def _digest(*facts: object) -> str:
    return hashlib.sha256(msgspec.msgpack.encode(facts, order="deterministic")).hexdigest()
