"""Gaps of a molecule and its parts at MP2 level, for pairs of groups that the shipped table does not cover.

The protocol is that of `data/pair_interactions.csv` (data/mp2/README.md), whatever the study searches with:

* conformers of the MMFF94 search (window 4 kcal/mol, seed 1) within 3 kcal/mol of the lowest of their chair,
  at most 8 a chair, each minimised again with GFN2-xTB (Bannwarth, Ehlert, Grimme, J. Chem. Theory Comput.
  2019, 15, 1652); dropped where chair, configuration or rotamer changed;
* of these, by GFN2-xTB potential plus MMFF94's thermal part at 298.15 K, the lowest within 1.5 kcal/mol and
  at most 2 a chair, one more for each group that turns and has a lone pair on N, O or S (a group alone: 2.5
  kcal/mol and 5); the lowest by MMFF94 is always among them;
* at each geometry RI-HF and RI-MP2 with frozen core; the thermal part (Gibbs less potential energy,
  quasi-harmonic) is MMFF94's, at the temperature of the study;
* G(chair) = -RT ln sum_i g_i exp(-(E_i + thermal_i) / RT), gas phase; the gap is G(B) - G(A), kcal/mol.

Decisions, and what was rejected. Levels are MP2/def2-TZVP, that of the table, and MP2/def2-SVP for a quick
look and for tests: seconds a conformer, but G(axial) - G(equatorial) of fluorine alone is -0.30 there against
+0.41 with def2-TZVP, and pairs take over part of such errors. Larger basis sets were rejected (def2-QZVP
moved three pairs by at most 0.08 at ten times the cost), density functionals too (nothing shipped to compare
them with). One protocol for all: geometries of MMFF94 alone where tblite is missing were rejected, since
pairs would then depend on what is installed; both libraries are in the extra `chairgap[abinitio]`. A
conformer whose self-consistent field does not converge takes the whole gap with it: a Boltzmann sum without
it would be another quantity. A ring is one task, not each conformer, since which conformers there are is
known only when it has been searched; a stop loses minutes at most.

`energies` alone imports PySCF, and only when it is asked.
"""
