"""The folder of a study: what its files say of a few molecules at a time, and how they get there."""
