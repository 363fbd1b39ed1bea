"""A study as independent tasks: planned, computed once each, kept in a store, written up in order."""
