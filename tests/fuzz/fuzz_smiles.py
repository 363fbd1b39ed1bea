"""Random molecules as text: rings with odd groups, most of them readable, and SMILES spoilt by their signs.

Pure. Wholly random text only tests the parser; these reach the chemistry behind it.
"""

from collections.abc import Callable
from random import Random

from mutations import MATERIAL

SMILES = tuple(MATERIAL["smiles"])
PLAIN_GROUPS = tuple(MATERIAL["plain_groups"])
GROUPS = (*PLAIN_GROUPS, *MATERIAL["odd_groups"])
NAMES = tuple(MATERIAL["group_names"])
TABULATED_NAMES = NAMES[:14]
_SIGNS = tuple(MATERIAL["smiles_signs"])


_FACES = ("UP", "Down", "u", "d", "wedge", "dash", "alpha", "beta", "\u03b1", "\u03b2", "axial", "")
_FORMS = (
    *("{carbon} {face} {group}",) * 6,
    *(
        "C{carbon} {face} {group}",
        "{carbon}-{face}-{group}",
        "{group}({carbon},{face})",
        "{carbon}{face}{group}",
    ),
)
_RELATIONS = ("cis-", "trans-", "all-cis-", "cis ", "", "trans")
_EXTENSIONS = (
    *("&1:1", "o1:0,1", "r", "a:1", "$a;b$", "$_R1$", "(0,0,;1,0,)", "atomProp:0.a.b", "^1:0", "LN:1:1.3"),
    *(
        "m:0:1.2",
        "w:1.0",
        "wU:1.0",
        "(0,0,;1,1,;2,0,),wU:1.0",
        "c:1",
        "SgD:0:a:b",
        "Sg:n:0:n:ht",
        "x:1",
        "&1:99",
    ),
)


def ring_with_groups(rng: Random) -> str:
    """A ring, mostly cyclohexane, with up to six groups; faces marked on some carbons, in any order."""
    if rng.random() < 0.1:
        return rng.choice(MATERIAL["rings"])
    most = rng.choice((1, 1, 2, 2, 3, 6))
    groups = rng.choice((PLAIN_GROUPS, GROUPS))
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


def groups_by_face(rng: Random) -> str:
    """A list of groups by ring carbon and face, with a slip in about one piece of three."""
    pieces = []
    for _ in range(rng.choice((1, 2, 2, 3, 6, 13))):
        carbon = str(rng.randint(1, 6))
        if rng.random() < 0.05:
            carbon = rng.choice(("0", "7", "-1", "12", "01", "\u0663", "9" * 5000, ""))
        face = rng.choice((*("up", "down") * 9, *_FACES))
        group = rng.choice(NAMES if rng.random() < 0.3 else TABULATED_NAMES)
        pieces.append(rng.choice(_FORMS).format(carbon=carbon, face=face, group=group))
    if rng.random() < 0.15:
        locants = ",".join(rng.choice(("", "", "c-", "t-", "r-")) + str(rng.randint(1, 6)) for _ in pieces)
        groups = ", ".join(rng.choice(TABULATED_NAMES) for _ in pieces)
        return f"{rng.choice(_RELATIONS)}{locants}: {groups}"
    return rng.choice((*(", ",) * 8, "; ", ",", "  ", ",,", "\t")).join(pieces)


def _splice(rng: Random, text: str) -> str:
    place = rng.randint(0, len(text))
    return text[:place] + rng.choice(_SIGNS) + text[place:]


def _replace(rng: Random, text: str) -> str:
    place = rng.randrange(len(text)) if text else 0
    return text[:place] + rng.choice(_SIGNS) + text[place + 1 :]


def _cut(rng: Random, text: str) -> str:
    start = rng.randint(0, len(text))
    return text[:start] + text[start + rng.choice((1, 1, 2, 6)) :]


def _branch(rng: Random, text: str) -> str:
    place = rng.randint(0, len(text))
    return f"{text[:place]}({rng.choice(GROUPS)}){text[place:]}"


def _doubled(rng: Random, text: str) -> str:
    between = rng.choice(("", ".", "C", "=", "~", " ", ">>", "\n"))
    return between.join((text, rng.choice((text, rng.choice(SMILES)))))


def _long(rng: Random, text: str) -> str:
    chains = ("C", "C(C)", "C(F)", "OCC", "[C@H](F)", "C=C", "N", "C1CC1", "C%99", "/C=C/")
    unit = rng.choice((*chains, "(C)", "C(", "["))
    place = rng.randint(0, len(text))
    return text[:place] + unit * rng.choice((20, 200, 2_000, 30_000)) + text[place:]


def _renumbered(rng: Random, text: str) -> str:
    return text.replace("1", rng.choice(("%10", "%99", "0", "2", "%1", "%(1)", "11", "")))


_MUTATIONS: tuple[Callable[[Random, str], str], ...] = (
    *(_splice, _splice, _splice, _replace, _replace, _cut),
    *(_branch, _branch, _doubled, _long, _renumbered),
)


def molecule_text(rng: Random) -> tuple[str, list[str]]:
    """A SMILES or groups by face, good, odd, or spoilt by up to four mutations; and the names of these."""
    start = rng.choice(
        (lambda: rng.choice(SMILES), lambda: ring_with_groups(rng), lambda: groups_by_face(rng))
    )
    text = start()
    if rng.random() < 0.08:
        text += f" |{','.join(rng.choices(_EXTENSIONS, k=rng.choice((1, 1, 2))))}|"
    steps = rng.choices(_MUTATIONS, k=rng.choice((0, 0, 1, 1, 2, 4)))
    for step in steps:
        text = step(rng, text)
    return text, [step.__name__ for step in steps]
