"""The commands of the answer-key check; joined to the command line by cli.py."""
