"""What some tests need of the machine besides Python."""

import os
from importlib.util import find_spec
from typing import NoReturn

import pytest

EVERYTHING = "CHAIRGAP_SKIPS_NOTHING"


def missing(thing: str, told: str) -> NoReturn:
    """Skip for want of a thing; fail where CI has promised that everything is there."""
    if os.environ.get(EVERYTHING) == "1":
        pytest.fail(f"{EVERYTHING} is set, but {thing} is missing: {told}")
    pytest.skip(f"{thing} is missing: {told}")


def needs_pyscf() -> None:
    """Skip without the extra that computes pairs at MP2 level."""
    if find_spec("pyscf") is None:
        missing("PySCF", "pip install 'chairgap[abinitio]'")
