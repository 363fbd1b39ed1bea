"""From energies to gaps, and from gap and estimate to parts, reasons, uncertainty and verdict. Pure.

Decisions, and what was rejected:

* Frequencies below 100 cm-1 are raised to 100 cm-1 in zero-point energy, enthalpy and entropy (Ribeiro et al.
  2011): the quasi-harmonic Gibbs energy, which verdicts use. The harmonic one stands beside it; the two
  differ by up to 0.5 kcal/mol where one chair has a mode near 20 cm-1 (axial isopropyl on GFN2-xTB).
  Free-rotor interpolation was rejected: it needs a moment per mode and changes gaps by less than the force
  field's own error.
* The published order of dH, methyl > ethyl > isopropyl, does not come out of any of these models (MMFF94 at
  157 K: 1.59, 1.71, 1.89; published 1.76, 1.54, 1.40), while that of dG, isopropyl > ethyl > methyl, does.
* Symmetry numbers and degeneracy are two ways to say one thing. Gaps count degeneracy; absolute entropies
  take symmetry numbers and mirror images. A property test holds them together.
* The split compares like with like: Gibbs gaps of single groups against A-values (which are Gibbs energies),
  potential energies for pairs, and what rotamers and vibrations add beyond the single groups as parts of
  their own (`split`). Rejected: potential gaps against A-values, which put a third of every alkyl group's
  vibrational part into the model's error and took it out again elsewhere.
* Reasons are ordered by what they account for: those with a part of the split by falling size, after what
  questions the comparison itself and what can be seen in the structures.
* The uncertainty of a computed gap comes from the model's error for each of its groups alone and half the
  range of the A-value, counted as often as the group is net axial, groups taken as independent
  (`uncertainty`). It says nothing about pairs. For a single group it reaches the A-value by construction. A
  gap within its uncertainty names no winner.
* When no chair is preferred the verdict is 'not comparable': the hand rules weigh chairs only. The same holds
  for a sum that lacks a term which could turn its sign (a missing syn-diaxial term in the worse chair
  cannot), and for charged groups, whose A-values are of solutions.
"""
