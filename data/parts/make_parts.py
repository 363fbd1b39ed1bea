"""Computes the parts that ship again: parts.gz and made_with.json beside this file.

    python data/parts/make_parts.py [--workers 2]

Every group of the A-value table alone on the ring, and each two of the commonest groups in every relation, by
the default settings of a study. Left out are rings that MMFF94 does not know, and those whose lattice is too
large to be walked, which is then sampled at random. Where of the sources only comments and docstrings have
changed since, nothing is computed: made_with.json alone is written again.
"""

import argparse
import ast
import hashlib
import json
from collections.abc import Iterator, Sequence
from contextlib import closing
from dataclasses import asdict
from itertools import combinations_with_replacement
from pathlib import Path

from chairgap.batch.codec import unpacked
from chairgap.batch.content import task_of
from chairgap.batch.executors import Job
from chairgap.batch.jobs import compute_task
from chairgap.batch.pool import Pool, default_workers
from chairgap.errors import MoleculeError, Place
from chairgap.model.reference_compounds import written
from chairgap.model.shipped_parts import (
    MADE_WITH,
    PARTS,
    ShippedPart,
    as_bytes,
    checksum_of_sources,
    groups_of,
    made_with,
    part_that_may_ship,
)
from chairgap.molecule.build import build_molecules
from chairgap.molecule.numbering import RingFaces
from chairgap.records import Computed, Face, GroupOnCarbon, Lost, MoleculeRequest, Settings, Study, Tables
from chairgap.search.expected import expected_starts
from chairgap.search.explore import is_walked
from chairgap.tables.shipped import read_tables

HERE = Path(__file__).parent
STATEMENTS = "statements"  # read by nothing but this
SETTINGS = Settings(title="parts that ship", output="")
COMMON = ("CH3", "CH(CH3)2", "C(CH3)3", "C6H5", "F", "Cl", "Br", "OH", "OCH3")
BESIDE: tuple[tuple[int, Face], ...] = (
    (1, "down"),
    *((n, face) for n in (2, 3, 4) for face in ("up", "down")),
)


def rings(tables: Tables) -> Iterator[RingFaces]:
    """The rings to compute, in their agreed writing."""
    for group in dict.fromkeys(row.group for row in tables.estimate.a_values):
        yield from _written(tables, (1, "up", group))
    for one, other in combinations_with_replacement(COMMON, 2):
        for carbon, face in BESIDE:
            yield from _written(tables, (1, "up", one), (carbon, face, other))


def _written(tables: Tables, *groups: tuple[int, Face, str]) -> Iterator[RingFaces]:
    placed = tuple(GroupOnCarbon(carbon=carbon, face=face, group=group) for carbon, face, group in groups)
    request = MoleculeRequest(name="", place=Place(), substituents=placed, every_stereoisomer=True)
    try:
        for molecule in build_molecules(
            request, tables.estimate, force_field=SETTINGS.force_field, atom_limit=SETTINGS.atom_limit
        ):
            yield written(*molecule.topology.groups)[0]
    except MoleculeError as error:
        print(f"left out: {' '.join(error.message.split())}")


def walked(ring: RingFaces) -> bool:
    """Whether the search can be expected to walk the whole lattice, so that the ring is worth computing."""
    starts = expected_starts(ring)
    if is_walked(starts, SETTINGS.search):
        return True
    print(f"left out, a lattice of {starts} starts is sampled: {groups_of(ring)}")
    return False


def computed(wanted: Sequence[RingFaces], tables: Tables, workers: int) -> Iterator[ShippedPart]:
    """Those of the rings that may ship, as they are done."""
    shared = Study(settings=SETTINGS, tables=tables, requests=(), text="", file="")
    tasks = [task_of(ring, tables.estimate, SETTINGS) for ring in wanted]
    tasks.sort(key=lambda task: -task.expected_s)
    job = Job(work=compute_task, shared=shared, time_s=SETTINGS.limits.time_s)
    with closing(Pool(workers=workers, memory_mb=SETTINGS.limits.memory_mb)) as pool:
        for task, record in pool.run(job, tasks):
            if isinstance(record, Lost) or record.state != "done":
                raise SystemExit(f"{task.ring}: {record.message}")
            part = part_that_may_ship(task.ring, unpacked(record.content, Computed))
            if part is None:
                print(f"left out, its search was not whole: {groups_of(task.ring)}")
            else:
                yield part


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("--workers", type=int, default=default_workers())
    workers = parser.parse_args().workers
    whole = only_words_changed()
    if whole is not None:
        write_head(whole)
        print("only words have changed: nothing computed")
        return
    tables = read_tables()
    wanted = [ring for ring in dict.fromkeys(rings(tables)) if walked(ring)]
    whole = as_bytes(computed(wanted, tables, workers))
    (HERE / PARTS).write_bytes(whole)
    write_head(whole)
    print(f"{len(wanted)} rings, {len(whole) / 1e3:.0f} kB")


def write_head(whole: bytes) -> None:
    head = asdict(made_with(SETTINGS, whole)) | {STATEMENTS: stated()}
    (HERE / MADE_WITH).write_text(json.dumps(head, indent=2) + "\n")


def only_words_changed() -> bytes | None:
    """The parts as they are, where nothing but words differs from what they were made with."""
    try:
        head, whole = json.loads((HERE / MADE_WITH).read_bytes()), (HERE / PARTS).read_bytes()
    except (OSError, ValueError):
        return None
    now = asdict(made_with(SETTINGS, whole)) | {STATEMENTS: stated()}
    differ = {name for name in now if head.get(name) != now[name]}
    return whole if differ <= {"sources"} else None


def stated() -> str:
    """A checksum of what is computed and how, in whatever words."""
    fragments = [row.fragment for row in read_tables().estimate.a_values]
    facts = (checksum_of_sources(statements), statements(Path(__file__)).hex(), fragments)
    return hashlib.sha256(json.dumps(facts).encode()).hexdigest()


def statements(path: Path) -> bytes:
    """A source without comments and docstrings; C as it is."""
    if path.suffix != ".py":
        return path.read_bytes()
    tree = ast.parse(path.read_bytes())
    for node in ast.walk(tree):
        if (
            isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
            and ast.get_docstring(node) is not None
        ):
            node.body = node.body[1:]
    return ast.dump(tree).encode()


if __name__ == "__main__":
    main()
