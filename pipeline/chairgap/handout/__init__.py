"""Question sheets and their keys, for print.

Versions are equal or the same. Only molecules with equal pitfalls and numbers of groups, and a similar gap,
are paired, by exact minimum-weight matching; otherwise both versions get one molecule in another writing,
mirrored and renumbered (a twin, which takes over the computed gap; its ledger is added up anew). Rejected: a
weighted distance over everything, which pairs a syn-diaxial trap with a plain question as soon as the pool is
small. `matching.csv` says which question stands against which, and why. Molecules without a complete
estimate, or that prefer a twist-boat, are left out, and the key says so.

Questions are made of pieces (`blocks.py`) that HTML and Markdown show each in its own way; what is asked, and
where the answers come from, is in `kinds/`, how hard it is in `levels.py`, and which molecules stand in which
kinds in `planning.py`. A sheet of the usual question of four parts alone is chosen as above.

Versions are 1 to 4. Sheets know no chair A or B, whose letters say who has fewer axial groups: dG is named
by one group. Key drawings lie in a folder of their own, so that a folder of questions can be handed out. PDF
comes from the machine's browser; a PDF library would need a second layout.
"""
