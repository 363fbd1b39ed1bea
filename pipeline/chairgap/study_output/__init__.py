"""The folder of a study: what its files say of a few molecules at a time, and how they get there.

Seed and study fix the tables byte for byte with the same versions: fixed decimals by unit, no time outside
the manifest (a refused molecule is named with the path of its file as it was typed). Rounding noise (engine
differences) is written with fixed decimals, not significant digits.

Files are written in pieces of 25 molecules, made by the workers and put one behind the other in order, since
writing up takes the program 20 ms a molecule, which 256 cores would wait for.
"""
