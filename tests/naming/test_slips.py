"""What a slip in a name is taken for: words typed wrong by hand, each with the word that was meant, or '' as
nothing like it is known. An absurd suggestion is worse than none."""

import re

import pytest

from chairgap import MoleculeError, parse_name

SLIPS = """
1,2-dimetylcyclohexane | dimethyl
cyclohexanoll | ol
cyclohexanole | ol
tert-buthylcyclohexane | tert-butyl
4-tert-buthylcyclohexanol | tert-butyl
trans-4-t-buthylcyclohexanol | butyl
trans-4-methylcyclohexanole | ol
methylcylcohexane | cyclohexane
methylcyclohexan | cyclohexane
nitrocyclohxane | cyclohexane
metylcyclohexane | methyl
methycyclohexane | methyl
methlcyclohexane | methyl
1-methil-4-propylcyclohexane | methyl
ethlycyclohexane | ethyl
cis-1,2-dichlorcyclohexane | dichloro
1-cloro-2-methylcyclohexane | chloro
trans-1,2-dibromcyclohexane | dibromo
bromcyclohexane | bromo
trans-1,4-di-iodocyclohexane | diiodo
trans-1-floro-4-methylcyclohexane | fluoro
1-azido-2-flurocyclohexane | fluoro
isopropilcyclohexane | isopropyl
isoproylcyclohexane | isopropyl
cis-4-isopropylcyclohexnol | cyclohexanol
trans-2-phenylcyclohexnaol | cyclohexanol
fenylcyclohexane | phenyl
phenilcyclohexane | phenyl
vinilcyclohexane | vinyl
ethynlcyclohexane | ethynyl
benzilcyclohexane | benzyl
metoxycyclohexane | methoxy
methoxicyclohexane | methoxy
hydroxicyclohexane | hydroxy
trifluormethylcyclohexane | trifluoromethyl
(trifluormethyl)cyclohexane | trifluoromethyl
trimethilsilylcyclohexane | trimethylsilyl
methylsulfanilcyclohexane | sulfanyl
mentol | menthol
menthole | menthol
neomentol | neomenthol
isomentohl | isomenthol
myo-inositole | myo-inositol
scyllo-inosiotl | scyllo-inositol
chiroinositol | chiro-inositol
lindan | lindane
gabapentine | gabapentin
trans-cyclohexane-1,2-diamin | diamine
cyclohexanamin | amine
cyclohexylamin | amine
cyclohexanethiole | thiol
cis-1,3-cyclohexanedioll | diol
cyclohexanecarboxilic acid | carboxylic acid
cis-cyclohexane-1,2-dicarboxilic acid | dicarboxylic acid
cyclohexanecarboxylic aicd | acid
quinic acd | acid
methyl cyclohexanecarboxilate | carboxylate
cyclohexanecarbonitril | carbonitrile
cyclohexanecarbaldehyd | carbaldehyde
cyclohexyl acetete | acetate
trans-4-methylcyclohexyl benzoat | benzoate
cyclohexyl methyl eter | ether
cyclohexyl methyl sulphide | sulfide
tran-4-methylcyclohexanol | trans
tans-4-methylcyclohexanol | trans
cic-1,2-dimethylcyclohexane | cis
allcis-1,3,5-trimethylcyclohexane | all-cis
isomenthol acetate | isomenthyl acetate
cyclohexanol acetate | cyclohexyl acetate
cyclohexylboronic acid |
cyclohexanol,4-methyl |
water |
foo |
"""


@pytest.mark.parametrize("line", SLIPS.strip().splitlines())
def test_what_was_meant(line: str) -> None:
    name, meant = map(str.strip, line.split("|"))
    with pytest.raises(MoleculeError) as caught:
        parse_name(name)
    assert re.findall("Did you mean '(.*?)'", caught.value.message) == ([meant] if meant else [])


@pytest.mark.parametrize(
    ("name", "advice"),
    [
        ("dimethyl cyclohexane", "Write 'cyclohexane' without a blank before it."),
        ("cyclohexylacetate", "Write 'acetate' with a blank before it."),
        ("1,2-dimethylcyclohexane cis", "write 'cis-' in front of it, not behind."),
        ("1-isopropyl-4-methylcyclohexane (trans)", "write 'trans-' in front of it, not behind."),
        (
            "cyclohexanol, 4-methyl",
            "no part of an index name, which ends with a hyphen; write '4-methyl-'.",
        ),
        ("cis/trans-4-methylcyclohexanol", "Write cis or trans; a name without either stands for both"),
        ("(1S,2R,5S)-(-)-menthol", "the mirror image of the one that its sign names; correct one of them."),
    ],
)
def test_a_blank_or_a_word_in_the_wrong_place(name: str, advice: str) -> None:
    with pytest.raises(MoleculeError) as caught:
        parse_name(name)
    assert advice in caught.value.message


@pytest.mark.parametrize("name", ["(1R,2S,5R)-(-)-menthol", "(1S,2R,5S)-(+)-menthol"])
def test_letters_and_sign_may_stand_together_where_they_agree(name: str) -> None:
    """As suppliers write it; it was refused for saying twice which mirror image is meant."""
    parsed, plain = parse_name(name), parse_name(name.split("-(")[0] + "-menthol")
    assert (parsed.smiles, parsed.relative, parsed.notes) == (plain.smiles, False, ())
