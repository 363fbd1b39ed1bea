"""From the store to results: read in the order of the study, a few at a time, assessed as they are read."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache
from typing import TypeVar, overload

from chairgap.batch.codec import unpacked
from chairgap.batch.store import STORE, Store
from chairgap.batch.store_file import damaged
from chairgap.model.assessment import assess
from chairgap.model.parts_at_level import LevelPart
from chairgap.model.reference_compounds import Part, part_at, part_that_ships
from chairgap.model.treatment import warmed
from chairgap.records import (
    Computed,
    LevelRing,
    NotPlanned,
    Outcome,
    Planned,
    Record,
    Refusal,
    Result,
    Ring,
    Study,
)
from chairgap.study_output.pieces import OutputOptions

Kind = TypeVar("Kind")
# Molecules written up by one piece of work: few of a small study, so that all workers have some.
_MOST_TOGETHER, _PIECES = 25, 40
# Up to this many results are held in memory, and so many parts: a gap and two chairs, some 3 kB, each.
_HELD = 200
_PARTS_HELD = 4096


@dataclass(frozen=True, kw_only=True)
class WriteUp:
    """Molecules to be written up together: the number of the first among those treated; each with its packed
    computation; their parts by checksum (None for a part that could not be computed), those at the level of
    the study too; and the output options."""

    first: int
    molecules: tuple[tuple[Planned, bytes], ...]
    parts: dict[str, Part | None]
    levels: dict[str, LevelPart]
    wanted: OutputOptions


def result_of(
    planned: Planned,
    content: bytes,
    part_of: Callable[[str], Part | None],
    level_of: Callable[[str], LevelPart],
    shared: Study,
) -> Result:
    """The result of a molecule from what its task left in the store, and its parts by checksum, those at the
    level of the study too.

    Raises ChairgapError when the content is damaged.
    """
    computation, media = warmed(_kept(content, Computed), shared.settings)
    molecule = replace(
        computation.molecule,
        name=planned.name,
        naming=planned.naming,
        place=planned.place,
        notes=planned.notes,
        numbered=planned.numbered,
    )
    parts = {task.ring: part_of(task.key) for task in planned.parts}

    def look_up(ring: Ring) -> Part | None:
        return parts[ring] if ring in parts else part_that_ships(ring, shared.settings)

    return assess(
        replace(computation, molecule=molecule),
        media,
        look_up,
        shared.tables,
        shared.settings,
        {task.ring: level_of(task.key) for task in planned.at_level}.__getitem__,
    )


def _kept(content: bytes, kind: type[Kind]) -> Kind:
    try:
        return unpacked(content, kind)
    except ValueError:
        raise damaged(STORE) from None


class Results(Sequence[Result]):
    """The results of a study as a sequence that reads each from the store when it is asked for; those of a
    small one are then held."""

    def __init__(self, store: Store, shared: Study):
        self._store, self.shared = store, shared
        self._positions = store.positions_done()
        self._result = cache(self._read) if len(self._positions) <= _HELD else self._read
        # Only so many: parts may be more than molecules.
        self._part = lru_cache(_PARTS_HELD)(self._read_part)
        self._level = lru_cache(_PARTS_HELD)(self._read_level)

    def __len__(self) -> int:
        return len(self._positions)

    @overload
    def __getitem__(self, index: int) -> Result: ...

    @overload
    def __getitem__(self, index: slice) -> tuple[Result, ...]: ...

    def __getitem__(self, index: int | slice) -> Result | tuple[Result, ...]:
        if isinstance(index, slice):
            return tuple(map(self._result, self._positions[index]))
        return self._result(self._positions[index])

    def write_ups(self, wanted: OutputOptions) -> Iterator[WriteUp]:
        """All molecules in the order of the study, packed as they are, a few together."""
        together = min(_MOST_TOGETHER, max(1, len(self) // _PIECES))
        for first in range(0, len(self), together):
            positions = self._positions[first : first + together]
            molecules = tuple(self._packed(position) for position in positions)
            keys = dict.fromkeys(task.key for planned, _ in molecules for task in planned.parts)
            at_level = dict.fromkeys(task.key for planned, _ in molecules for task in planned.at_level)
            yield WriteUp(
                first=first + 1,
                molecules=molecules,
                parts={key: self._part(key) for key in keys},
                levels={key: self._level(key) for key in at_level},
                wanted=wanted,
            )

    def _read(self, position: int) -> Result:
        planned, content = self._packed(position)
        return result_of(planned, content, self._part, self._level, self.shared)

    def _packed(self, position: int) -> tuple[Planned, bytes]:
        entry = self._store.entry(position)
        assert isinstance(entry.molecule, Planned) and entry.record is not None
        return entry.molecule, entry.record.content

    def _read_part(self, key: str) -> Part | None:
        record = self._store.record(key)
        if record is None or record.state != "done":
            return None
        return part_at(_kept(record.content, Computed), self.shared.settings)

    def _read_level(self, key: str) -> LevelPart:
        record = self._store.record(key)
        if record is None or record.state != "done":
            return record.message if record else "it was not computed; run the study again to go on"
        return _kept(record.content, LevelRing)


def outcome_of(study: Study, store: Store) -> Outcome:
    """The study as the store has it; results are read when they are looked at. Molecules of the study that
    could not be read at all come before those of the store."""
    refused: list[Refusal] = list(study.refused)
    failed: list[Refusal] = []
    for entry in store.not_done():
        if isinstance(entry.molecule, NotPlanned):
            (refused if entry.molecule.status == "refused" else failed).append(entry.molecule.refusal)
        else:
            failed.append(_failure(entry.molecule, entry.record))
    results = Results(store, study.shared)
    return Outcome(study=study, results=results, refused=tuple(refused), failed=tuple(failed))


def _failure(planned: Planned, record: Record | None) -> Refusal:
    message = record.message if record else "it was not computed; run the study again to go on."
    return Refusal(name=planned.name, message=message, place=planned.place)
