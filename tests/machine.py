"""What some tests need of the machine besides Python."""

import os
from typing import NoReturn

import pytest

EVERYTHING = "CHAIRGAP_SKIPS_NOTHING"


def missing(thing: str, told: str) -> NoReturn:
    """Skip for want of a thing; fail where CI has promised that everything is there."""
    if os.environ.get(EVERYTHING) == "1":
        pytest.fail(f"{EVERYTHING} is set, but {thing} is missing: {told}")
    pytest.skip(f"{thing} is missing: {told}")
