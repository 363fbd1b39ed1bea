"""Answer keys: rules (pure) and files (in and out)."""
