"""The right answer to each quantity, one family a file."""
