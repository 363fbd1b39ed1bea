"""The words of names: groups, parents, acids and endings, each with its structure. Pure.

Every row can be used in both directions: a reader looks a structure up by its word, a writer a word by its
structure (the row that is `preferred`). A structure is a SMILES in which `*` stands for the atom that the
word is attached to and atom-map numbers are the locants at which the word itself can be substituted; an
atom with a number takes as many hydrogens as its valence leaves. Where several `*` stand in parts divided
by a full stop, all parts are attached to the same atom (the oxygens of a chain's '-oic acid').

Preferred prefixes follow IUPAC, Nomenclature of Organic Chemistry, Recommendations 2013 (H. A. Favre, W. H.
Powell, doi 10.1039/9781849733069): P-29 (hydrocarbon groups), P-31.1.4 (locants), P-41 (seniority of
classes), P-61 to P-66 (characteristic groups), P-65.6.3 (esters), P-68 (Si, P); numbers of rules from
memory.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache


@dataclass(frozen=True, kw_only=True)
class Word:
    """A word and its structure. needs: at least so many groups must stand on it ('oxy', 'carbonyl');
    preferred: what a writer of names takes for this structure; has_ring: a cyclohexane ring with groups, all
    numbered (menthane), 1 to 6 in the ring."""

    name: str
    smiles: str
    preferred: bool = True
    needs: int = 0
    has_ring: bool = False


@dataclass(frozen=True, kw_only=True)
class Suffix:
    """An ending of a parent. prefix: what the group is called where another ending has the name (P-41);
    rank: seniority, 1 the highest; carbon: 'ring', 'chain' (uses a carbon of the chain) or 'both'."""

    name: str
    smiles: str
    prefix: str
    rank: int
    carbon: str = "both"


CHAINS = ("meth", "eth", "prop", "but", "pent", "hex", "hept", "oct", "non", "dec", "undec", "dodec")
RING = "[C:1]1[C:2][C:3][C:4][C:5][C:6]1"
_BENZENE = "[c:1]1[c:2][c:3][c:4][c:5][c:6]1"
# Acyl groups that stand in several words (P-65.1.7), with their locants where they can be substituted.
_ACETYL = "C(=O)[C:2]"
_PROPANOYL, _BUTANOYL = f"{_ACETYL}[C:3]", f"{_ACETYL}[C:3][C:4]"
_PIVALOYL = "C(=O)C(C)(C)C"
_BENZOYL, _PLAIN_BENZOYL = f"C(=O){_BENZENE}", "C(=O)c1ccccc1"
_BENZENESULFONYL = f"S(=O)(=O){_BENZENE}"
_MESYL, _TOSYL = "S(C)(=O)=O", "S(=O)(=O)c1ccc(C)cc1"


def chain_smiles(length: int, at: int | None = None, multiple: tuple[int, str] = (0, "")) -> str:
    """A chain of carbons with locants, `*` at carbon `at`; multiple: its '=' or '#' and the carbon before."""
    return "".join(
        f"[C:{locant}]"
        + ("(*)" if locant == at and locant < length else "*" if locant == at else "")
        + (multiple[1] if locant == multiple[0] else "")
        for locant in range(1, length + 1)
    )


def _acyl_chains() -> Iterator[tuple[str, str]]:
    """Stem and acyl group of propanoic to dodecanoic acid (P-65.1.2)."""
    for length, stem in enumerate(CHAINS[2:], start=3):
        yield stem, "C(=O)" + "".join(f"[C:{locant}]" for locant in range(2, length + 1))


def _words(preferred: bool, needs: int, pairs: dict[str, str]) -> Iterator[Word]:
    for name, smiles in pairs.items():
        yield Word(name=name, smiles=smiles, preferred=preferred, needs=needs)


def _chain_groups() -> Iterator[Word]:
    """P-29.2: methyl to dodecyl, propan-2-yl and its like; P-63.2.2.2: methoxy to butoxy."""
    for length, stem in enumerate(CHAINS, start=1):
        yield Word(name=f"{stem}yl", smiles=chain_smiles(length, 1))
        if length > 2:
            yield Word(name=f"n-{stem}yl", smiles=chain_smiles(length, 1), preferred=False)
        for at in range(1, length + 1):
            preferred = 1 < at <= (length + 1) // 2
            yield Word(name=f"{stem}an-{at}-yl", smiles=chain_smiles(length, at), preferred=preferred)
        if 2 < length < 7:
            yield from _unsaturated(length, stem)
    for stem, acyl in _acyl_chains():
        yield Word(name=f"{stem}anoyl", smiles=f"*{acyl}")
    for length in (1, 2, 3, 4):
        chain = chain_smiles(length)
        yield Word(name=f"{CHAINS[length - 1]}oxy", smiles=f"*O{chain}")


def _unsaturated(length: int, stem: str) -> Iterator[Word]:
    """P-32: 'prop-2-en-1-yl' and its like, with the lowest locant for the free valence."""
    for at in range(1, (length + 1) // 2 + 1):
        for bond in range(1, length):
            if 2 * at == length + 1 and 2 * bond > length:
                continue
            yield Word(name=f"{stem}-{bond}-en-{at}-yl", smiles=chain_smiles(length, at, (bond, "=")))
            if at == 1 or at not in (bond, bond + 1):
                name = f"{stem}-{bond}-yn-{at}-yl"
                yield Word(name=name, smiles=chain_smiles(length, at, (bond, "#")))


# Hydrocarbon groups, P-29.6 (retained: phenyl, benzyl, tert-butyl) and P-32 (alkenyl, alkynyl).
_HYDROCARBON = {
    "tert-butyl": "*C(C)(C)C",
    "phenyl": f"*{_BENZENE}",
    "benzyl": f"*C{_BENZENE}",
    "cyclohexyl": f"*{RING}",
    "cyclopentyl": "*[C:1]1[C:2][C:3][C:4][C:5]1",
    "cyclobutyl": "*[C:1]1[C:2][C:3][C:4]1",
    "cyclopropyl": "*[C:1]1[C:2][C:3]1",
    "ethenyl": "*[C:1]=[C:2]",
    "ethynyl": "*[C:1]#[C:2]",
    "naphthalen-1-yl": "*c1cccc2ccccc12",
    "naphthalen-2-yl": "*c1ccc2ccccc2c1",
    "pyridin-2-yl": "*c1ccccn1",
    "pyridin-3-yl": "*c1cccnc1",
    "pyridin-4-yl": "*c1ccncc1",
    "furan-2-yl": "*c1ccco1",
    "thiophen-2-yl": "*c1cccs1",
}
_HYDROCARBON_SYNONYMS = {
    "isopropyl": "*[C:2]([C:1])[C:3]",
    "i-propyl": "*C(C)C",
    "isobutyl": "*CC(C)C",
    "i-butyl": "*CC(C)C",
    "sec-butyl": "*C(C)CC",
    "s-butyl": "*C(C)CC",
    "t-butyl": "*C(C)(C)C",
    "isopentyl": "*CCC(C)C",
    "isoamyl": "*CCC(C)C",
    "neopentyl": "*CC(C)(C)C",
    "tert-pentyl": "*C(C)(C)CC",
    "tert-amyl": "*C(C)(C)CC",
    "amyl": "*CCCCC",
    "vinyl": "*[C:1]=[C:2]",
    "allyl": "*[C:1][C:2]=[C:3]",
    "propargyl": "*[C:1][C:2]#[C:3]",
    "isopropenyl": "*[C:2](=[C:1])[C:3]",
    "phenethyl": "*CCc1ccccc1",
    "trityl": "*C(c1ccccc1)(c1ccccc1)c1ccccc1",
    "cyclohexan-1-yl": f"*{RING}",
    "1-naphthyl": "*c1cccc2ccccc12",
    "2-naphthyl": "*c1ccc2ccccc2c1",
    "p-tolyl": "*c1ccc(C)cc1",
    "m-tolyl": "*c1cccc(C)c1",
    "o-tolyl": "*c1ccccc1C",
}
# Characteristic groups, P-61 to P-66.
_CHARACTERISTIC = {
    "fluoro": "*F",
    "chloro": "*Cl",
    "bromo": "*Br",
    "iodo": "*I",
    "hydroxy": "*O",
    "sulfanyl": "*[S:1]",
    "selanyl": "*[Se:1]",
    "amino": "*[N:1]",
    "nitro": "*[N+](=O)[O-]",
    "nitroso": "*N=O",
    "azido": "*N=[N+]=[N-]",
    "cyano": "*C#N",
    "isocyano": "*[N+]#[C-]",
    "isocyanato": "*N=C=O",
    "isothiocyanato": "*N=C=S",
    "cyanato": "*OC#N",
    "thiocyanato": "*SC#N",
    "formyl": "*[C:1]=O",
    "acetyl": f"*{_ACETYL}",
    "benzoyl": f"*{_BENZOYL}",
    "carboxy": "*C(=O)[O:1]",
    "carboxylato": "*C(=O)[O-]",
    "carbamoyl": "*C(=O)[N:1]",
    "sulfo": "*S(=O)(=O)[O:1]",
    "sulfamoyl": "*S(=O)(=O)[N:1]",
    "azaniumyl": "*[NH3+:1]",
    "sulfido": "*[S-]",
    "oxido": "*[O-]",
    "sulfonato": "*S(=O)(=O)[O-]",
    "hydrazinyl": "*NN",
    "tellanyl": "*[TeH:1]",
    "oxo": "*=O",
    "hydroperoxy": "*OO",
    "nitrooxy": "*O[N+](=O)[O-]",
    "phenoxy": f"*O{_BENZENE}",
    "tert-butoxy": "*OC(C)(C)C",
    "acetamido": f"*[N:1]{_ACETYL}",
    "formamido": "*[N:1]C=O",
    "benzamido": f"*[N:1]{_PLAIN_BENZOYL}",
    "silyl": "*[Si:1]",
    "germyl": "*[Ge:1]",
    "stannyl": "*[SnH3:1]",
    "plumbyl": "*[PbH3:1]",
    "phosphanyl": "*[P:1]",
    "boranyl": "*[B:1]",
    "borono": "*B(O)O",
}
_CHARACTERISTIC_SYNONYMS = {
    "hydroxyl": "*O",
    "mercapto": "*[S:1]",
    "thio": "*[S:1]",
    "seleno": "*[Se:1]",
    "acetoxy": f"*O{_ACETYL}",
    "formyloxy": "*OC=O",
    "benzoyloxy": f"*O{_PLAIN_BENZOYL}",
    "tosyloxy": f"*O{_TOSYL}",
    "mesyloxy": f"*O{_MESYL}",
    "tosyl": f"*{_TOSYL}",
    "mesyl": f"*{_MESYL}",
    "pivaloyl": f"*{_PIVALOYL}",
    "propionyl": f"*{_PROPANOYL}",
    "butyryl": f"*{_BUTANOYL}",
    "methanesulfonyl": f"*{_MESYL}",
    "benzenesulfonyl": f"*{_BENZENESULFONYL}",
    "benzene-1-sulfonyl": f"*{_BENZENESULFONYL}",
    "methanesulfinyl": "*S(C)=O",
    "benzenesulfinyl": f"*S(=O){_BENZENE}",
    "anilino": "*[N:1]c1ccccc1",
    "ammonio": "*[NH3+]",
    "isopropoxy": "*OC(C)C",
    "carbomethoxy": "*C(=O)OC",
    "carbethoxy": "*C(=O)OCC",
    "phosphino": "*[P:1]",
    "acetylamino": f"*[N:1]{_ACETYL}",
    "chlorocarbonyl": "*C(=O)Cl",
    "carbonochloridoyl": "*C(=O)Cl",
}
# Links: what stands before them is attached through them (P-63.2.2, P-63.2.5, P-63.6, P-65.3, P-68.3).
_LINKS = {
    "oxy": "*[O:1]",
    "carbonyl": "*[C:1]=O",
    "sulfinyl": "*[S:1]=O",
    "sulfonyl": "*[S:1](=O)=O",
    "phosphoryl": "*[PH2:1]=O",
    # Prefixes of the 1979 recommendations (D-3, from memory); the rules of 2013 have none.
    "magnesio": "*[MgH:1]",
    "mercurio": "*[HgH:1]",
}
GROUPS: tuple[Word, ...] = (
    *_chain_groups(),
    *_words(True, 0, _HYDROCARBON),
    *_words(False, 0, _HYDROCARBON_SYNONYMS),
    *_words(True, 0, _CHARACTERISTIC),
    *_words(False, 0, _CHARACTERISTIC_SYNONYMS),
    *_words(True, 1, _LINKS),
)

# Groups of several words that are written without their brackets where one locant stands before them.
WITHOUT_BRACKETS = (
    *("trifluoromethyl", "trichloromethyl", "tribromomethyl", "difluoromethyl", "dichloromethyl"),
    *("fluoromethyl", "chloromethyl", "bromomethyl", "iodomethyl", "hydroxymethyl", "aminomethyl"),
    *("cyanomethyl", "methoxymethyl", "mercaptomethyl", "carboxymethyl", "azidomethyl"),
    *("methylthio", "ethylthio", "phenylthio", "methylsulfanyl", "ethylsulfanyl", "phenylsulfanyl"),
    *("methylsulfinyl", "methylsulfonyl", "phenylsulfinyl", "phenylsulfonyl", "phenylseleno"),
    *("phenylselanyl", "methylamino", "ethylamino", "dimethylamino", "diethylamino", "phenylamino"),
    *("methoxycarbonyl", "ethoxycarbonyl", "tert-butoxycarbonyl", "chlorocarbonyl", "acetyloxy"),
    *("trimethylsilyl", "trimethylsilyloxy", "trimethylgermyl", "trimethylstannyl", "benzyloxy"),
    *("methylsulfonyloxy", "trifluoroacetoxy", "trifluoroacetyl", "methylcarbonyl", "propionyloxy"),
    *("diphenylphosphino", "dimethylphosphino", "diphenylphosphanyl", "trichlorosilyl", "pentyloxy"),
)
# Those that cannot be meant as groups of their own even without a locant.
ALWAYS_TOGETHER = ("trifluoromethyl", "trichloromethyl", "trimethylsilyl", "tribromomethyl")

# Endings, in the order of seniority of their classes (P-41, table 4.1).
SUFFIXES: tuple[Suffix, ...] = (
    Suffix(name="carboxylate", smiles="*C(=O)[O-]", prefix="carboxylato", rank=0, carbon="ring"),
    Suffix(name="sulfonate", smiles="*S(=O)(=O)[O-]", prefix="sulfonato", rank=0, carbon="ring"),
    Suffix(name="olate", smiles="*[O-]", prefix="oxido", rank=0, carbon="ring"),
    Suffix(name="thiolate", smiles="*[S-]", prefix="sulfido", rank=0, carbon="ring"),
    Suffix(name="aminium", smiles="*[NH3+:1]", prefix="azaniumyl", rank=1, carbon="ring"),
    Suffix(name="carboxylic acid", smiles="*C(=O)[O:1]", prefix="carboxy", rank=2, carbon="ring"),
    Suffix(name="oic acid", smiles="*=O.*O", prefix="carboxy", rank=2, carbon="chain"),
    Suffix(name="sulfonic acid", smiles="*S(=O)(=O)[O:1]", prefix="sulfo", rank=3),
    Suffix(name="carbonyl chloride", smiles="*C(=O)Cl", prefix="chlorocarbonyl", rank=5, carbon="ring"),
    Suffix(name="carboxamide", smiles="*C(=O)[N:1]", prefix="carbamoyl", rank=6, carbon="ring"),
    Suffix(name="sulfonamide", smiles="*S(=O)(=O)[N:1]", prefix="sulfamoyl", rank=7),
    Suffix(name="carbonitrile", smiles="*C#N", prefix="cyano", rank=8, carbon="ring"),
    Suffix(name="nitrile", smiles="*#N", prefix="cyano", rank=8, carbon="chain"),
    Suffix(name="carbaldehyde", smiles="*[C:1]=O", prefix="formyl", rank=9, carbon="ring"),
    Suffix(name="carboxaldehyde", smiles="*[C:1]=O", prefix="formyl", rank=9, carbon="ring"),
    Suffix(name="al", smiles="*=O", prefix="formyl", rank=9, carbon="chain"),
    Suffix(name="one", smiles="*=O", prefix="oxo", rank=10, carbon="chain"),
    Suffix(name="ol", smiles="*[O:1]", prefix="hydroxy", rank=11),
    Suffix(name="thiol", smiles="*[S:1]", prefix="sulfanyl", rank=12),
    Suffix(name="selenol", smiles="*[Se:1]", prefix="selanyl", rank=13),
    Suffix(name="amine", smiles="*[N:1]", prefix="amino", rank=14),
    # Conjunctive names of Chemical Abstracts (P-51.3.1, from memory); never written here.
    Suffix(name="acetic acid", smiles="*CC(=O)O", prefix="carboxymethyl", rank=20, carbon="ring"),
    Suffix(name="methanol", smiles="*CO", prefix="hydroxymethyl", rank=20, carbon="ring"),
    Suffix(name="ethanol", smiles="*CCO", prefix="2-hydroxyethyl", rank=20, carbon="ring"),
    Suffix(name="methanamine", smiles="*C[N:1]", prefix="aminomethyl", rank=20, carbon="ring"),
    Suffix(name="ethanamine", smiles="*CC[N:1]", prefix="2-aminoethyl", rank=20, carbon="ring"),
    Suffix(name="methanethiol", smiles="*C[S:1]", prefix="sulfanylmethyl", rank=20, carbon="ring"),
    Suffix(name="acetonitrile", smiles="*CC#N", prefix="cyanomethyl", rank=20, carbon="ring"),
)
# A carboxylic acid whose hydrogen is replaced by the groups in front (P-65.6.3.2).
ESTER = Suffix(name="carboxylate", smiles="*C(=O)[O:1]", prefix="", rank=4, carbon="ring")
SUFFIX_BY_NAME = {suffix.name: suffix for suffix in SUFFIXES}

# Parents with an ending of their own (P-34, P-65.1.1).
PARENTS: tuple[Word, ...] = (
    Word(name="acetic acid", smiles=f"O{_ACETYL}"),
    Word(name="propionic acid", smiles=f"O{_PROPANOYL}", preferred=False),
    Word(name="butyric acid", smiles=f"O{_BUTANOYL}", preferred=False),
    Word(name="benzoic acid", smiles=f"O{_BENZOYL}"),
    Word(name="acetonitrile", smiles="N#C[C:2]"),
    Word(name="acetaldehyde", smiles="O=C[C:2]"),
    # 99 is the locant N.
    Word(name="acetamide", smiles=f"[N:99]{_ACETYL}"),
    Word(name="formamide", smiles="[N:99]C=O"),
    Word(name="benzamide", smiles=f"[N:99]{_PLAIN_BENZOYL}"),
    Word(name="phenol", smiles=f"O{_BENZENE}"),
    Word(name="aniline", smiles=f"N{_BENZENE}"),
    Word(name="anisole", smiles=f"CO{_BENZENE}"),
)

# The acid part of an ester, written as what it puts on the carbon of the alcohol (P-65.6.3).
ESTER_ACIDS: tuple[Word, ...] = (
    Word(name="formate", smiles="*OC=O"),
    Word(name="acetate", smiles=f"*O{_ACETYL}"),
    *(Word(name=f"{stem}anoate", smiles=f"*O{acyl}") for stem, acyl in _acyl_chains()),
    Word(name="propionate", smiles=f"*O{_PROPANOYL}", preferred=False),
    Word(name="butyrate", smiles=f"*O{_BUTANOYL}", preferred=False),
    Word(name="isobutyrate", smiles="*OC(=O)C(C)C", preferred=False),
    Word(name="pivalate", smiles=f"*O{_PIVALOYL}", preferred=False),
    Word(name="benzoate", smiles=f"*O{_BENZOYL}"),
    Word(name="carbamate", smiles="*OC(=O)[N:1]"),
    Word(name="methanesulfonate", smiles="*OS(=O)(=O)[C:1]"),
    Word(name="mesylate", smiles=f"*O{_MESYL}", preferred=False),
    Word(name="benzenesulfonate", smiles=f"*O{_BENZENESULFONYL}"),
    Word(name="benzene-1-sulfonate", smiles=f"*O{_BENZENESULFONYL}", preferred=False),
    Word(name="tosylate", smiles=f"*O{_TOSYL}", preferred=False),
    Word(name="p-toluenesulfonate", smiles=f"*O{_TOSYL}", preferred=False),
    Word(name="triflate", smiles="*OS(=O)(=O)C(F)(F)F", preferred=False),
    Word(name="nitrate", smiles="*O[N+](=O)[O-]"),
    Word(name="nitrite", smiles="*ON=O"),
)

# The last word of functional class names (P-51.2, P-61.3, P-66.5): what it puts on the group in front.
CLASSES: tuple[Word, ...] = (
    Word(name="fluoride", smiles="*F"),
    Word(name="chloride", smiles="*Cl"),
    Word(name="bromide", smiles="*Br"),
    Word(name="iodide", smiles="*I"),
    Word(name="cyanide", smiles="*C#N"),
    Word(name="isocyanide", smiles="*[N+]#[C-]"),
    Word(name="azide", smiles="*N=[N+]=[N-]"),
    Word(name="isocyanate", smiles="*N=C=O"),
    Word(name="isothiocyanate", smiles="*N=C=S"),
    Word(name="thiocyanate", smiles="*SC#N"),
    Word(name="alcohol", smiles="*O"),
    Word(name="mercaptan", smiles="*S"),
)
# Those with two groups in front, at the numbered atom the second (P-63.2, P-64.2).
PAIR_CLASSES: tuple[Word, ...] = (
    Word(name="ether", smiles="*[O:1]", needs=1),
    Word(name="sulfide", smiles="*[S:1]", needs=1),
    Word(name="sulfoxide", smiles="*[S:1]=O", needs=1),
    Word(name="sulfone", smiles="*[S:1](=O)=O", needs=1),
    Word(name="ketone", smiles="*[C:1]=O", needs=1),
)


@cache
def groups_by_name() -> dict[str, Word]:
    return {word.name: word for word in GROUPS}


@cache
def parents() -> dict[str, Word]:
    """Parents that take endings ('cyclohexan', 'propan', 'benzen', without their e), by the word."""
    chains = {
        f"{stem}an": Word(name=f"{stem}an", smiles=chain_smiles(length))
        for length, stem in enumerate(CHAINS, start=1)
    }
    ring = Word(name="cyclohexan", smiles=RING)
    return {"cyclohexan": ring, "benzen": Word(name="benzen", smiles=_BENZENE), **chains}


@cache
def vocabulary() -> tuple[str, ...]:
    """Every word a name may be made of, for suggestions."""
    words = [word.name for table in (GROUPS, PARENTS, ESTER_ACIDS, CLASSES, PAIR_CLASSES) for word in table]
    words += [f"cyclohexan{'e' if name[0] not in 'aoi' else ''}{name}" for name in SUFFIX_BY_NAME]
    return (*dict.fromkeys((*words, *WITHOUT_BRACKETS, "cyclohexane", "cyclohexanediol")),)
