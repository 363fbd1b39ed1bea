"""From TOML, CSV, SDF or a typed line to a `Study`; every problem is told at once."""
