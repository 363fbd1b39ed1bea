"""Newman projections along a ring bond of an ideal chair."""

import re

import numpy as np

from chairgap.answer_key.rules.answers.labels import two_carbons
from chairgap.answer_key.rules.choosing import Case
from chairgap.answer_key.rules.words import in_words, plain, problem
from chairgap.records import Answer, Chair, Facts, Floats
from chairgap.shape.ideal import exocyclic_directions, ideal_chair

Projection = tuple[tuple[str, ...], tuple[str, ...]]


def projection(facts: Facts, chair: Chair, front: int, back: int) -> Projection:
    """(front, back) ligand names, each clockwise seen from the front carbon's side.

    The back list starts with the ligand 60 degrees clockwise from the first front one. Ring neighbours are
    named C1 to C6. The first front ligand is the one that points up. A ring numbered anticlockwise is the
    mirror image of one numbered clockwise with the same faces.
    """
    ring = ideal_chair(odd_up_axial=chair.odd_up_axial)
    away = ring[back - 1] - ring[front - 1]
    away /= np.linalg.norm(away)
    up = np.array([0.0, 0.0, 1.0]) - away[2] * away
    up /= np.linalg.norm(up)
    right = np.cross(away, up)
    front_ligands = _angles(facts, ring, front, back, up, right)
    back_ligands = _angles(facts, ring, back, front, up, right)
    first = front_ligands[0][0]
    turned = sorted(back_ligands, key=lambda pair: (pair[0] - first - 60.0 + 30.0) % 360.0)
    found = tuple(name for _, name in front_ligands), tuple(name for _, name in turned)
    return mirrored(found) if facts.anticlockwise else found


def mirrored(seen: Projection) -> Projection:
    """The projection of the mirror image, with the same first front ligand."""
    front, back = seen
    return front[:1] + front[:0:-1], back[::-1]


def _angles(
    facts: Facts, ring: Floats, carbon: int, partner: int, up: Floats, right: Floats
) -> list[tuple[float, str]]:
    """(clockwise angle from straight up, name) of the three ligands of a carbon other than its partner."""
    neighbour = next(n for n in (carbon % 6 + 1, (carbon - 2) % 6 + 1) if n != partner)
    directions = exocyclic_directions(ring)[carbon - 1]
    pair = facts.topology.carbons[carbon - 1]
    vectors = [
        (directions[0], pair.up.group),
        (directions[1], pair.down.group),
        (ring[neighbour - 1] - ring[carbon - 1], f"C{neighbour}"),
    ]
    angles = [
        (float(np.degrees(np.arctan2(vector @ right, vector @ up))) % 360.0, name) for vector, name in vectors
    ]
    return sorted(angles, key=lambda pair: (pair[0] + 30.0) % 360.0)


def newman(case: Case) -> Answer:
    """'front: ...; back: ...' along the bond front-back of a chair."""
    front, back = two_carbons(case.claim)
    if (front - back) % 6 not in (1, 5):
        raise problem(case.claim, f"C{front} and C{back} share no ring bond; name neighbours such as 1-2.")
    ahead, behind = projection(case.facts, case.chair, front, back)
    text = f"front: {', '.join(ahead)}; back: {', '.join(behind)}"
    return in_words(
        text,
        f"Looking from C{front} to C{back} in chair {case.chair.name}; every bond of a chair is staggered.",
        f"Clockwise, {text}; each back ligand stands 60 degrees clockwise from the front one of its place.",
    )


def read_projection(text: str) -> Projection | None:
    """(front, back) names of 'front: a, b, c; back: d, e, f', or None when it does not read so."""
    match = re.fullmatch(r"\s*front\s*:(.*?);?\s*back\s*:(.*)", plain(text), re.IGNORECASE)
    if match is None:
        return None
    lists = [tuple(word.strip() for word in part.split(",") if word.strip()) for part in match.groups()]
    return (lists[0], lists[1]) if all(len(names) == 3 for names in lists) else None


def same_projection(first: Projection, second: Projection) -> bool:
    """True when one is the other turned as a whole."""
    return any(tuple(names[turn:] + names[:turn] for names in first) == second for turn in range(3))
