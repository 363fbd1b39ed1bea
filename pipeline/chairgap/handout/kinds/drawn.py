"""Questions that are answered by a drawing: the product of a ring flip, and a Newman projection."""

from chairgap.answer_key.rules.answers.newman import projection
from chairgap.drawings.newman_words import relation
from chairgap.handout import pictures, wording
from chairgap.handout.blocks import Beside, Blanks, Bullets, Drawing, Grid, Mark, Part, Together, Words
from chairgap.handout.kinds.kind import Task, Written, case_of
from chairgap.handout.posed import Posed
from chairgap.records import Chair
from chairgap.shape.contacts import dihedral_deg
from chairgap.shape.ideal import on_ideal_chair
from chairgap.units import fixed

_BEFORE, _AFTER = "before the flip", "after the flip"


def flip_product(task: Task) -> Written:
    """One chair is drawn; the other is asked for."""
    before, after = wording.left_and_right(task.posed)
    given, empty = pictures.chair_to_flip(before)
    rows = tuple((wording.group_words(group), "", "") for group in before.groups)
    head = ("Group", _BEFORE.capitalize(), _AFTER.capitalize())
    labelled = tuple(
        (wording.group_words(one), one.position, other.position)
        for one, other in zip(before.groups, after.groups, strict=True)
    )
    frame = f"drawings/flip_frame_{'odd' if after.odd_up_axial else 'even'}.svg"
    return Written(
        question=(
            Together(
                pieces=(
                    Part(
                        letter="a",
                        text="A chair is drawn with its groups. Draw the chair that a ring flip makes of it, "
                        "with all groups, in the empty frame. Hydrogen atoms may be left out.",
                        points=2,
                    ),
                    Beside(
                        drawings=(
                            task.drawn(given, "frames", captions=(_BEFORE,)),
                            Drawing(path=frame, picture=empty, size="frames", captions=(_AFTER,)),
                        )
                    ),
                )
            ),
            Together(
                pieces=(
                    Part(letter="b", text=wording.LABEL, points=2),
                    Grid(head=head, rows=rows, to_fill=True),
                )
            ),
        ),
        answer=(
            Part(letter="a"),
            Drawing(
                path=task.key_path(),
                picture=pictures.chairs_picture(task.posed, (_BEFORE, _AFTER)),
                size="chairs",
                captions=(_BEFORE, _AFTER),
                singles=pictures.single_chairs(task.posed, (_BEFORE, _AFTER)),
            ),
            Part(letter="b"),
            Grid(head=head, rows=labelled),
        ),
        glance=(f"after the flip: {wording.pattern_words(after)}",),
        marks=(
            Mark(points=1, words="(a) every axial group is equatorial now, every equatorial one axial."),
            Mark(points=1, words="(a) every group keeps its carbon and its face, up or down."),
            Mark(points=1, words="(b) before the flip right throughout."),
            Mark(points=1, words="(b) after the flip right throughout, or in agreement with the drawing."),
        ),
    )


def newman_projection(task: Task) -> Written:
    """A chair is drawn; what is seen along one of its bonds?"""
    posed = task.posed
    chair, _ = wording.left_and_right(posed)
    front, back = _bond(task)
    one, other, angle = _pair(posed, chair, front, back)
    case = case_of((posed,), task.outcome, "newman", carbons=(front, back), chair=chair)
    ahead, behind = projection(case.facts, chair, front, back)
    word = relation(angle)
    size = fixed(abs(angle), 0)
    draw = (
        f"A chair is drawn with its groups. Draw its Newman projection along the bond from carbon {front} "
        f"(in front) to carbon {back} (behind): three bonds at each carbon, with what stands at their "
        "ends: a group, H, or the ring carbon with its number."
    )
    return Written(
        question=(
            Together(
                pieces=(
                    Part(letter="a", text=draw, points=3),
                    Beside(
                        drawings=(
                            task.drawn(pictures.chair_alone(chair), "frames"),
                            task.drawn(pictures.blank_newman(front, back), "newman", "_newman"),
                        )
                    ),
                )
            ),
            Part(
                letter="b",
                text=f"Are {one} and {other} gauche or anti, and what is the angle between their bonds?",
                points=1,
            ),
            Blanks(labels=(("Gauche or anti:", ""), ("Angle:", "degrees"))),
        ),
        answer=(
            Together(
                pieces=(
                    Part(letter="a"),
                    Drawing(
                        path=task.key_path(),
                        picture=pictures.newman_answer(posed, chair, (front, back)),
                        size="frames",
                    ),
                )
            ),
            Bullets(
                lines=(
                    f"In front, clockwise from the bond that points up or nearly up: {', '.join(ahead)}.",
                    f"Behind, clockwise from the bond 60 degrees further: {', '.join(behind)}.",
                    "The whole projection may be turned. Angles are those of an ideal chair.",
                )
            ),
            Words(text=f"(b) {word.capitalize()}, {size} degrees."),
        ),
        glance=(
            f"front: {', '.join(ahead)}; back: {', '.join(behind)} (clockwise)",
            f"{word}, {size} degrees",
        ),
        marks=(
            Mark(points=1, words="(a) front carbon: the right three, in the right sense."),
            Mark(points=1, words="(a) back carbon: the right three, in the right sense."),
            Mark(points=1, words="(a) staggered, front and back in the right places to each other."),
            Mark(points=1, words="(b) word and angle, or those of the student's own drawing."),
        ),
    )


def _bond(task: Task) -> tuple[int, int]:
    """A ring bond with as many groups at its ends as the molecule has, by chance."""
    held = {group.carbon for group in task.posed.chairs[0].groups}
    bonds = [(start, (start + step - 1) % 6 + 1) for start in range(1, 7) for step in (1, -1)]
    most = max(len(held & set(bond)) for bond in bonds)
    best = [bond for bond in bonds if len(held & set(bond)) == most]
    return task.rng_of_all.choice([bond for bond in best if bond[0] in held])


def _pair(posed: Posed, chair: Chair, front: int, back: int) -> tuple[str, str, float]:
    """Two bonds in words, and the dihedral between them in degrees: of two groups, or of a group of the front
    carbon and the ring carbon behind."""
    ring = {carbon.locant: carbon for carbon in posed.molecule.topology.carbons}
    atoms = {(one.locant, ligand.face): ligand.atom for one in ring.values() for ligand in one.ligands}
    first = next(group for group in chair.groups if group.carbon == front)
    behind = next((group for group in chair.groups if group.carbon == back), None)
    onward = (2 * back - front - 1) % 6 + 1
    last = atoms[back, behind.face] if behind else ring[onward].atom
    positions = on_ideal_chair(posed.molecule.topology, odd_up_axial=chair.odd_up_axial)
    quad = [atoms[front, first.face], ring[front].atom, ring[back].atom, last]
    other = wording.named_in(chair, behind) if behind else f"carbon {onward} of the ring"
    return wording.named_in(chair, first), other, dihedral_deg(positions[quad])
