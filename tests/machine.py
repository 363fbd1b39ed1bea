"""What some tests need of the machine besides Python."""

import os
from importlib import import_module
from typing import Any, NoReturn

import pytest

EVERYTHING = "CHAIRGAP_SKIPS_NOTHING"


def missing(thing: str, told: str) -> NoReturn:
    """Skip for want of a thing; fail where CI has promised that everything is there."""
    if os.environ.get(EVERYTHING) == "1":
        pytest.fail(f"{EVERYTHING} is set, but {thing} is missing: {told}")
    pytest.skip(f"{thing} is missing: {told}", allow_module_level=True)


def library(name: str, told: str) -> Any:
    """A module of a library that a user may lack; also at the head of a test file."""
    try:
        return import_module(name)
    except ImportError as error:
        missing(name, f"{error}; {told}")


def tblite() -> Any:
    """The interface of the quantum method."""
    return library("tblite.interface", "pip install 'chairgap[quantum]'")


def needs_pyscf() -> None:
    """Skip without the extra that computes pairs at MP2 level."""
    library("pyscf", "pip install 'chairgap[abinitio]'")
