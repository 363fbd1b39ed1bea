"""Arrangements of groups listed in their smallest writing, against a set of all writings seen.

Run by hand: PYTHONPATH=tests python tests/benchmarks/patterns.py (half a minute). Both routes list the same
molecules in one run, ten groups on one to three carbons, mirror images both; told are the ratio of their CPU
times and of the most memory each holds while it lists.
"""

import time
import tracemalloc
from collections.abc import Callable, Iterator
from itertools import combinations, product

from chairgap.molecule import fragments
from chairgap.molecule.numbering import HYDROGEN, RingFaces, identity
from chairgap.molecule.patterns import CARBONS, Choice, arrangements
from chairgap.molecule.substituents import read_fragment
from chairgap.tables.shipped import read_estimate_table

GROUPS = read_estimate_table("chairgap").a_values[:20]
CHOICES = tuple(
    Choice(name=row.group, fragment=fragment, mirror=fragments.mirror(fragment), sort_name=row.group)
    for row in GROUPS
    for fragment in [read_fragment(row.fragment)]
)
FEW = CHOICES[:10]
NUMBERS = (1, 2, 3)


def smallest_writings(choices: tuple[Choice, ...]) -> Iterator[object]:
    return arrangements(choices, NUMBERS, mirror_images="both")


def all_seen(choices: tuple[Choice, ...]) -> Iterator[object]:
    seen: set[RingFaces] = set()
    for number in NUMBERS:
        for locants in combinations(range(6), number):
            for filling in product([choice.fragment for choice in choices], repeat=number):
                for sides in product((0, 1), repeat=number):
                    pairs = [[HYDROGEN, HYDROGEN] for _ in CARBONS]
                    for locant, fragment, side in zip(locants, filling, sides, strict=True):
                        pairs[locant][side] = fragment
                    one = identity(tuple((up, down) for up, down in pairs))
                    if one not in seen:
                        seen.add(one)
                        yield one


def measured(route: Callable[[tuple[Choice, ...]], Iterator[object]]) -> tuple[int, float, int]:
    """How many it lists of FEW, CPU seconds, and bytes held at most (in a second pass, which is slower)."""
    started = time.process_time()
    count = sum(1 for _ in route(FEW))
    seconds = time.process_time() - started
    tracemalloc.start()
    sum(1 for _ in route(FEW))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return count, seconds, peak


if __name__ == "__main__":
    (ours, our_seconds, our_bytes), (theirs, their_seconds, their_bytes) = map(
        measured, (smallest_writings, all_seen)
    )
    assert ours == theirs
    print(f"{ours} molecules: {our_seconds:.2f} s against {their_seconds:.2f} s of CPU time", end=", ")
    print(f"ratio {their_seconds / our_seconds:.0f}")
    print(f"held at most: {our_bytes / 1e3:.0f} kB against {their_bytes / 1e3:.0f} kB", end=", ")
    print(f"ratio {their_bytes / our_bytes:.0f}")
    for mirror_images in ("once", "both"):
        started = time.process_time()
        count = sum(1 for _ in arrangements(CHOICES, NUMBERS, mirror_images=mirror_images))
        seconds = time.process_time() - started
        print(f"20 groups, mirror images {mirror_images}: {count} molecules, {count / seconds:,.0f} a second")
