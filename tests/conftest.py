"""For all tests: no property test is judged by how fast the machine is, and files stay in one process."""

import pytest
from hypothesis import settings

settings.register_profile("untimed", settings(deadline=None))
settings.load_profile("untimed")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """The tests of a file, and all of `flip/`, go to one process: what they share is computed once in each
    (`pipeline_helpers`, `flip_helpers`)."""
    for item in items:
        folder = item.path.parent.name
        item.add_marker(pytest.mark.xdist_group("flip" if folder == "flip" else f"{folder}/{item.path.name}"))
