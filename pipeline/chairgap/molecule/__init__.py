"""The molecule room: text (SMILES, groups by face, molblock) in, `Molecule` records out.

The way of a molecule: `reading` parses the text, `refuse` looks at its composition, `ring` finds the ring,
`cut` takes it apart into a ring with twelve fragments, `isomers` fixes stereochemistry and numbering, and
`build` glues the parts together again (`glue`). Since every molecule is built from its parts, the order of
the atoms in the input never shows in the result. `patterns` lists every arrangement of given groups on the
ring.

Decisions, and what was rejected:

* Ring numbers are those of the systematic name (`named`), as R and S, names and textbooks count: (1R,2S,5R)-
  menthol has its hydroxy group at C1. Numbers of the user are kept instead: of a list of groups, atom-map
  numbers, and the locants of a name, since whoever writes a name means its numbers, also where they break a
  rule. `numbered` of a molecule says which; numbers given that are those of the name count as IUPAC's.
  Rejected: lowest locants with groups by the alphabet (claims about menthol were then wrong); canonical
  ranks of atoms, which nobody expects. Numbering costs a name, about 10 ms; isomers and mirror images that
  are not shown get none, and the names of 4096 rings are kept.
* A list of groups is read in every way that people write one (`group_lists`), and written in one. A mixture
  of ways is refused and not interpreted. The groups of a list may be words of names, from the vocabulary of
  `chairgap.naming`; a second table of words was rejected.
* The extension of a SMILES is looked at part by part before RDKit reads it (`extensions`).
* Patterns are listed in their smallest writing (`patterns`): an arrangement of groups is yielded only when
  none of its twelve writings (24 with mirror images once) is smaller by the numbering rules (a) to (d), so
  the list is lazy and no set of what was seen is kept, which was rejected (`patterns.py` in
  tests/benchmarks). Its molecules get the numbers of their names, and are called by them, when they are
  built: to name 200,000 where they are listed would take half an hour. Locants, then groups, then faces are
  decided, each by the symmetry the
  one before leaves. Burnside's lemma counts them beforehand, so that a study of millions is refused before it
  is listed.
* RDKit's typing is not trusted: it takes a carbocation, carbanion or radical for a neutral atom without a
  word. Charges are added up and compared, unpaired electrons and carbon ions refused by name (`refuse`).
* Refused on purpose: fused, bridged and spiro rings (the ligands of a carbon would no longer be independent),
  isotopes (the potential energy does not distinguish them), ring ketones and heterocycles (their A-values are
  other numbers), elements the force field does not know.
"""
