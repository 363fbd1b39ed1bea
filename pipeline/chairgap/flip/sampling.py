"""How dynamics are sampled; apart from them, so that the command line knows it without their libraries."""

DEFAULT_TEMPERATURE_K = 1000.0
STEPS_PER_SAMPLE = 20
BLOCKS = (40, 20, 10, 5)
LEAST_STEPS = max(BLOCKS) * STEPS_PER_SAMPLE
