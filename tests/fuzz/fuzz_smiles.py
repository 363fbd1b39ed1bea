"""Random molecules as text: rings with odd groups, most of them readable, and SMILES spoilt by their own signs.

Pure. Wholly random text only tests the parser; these reach the chemistry behind it.
"""

from collections.abc import Callable
from random import Random

# Good molecules of our own: plain, with faces, charged, with rings in groups, with atom-map numbers.
SMILES = (
    *"C1CCCCC1 CC1CCCCC1 CC(C)(C)C1CCCCC1 ClC1CCCCC1 OC1CCCCC1 NC1CCCCC1 N#CC1CCCCC1 O=CC1CCCCC1".split(),
    *r"CC(C)[C@@H]1CC[C@@H](C)C[C@H]1O C[C@H]1CCCC[C@@H]1C C[C@@H]1CC[C@H](O)CC1 CC1(CCCCC1)c1ccccc1".split(),
    *r"CC(=O)O[C@@H]1CC[C@H](C(C)(C)C)CC1 C/C=C/C1CCCCC1 F/C=C\C1CCCCC1 C1CCCCC1C1CCCCC1 CC1CCCCC1O".split(),
    *"[O-][N+](=O)C1CCCCC1 [NH3+]C1CCCCC1 [O-]C(=O)C1CCCCC1 CS(=O)C1CCCCC1 CS(=O)(=O)C1CCCCC1".split(),
    *"C[Si](C)(C)C1CCCCC1 CP(C)C1CCCCC1 [N-]=[N+]=NC1CCCCC1 [C-]#[N+]C1CCCCC1 SC1CCCCC1 C#CC1CCCCC1".split(),
    *"C[CH:1]1CCCCC1O [CH2:1]1CCCCC1C2CCCCC2 OC1C(O)C(O)C(O)C(O)C1O FC(F)(F)C1CCCCC1 C1CC1C1CCCCC1".split(),
    *"CC(C)C1CCC(C)CC1 C1CCCCC1OC2CCCC2 C1CCCCC1C(C)(C)C1CCCCC1 CCCCCCCCC1CCCCC1 COC(=O)C1CCCCC1".split(),
)
# Groups as they continue a ring carbon: those the program treats, and those it refuses in words or may treat.
PLAIN_GROUPS = (
    *"C CC C(C)C C(C)(C)C O OC N N(C)C F Cl Br I S SC C#N C#C C=C C=O C(C)=O C(=O)OC C(=O)O C(F)(F)F".split(),
    *"c%11ccccc%11 C%12CC%12 C%12CCCCC%12 [N+](=O)[O-] N=[N+]=[N-] [NH3+] C(=O)[O-] S(C)=O S(=O)(=O)C".split(),
    *"[Si](C)(C)C P(C)C OC(C)=O CO CCl CC(C)(C)C C(C)O [C@H](C)O [C@@H](C)O /C=C/C /C=C\\C N=NC OO OOC".split(),
    *"P(=O)(O)O CC(C)(C)C C=CC=CC=C C%13(C)CCCC%13 c%13ccncc%13 OC(C)C SCC NC(C)=O C%12CCC%12 CCCC".split(),
)
ODD_GROUPS = (
    *"[N+]#[C-] C=C=C C=C=CC C=[N+]=[N-] [C+] [CH-]C [CH]C [C] [O] B(O)O [BH3-] [Na] [Fe] [U] [Xe] [2H] [13CH3]".split(),
    *"* [*] [R] [#6] [H] [H+] ~C $C C$C C->[Fe] [C@TH1](C)(O)F [C@AL1] [C@SP1](F)(Cl)Br [C@OH26] [C@TB20]".split(),
    *"[CH3:1] [CH3:7] [CH3:99999] [CH99] [C+99] [C-999999999] [999C] [0C] [CH3+1-1] [Cl+3] [SH6] S(F)(F)(F)(F)F".split(),
    *"P(=O)(O)O [Se]C [As](C)C [Te]C [Ge](C)(C)C [Sn](C)(C)C [Hg]C [Pt](Cl)(Cl)Cl IC I(=O)=O [I+]C Cl(=O)(=O)=O".split(),
    *"C%13(C)CCCC%13 C%13%14CC%13C%14 C%13=CC=CC=C%13 C%13CCCCCCCCCC%13 N%13CCOCC%13 c%13ccncc%13 c%13c[nH]cc%13".split(),
    *"C(C(C)(C)C)(C(C)(C)C)C(C)(C)C C(F)(Cl)Br C(F)(Cl)C(F)(Cl)C(F)(Cl)Br OC(O)(O)O NNNNN OOOOO SSSSS C=CC=CC=C".split(),
    *"C.C O.[Na+] .[Cl-] C>>C %%1 %(123)C%(123) C1 C(1) =O #N :C c n o C=1CC=1".split(),
)
GROUPS = (*PLAIN_GROUPS, *ODD_GROUPS)
_RINGS = (
    "C1CCCCC1",
    "[CH2:1]1[CH2:2][CH2:3][CH2:4][CH2:5][CH2:6]1",
    "c1ccccc1",
    "C1CCCC1",
    "O1CCCCC1",
    "C1=CCCCC1",
)
SIGNS = (
    *r"( ) [ ] = # $ : ~ - . / \ @ @@ % %9 %10 %99 %(100) 0 1 2 9 + - ++ -- +15 * C N O c n [C] [nH] [se] [H] [2H]".split(),
    *"@TH1 @TH3 @AL2 @SP3 @TB1 @OH30 @OH31 H H0 H9 :1 :6 :7 :0 :-1 > >> | |$R1$| |&1:1| ; , ! ? { } ^ & \u212b \u03b1".split(),
    *"Cl Br Uuo Og Xx [Db] [H][H] [235U] [CH-1] [C@@@H] [C@H2] [1*] -> <- '' \" C%00C%00 C11 C12CC12 C1CC2 ((C)) ()".split(),
)
NAMES = (
    *"CH3 Me OH t-Bu Cl F Br I NO2 CN OCH3 NH2 Ph CF3 SiMe3 *C *CCO *c1ccccc1 *C(C)(C)C H D *[H] *[2H] *C* * C".split(),
    *"*.C *=C *C1CC1 *[C@H](C)O *C=CC *N=NC *1CCCC1 *C(*)C *O[Na] *[Na] XYZ t-Bux *C(C)=C=CC *OP(=O)(O)O *(C)C".split(),
)


def ring_with_groups(rng: Random) -> str:
    """A ring, mostly cyclohexane, with up to six groups; faces marked on some carbons, in any order."""
    if rng.random() < 0.1:
        return rng.choice(_RINGS)
    most = rng.choice((1, 1, 2, 2, 3, 6))
    groups = PLAIN_GROUPS if rng.random() < 0.5 else (*PLAIN_GROUPS, *ODD_GROUPS)
    chosen = {rng.randrange(6): rng.choice(groups) for _ in range(most)}
    carbons = []
    for position in range(6):
        closing = "1" if position in (0, 5) else ""
        group = chosen.get(position)
        if group is None:
            carbons.append(f"C{closing}")
            continue
        atom = rng.choice(("C", "[C@H]", "[C@@H]", "[C@@H]", "C"))
        second = f"({rng.choice(groups)})" if atom == "C" and rng.random() < 0.25 else ""
        carbons.append(f"{atom}{closing}({group}){second}")
    return "".join(carbons)


def spoken(rng: Random) -> str:
    """A list of groups by ring carbon and face, with slips in one of three pieces."""
    pieces = []
    for _ in range(rng.choice((1, 2, 2, 3, 6, 13))):
        carbon = rng.choice(
            ("1", "2", "3", "4", "5", "6", "0", "7", "-1", "12", "01", "\u0663", "9" * 5000, "")
        )
        if rng.random() < 0.95:
            carbon = str(rng.randint(1, 6))
        face = rng.choice((*("up", "down") * 6, "UP", "Down", "axial", ""))
        pieces.append(f"{carbon} {face} {rng.choice(NAMES if rng.random() < 0.3 else NAMES[:14])}")
    return rng.choice((*(", ",) * 8, "; ", ",", "  ", ",,", "\t")).join(pieces)


def _splice(rng: Random, text: str) -> str:
    place = rng.randint(0, len(text))
    return text[:place] + rng.choice(SIGNS) + text[place:]


def _replace(rng: Random, text: str) -> str:
    place = rng.randrange(len(text)) if text else 0
    return text[:place] + rng.choice(SIGNS) + text[place + 1 :]


def _cut(rng: Random, text: str) -> str:
    start = rng.randint(0, len(text))
    return text[:start] + text[start + rng.choice((1, 1, 2, 6)) :]


def _branch(rng: Random, text: str) -> str:
    place = rng.randint(0, len(text))
    return f"{text[:place]}({rng.choice(GROUPS)}){text[place:]}"


def _doubled(rng: Random, text: str) -> str:
    return rng.choice(("", ".", "C", "=", "~", " ", ">>", "\n")).join(
        (text, rng.choice((text, rng.choice(SMILES))))
    )


def _long(rng: Random, text: str) -> str:
    unit = rng.choice(
        ("C", "C(C)", "C(", "C(F)", "OCC", "[C@H](F)", "C=C", "N", "[", "C1CC1", "C%99", "/C=C/", "(C)")
    )
    place = rng.randint(0, len(text))
    return text[:place] + unit * rng.choice((20, 200, 2_000, 30_000)) + text[place:]


def _renumbered(rng: Random, text: str) -> str:
    return text.replace("1", rng.choice(("%10", "%99", "0", "2", "%1", "%(1)", "11", "")))


SMILES_MUTATIONS: tuple[Callable[[Random, str], str], ...] = (
    _splice,
    _splice,
    _splice,
    _replace,
    _replace,
    _cut,
    _branch,
    _branch,
    _doubled,
    _long,
    _renumbered,
)


def molecule_text(rng: Random) -> str:
    """A SMILES or spoken list: good, odd, or spoilt by up to four mutations."""
    start = rng.choice((lambda: rng.choice(SMILES), lambda: ring_with_groups(rng), lambda: spoken(rng)))
    text = start()
    for _ in range(rng.choice((0, 0, 1, 1, 2, 4))):
        text = rng.choice(SMILES_MUTATIONS)(rng, text)
    return text
