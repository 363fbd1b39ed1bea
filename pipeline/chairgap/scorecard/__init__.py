"""Every tabulated group with every energy model against its A-value."""
