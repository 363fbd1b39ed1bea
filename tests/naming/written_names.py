"""Names as they must be written, typed by hand.

Letters of menthols, menthyl chloride, quinic acid, trans-2-phenylcyclohexanol, dimethylcyclohexanes, diols,
diamines and 4-tert-butylcyclohexanols are those of compound lists (from memory); the others follow from them
by exchange of groups of the same rank. Letters of inositols and of lindane are numbered by P-31.1.4.3.4 (R
and r as low as can be); compound lists number some of them by other rules. Behind the second bar the name
with cis or trans, where these say it.
"""

from naming.typed_names import rows

_ACHIRAL_AND_PLAIN = """
1 up H | cyclohexane
1 up *C(F)(F)C(F)(F)C(F)(F)C(F)(F)C(F)(F)C(F)(F)C(F)(F)C(F)(F)F | \
(1,1,2,2,3,3,4,4,5,5,6,6,7,7,8,8,8-heptadecafluorooctyl)cyclohexane
1 up CH3 | methylcyclohexane
1 up Cl | chlorocyclohexane
1 up iPr | (propan-2-yl)cyclohexane
1 up tBu | tert-butylcyclohexane
1 up CF3 | (trifluoromethyl)cyclohexane
1 up OH | cyclohexanol
1 up SH | cyclohexanethiol
1 up CO2H | cyclohexanecarboxylic acid
1 up CO2- | cyclohexanecarboxylate
1 up CO2Me | methyl cyclohexanecarboxylate
1 up COCl | cyclohexanecarbonyl chloride
1 up CN | cyclohexanecarbonitrile
1 up CHO | cyclohexanecarbaldehyde
1 up OAc | cyclohexyl acetate
1 up OTs | cyclohexyl 4-methylbenzenesulfonate
1 up NH3+ | cyclohexanaminium
1 up NHMe | N-methylcyclohexanamine
1 up NMe2 | N,N-dimethylcyclohexanamine
1 up *N(C)CC | N-ethyl-N-methylcyclohexanamine
1 up NHMe, 1 down NHMe | N,N'-dimethylcyclohexane-1,1-diamine
1 up *NC(C)=O | acetamidocyclohexane
1 up *C(=O)NC | N-methylcyclohexanecarboxamide
1 up *CO | (hydroxymethyl)cyclohexane
1 up *OC(C)C | [(propan-2-yl)oxy]cyclohexane
1 up Ph | phenylcyclohexane
1 up CH3, 1 down CH3 | 1,1-dimethylcyclohexane
1 up OH, 1 down CH3 | 1-methylcyclohexan-1-ol
"""
_WITH_LETTERS = """
1 up CH3, 2 up CH3 | (1R,2S)-1,2-dimethylcyclohexane | cis-1,2-dimethylcyclohexane
1 up CH3, 2 down CH3 | (1R,2R)-1,2-dimethylcyclohexane | trans-1,2-dimethylcyclohexane
1 down CH3, 2 up CH3 | (1S,2S)-1,2-dimethylcyclohexane | trans-1,2-dimethylcyclohexane
1 up CH3, 3 up CH3 | (1R,3S)-1,3-dimethylcyclohexane | cis-1,3-dimethylcyclohexane
1 up CH3, 3 down CH3 | (1R,3R)-1,3-dimethylcyclohexane | trans-1,3-dimethylcyclohexane
1 up CH3, 4 up CH3 | (1s,4s)-1,4-dimethylcyclohexane | cis-1,4-dimethylcyclohexane
1 up CH3, 4 down CH3 | (1r,4r)-1,4-dimethylcyclohexane | trans-1,4-dimethylcyclohexane
1 up OH, 4 down tBu | (1r,4r)-4-tert-butylcyclohexan-1-ol | trans-4-tert-butylcyclohexan-1-ol
1 up tBu, 4 up OH | (1s,4s)-4-tert-butylcyclohexan-1-ol | cis-4-tert-butylcyclohexan-1-ol
1 up OH, 2 down iPr, 5 up CH3 | (1R,2S,5R)-5-methyl-2-(propan-2-yl)cyclohexan-1-ol
1 down OH, 2 up iPr, 5 down CH3 | (1S,2R,5S)-5-methyl-2-(propan-2-yl)cyclohexan-1-ol
1 down OH, 2 down iPr, 5 up CH3 | (1S,2S,5R)-5-methyl-2-(propan-2-yl)cyclohexan-1-ol
1 down OH, 2 up iPr, 5 up CH3 | (1S,2R,5R)-5-methyl-2-(propan-2-yl)cyclohexan-1-ol
1 up OH, 2 up iPr, 5 up CH3 | (1R,2R,5R)-5-methyl-2-(propan-2-yl)cyclohexan-1-ol
1 up OAc, 2 down iPr, 5 up CH3 | (1R,2S,5R)-5-methyl-2-(propan-2-yl)cyclohexyl acetate
1 up Cl, 2 down iPr, 5 up CH3 | (1S,2R,4R)-2-chloro-4-methyl-1-(propan-2-yl)cyclohexane
1 up CH3, 4 down iPr | (1r,4r)-1-methyl-4-(propan-2-yl)cyclohexane | trans-1-methyl-4-(propan-2-yl)cyclohexane
1 up NH2, 2 down NH2 | (1R,2R)-cyclohexane-1,2-diamine | trans-cyclohexane-1,2-diamine
1 up NHMe, 1 down NHMe, 2 up NHMe | (2S)-N1,N'1,N2-trimethylcyclohexane-1,1,2-triamine
1 up *[O-], 2 up *[O-] | (1R,2S)-cyclohexane-1,2-bis(olate) | cis-cyclohexane-1,2-bis(olate)
1 up *[S-], 3 down *[S-] | (1R,3R)-cyclohexane-1,3-bis(thiolate) | trans-cyclohexane-1,3-bis(thiolate)
1 up NH3+, 4 up NH3+ | (1s,4s)-cyclohexane-1,4-bis(aminium) | cis-cyclohexane-1,4-bis(aminium)
1 up OH, 2 down OH | (1R,2R)-cyclohexane-1,2-diol | trans-cyclohexane-1,2-diol
1 up OH, 2 up OH | (1R,2S)-cyclohexane-1,2-diol | cis-cyclohexane-1,2-diol
1 up OH, 2 down Ph | (1R,2S)-2-phenylcyclohexan-1-ol | trans-2-phenylcyclohexan-1-ol
1 up OH, 2 down iPr | (1R,2S)-2-(propan-2-yl)cyclohexan-1-ol | trans-2-(propan-2-yl)cyclohexan-1-ol
1 up OH, 2 up CH3 | (1R,2S)-2-methylcyclohexan-1-ol | cis-2-methylcyclohexan-1-ol
1 up OH, 3 up CH3 | (1R,3S)-3-methylcyclohexan-1-ol | cis-3-methylcyclohexan-1-ol
1 up Br, 3 up CH3 | (1R,3S)-1-bromo-3-methylcyclohexane | cis-1-bromo-3-methylcyclohexane
1 up OH, 3 up CH3, 3 down CH3 | (1R)-3,3-dimethylcyclohexan-1-ol
1 up CO2Me, 2 up CO2Me | dimethyl (1R,2S)-cyclohexane-1,2-dicarboxylate | \
dimethyl cis-cyclohexane-1,2-dicarboxylate
1 up OAc, 2 up OAc | (1R,2S)-cyclohexane-1,2-diyl diacetate | cis-cyclohexane-1,2-diyl diacetate
1 up CO2H, 2 up NH2 | (1R,2S)-2-aminocyclohexane-1-carboxylic acid | cis-2-aminocyclohexane-1-carboxylic acid
1 up CO2H, 4 down *CN | (1r,4r)-4-(aminomethyl)cyclohexane-1-carboxylic acid | \
trans-4-(aminomethyl)cyclohexane-1-carboxylic acid
1 up OH, 1 down CO2H, 3 up OH, 4 up OH, 5 down OH | \
(1S,3R,4S,5R)-1,3,4,5-tetrahydroxycyclohexane-1-carboxylic acid
1 up CH3, 3 up CH3, 5 up CH3 | (1s,3s,5s)-1,3,5-trimethylcyclohexane
1 up CH3, 3 up CH3, 5 down CH3 | r-1,c-3,t-5-trimethylcyclohexane
1 up OH, 2 down OH, 3 up OH, 4 down OH, 5 up OH, 6 down OH | (1r,2r,3r,4r,5r,6r)-cyclohexane-1,2,3,4,5,6-hexol
1 up OH, 2 up OH, 3 up OH, 4 down OH, 5 up OH, 6 down OH | (1R,2r,3S,4R,5s,6S)-cyclohexane-1,2,3,4,5,6-hexol
1 up Cl, 2 up Cl, 3 down Cl, 4 up Cl, 5 up Cl, 6 down Cl | \
(1R,2r,3S,4R,5r,6S)-1,2,3,4,5,6-hexachlorocyclohexane
"""


def written_names() -> list[tuple[str, str, str]]:
    """(groups by face, name, name with cis or trans or '')."""
    found = [(*pair, "") for pair in rows(_ACHIRAL_AND_PLAIN)]
    for groups, names in ((line.split(" | ", 1)) for line in _WITH_LETTERS.strip().splitlines()):
        name, _, by_faces = names.partition(" | ")
        found.append((groups, name, by_faces))
    return found
