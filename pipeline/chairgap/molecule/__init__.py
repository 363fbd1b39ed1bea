"""The molecule room: text (SMILES, groups by face, molblock) in, `Molecule` records out.

The way of a molecule: `reading` parses the text, `refuse` looks at its composition, `ring` finds the ring,
`cut` takes it apart into a ring with twelve fragments, `isomers` fixes stereochemistry and numbering, and
`build` glues the parts together again. Since every molecule is built from its parts, the order of the atoms
in the input never shows in the result. `patterns` lists every arrangement of given groups on the ring.

Decisions, and what was rejected:

* Lowest locants instead of canonical atom ranks for the numbering: a teacher expects 1,3 and not 1,5; the
  rule needs no library's ranking and cannot depend on input order.
* A list of groups is read in every way that people write one (`group_lists`), and written in one. A mixture
  of ways is refused and not interpreted. The groups of a list may be words of names, from the vocabulary of
  `chairgap.naming`; a second table of words was rejected.
* The extension of a SMILES is looked at part by part before RDKit reads it (`extensions`).
* Patterns are listed in their smallest writing (`patterns`): an arrangement of groups is yielded only when
  none of its twelve writings (24 with mirror images once) is smaller by the numbering rules (a) to (d), so
  the list is lazy, its names are those a SMILES gets, and no set of what was seen is kept, which was rejected
  (`patterns.py` in tests/benchmarks). Locants, then groups, then faces are decided, each by the symmetry the
  one before leaves. Burnside's lemma counts them beforehand, so that a study of millions is refused before it
  is listed.
* RDKit's typing is not trusted: it takes a carbocation, carbanion or radical for a neutral atom without a
  word. Charges are added up and compared, unpaired electrons and carbon ions refused by name (`refuse`).
* Refused on purpose: fused, bridged and spiro rings (the ligands of a carbon would no longer be independent),
  isotopes (the potential energy does not distinguish them), ring ketones and heterocycles (their A-values are
  other numbers), elements the force field does not know.
"""
