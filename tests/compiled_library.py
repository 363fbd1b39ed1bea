"""The compiled force field in tests: needed wherever there is a C compiler."""

import shutil

import pytest

from chairgap.minimise.compiled.library import library

# With a compiler it has to be there: `pip install -e .` or `python pipeline/hatch_build.py` builds it.
built = pytest.mark.skipif(
    library() is None and not (shutil.which("cc") or shutil.which("gcc") or shutil.which("clang")),
    reason="no C compiler here",
)
