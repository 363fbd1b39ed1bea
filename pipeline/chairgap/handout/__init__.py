"""Question sheets and their keys, for print."""
