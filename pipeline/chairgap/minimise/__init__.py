"""Energy surfaces and stationary points: compiled force field, RDKit, OpenMM, solvent, GFN2-xTB; Hessians,
minima, saddles.

Decisions, and what was rejected:

* Compiled code of our own minimises (`compiled`), RDKit and OpenMM check every reported minimum; where it is
  not built RDKit minimises. OpenMM's minimiser is 3 to 10 times slower than RDKit's for one small molecule.
  OpenMM runs on its Reference platform with explicit pair lists, in double precision, bit for bit
  reproducible; its parameters come from RDKit, its formulas are our own. Over the 64 single groups that
  MMFF94 knows, every reported minimum: energies within 5e-9 kcal/mol, gradients within 3e-7 kcal/mol/A.
  Rejected: its nonbonded force on the CPU platform, which is single precision (energies off by 3e-4 kcal/mol,
  minimisation stalls) and depends on the number of threads. OpenMM's angle force caps its derivative within
  5e-5 rad of 180 degrees (gradients off by 1e-3 kcal/mol/A), so straight centres use a cosine from three
  distances. UFF exists in RDKit only and has no second opinion; the report says so.
* RDKit is made to forget its distances before every energy and gradient (`Initialize` in `rdkit_engine`):
  both read those kept from the last geometry and are silently wrong otherwise. The gradient alone costs two
  thirds of both. All pairs are kept, so the surface has no cut-off step.
* Newton polishing after the minimiser: energies then do not depend on the start (1e-10 kcal/mol), which
  makes weeding by energy safe. The convergence test of RDKit is relative to |E|; bounds on its version stand
  in pyproject.toml.
* A solvent is the force field and a generalised-Born continuum in closed form (`continuum`), checked by
  OpenMM, whose numbers it gives to 1e-14. Its energy is linear in a factor of the permittivity, so one set of
  Hessians at the minima of the gas phase starts all media (`quasi_newton`), and a Hessian takes no gradients
  of the solvent: five times cheaper than by OpenMM's gradients. Rejected: OpenMM's gradients alone (a series
  cost 4 to 9 times the gas phase), batches of geometries (nothing left to batch), Hessians shared by solvents
  (an error to be tested for a gain of a fifth). Why internal hydrogen bonds fail in apolar solvents, and what
  was tried: `solvated`.
* The continuum has MMFF charges, Bondi radii, screening as in OpenMM; no cavity term, since those in use were
  fitted to water. It does not repair MMFF94's halogens, and the scorecard says so.
* GFN2-xTB through tblite is an extra, imported only when asked for and looked for before anything is
  computed. It starts every evaluation from the same guess (no memory of earlier ones), so results do not
  depend on the order. tert-Butylcyclohexane has a double well 0.0002 kcal/mol deep there, which counts a
  conformer twice (RT ln 2 in the gap): reported as it is.
* Saddles by eigenvector following with a full Hessian at every step (`saddle`), started from rings held on
  the Cremer-Pople sphere. The dimer method was rejected (`ring_flip.py` in tests/benchmarks). The mode to
  follow is the one that answers most to a force along the sphere (H^-1 a), not the one that overlaps most:
  overlap chose stiff C-H bends.
* One BLAS thread during a run: the matrices are small; a second thread doubled the CPU time and made sums
  depend on the number of threads.
"""
