"""The conformer search: from a `Molecule` to its distinct, verified minima.

Decisions, and what was rejected (numbers of benchmarks: tests/benchmarks/README.md):

* Rings are placed, groups attached, rotors set. Random embedding (ETKDG) was rejected as the search: it
  misses minima that ours finds, and the same minima cost it more (`complete_treatment.py`).
* Minimising is what a search costs (most of it even where it is compiled), so starts are recognised before
  (`recognise`): those within 10 degrees in every torsion of a known minimum, and lattice starts equal by
  symmetry, a sixth of all. Rejected: 20 degrees (loses twist-boats); nearness to earlier starts (loses
  rotamers of menthol and of the methyl ester that only relaxed geometries reach).
* The compiled engine also looks on the way downhill, every second step, and leaves it in the basin of a known
  minimum: a sixth of the CPU time, and nearly every minimisation to the end finds a new minimum. The way is
  the same until then, so a search can lose nothing but by a way wrongly left. Nearness alone is not enough:
  isothiocyanates have minima 10 degrees apart with hardly a barrier. Engines that cannot be asked on the way
  go to its end (looking again after 15 to 40 iterations of RDKit's costs more than it saves, and a restarted
  minimiser forgets its curvature).
* The window stays at 8 kcal/mol. 4 would save 5 % of a treatment (ten molecules), and moves a Gibbs gap by up
  to 0.0014 kcal/mol at 298 K, 0.010 at 400 K and 0.08 at 600 K, an enthalpy by 0.009 at 298 K.
* A lattice is walked when small, sampled when large; then rotors of found minima are turned in their relaxed
  geometry. Walking alone missed up to three minima per menthol isomer; turning alone would depend on luck.
  Large lattices (inositols) were walked at first: 15 s against 4 s for random starts; sampling with
  stratified ring starts and turning takes 1.5 s.
* The search runs in the agreed writing of the ring (`chairgap.molecule.agreed`), so that no numbering and no
  mirror image of a molecule finds more than another. Before, 26 of 500 molecules differed.
* Rotors are turned from the lowest minimum next, measured from the floor of its own chair. Turned round by
  round, octyl spent its budget on minima far up before those of its lowest; measured from the lowest of all,
  the axial chair of scyllo-inositol, 28 kcal/mol up, lost five minima within 7 of its best. What the last
  quarter of a budget still brought is part of the uncertainty (`compare.uncertainty.late_shift_kcal_mol`).
* An axial group turned over the ring is started on either side of that place: methylthio beside fluorine has
  a minimum on both, and every start fell into one of them.
* Labels of equal groups keep one handedness. The two methyls of isopropyl, or the two sides of a cyclohexyl
  group, cannot be exchanged by rotation. Embedding a group freely produced both labellings, and the same
  conformer was listed (and counted) twice. Starts now keep one, and repeats are recognised under every
  relabelling (`chairgap.shape.degeneracy.every_relabelling`).
* Geometry decides whether two minima are one; energy (1e-4 kcal/mol) is only a sieve before it: equal
  energies prove nothing.
* Each kind has its own energy window (chair A, chair B, non-chair): the best conformer of the worse chair is
  reported however high it lies, since the gap needs it.
* Configuration is read again from coordinates after every minimisation and after falling off a saddle; a
  start that has turned over at a carbon is dropped and counted. Amine nitrogens may invert.
* Heavy threefold tops (tert-butyl, CF3) start on either side of staggered; with one staggered start a twisted
  minimum 2 kcal/mol lower was missed in trans-1,2-di-tert-butyl.
* The search walks the gas-phase force field only; with a solvent or GFN2-xTB its minima are minimised again
  on that surface and verified there. Searching a continuum surface itself costs several times as much; a
  minimum that exists only in the solvent is missed.

'Exhaustive' means that every planned start was tried, not that every minimum is proven to be found. The ring
flip searches in the user's writing, since its forms are named by it.
"""
