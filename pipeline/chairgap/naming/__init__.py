"""Names: systematic and retained names of substituted cyclohexanes in, systematic names out.

The way of a name: `usage` puts what is also written into a form that the rules know, `phrase` an index name
into the order of speech, and takes names of several words apart, `retained` writes menthol and its like
systematically, `grammar` makes a tree of units with the words of `words`, `multipliers` and `parents` and the
descriptors of `stereo`; `structure` builds the molecule, `configuration` sets the `marks` of its centres by
what `faces` and CIP letters say (`solving`). `reading.parse_name` is the whole; `recognise` tells a name from
a SMILES; `problems` words what is wrong.

The way out: `skeleton` finds the words in a structure, `group_names` names the groups with them, `cited` puts
them in order with multiplying prefixes and brackets, `systematic` chooses ending and numbering. The caller
(`molecule.named`) glues the ring and lists its twelve numberings.

Rules: IUPAC, Nomenclature of Organic Chemistry, Recommendations and Preferred Names 2013 (H. A. Favre, W. H.
Powell, doi 10.1039/9781849733069), P-14 (locants, multiplying prefixes, brackets), P-31 (substitutive names),
P-41 (seniority), P-51 (functional class, conjunctive names), P-61 to P-66 (classes), P-91 to P-93 (stereo);
the 1979 and 1993 recommendations for older forms; index names of Chemical Abstracts. All from memory.

Decisions, and what was rejected:

* A name is read whole or refused; nothing is skipped, and what could mean two structures (trans with three
  groups, dimethylcyclohexane, chloromethylcyclohexane) is refused with the reason. Guessing was rejected: a
  wrong structure is the worst answer. Of cis and trans with two groups on a carbon the CIP-senior one is
  often meant, and often not; they are refused too.
* The locants of the name are kept, as atom-map numbers of `numbered_smiles`.
* CIP letters are not computed here: settings are tried and labelled by RDKit (`configuration`).
* What usage may mean in two forms ('1R,2S-') is tried in both, and no name can be read in both: with letters
  in front a group has no locant, with letters at its locants it has. Guessing which amine, ion or salt is
  meant by a hydrochloride was rejected: their A-values differ.
* Menthane has locants of its own, 1 to 10 (data/retained_names.csv, kind 'parent'); its names could have been
  turned into systematic text, but prefixes and endings on the side chain would need a second grammar.
* The vocabulary is one table for both directions (`words`); what a retained name means is one for people too
  (data/retained_names.csv), read when the first name is.
* A name is read with the study and not where its molecule is built: a wrong one is refused before anything is
  computed, and workers need no tables. 200,000 names take minutes more for it.
* A name is written in general nomenclature with the ring as the parent, not as a preferred IUPAC name, whose
  parent may be a chain or another ring: ring locants are what all outputs are about.
* A group for which the words make no name has none, and the ring then none, with the reason; a name built
  from other words (a chain too long for the table as a shorter one with a group on its end) was rejected.
* A name with more than six letters, with small letters in its groups or with r/c/t is read back before it is
  given: letters that depend on each other may leave more than one structure.
* A grammar of our own instead of a parser generator (`grammar` says why).
"""
