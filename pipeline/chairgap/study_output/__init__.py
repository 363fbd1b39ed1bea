"""The folder of a study: what its files say of a few molecules at a time, and how they get there.

Seed and study fix the tables byte for byte with the same versions: fixed decimals by unit, no time outside
the manifest (a refused molecule is named with the path of its file as it was typed). Rounding noise (engine
differences) is written with fixed decimals, not significant digits.

Files are written in pieces of a few molecules (1 to 25, by their number in the study), made by the workers
from 20 molecules on and put one behind the other in order: writing up takes 110 ms a molecule with its
drawings and 30 ms without, of which the program itself spends 2. The bytes depend on no number of workers.

What has not changed is not written again: the manifest holds what the files were made from
(`chairgap.batch.made_from`) and the checksum of each, and files that are just these are left as they are. A
file that the user altered is refused, as ever; one that is missing writes all anew; a run that was killed
while it exchanged files leaves a manifest that does not agree with them. Rejected: writing only the files
that changed, since nearly all change with a molecule, and a mix of two runs would have to be recognised.

Tables only (`page = false`, `--no-page`): neither page nor drawings, which are nearly three quarters of the
work and half of the size; the structures are packed (gzip), since they are the largest file of a large study.
Rejected: fewer conformers, which nobody who reads the file alone would miss.
"""
