"""What a Newman projection says in words: staggered or eclipsed, gauche or anti, with the dihedrals.

Two bonds are gauche from 30 to 90 degrees and anti from 150 on (synclinal and antiperiplanar: IUPAC, Basic
Terminology of Stereochemistry, Pure Appl. Chem. 1996, 68, 2193, doi 10.1351/pac199668122193, from memory). A
ring bond is called staggered when all its nine dihedrals are gauche or anti, eclipsed when none is, else
between the two. Rejected: a bound of our own on the mean deviation from 60 and 180 degrees, which called ring
dihedrals of 49.3 and 49.4 degrees by two words, since bent bond angles count as deviations.
"""

from collections.abc import Iterator, Sequence
from itertools import product

from chairgap.drawings.lettering import Run, runs_of
from chairgap.drawings.newman_view import Arm, View
from chairgap.records import Floats
from chairgap.shape.contacts import dihedral_deg
from chairgap.shape.torsions import turn_deg
from chairgap.text import typeset
from chairgap.units import signed

_GAUCHE_DEG, _BETWEEN_DEG, _ANTI_DEG = 30.0, 90.0, 150.0
_STAGGERED = {"gauche", "anti"}

Line = tuple[Run, ...]


def conformation(view: View) -> str:
    """'staggered', 'eclipsed' or what is between."""
    pairs = product(view.front, view.back)
    found = {relation(turn_deg(front.angle_deg, back.angle_deg)) for front, back in pairs}
    if found <= _STAGGERED:
        return "staggered"
    return "between staggered and eclipsed" if found & _STAGGERED else "eclipsed"


def relation(angle_deg: float) -> str:
    """What a dihedral between two bonds is called."""
    size = abs(angle_deg)
    if size < _GAUCHE_DEG:
        return "eclipsed"
    if size <= _BETWEEN_DEG:
        return "gauche"
    return "anti" if size >= _ANTI_DEG else "between gauche and anti"


def pairs_of(view: View) -> Iterator[tuple[Arm, Arm]]:
    """The pairs of a front and a back bond that matter: group and group first, then group and ring."""
    groups = [[arm for arm in arms if arm.is_group] for arms in (view.front, view.back)]
    yield from product(*groups)
    yield from ((group, view.back[2]) for group in groups[0])
    yield from ((view.front[2], group) for group in groups[1])


def _diaxial(views: Sequence[View]) -> Iterator[tuple[Arm, Arm]]:
    """Axial groups on one face of the two front, or the two back, carbons of parallel bonds."""
    if len(views) == 2:
        one, other = views
        for arms in ((one.front, other.front), (one.back, other.back)):
            for pair in product(*arms):
                if (
                    all(arm.is_group and arm.position == "axial" for arm in pair)
                    and pair[0].face == pair[1].face
                ):
                    yield pair


def pair_in_words(view: View, positions: Floats, pair: tuple[Arm, Arm]) -> str:
    """'CH3 on C1 (axial) and C3: gauche, -64.9°', the group first; ring and ring without a word."""
    angle = dihedral_deg(positions[[pair[0].atom, *view.atoms, pair[1].atom]])
    first, second = pair if pair[0].is_group else pair[::-1]
    return f"{first.in_words} and {second.in_words}: {relation(angle)}, {typeset(signed(angle, 1))}°"


def ring_in_words(view: View, positions: Floats) -> str:
    """'C6-C1-C2-C3: +54.1°', the dihedral of the ring itself."""
    angle = dihedral_deg(positions[[view.front[2].atom, *view.atoms, view.back[2].atom]])
    chain = (view.front[2].name, *(f"C{locant}" for locant in view.bond), view.back[2].name)
    return f"{'–'.join(chain)}: {typeset(signed(angle, 1))}°"


def lines_of(views: Sequence[View], positions: Floats) -> list[str]:
    """All sentences of the views, in the order of reading."""
    pairs = [(view, pair) for view in views for pair in pairs_of(view)]
    # Group and group of any view before group and ring.
    pairs.sort(key=lambda item: not (item[1][0].is_group and item[1][1].is_group))
    return [
        *(f"{one.in_words} and {other.in_words}: 1,3-diaxial" for one, other in _diaxial(views)),
        *(pair_in_words(view, positions, pair) for view, pair in pairs),
        *(f"ring {ring_in_words(view, positions)}, {conformation(view)}" for view in views),
    ]


def set_in_type(line: str, names: Sequence[str]) -> Line:
    """A line as runs, the names of groups set as formulas; 'C1' of a ring carbon stays on the line."""
    for name in sorted(names, key=len, reverse=True):
        before, found, after = line.partition(f"{name} on C")
        if found:
            formula = (Run(name, 0),) if "*" in name else runs_of(name)
            return (*set_in_type(before, names), *formula, Run(" on C", 0), *set_in_type(after, names))
    return (Run(line, 0),) if line else ()
