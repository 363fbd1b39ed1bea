"""Key files in, and what is written of them out: solutions, marked sheets, question banks."""
