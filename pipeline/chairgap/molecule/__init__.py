"""The molecule room: text (SMILES, groups by face, molblock) in, `Molecule` records out.

The way of a molecule: `reading` parses the text, `refuse` looks at its composition, `ring` finds the ring,
`cut` takes it apart into a ring with twelve fragments, `isomers` settles stereochemistry and numbering, and
`build` glues the parts together again. Since every molecule is built from its parts, the order of the atoms
in the input never shows in the result. `patterns` lists every arrangement of given groups on the ring.
"""
