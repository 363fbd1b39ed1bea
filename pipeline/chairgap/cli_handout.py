"""The command that makes handouts."""
