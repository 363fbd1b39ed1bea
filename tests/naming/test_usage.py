"""Names as they are also written: read where they have one meaning, refused with what to write where not.

Structures by hand, as in `typed_names`.
"""

import pytest

from chairgap import MoleculeError, parse_name
from chairgap.naming.recognise import looks_like_a_name
from naming.test_typed_names import inchi, other_hand, smiles_of
from naming.typed_names import rows

USAGE = """
1R,2S-2-methylcyclohexan-1-ol | 1 up OH, 2 up CH3
1R, 2S-2-methylcyclohexan-1-ol | 1 up OH, 2 up CH3
1R,2R-cyclohexane-1,2-diol | 1 up OH, 2 down OH
R,R-1,2-diaminocyclohexane | 1 up NH2, 2 down NH2
S,S-cyclohexane-1,2-diamine | 1 down NH2, 2 up NH2
R-3,3-dimethylcyclohexanol | 1 up OH, 3 up CH3, 3 down CH3
R-(-)-3,3-dimethylcyclohexanol | 1 up OH, 3 up CH3, 3 down CH3
trans-1R,2R-cyclohexane-1,2-diol | 1 up OH, 2 down OH
rac-1R,2S-2-methylcyclohexan-1-ol | ~1 up OH, 2 up CH3
1R*,2S*-2-methylcyclohexanol | ~1 up OH, 2 up CH3
1r,4r-4-methylcyclohexan-1-ol | 1 up OH, 4 down CH3
1s,4s-4-methylcyclohexan-1-ol | 1 up OH, 4 up CH3
1R,2S,5R-menthol | 1 up OH, 2 down iPr, 5 up CH3
2S-methylcyclohexan-1R-ol | 1 up OH, 2 up CH3
1R-bromo-3S-methylcyclohexane | 1 up Br, 3 up CH3
1R,2R-dibromocyclohexane | 1 up Br, 2 down Br
1,2-cis-dimethylcyclohexane | 1 up CH3, 2 up CH3
1,4-trans-cyclohexanedimethanol | 1 up *CO, 4 down *CO
2-cis-methylcyclohexanol | ~1 up OH, 2 up CH3
2-methyl-trans-cyclohexanol | ~1 up OH, 2 down CH3
(4-trans-methylcyclohexyl)benzene | 1 up Ph, 4 down CH3
1-cis-2-dimethylcyclohexane | 1 up CH3, 2 up CH3
1-trans-3-cis-5-trimethylcyclohexane | 1 up CH3, 3 down CH3, 5 up CH3
1r,2c,4t-trimethylcyclohexane | ~1 up CH3, 2 up CH3, 4 down CH3
2c-methyl-4t-bromocyclohexan-1r-ol | ~1 up OH, 2 up CH3, 4 down Br
1α,2β-dimethylcyclohexane | ~1 up CH3, 2 down CH3
1alpha,3alpha-dichlorocyclohexane | 1 up Cl, 3 up Cl
3β-methylcyclohexan-1α-ol | ~1 up OH, 3 down CH3
1α,2β-cyclohexane-1,2-diol | ~1 up OH, 2 down OH
Cyclohexanol, 5-methyl-2-(1-methylethyl)-, [1R-(1α,2β,5α)]- | 1 up OH, 2 down iPr, 5 up CH3
Cyclohexanol, 2-methyl-, (1R-trans)- | 1 up OH, 2 down CH3
dicyclohexyl ether | C1CCCCC1OC1CCCCC1
bis(trans-4-methylcyclohexyl) sulfide | 1 up *S[C@H]1CC[C@H](C)CC1, 4 down CH3
dicyclohexylamine | C1CCCCC1NC1CCCCC1
p-menthan-3-ol | flat CC1CCC(C(C)C)C(O)C1
(1R,3R,4S)-p-menthan-3-ol | 1 up OH, 2 down iPr, 5 up CH3
p-Menthan-3-ol, (1R,3R,4S)- | 1 up OH, 2 down iPr, 5 up CH3
para-menthane-3,8-diol | flat CC1CCC(C(C)(C)O)C(O)C1
trans-p-menthan-8-ol | 1 up CH3, 4 down *C(C)(C)O
cis-p-menthan-7-ol | 1 up *CO, 4 up iPr
p-menthan-9-ol | flat CC1CCC(CC1)C(C)CO
3-chloro-p-menthane | flat CC1CCC(C(C)C)C(Cl)C1
(1R,3R,4S)-p-menthan-3-yl acetate | 1 up OAc, 2 down iPr, 5 up CH3
cis-m-menthane | ~1 up CH3, 3 up iPr
o-menthan-1-ol | flat CC1(O)CCCCC1C(C)C
"""

AMINE = "makes it more than one molecule, and one is treated; write the amine alone"
NO_SIDES = "is about double bonds, and none has two sides; for groups on the ring write cis or trans."
WRONG = {
    "cyclohexanamine hydrochloride": f"'hydrochloride' {AMINE}, 'cyclohexanamine', or its ion, such as "
    "cyclohexan-1-aminium.",
    "cyclohexanamine, hydrochloride": f"'hydrochloride' {AMINE}, 'cyclohexanamine', or its ion, such as "
    "cyclohexan-1-aminium.",
    "trans-cyclohexane-1,2-diamine·2HCl": f"'2HCl' {AMINE}",
    "cyclohexylamine HCl": f"'HCl' {AMINE}, 'cyclohexylamine', or its ion",
    "cyclohexane-1,2-diol monohydrate": "'monohydrate' makes it more than one molecule, and one is treated; "
    "write the compound, 'cyclohexane-1,2-diol', without it.",
    "sodium cyclohexanecarboxylate": "'sodium' makes it a salt, and one ion is treated; write "
    "'cyclohexanecarboxylate'.",
    "cyclohexanecarboxylic acid sodium salt": "write its anion alone, such as cyclohexanecarboxylate.",
    "(Z)-1,2-dimethylcyclohexane": f"'(Z)' {NO_SIDES}",
    "E-4-methylcyclohexanol": f"'(E)' {NO_SIDES}",
    "(1Z)-1,2-dimethylcyclohexane": "there is no double bond with two sides at 1 for '1Z'; for groups on the "
    "ring write cis or trans.",
    "(1r,2c,4t)-1,2,4-trimethylcyclohexane": "'(1r,2c,4t)' stands apart from the groups; write r-1,c-2,t-4 "
    "at their locants.",
    "1-r-2-c-dimethylcyclohexane": "Write cis or trans in front of the name, r, c and t before each locant: "
    "r-1,c-2,t-4.",
    "1-bromo-2-cis-3-trans-dimethylcyclohexane": "says twice on which faces the groups stand",
    "2α-methylcyclohexanol": "alpha and beta are given, but not for carbon 1",
    "1R,2S-menthol": "its letters or faces are not those of the compound it names",
    "1R,2S-3-methylcyclohexan-1-ol": "carbon 2 is no stereocentre, so it cannot be '2S'; leave it out.",
    "1R,2S-2-metylcyclohexan-1-ol": "(read as '(1R,2S)-2-metylcyclohexan-1-ol') cannot be read from "
    "character 11 on, at 'metylcyclohexan-1-ol'. Did you mean 'methyl'?",
    "1r,4s-4-methylcyclohexan-1-ol": "no structure has the letters (1r,4s)",
    "dimethyl ether": "there is no cyclohexane ring in it",
    "p-menthan-3-one": "'menthan' stands for a ring ketone",
    "p-menth-1-ene": "'menth' stands for a ring or a side chain with a double bond",
    "trans-p-menthan-3-ol": "'trans' compares two groups, and there are 3 (at carbons 1, 3, 4)",
    "cis-p-menthane-1,8-diol": "carbon 1 has two groups, and 'cis' does not say which it means",
    "p-menthan-11-ol": "there is no locant 11 on 'p-menthane' for '11-ol' (there: 1, "
    "2, 3, 4, 5, 6, 7, 8, 9, 10)",
    "o-menthanol": "'ol' needs a locant; write it before.",
    # The c was passed over, and the name read.
    "cis-1-(c-2-hydroxyethyl)-4-methylcyclohexane": "'c-2-hydroxy' is on no ring carbon and has no face; "
    "leave r, c or t out.",
}


@pytest.mark.parametrize(("name", "structure"), rows(USAGE))
def test_a_name_of_usage_is_its_structure(name: str, structure: str) -> None:
    parsed = parse_name(name)
    relative, flat = structure.startswith("~"), structure.startswith("flat ")
    wanted = inchi(smiles_of(structure.removeprefix("~").removeprefix("flat ")))
    meant = {inchi(parsed.smiles)} | ({inchi(other_hand(parsed.smiles))} if relative else set())
    assert wanted in meant
    assert (parsed.relative, bool(parsed.open_sites)) == (relative, flat)
    assert looks_like_a_name(name)


@pytest.mark.parametrize(("name", "words"), WRONG.items())
def test_what_cannot_be_read_is_refused_with_what_to_write(name: str, words: str) -> None:
    with pytest.raises(MoleculeError) as caught:
        parse_name(name)
    assert words in caught.value.message and caught.value.message.endswith(".")


def test_menthane_keeps_its_own_locants() -> None:
    """C1 has the methyl group, C4 the propan-2-yl group, whatever the ending."""
    groups = parse_name("(1R,3R,4S)-p-menthan-3-ol").groups
    assert [group.locant for group in groups] == [1, 3, 4]
    assert groups[0].text == groups[2].text == "p-menthane" and groups[1].text == "3-ol"
