"""The command line: the only room that prints, handles signals and sets exit codes."""
