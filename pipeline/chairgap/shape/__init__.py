"""The shape of a ring and of what hangs on it: puckering, forms, positions, contacts, degeneracy. Pure.

Decisions, and what was rejected:

* Chairs are distinguished by the axial/equatorial pattern that their ring imposes on the numbered carbons. A
  raw theta names no chair: it swaps 0 and 180 degrees when the numbering starts one carbon further on or runs
  the other way.
* In a chair the ring decides what is axial (a raised atom has its upper ligand axial), since a crowded axial
  group such as trityl leans out to the angle of the hydrogen beside it; reading angles there lost whole
  chairs (axial 1,3-tert-butyl/methyl). In every other ring the angle of the bond to the Cremer-Pople
  mean-plane normal is read, and two ligands of a carbon within 20 degrees of each other are isoclinal.
* Degeneracy comes from the group of feasible operations (`degeneracy`), not from symmetry numbers read from
  point groups: one rule covers mirror images, ring flips, NH2, tert-butyl and phenyl. Symmetry numbers are
  therefore left out of the partition functions of gaps. The rule is tested against counting by hand and by
  brute force.
"""
