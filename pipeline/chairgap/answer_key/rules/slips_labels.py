"""Known slips that make a wrong label, pattern, count or order."""

from collections.abc import Callable, Iterator
from contextlib import suppress
from itertools import combinations

from chairgap.answer_key.rules.answers.counts import vicinal_gauche
from chairgap.answer_key.rules.answers.dispatch import answer
from chairgap.answer_key.rules.answers.handedness import handedness
from chairgap.answer_key.rules.answers.newman import mirrored, read_projection, same_projection
from chairgap.answer_key.rules.answers.stages import STAGES
from chairgap.answer_key.rules.choosing import Case
from chairgap.answer_key.rules.misreading import misreadings
from chairgap.answer_key.rules.reading import (
    bare,
    claimed_number,
    meant_chair,
    read_order,
    read_pattern,
    same,
)
from chairgap.answer_key.rules.words import pattern, plain, stages, word
from chairgap.errors import InputError
from chairgap.records import Answer, Diagnosis
from chairgap.shape.chairs import position_in_chair

Slips = Iterator[tuple[str, str]]


def label_slips(case: Case, right: Answer) -> tuple[Diagnosis, ...]:
    """Every known slip that reproduces the claimed label; none when the claim cannot be read that way."""
    maker = _MAKERS.get(case.claim.quantity)
    with suppress(InputError):
        if maker:
            return tuple(Diagnosis(slip=slip, words=words) for slip, words in maker(case, right))
    return ()


def _mirrored_carbon(carbon: int) -> int:
    """The carbon with this number when the ring is numbered the other way round from C1."""
    return (8 - carbon) % 6 or 6


def _position(case: Case, right: Answer) -> Slips:
    """Each of these turns axial into equatorial or back; the first only where the label goes with the
    face."""
    carbon = case.claim.carbons[0]
    ligand = case.ligand(carbon)
    other_face = "down" if ligand.face == "up" else "up"
    if (ligand.face == "up") == (word("position", case.claim.claimed) == "axial"):
        yield (
            "axial-for-up",
            "Up was taken for axial, down for equatorial: faces and axial or equatorial are two things.",
        )
    yield (
        "other-chair",
        "This is the label in the other chair: the flip was made once too often or not at all.",
    )
    yield "face-changed", f"{ligand.group} was drawn on the other face ({other_face}) of C{carbon}."
    yield (
        "alternation-forgotten",
        "Axial bonds alternate up and down from carbon to carbon; here they do not.",
    )


_MISREAD = "The flat drawing was misread: a wedge is up, a dash is down."


def _face(case: Case, right: Answer) -> Slips:
    carbon, called = case.claim.carbons[0], plain(case.claim.chair).lower()
    ligand = case.ligand(carbon)
    chair = case.chair if called else case.facts.chairs[0]
    after_a_flip = called == "other" or chair.letter == "B"
    if after_a_flip:
        yield "face-changed-on-flip", "A ring flip was thought to turn up into down; it keeps every face."
    if called and position_in_chair(carbon, ligand.face, chair.odd_up_axial) == "equatorial":
        yield "face-from-slant", "The slant of an equatorial bond was read as its face."
    yield "flat-drawing-misread", _MISREAD
    yield "mirror-image", "The mirror image (or the ring seen from below) was drawn."


def _relation(case: Case, right: Answer) -> Slips:
    odd_up_axial = case.facts.chairs[0].odd_up_axial
    labels = [
        position_in_chair(carbon, case.ligand(carbon).face, odd_up_axial) for carbon in case.claim.carbons
    ]
    from_labels = "cis" if labels[0] == labels[1] else "trans"
    if word("relation", case.claim.claimed) == from_labels:
        yield (
            "cis-trans-from-ae",
            f"cis or trans was read from axial and equatorial ({labels[0]}, {labels[1]}), not from faces.",
        )
    yield "flat-drawing-misread", f"One of the two groups was put on the wrong face. {_MISREAD}"


def _flip(case: Case, right: Answer) -> Slips:
    before, claimed = case.chair, bare(read_pattern(case))
    product = bare(pattern(right.text) or ())
    if claimed == bare(pattern(before.name) or ()):
        yield (
            "mirror-image-as-flip",
            "Axial and equatorial are unchanged: the mirror image, or the same chair turned, was drawn as "
            "the flip.",
        )
    if claimed == tuple(sorted((_mirrored_carbon(carbon), letter) for carbon, letter in product)):
        yield "numbering-reversed", "The ring was numbered the other way round."
    changed = [one for one, two in zip(claimed, product, strict=False) if one != two]
    if len(claimed) == len(product) and 0 < len(changed) < len(product):
        yield "flip-incomplete", "Not every group changed: a flip changes all six carbons."


def _stable(case: Case, right: Answer) -> Slips:
    chosen = meant_chair(case)
    if chosen == "equal":
        yield "groups-taken-as-equal", "The groups were counted, but their A-values differ."
        return
    if chosen == "no chair":
        yield from _chair_of_an_isomer(case)
        return
    if right.text == "equal":
        yield "not-seen-equal", "Both chairs have the same groups axial; neither is more stable."
        return
    axial = {chair.letter: sum(g.position == "axial" for g in chair.groups) for chair in case.facts.chairs}
    rival = case.flipped(chosen)
    if axial[chosen.letter] < axial[rival.letter]:
        yield (
            "counted-not-weighed",
            "The chair with fewer axial groups was chosen without comparing A-values.",
        )
    yield "sign-reversed", "The chair of higher energy was chosen: the sign of the gap is reversed."


def _chair_of_an_isomer(case: Case) -> Slips:
    """The chair named is none of this molecule."""
    named = case.reads_as(case.claim.claimed)
    for misread in misreadings(case.facts):
        if named is not None and any(named(chair) for chair in misread.chairs):
            yield "flat-drawing-misread", f"This is a chair of the isomer. {misread.words}"
            return
    yield "no-such-chair", "Neither chair of the molecule is this one."


def _cip(case: Case, right: Answer) -> Slips:
    claimed = plain(case.claim.claimed).strip("()")
    if {claimed, right.text} in ({"R", "S"}, {"r", "s"}):
        # Small letters are the same in the mirror image.
        image = "This is the label of the mirror image, or the" if right.text in "RS" else "The"
        yield "mirror-image", f"{image} lowest priority points to the viewer."
        if case.claim.chair:
            yield "label-changed-on-flip", "R and S were thought to change on a ring flip; no bond is broken."
    if claimed.upper() == right.text.upper() and claimed != right.text:
        yield "pseudoasymmetric", "Small letters mark a pseudoasymmetric centre, capital letters a true one."
    if right.text == "none":
        yield (
            "no-stereocentre",
            "Both ways round the ring are alike from here, so this carbon is no stereocentre.",
        )


def _chirality(case: Case, right: Answer) -> Slips:
    claimed, hand = plain(case.claim.claimed).lower(), handedness(case.facts)
    if claimed == "chiral" and hand.interconverting:
        yield "frozen-chair", "A single chair was looked at; the ring flip turns it into its mirror image."
    elif claimed == "chiral" and hand.centres:
        yield "centres-counted", "Stereocentres alone do not make a molecule chiral: it has a mirror plane."
    if claimed.startswith(("meso", "achiral")) and hand.chiral:
        yield "no-mirror-plane", "The molecule is not superposable on its mirror image in either chair."
    if claimed.startswith("meso") and not hand.chiral and not hand.centres:
        yield (
            "meso-without-centres",
            "Meso needs stereocentres (R and S); this molecule has none and is achiral.",
        )


def _ranking(case: Case, right: Answer) -> Slips:
    claimed, order = (read_order(text, len(case.molecules)) for text in (case.claim.claimed, right.text))
    if claimed is None or order is None:
        return
    if claimed == order[::-1]:
        yield "order-reversed", "The least stable is written first."
    if len(claimed) > len(order):
        yield "tie-not-seen", "Two isomers with the same sum were ranked apart."
    if len(claimed) < len(order):
        yield "false-tie", "Isomers with different sums were ranked equal."


def _newman(case: Case, right: Answer) -> Slips:
    claimed, correct = read_projection(case.claim.claimed), read_projection(right.text)
    if claimed is None or correct is None:
        return
    front, back = correct
    if same_projection(claimed, mirrored(correct)):
        yield "read-counterclockwise", "The groups are listed counterclockwise, or seen from the back carbon."
    projected = read_projection(answer(_of_other_chair(case)).text)
    if projected is not None and same_projection(claimed, projected):
        yield "other-chair", "This is the projection of the other chair."
    turned = [(front, back[shift:] + back[:shift]) for shift in (1, 2)]
    if any(same_projection(claimed, pair) for pair in turned):
        yield "back-turned", "The back carbon is turned by 120 degrees against the front one."


def _stages(case: Case, right: Answer) -> Slips:
    claimed = stages(case.claim.claimed)
    swapped = tuple({"boat": "twist-boat", "twist-boat": "boat"}.get(stage, stage) for stage in STAGES)
    if claimed == swapped:
        yield "boat-and-twist-boat-exchanged", "The boat is the high point between two twist-boats."
    if claimed == tuple(stage for stage in STAGES if stage != "half-chair"):
        yield "half-chair-left-out", "The half-chair, the highest point of the path, is left out."
    if claimed == ("chair", "half-chair", "boat", "half-chair", "chair"):
        yield "twist-boat-left-out", "The twist-boats on both sides of the boat are left out."


def _count(case: Case, right: Answer) -> Slips:
    axial = sum(group.position == "axial" for group in case.chair.groups)
    if case.claim.quantity == "diaxial count" and axial and claimed_number(case.claim) == axial:
        yield "diaxial-once", "Each axial group has two 1,3-diaxial contacts; one of them was counted."
    if case.claim.quantity == "gauche count":
        yield from _gauche_counts(case, axial)
    yield from _pairs(case, right)


def _gauche_counts(case: Case, axial: int) -> Slips:
    claimed, groups = claimed_number(case.claim), case.chair.groups
    vicinal = len(vicinal_gauche(groups))
    ring = 2 * axial if case.conventions.gauche_count == "butane" else 0
    neighbours = sum((one.carbon - two.carbon) % 6 in (1, 5) for one, two in combinations(groups, 2))
    if vicinal and claimed == ring:
        yield "gauche-dropped", "The gauche pair of neighbouring groups was left out."
    if vicinal and claimed == ring + 2 * vicinal:
        yield "gauche-twice", "The gauche pair of neighbouring groups was counted twice."
    if neighbours > vicinal and claimed == ring + neighbours:
        yield "anti-counted", "Two axial groups on neighbouring carbons are anti, not gauche."
    if ring and claimed == axial + vicinal:
        yield "diaxial-once", "Each axial group is gauche to two ring bonds; one of them was counted."


def _pairs(case: Case, right: Answer) -> Slips:
    if same(case, answer(_of_other_chair(case))):
        yield "other-chair", "This is true of the other chair."


def _of_other_chair(case: Case) -> Case:
    return case.asking(chair=case.flipped(case.chair).letter)


_MAKERS: dict[str, Callable[[Case, Answer], Slips]] = {
    "position": _position,
    "face": _face,
    "relation": _relation,
    "flip": _flip,
    "stable chair": _stable,
    "R/S": _cip,
    "chirality": _chirality,
    "ranking": _ranking,
    "newman": _newman,
    "flip stages": _stages,
    "diaxial pairs": _pairs,
    "diaxial count": _count,
    "gauche count": _count,
}
