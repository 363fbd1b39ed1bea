"""For all tests: no property test is judged by how fast the machine is."""

from hypothesis import settings

settings.register_profile("untimed", settings(deadline=None))
settings.load_profile("untimed")
