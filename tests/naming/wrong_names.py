"""Wrong names with their exact messages; what is wrong with each is seen in its message."""

WRONG = {
    "(chloroethylmethyl)cyclohexane": (
        "The name '(chloroethylmethyl)cyclohexane' cannot be used: 'chloroethyl' may be one group or two; "
        "write chloro(ethyl) for two, or brackets and a locant for one, such as (2-chloroethyl)."
    ),
    "clorocyclohexane": (
        "The name 'clorocyclohexane' cannot be read from character 1 on, at 'clorocyclohexane'. Did "
        "you mean 'chloro'? Correct it, or give a SMILES or groups by face ('1 up CH3, 2 down OH')."
    ),
    "metylcyclohexane": (
        "The name 'metylcyclohexane' cannot be read from character 1 on, at 'metylcyclohexane'. Did "
        "you mean 'methyl'? Correct it, or give a SMILES or groups by face ('1 up CH3, 2 down OH')."
    ),
    "1-bromo-3-metylcyclohexane": (
        "The name '1-bromo-3-metylcyclohexane' cannot be read from character 11 on, at "
        "'metylcyclohexane'. Did you mean 'methyl'? Correct it, or give a SMILES or groups by face "
        "('1 up CH3, 2 down OH')."
    ),
    "cis-1,2-dimethylcyclohexan": (
        "The name 'cis-1,2-dimethylcyclohexan' cannot be read from character 17 on, at "
        "'cyclohexan'. Did you mean 'cyclohexane'? Correct it, or give a SMILES or groups by face "
        "('1 up CH3, 2 down OH')."
    ),
    "trans-4-tert-butylcyclohexanole": (
        "The name 'trans-4-tert-butylcyclohexanole' cannot be read from character 29 on, at 'ole'. "
        "Did you mean 'ol'? Correct it, or give a SMILES or groups by face ('1 up CH3, 2 down OH')."
    ),
    "mentol": (
        "The name 'mentol' cannot be read from character 1 on, at 'mentol'. Did you mean 'menthol'? "
        "Correct it, or give a SMILES or groups by face ('1 up CH3, 2 down OH')."
    ),
    "neomentol": (
        "The name 'neomentol' cannot be read from character 1 on, at 'neomentol'. Did you mean "
        "'neomenthol'? Correct it, or give a SMILES or groups by face ('1 up CH3, 2 down OH')."
    ),
    "cyclohexanone": (
        "The name 'cyclohexanone' is that of no substituted cyclohexane: 'cyclohexanone' stands for "
        "a ring ketone; give a ring of six sp3 carbons, as a name or a SMILES."
    ),
    "4-oxocyclohexan-1-ol": (
        "The name '4-oxocyclohexan-1-ol' cannot be used: '4-oxo' is held by a double bond, so its ring "
        "is that of a ketone; give a ring of six sp3 carbons."
    ),
    "3-methylcyclohexanone": (
        "The name '3-methylcyclohexanone' is that of no substituted cyclohexane: 'cyclohexanone' "
        "stands for a ring ketone; give a ring of six sp3 carbons, as a name or a SMILES."
    ),
    "cyclohexene": (
        "The name 'cyclohexene' is that of no substituted cyclohexane: 'cyclohexene' stands for a "
        "ring with a double bond; give a ring of six sp3 carbons, as a name or a SMILES."
    ),
    "1-methylcyclohex-1-ene": (
        "The name '1-methylcyclohex-1-ene' cannot be read from character 9 on, at 'cyclohex-1-ene'. "
        "Did you mean 'cyclohexyl'? Correct it, or give a SMILES or groups by face ('1 up CH3, 2 "
        "down OH')."
    ),
    "cyclopentanol": (
        "The name 'cyclopentanol' is that of no substituted cyclohexane: 'cyclopentanol' stands for "
        "a ring of five carbons; give a ring of six sp3 carbons, as a name or a SMILES."
    ),
    "cyclobutane": (
        "The name 'cyclobutane' is that of no substituted cyclohexane: 'cyclobutane' stands for a "
        "ring of four carbons; give a ring of six sp3 carbons, as a name or a SMILES."
    ),
    "cis-decalin": (
        "The name 'cis-decalin' is that of no substituted cyclohexane: 'decalin' stands for two "
        "fused rings; give a ring of six sp3 carbons, as a name or a SMILES."
    ),
    "toluene": (
        "The name 'toluene' is that of no substituted cyclohexane: 'toluene' stands for an aromatic "
        "ring; give a ring of six sp3 carbons, as a name or a SMILES."
    ),
    "4-methylphenol": (
        "The name '4-methylphenol' cannot be used: there is no cyclohexane ring in it, its parent "
        "is 'phenol'; give one."
    ),
    "benzene": (
        "The name 'benzene' cannot be used: there is no cyclohexane ring in it, its parent is "
        "'benzene'; give one."
    ),
    "piperidine": (
        "The name 'piperidine' is that of no substituted cyclohexane: 'piperidine' stands for a "
        "ring with nitrogen; give a ring of six sp3 carbons, as a name or a SMILES."
    ),
    "tetrahydropyran": (
        "The name 'tetrahydropyran' is that of no substituted cyclohexane: 'pyran' stands for a "
        "ring with oxygen; give a ring of six sp3 carbons, as a name or a SMILES."
    ),
    "norbornane": (
        "The name 'norbornane' is that of no substituted cyclohexane: 'norbornane' stands for a "
        "bridged ring system; give a ring of six sp3 carbons, as a name or a SMILES."
    ),
    "adamantane": (
        "The name 'adamantane' is that of no substituted cyclohexane: 'adamantane' stands for a "
        "bridged ring system; give a ring of six sp3 carbons, as a name or a SMILES."
    ),
    "glucose": (
        "The name 'glucose' is that of no substituted cyclohexane: 'glucose' stands for a sugar, "
        "whose ring has oxygen; give a ring of six sp3 carbons, as a name or a SMILES."
    ),
    "propan-2-ol": (
        "The name 'propan-2-ol' cannot be used: there is no cyclohexane ring in it, its parent is "
        "'propane'; give one."
    ),
    "butane": (
        "The name 'butane' cannot be used: there is no cyclohexane ring in it, its parent is "
        "'butane'; give one."
    ),
    "acetic acid": (
        "The name 'acetic acid' cannot be used: there is no cyclohexane ring in it, its parent is "
        "'acetic acid'; give one."
    ),
    "cis-1,2,3-trimethylcyclohexane": (
        "The name 'cis-1,2,3-trimethylcyclohexane' cannot be used: 'cis' compares two groups, and "
        "there are 3 (at carbons 1, 2, 3); write r-1,c-2,t-3 or R and S with their locants."
    ),
    "trans-1,3,5-trimethylcyclohexane": (
        "The name 'trans-1,3,5-trimethylcyclohexane' cannot be used: 'trans' compares two groups, "
        "and there are 3 (at carbons 1, 3, 5); write r-1,c-2,t-3 or R and S with their locants."
    ),
    "trans-1,1-dimethylcyclohexane": (
        "The name 'trans-1,1-dimethylcyclohexane' cannot be used: 'trans' compares two groups, and "
        "no carbon has two different faces; leave it out."
    ),
    "cis-methylcyclohexane": (
        "The name 'cis-methylcyclohexane' cannot be used: 'cis' compares two groups, and no carbon "
        "has two different faces; leave it out."
    ),
    "cis-4-tert-butyl-1-methylcyclohexan-1-ol": (
        "The name 'cis-4-tert-butyl-1-methylcyclohexan-1-ol' cannot be used: carbon 1 has two "
        "groups, and 'cis' does not say which it means; write r-1,c-2,t-3 or R and S with their "
        "locants."
    ),
    "cis,trans-1,3,5-trimethylcyclohexane": (
        "The name 'cis,trans-1,3,5-trimethylcyclohexane' cannot be used: 'cis,trans' does not say "
        "which group is meant by which word; write r-1,c-2,t-3 or R and S with their locants."
    ),
    "cis-trans-1,2-dimethylcyclohexane": (
        "The name 'cis-trans-1,2-dimethylcyclohexane' cannot be used: it has both 'cis' and "
        "'trans'; correct the name."
    ),
    "cis-(1R,2R)-1,2-dimethylcyclohexane": (
        "The name 'cis-(1R,2R)-1,2-dimethylcyclohexane' cannot be used: the letters (1R,2R) and the "
        "faces that the name gives contradict each other; correct one of them."
    ),
    "trans-(1r,4s)-4-methylcyclohexan-1-ol": (
        "The name 'trans-(1r,4s)-4-methylcyclohexan-1-ol' cannot be used: the letters (1r,4s) and "
        "the faces that the name gives contradict each other; correct one of them."
    ),
    "(1R,3R)-4-methylcyclohexan-1-ol": (
        "The name '(1R,3R)-4-methylcyclohexan-1-ol' cannot be used: carbon 3 is no stereocentre, so "
        "it cannot be '3R'; leave it out."
    ),
    "(1R,4r)-4-methylcyclohexan-1-ol": (
        "The name '(1R,4r)-4-methylcyclohexan-1-ol' cannot be used: no structure has the letters "
        "(1R,4r); small r and s are those of pseudoasymmetric carbons."
    ),
    "(1R)-methylcyclohexane": (
        "The name '(1R)-methylcyclohexane' cannot be used: carbon 1 is no stereocentre, so it "
        "cannot be '1R'; leave it out."
    ),
    "(R,S)-1-bromo-2-methylcyclohexane": (
        "The name '(R,S)-1-bromo-2-methylcyclohexane' cannot be used: '(R,S)' does not say which "
        "letter belongs to which carbon; write locants."
    ),
    "(R)-2-methylcyclohexan-1-ol": (
        "The name '(R)-2-methylcyclohexan-1-ol' cannot be used: '(R)' has no locants, and there are "
        "2 stereocentres; write locants."
    ),
    "(1R,1S)-2-methylcyclohexan-1-ol": (
        "The name '(1R,1S)-2-methylcyclohexan-1-ol' cannot be used: '(1R,1S)' has a locant twice; "
        "correct the name."
    ),
    "(1R*,2S)-2-methylcyclohexan-1-ol": (
        "The name '(1R*,2S)-2-methylcyclohexan-1-ol' cannot be used: '(1R*,2S)' has stars on some "
        "letters only; correct the name."
    ),
    "(1RS,2S)-2-methylcyclohexan-1-ol": (
        "The name '(1RS,2S)-2-methylcyclohexan-1-ol' cannot be used: '(1RS,2S)' mixes RS with "
        "single letters; correct the name."
    ),
    "(1R,S)-2-methylcyclohexan-1-ol": (
        "The name '(1R,S)-2-methylcyclohexan-1-ol' cannot be used: '(1R,S)' has locants on some "
        "letters only; correct the name."
    ),
    "(7R)-2-methylcyclohexan-1-ol": (
        "The name '(7R)-2-methylcyclohexan-1-ol' cannot be used: there is no locant 7 for '7R'; "
        "correct the name."
    ),
    "1,2-chlorocyclohexane": (
        "The name '1,2-chlorocyclohexane' cannot be used: '1,2-chloro' is 1 group and has 2 locants "
        "(1, 2); write one for each."
    ),
    "1-dichlorocyclohexane": (
        "The name '1-dichlorocyclohexane' cannot be used: '1-dichloro' is 2 groups and has 1 locant "
        "(1); write one for each."
    ),
    "1,2,3-dichlorocyclohexane": (
        "The name '1,2,3-dichlorocyclohexane' cannot be used: '1,2,3-dichloro' is 2 groups and has "
        "3 locants (1, 2, 3); write one for each."
    ),
    "dimethylcyclohexane": (
        "The name 'dimethylcyclohexane' cannot be used: 'dimethyl' has no locant, so it is open "
        "where on 'cyclohexane'; write a locant for each, such as 1,2-dimethyl."
    ),
    "methylcyclohexanol": (
        "The name 'methylcyclohexanol' cannot be used: 'methyl' has no locant, so it is open where "
        "on 'cyclohexane'; write one, such as 2-methyl, or brackets round a group of several words: "
        "(chloromethyl)."
    ),
    "cyclohexanediol": (
        "The name 'cyclohexanediol' cannot be used: 'diol' is 2 groups and has no locants; write "
        "them, such as 1,2-."
    ),
    "cyclohexane-1-diol": (
        "The name 'cyclohexane-1-diol' cannot be used: '1-diol' is 2 groups and has 1 locant (1); "
        "write one for each."
    ),
    "chloromethylcyclohexane": (
        "The name 'chloromethylcyclohexane' cannot be used: 'chloro' has no locant, so it is open "
        "where on 'cyclohexane'; write one, such as 2-chloro, or brackets round a group of several "
        "words: (chloromethyl)."
    ),
    "2-methylpropylcyclohexane": (
        "The name '2-methylpropylcyclohexane' cannot be used: 'propyl' has no locant, so it is open "
        "where on 'cyclohexane'; write one, such as 2-propyl, or brackets round a group of several "
        "words: (chloromethyl)."
    ),
    "7-methylcyclohexan-1-ol": (
        "The name '7-methylcyclohexan-1-ol' cannot be used: there is no locant 7 on 'cyclohexane' "
        "for '7-methyl' (there: 1, 2, 3, 4, 5, 6); correct the name."
    ),
    "1,1-dimethylcyclohexan-1-ol": (
        "The name '1,1-dimethylcyclohexan-1-ol' cannot be used: there is no hydrogen left to "
        "replace at 1 for '1,1-dimethyl'; correct the name."
    ),
    "1-chloro-1,1-dimethylcyclohexane": (
        "The name '1-chloro-1,1-dimethylcyclohexane' cannot be used: there is no hydrogen left to "
        "replace at 1 for '1,1-dimethyl'; correct the name."
    ),
    "N-methylcyclohexan-1-ol": (
        "The name 'N-methylcyclohexan-1-ol' cannot be used: there is no nitrogen 'N' for "
        "'N-methyl'; correct the name."
    ),
    "N-methylcyclohexane-1,2-diamine": (
        "The name 'N-methylcyclohexane-1,2-diamine' cannot be used: which nitrogen has 'N-methyl' "
        "is open; write N1 or N2."
    ),
    "(1-methylcyclohexane": (
        "The name '(1-methylcyclohexane' cannot be used: the bracket '(' is never closed; correct the name."
    ),
    "1-methyl)cyclohexane": (
        "The name '1-methyl)cyclohexane' cannot be used: the bracket ')' is never opened; correct the name."
    ),
    "1-(methyl]cyclohexane": (
        "The name '1-(methyl]cyclohexane' cannot be used: '(' is closed by ']'; correct the name."
    ),
    "r-1,r-2-dimethylcyclohexane": (
        "The name 'r-1,r-2-dimethylcyclohexane' cannot be used: c and t need one reference r, and "
        "there are 2; write r-1,c-2,t-3."
    ),
    "c-1,t-2-dimethylcyclohexane": (
        "The name 'c-1,t-2-dimethylcyclohexane' cannot be used: c and t need one reference r, and "
        "there are no; write r-1,c-2,t-3."
    ),
    "r-1,c-2,4-trichlorocyclohexane": (
        "The name 'r-1,c-2,4-trichlorocyclohexane' cannot be used: r, c and t are given, but not "
        "for carbon 4; write one there."
    ),
    "(1α)-1,2-dimethylcyclohexane": (
        "The name '(1α)-1,2-dimethylcyclohexane' cannot be used: alpha and beta are given, but not "
        "for carbon 2; correct the name."
    ),
    "(1α,7β)-1,2-dimethylcyclohexane": (
        "The name '(1α,7β)-1,2-dimethylcyclohexane' cannot be used: carbon 7 has no two faces to be "
        "alpha or beta; correct the name."
    ),
    "(±)-cis-1,4-dimethylcyclohexane": (
        "The name '(±)-cis-1,4-dimethylcyclohexane' cannot be used: 'racemic' says that there is a "
        "mirror image, and there is none; leave it out."
    ),
    "(+)-cyclohexanol": (
        "The name '(+)-cyclohexanol' cannot be used: '(+)' says that there is a mirror image, and "
        "there is none; leave it out."
    ),
    "D-methylcyclohexane": (
        "The name 'D-methylcyclohexane' cannot be used: 'D-' has no meaning for this name; write R "
        "and S with their locants."
    ),
    "(1R,2R,5R)-menthol": (
        "The name '(1R,2R,5R)-menthol' (read as "
        "'(1R,2R,5R)-5-methyl-2-(propan-2-yl)cyclohexan-1-ol') cannot be used: its letters or faces "
        "are not those of the compound it names; correct one of them."
    ),
    "(+)-myo-inositol": (
        "The name '(+)-myo-inositol' (read as '(+)-cyclohexane-r-1,c-2,c-3,t-4,c-5,t-6-hexol') "
        "cannot be used: '(+)' says that there is a mirror image, and there is none; leave it out."
    ),
    "(+)-lindane": (
        "The name '(+)-lindane' (read as '(+)-r-1,c-2,t-3,c-4,c-5,t-6-hexachlorocyclohexane') "
        "cannot be used: '(+)' says that there is a mirror image, and there is none; leave it out."
    ),
    "cis-menthol": (
        "The name 'cis-menthol' (read as 'cis-5-methyl-2-(propan-2-yl)cyclohexan-1-ol') cannot be "
        "used: 'cis' compares two groups, and there are 3 (at carbons 1, 2, 5); write r-1,c-2,t-3 "
        "or R and S with their locants."
    ),
    "trans-2-[(2R)-butan-2-yl]cyclohexan-1-ol": (
        "The name 'trans-2-[(2R)-butan-2-yl]cyclohexan-1-ol' cannot be used: cis and trans, r/c/t "
        "or alpha/beta on the ring relate nothing to the letters elsewhere, so two molecules could "
        "be meant; write R and S for the ring carbons."
    ),
    "1-cyclohexylethyl": (
        "The name '1-cyclohexylethyl' cannot be used: '1-cyclohexylethyl' is the name of a group; "
        "write that of a molecule, such as 'cyclohexyl acetate'."
    ),
    "cyclohexyl": (
        "The name 'cyclohexyl' cannot be used: 'cyclohexyl' is the name of a group; write that of a "
        "molecule, such as 'cyclohexyl acetate'."
    ),
    "cyclohexyl foobarate": (
        "The name 'cyclohexyl foobarate' cannot be read from character 12 on, at 'foobarate'. "
        "Correct it, or give a SMILES or groups by face ('1 up CH3, 2 down OH')."
    ),
    "methyl cyclohexane-1,2-dicarboxylate": (
        "The name 'methyl cyclohexane-1,2-dicarboxylate' cannot be used: it names 1 group for 2 "
        "carboxylates; correct the name."
    ),
    "ethyl methyl cyclohexane-1,2-dicarboxylate": (
        "The name 'ethyl methyl cyclohexane-1,2-dicarboxylate' cannot be used: the locants of the "
        "groups in front are not those of the carboxylates; correct the name."
    ),
    "1-ethyl 3-methyl cyclohexane-1,2-dicarboxylate": (
        "The name '1-ethyl 3-methyl cyclohexane-1,2-dicarboxylate' cannot be used: the locants of "
        "the groups in front are not those of the carboxylates; correct the name."
    ),
    "Cyclohexanol, 2-methyl-, wrong": (
        "The name 'Cyclohexanol, 2-methyl-, wrong' cannot be used: 'wrong' is no part of an index "
        "name; correct the name."
    ),
    "Cyclohexane, 1,2-dimethyl-, methyl ester": (
        "The name 'Cyclohexane, 1,2-dimethyl-, methyl ester' cannot be used: 'methyl ester' does "
        "not go with 'Cyclohexane'; correct the name."
    ),
    "methylcyclohexane é": (
        "The name 'methylcyclohexane é' cannot be used: character 19, 'é', is in no name; correct the name."
    ),
    "spiro[5.5]undecane": (
        "The name 'spiro[5.5]undecane' is that of no substituted cyclohexane: 'spiro' stands for "
        "two rings that share an atom; give a ring of six sp3 carbons, as a name or a SMILES."
    ),
    "bicyclo[2.2.1]heptane": (
        "The name 'bicyclo[2.2.1]heptane' is that of no substituted cyclohexane: 'bicyclo' stands "
        "for a bridged or fused ring system; give a ring of six sp3 carbons, as a name or a SMILES."
    ),
    "4-methylidenecyclohexan-1-ol": (
        "The name '4-methylidenecyclohexan-1-ol' is that of no substituted cyclohexane: 'ylidene' "
        "stands for a group held by a double bond; give a ring of six sp3 carbons, as a name or a "
        "SMILES."
    ),
    "hexachlorocyclohexane": (
        "The name 'hexachlorocyclohexane' cannot be used: 'hexachloro' has no locant, so it is open "
        "where on 'cyclohexane'; write a locant for each, such as 1,2,3,4,5,6-hexachloro."
    ),
    "1-cyclohexylpropanone": (
        "The name '1-cyclohexylpropanone' cannot be used: 'one' needs a locant; correct the name."
    ),
    "3-cyclohexylpropan-2-al": (
        "The name '3-cyclohexylpropan-2-al' cannot be used: '2-al' is at the end of a chain, C1; "
        "correct the name."
    ),
    "2-cyclohexylpropan-2-oic acid": (
        "The name '2-cyclohexylpropan-2-oic acid' cannot be used: '2-oic acid' is at the end of a "
        "chain, C1; correct the name."
    ),
    "3-cyclohexylpropanol": (
        "The name '3-cyclohexylpropanol' cannot be used: 'ol' needs a locant; correct the name."
    ),
    "(1r,2s)-2-methylcyclohexan-1-ol": (
        "The name '(1r,2s)-2-methylcyclohexan-1-ol' cannot be used: no structure has the letters "
        "(1r,2s); small r and s are those of pseudoasymmetric carbons."
    ),
    "1-methylethylcyclohexane": (
        "The name '1-methylethylcyclohexane' cannot be used: 'ethyl' has no locant, so it is open "
        "where on 'cyclohexane'; write one, such as 2-ethyl, or brackets round a group of several "
        "words: (chloromethyl)."
    ),
    "cis-1,2-dimethyl cyclohexane": (
        "The name 'cis-1,2-dimethyl cyclohexane' cannot be read from character 18 on, at 'cyclohexane'. "
        "Write 'cyclohexane' without a blank before it. Correct it, or give a SMILES or groups by face "
        "('1 up CH3, 2 down OH')."
    ),
    "(1R,2R)-ethyl (1R,2R)-2-methylcyclohexanecarboxylate": (
        "The name '(1R,2R)-ethyl (1R,2R)-2-methylcyclohexanecarboxylate' cannot be used: it has descriptors "
        "both before the ester group and after it; correct the name."
    ),
}
