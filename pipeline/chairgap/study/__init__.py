"""From TOML, CSV, SDF or a typed line to a `Study`; every problem is reported at once."""
