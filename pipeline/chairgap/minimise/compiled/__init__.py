"""MMFF94 and MMFF94s in C: energy, gradient, second derivatives and the way downhill.

Decisions, and what was rejected:

* Plain C behind ctypes, compiled when the wheel is built (`building`, pipeline/hatch_build.py): no header of
  Python, so that any C compiler does and one wheel serves every Python version of a platform. Rejected: Numba
  (1.3 s at every start), Cython and an extension module (a wheel for each Python, and its headers), numpy
  alone (the same steps over RDKit's gradients gained nothing).
* Where it is not built, or belongs to other sources than those beside it, RDKit minimises and Hessians come
  by differences: the same surface, three to four times slower, where a start may fall into a neighbouring
  minimum. The notes of each molecule say which engine minimised, `manifest.json` whether the library was
  there, and results of the two are kept apart in the store.
* The terms are those that OpenMM gets (`mmff_terms`); RDKit's own energies and OpenMM's both check every
  reported minimum.
* Cosines carry the terms of angles, torsions and planes: the gradient has no pole where a torsion is flat.
  There RDKit's gradient is off by up to 1e-7 kcal/mol/angstrom; elsewhere both agree to 1e-12.
* Every step is a quasi-Newton step from a positive model of the curvature, each term without its negative
  part; nearer the end from the second derivatives. Over some 1,700 starts of seven molecules a minimisation
  needs 28 to 58 energies, with a new model every 20 steps a quarter more. Longest steps of 0.05 or 0.2
  angstrom find as many minima.
* A way may be left in the basin of a known minimum (`minimise_unless_known`; the numbers stand in
  `chairgap.search.recognise`). That is asked in C: in numpy a look at one set of dihedrals costs as much as
  one and a half to two energies (23 to 31 atoms). Asked at every step, at every second or at every third
  costs the same within the noise of a busy machine.
"""
