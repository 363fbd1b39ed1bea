"""A share of the mutated names; all of them by `python tests/fuzz/fuzz_names.py`."""

import pytest

from fuzz.fuzz_names import mutated, read


@pytest.mark.parametrize("block", range(5))
def test_mutated_names(block: int) -> None:
    for number in range(100):
        read(mutated(7_000_000 + block * 100 + number))
