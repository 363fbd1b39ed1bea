"""Names as compound lists and textbooks write them, typed by hand, each with its structure.

The structure was derived without the reader of names. `1 up Br, 3 up CH3`: faces by hand, from what cis,
trans, r/c/t, alpha/beta say, or from the CIP letters by this rule: the carbons run clockwise seen from
above; for a ring carbon with one group G and neighbours N (next) and P (previous), `up` is R where N
outranks P and G is the first or the last of the three, or where P outranks N and G is the middle one; else
S. Anything else is a SMILES written by hand; 'memory' marks isomeric SMILES known from compound data bases,
from memory.

A structure that starts with '~' is compared up to its mirror image, and the reader must call it relative;
one with 'flat' leaves configurations open.
"""

COMMON = """
methylcyclohexane | CC1CCCCC1
cyclohexanol | OC1CCCCC1
bromocyclohexane | BrC1CCCCC1
tert-butylcyclohexane | CC(C)(C)C1CCCCC1
isopropylcyclohexane | CC(C)C1CCCCC1
phenylcyclohexane | c1ccccc1C1CCCCC1
cyclohexylbenzene | c1ccccc1C1CCCCC1
cyclohexanecarboxylic acid | OC(=O)C1CCCCC1
cyclohexanecarbonitrile | N#CC1CCCCC1
cyclohexanecarbaldehyde | O=CC1CCCCC1
cyclohexanecarboxamide | NC(=O)C1CCCCC1
cyclohexanethiol | SC1CCCCC1
cyclohexanamine | NC1CCCCC1
cyclohexylamine | NC1CCCCC1
nitrocyclohexane | O=[N+]([O-])C1CCCCC1
methoxycyclohexane | COC1CCCCC1
1,1-dimethylcyclohexane | CC1(C)CCCCC1
cis-1,2-dimethylcyclohexane | 1 up CH3, 2 up CH3
trans-1,2-dimethylcyclohexane | ~1 up CH3, 2 down CH3
cis-1,3-dimethylcyclohexane | 1 up CH3, 3 up CH3
trans-1,3-dimethylcyclohexane | ~1 up CH3, 3 down CH3
cis-1,4-dimethylcyclohexane | 1 up CH3, 4 up CH3
trans-1,4-dimethylcyclohexane | 1 up CH3, 4 down CH3
cis-1-bromo-3-methylcyclohexane | ~1 up Br, 3 up CH3
trans-1-bromo-3-methylcyclohexane | ~1 up Br, 3 down CH3
cis-1-bromo-4-tert-butylcyclohexane | 1 up Br, 4 up tBu
trans-1-bromo-4-tert-butylcyclohexane | 1 up Br, 4 down tBu
cis-4-tert-butylcyclohexanol | 1 up OH, 4 up tBu
trans-4-tert-butylcyclohexanol | 1 up OH, 4 down tBu
cis-2-methylcyclohexanol | ~1 up OH, 2 up CH3
trans-2-methylcyclohexanol | ~1 up OH, 2 down CH3
cis-3-methylcyclohexan-1-ol | ~1 up OH, 3 up CH3
trans-3-methylcyclohexan-1-ol | ~1 up OH, 3 down CH3
trans-2-bromocyclohexan-1-ol | ~1 up OH, 2 down Br
trans-2-chlorocyclohexanol | ~1 up OH, 2 down Cl
cis-2-chlorocyclohexanol | ~1 up OH, 2 up Cl
trans-1,2-dichlorocyclohexane | ~1 up Cl, 2 down Cl
trans-1,2-dibromocyclohexane | ~1 up Br, 2 down Br
cis-1,2-difluorocyclohexane | 1 up F, 2 up F
trans-1,2-difluorocyclohexane | ~1 up F, 2 down F
cis-1-chloro-4-methylcyclohexane | 1 up Cl, 4 up CH3
trans-1-chloro-2-methylcyclohexane | ~1 up Cl, 2 down CH3
cis-1-ethyl-2-methylcyclohexane | ~1 up C2H5, 2 up CH3
trans-1-ethyl-4-isopropylcyclohexane | 1 up C2H5, 4 down iPr
cis-1-isopropyl-3-methylcyclohexane | ~1 up iPr, 3 up CH3
trans-1-tert-butyl-3-methylcyclohexane | ~1 up tBu, 3 down CH3
cis-1-tert-butyl-4-methylcyclohexane | 1 up tBu, 4 up CH3
trans-cyclohexane-1,2-diol | ~1 up OH, 2 down OH
cis-cyclohexane-1,2-diol | 1 up OH, 2 up OH
cis-1,3-cyclohexanediol | 1 up OH, 3 up OH
trans-1,4-cyclohexanediol | 1 up OH, 4 down OH
trans-cyclohexane-1,2-diamine | ~1 up NH2, 2 down NH2
trans-1,2-diaminocyclohexane | ~1 up NH2, 2 down NH2
cis-2-aminocyclohexan-1-ol | ~1 up OH, 2 up NH2
trans-2-aminocyclohexane-1-carboxylic acid | ~1 up CO2H, 2 down NH2
cis-4-methylcyclohexane-1-carboxylic acid | 1 up CO2H, 4 up CH3
trans-4-methylcyclohexanecarboxylic acid | 1 up CO2H, 4 down CH3
trans-cyclohexane-1,2-dicarboxylic acid | ~1 up CO2H, 2 down CO2H
cis-cyclohexane-1,3-dicarboxylic acid | 1 up CO2H, 3 up CO2H
methyl cyclohexanecarboxylate | COC(=O)C1CCCCC1
ethyl trans-4-methylcyclohexane-1-carboxylate | 1 up CO2Et, 4 down CH3
dimethyl cis-cyclohexane-1,2-dicarboxylate | 1 up CO2Me, 2 up CO2Me
dimethyl trans-cyclohexane-1,4-dicarboxylate | 1 up CO2Me, 4 down CO2Me
cyclohexyl acetate | CC(=O)OC1CCCCC1
cis-4-methylcyclohexyl acetate | 1 up OAc, 4 up CH3
trans-4-tert-butylcyclohexyl acetate | 1 up OAc, 4 down tBu
trans-4-tert-butylcyclohexyl tosylate | 1 up OTs, 4 down tBu
cis-4-tert-butylcyclohexyl mesylate | 1 up OMs, 4 up tBu
cis-4-tert-butylcyclohexyl 4-nitrobenzoate | 1 up *OC(=O)c1ccc(cc1)[N+](=O)[O-], 4 up tBu
trans-2-methylcyclohexyl formate | ~1 up OCHO, 2 down CH3
cyclohexyl methyl ether | COC1CCCCC1
trans-4-methylcyclohexyl methyl ether | 1 up OMe, 4 down CH3
cyclohexyl bromide | BrC1CCCCC1
cis-3-methylcyclohexyl chloride | ~1 up Cl, 3 up CH3
cyclohexyl isocyanate | O=C=NC1CCCCC1
trans-1-methoxy-4-methylcyclohexane | 1 up OMe, 4 down CH3
trans-4-(trifluoromethyl)cyclohexan-1-ol | 1 up OH, 4 down CF3
trans-4-(dimethylamino)cyclohexan-1-ol | 1 up OH, 4 down NMe2
N,N-dimethylcyclohexanamine | CN(C)C1CCCCC1
N-methylcyclohexanamine | CNC1CCCCC1
trans-2-phenylcyclohexanol | ~1 up OH, 2 down Ph
cis-2-phenylcyclohexan-1-ol | ~1 up OH, 2 up Ph
trans-4-phenylcyclohexan-1-ol | 1 up OH, 4 down Ph
1-methylcyclohexan-1-ol | CC1(O)CCCCC1
1-ethynylcyclohexan-1-ol | C#CC1(O)CCCCC1
1-phenylcyclohexanol | OC1(CCCCC1)c1ccccc1
(chloromethyl)cyclohexane | ClCC1CCCCC1
(methylsulfanyl)cyclohexane | CSC1CCCCC1
(cyclohexylmethyl)benzene | c1ccccc1CC1CCCCC1
2-cyclohexylpropan-2-ol | CC(C)(O)C1CCCCC1
cyclohexylmethanol | OCC1CCCCC1
cyclohexylacetic acid | OC(=O)CC1CCCCC1
cis-3,3,5-trimethylcyclohexanol | ~1 up OH, 3 up CH3, 3 down CH3, 5 up CH3
trans-3,3,5-trimethylcyclohexanol | ~1 up OH, 3 up CH3, 3 down CH3, 5 down CH3
3,3-dimethylcyclohexan-1-ol | flat CC1(C)CCCC(O)C1
1,3-dimethylcyclohexane | flat CC1CCCC(C)C1
4-methylcyclohexan-1-ol | flat CC1CCC(O)CC1
2-isopropyl-5-methylcyclohexanol | flat CC(C)C1CCC(C)CC1O
4-tert-butylcyclohexan-1-amine | flat CC(C)(C)C1CCC(N)CC1
(1R,2S,5R)-menthol | C[C@@H]1CC[C@H]([C@@H](C1)O)C(C)C memory
(-)-menthol | 1 up OH, 2 down iPr, 5 up CH3
(+)-menthol | 1 down OH, 2 up iPr, 5 down CH3
menthol | ~1 up OH, 2 down iPr, 5 up CH3
neomenthol | ~1 down OH, 2 down iPr, 5 up CH3
isomenthol | ~1 down OH, 2 up iPr, 5 up CH3
neoisomenthol | ~1 up OH, 2 up iPr, 5 up CH3
menthyl acetate | ~1 up OAc, 2 down iPr, 5 up CH3
neomenthyl acetate | ~1 down OAc, 2 down iPr, 5 up CH3
(-)-menthyl chloride | 1 up Cl, 2 down iPr, 5 up CH3
myo-inositol | 1 up OH, 2 up OH, 3 up OH, 4 down OH, 5 up OH, 6 down OH
scyllo-inositol | 1 up OH, 2 down OH, 3 up OH, 4 down OH, 5 up OH, 6 down OH
epi-inositol | 1 up OH, 2 up OH, 3 up OH, 4 up OH, 5 up OH, 6 down OH
allo-inositol | 1 up OH, 2 up OH, 3 up OH, 4 up OH, 5 down OH, 6 down OH
muco-inositol | 1 up OH, 2 up OH, 3 down OH, 4 up OH, 5 up OH, 6 down OH
neo-inositol | 1 up OH, 2 up OH, 3 up OH, 4 down OH, 5 down OH, 6 down OH
cis-inositol | 1 up OH, 2 up OH, 3 up OH, 4 up OH, 5 up OH, 6 up OH
chiro-inositol | ~1 up OH, 2 up OH, 3 down OH, 4 up OH, 5 down OH, 6 down OH
quinic acid | 1 up OH, 1 down CO2H, 3 up OH, 4 up OH, 5 down OH
lindane | 1 up Cl, 2 up Cl, 3 down Cl, 4 up Cl, 5 up Cl, 6 down Cl
cis-hexahydrophthalic acid | 1 up CO2H, 2 up CO2H
trans-hexahydrophthalic acid | ~1 up CO2H, 2 down CO2H
trans-hexahydroterephthalic acid | 1 up CO2H, 4 down CO2H
tranexamic acid | 1 up CO2H, 4 down *CN
trans-p-menthane | 1 up CH3, 4 down iPr
gabapentin | NCC1(CC(=O)O)CCCCC1
"""
AWKWARD = """
(1R,2S,5R)-5-methyl-2-(propan-2-yl)cyclohexan-1-ol | 1 up OH, 2 down iPr, 5 up CH3
Cyclohexanol, 5-methyl-2-(1-methylethyl)-, (1R,2S,5R)- | 1 up OH, 2 down iPr, 5 up CH3
Cyclohexane, 1,2-dimethyl-, cis- | 1 up CH3, 2 up CH3
Cyclohexanol, 4-(1,1-dimethylethyl)-, acetate, trans- | 1 up OAc, 4 down tBu
1,2-Cyclohexanedicarboxylic acid, dimethyl ester, cis- | 1 up CO2Me, 2 up CO2Me
1,2-Cyclohexanediol, 4-methyl-, (1R,2R,4S)- | 1 up OH, 2 down OH, 4 up CH3
CIS-1,2-DIMETHYLCYCLOHEXANE | 1 up CH3, 2 up CH3
(±)-trans-1,2-cyclohexanediol | ~1 up OH, 2 down OH
rac-(1R,2R)-2-bromocyclohexan-1-ol | ~1 up OH, 2 down Br
rel-(1R,2R)-2-bromocyclohexan-1-ol | ~1 up OH, 2 down Br
(1R*,2R*)-2-bromocyclohexan-1-ol | ~1 up OH, 2 down Br
(1RS,2SR)-2-methylcyclohexan-1-ol | ~1 up OH, 2 up CH3
(R,R)-cyclohexane-1,2-diamine | 1 up NH2, 2 down NH2
(1R,2R)-cyclohexane-1,2-diol | 1 up OH, 2 down OH
(1R,3S)-3-methylcyclohexan-1-ol | 1 up OH, 3 up CH3
(R)-3,3-dimethylcyclohexanol | 1 up OH, 3 up CH3, 3 down CH3
(1r,4r)-4-methylcyclohexan-1-ol | 1 up OH, 4 down CH3
(1s,4s)-4-methylcyclohexan-1-ol | 1 up OH, 4 up CH3
(1s,4s)-4-tert-butylcyclohexan-1-ol | 1 up OH, 4 up tBu
r-1,c-2,t-4-trichlorocyclohexane | ~1 up Cl, 2 up Cl, 4 down Cl
r-1,t-2,c-4-trimethylcyclohexane | ~1 up CH3, 2 down CH3, 4 up CH3
c-3,t-5-dimethylcyclohexan-r-1-ol | ~1 up OH, 3 up CH3, 5 down CH3
cis,cis-1,3,5-trimethylcyclohexane | 1 up CH3, 3 up CH3, 5 up CH3
all-cis-1,2,3,4,5,6-hexafluorocyclohexane | 1 up F, 2 up F, 3 up F, 4 up F, 5 up F, 6 up F
(1α,3α,5β)-1,3,5-trimethylcyclohexane | 1 up CH3, 3 up CH3, 5 down CH3
(1α,2β,5α)-5-methyl-2-(1-methylethyl)cyclohexanol | ~1 up OH, 2 down iPr, 5 up CH3
trans-4-hydroxymethylcyclohexanecarboxylic acid | 1 up CO2H, 4 down *CO
trans-4-dimethylaminocyclohexanol | 1 up OH, 4 down NMe2
trans-1,4-cyclohexanedimethanol | 1 up *CO, 4 down *CO
cis-4-methylcyclohexanemethanol | 1 up *CO, 4 up CH3
trans-4-{[(trimethylsilyl)oxy]methyl}cyclohexane-1-carboxylic acid | 1 up CO2H, 4 down *CO[Si](C)(C)C
cis-cyclohexane-1,2-diyl diacetate | 1 up OAc, 2 up OAc
1-ethyl 2-methyl cyclohexane-1,2-dicarboxylate | flat CCOC(=O)C1CCCCC1C(=O)OC
N,N'-dimethylcyclohexane-1,2-diamine | flat CNC1CCCCC1NC
N1,N1-dimethylcyclohexane-1,2-diamine | flat CN(C)C1CCCCC1N
N1,N'1,N2-trimethylcyclohexane-1,1,2-triamine | flat CNC1(NC)CCCCC1NC
N1,N1',N2-trimethylcyclohexane-1,1,2-triamine | flat CNC1(NC)CCCCC1NC
cis-cyclohexane-1,2-bis(olate) | 1 up *[O-], 2 up *[O-]
cis-cyclohexane-1,2-diolate | 1 up *[O-], 2 up *[O-]
all-cis-cyclohexane-1,3,5-tris(aminium) | 1 up NH3+, 3 up NH3+, 5 up NH3+
trans-cyclohexane-1,4-bis(thiolate) | 1 up *[S-], 4 down *[S-]
trans-N-methyl-4-tert-butylcyclohexan-1-amine | 1 up NHMe, 4 down tBu
trans-(4-methylcyclohexyl)methanol | 1 up *CO, 4 down CH3
(trans-4-methylcyclohexyl)benzene | 1 up Ph, 4 down CH3
trans-4-cyclohexylcyclohexan-1-ol | 1 up OH, 4 down C6H11
cis 4-tert-butylcyclohexanol | 1 up OH, 4 up tBu
trans-4-tert-butyl-cyclohexan-1-ol | 1 up OH, 4 down tBu
(S)-1-cyclohexylethan-1-ol | C[C@H](O)C1CCCCC1 memory
trans-1-[(1E)-prop-1-en-1-yl]-4-methylcyclohexane | 1 up */C=C/C, 4 down CH3
(pentafluorophenyl)cyclohexane | Fc1c(F)c(F)c(C2CCCCC2)c(F)c1F
1,1,2,2,3,3,4,4,5,5,6,6-dodecafluorocyclohexane | FC1(F)C(F)(F)C(F)(F)C(F)(F)C(F)(F)C1(F)F
dodecafluorocyclohexane | FC1(F)C(F)(F)C(F)(F)C(F)(F)C(F)(F)C1(F)F
4-methylcyclohexyl phenyl sulfone | flat CC1CCC(CC1)S(=O)(=O)c1ccccc1
trans-4-t-butylcyclohexyl trifluoroacetate | 1 up OCOCF3, 4 down tBu
trans-2-(phenylthio)cyclohexan-1-ol | ~1 up OH, 2 down SPh
L-menthol | 1 up OH, 2 down iPr, 5 up CH3
(heptadecafluorooctyl)cyclohexane | FC(F)(F)C(F)(F)C(F)(F)C(F)(F)C(F)(F)C(F)(F)C(F)(F)C(F)(F)C1CCCCC1
stannylcyclohexane | [SnH3]C1CCCCC1
(trimethylstannyl)cyclohexane | C[Sn](C)(C)C1CCCCC1
(diphenylphosphoryl)cyclohexane | O=P(c1ccccc1)(c1ccccc1)C1CCCCC1
cis-1,3-di-tert-butylcyclohexane | 1 up tBu, 3 up tBu
cis-cyclohexane-1,2-dicarbonyl dichloride | 1 up COCl, 2 up COCl
2-methoxyethyl cyclohexanecarboxylate | COCCOC(=O)C1CCCCC1
bis(2-methoxyethyl) cis-cyclohexane-1,2-dicarboxylate | 1 up *C(=O)OCCOC, 2 up *C(=O)OCCOC
N,N,N-trimethylcyclohexanaminium | C[N+](C)(C)C1CCCCC1
all-cis-cyclohexane-1,3,5-triyl triacetate | 1 up OAc, 3 up OAc, 5 up OAc
cis-cyclohexane-1,2-diyl dibenzoate | 1 up *OC(=O)c1ccccc1, 2 up *OC(=O)c1ccccc1
"""
# More, mostly with letters, whose structure the independent reader gives (test_independent).
LETTERED = """
1-cyclohexylpropan-1-one
1-cyclohexylethanone
3-cyclohexylpropanal
3-cyclohexylpropanenitrile
4-cyclohexylbutanoic acid
2-cyclohexylethanol
cyclohexaneacetic acid
trans-2-methylcyclohexyl butanoate
undecafluorocyclohexanol
N-cyclohexylacetamide
trans-4-(acetylamino)cyclohexane-1-carboxylic acid
trans-4-acetamidocyclohexan-1-ol
4-(propan-2-yloxy)cyclohexan-1-ol
1-(2,2-dimethylpropyl)cyclohexan-1-ol
trans-2-[(propan-2-yl)amino]cyclohexan-1-ol
trans-4-[(methanesulfonyl)oxy]cyclohexane-1-carbonitrile
cis-4-(2-methylpropyl)cyclohexan-1-amine
(1S,2S)-2-(benzyloxy)cyclohexan-1-amine
(1R,2S)-2-phenylcyclohexan-1-ol
(1R,2R)-1,2-dibromocyclohexane
(1R,3R)-1,3-dimethylcyclohexane
(1R,3S)-3-aminocyclohexane-1-carboxylic acid
(1S,3S)-3-methylcyclohexyl acetate
(1R,2S,4R)-2-bromo-4-methylcyclohexan-1-ol
(1R,2R,4S,5S)-cyclohexane-1,2,4,5-tetrol
methyl (1S,2R)-2-hydroxycyclohexane-1-carboxylate
ethyl (1R,2S)-2-aminocyclohexane-1-carboxylate
(1R,2R)-ethyl 2-methylcyclohexanecarboxylate
(1R,2S)-dimethyl cyclohexane-1,2-dicarboxylate
(1R)-1-phenylethyl cyclohexanecarboxylate
(1R,2S)-1-methyl-2-(prop-1-en-2-yl)cyclohexane
(1R,2S,5R)-2-isopropyl-5-methylcyclohexyl chloride
(1S,2R)-2-[(1R)-1-hydroxyethyl]cyclohexan-1-ol
(1R,2R)-N1,N2-dimethylcyclohexane-1,2-diamine
(1S,2S)-1-fluoro-2-methoxycyclohexane
(1R,2R)-2-(methylsulfanyl)cyclohexan-1-ol
(1S)-1-cyclohexyl-2-methylpropan-1-amine
(2S)-2-amino-3-cyclohexylpropanoic acid
N-(trans-4-methylcyclohexyl)acetamide
N-cyclohexylbenzamide
"""


def rows(block: str) -> list[tuple[str, str]]:
    """(name, structure) of a block."""
    pairs = (line.split(" | ") for line in block.strip().splitlines())
    return [(name, structure.removesuffix(" memory")) for name, structure in pairs]
