"""The answer-key room: what a symbolic claim should be, whether a key's claim is that, and if not, why."""
