"""Known slips that make a wrong label, pattern, count or order."""

from collections.abc import Callable, Iterator
from dataclasses import replace

from chairgap.answer_key.rules.answers.dispatch import answer
from chairgap.answer_key.rules.answers.handedness import handedness
from chairgap.answer_key.rules.answers.labels import Tables
from chairgap.answer_key.rules.answers.newman import read_projection, same_projection
from chairgap.answer_key.rules.answers.stages import STAGES
from chairgap.answer_key.rules.choosing import chair_of, ligand_of, other_chair, table_of
from chairgap.answer_key.rules.reading import read_order, read_pattern, same
from chairgap.answer_key.rules.words import pattern, plain, word
from chairgap.errors import InputError
from chairgap.records import Answer, Claim, Diagnosis, Face, Facts
from chairgap.shape.chairs import position_in_chair

Slips = Iterator[tuple[str, str]]


def label_slips(
    claim: Claim, facts: tuple[Facts, ...], tables: Tables, right: Answer
) -> tuple[Diagnosis, ...]:
    """Every known slip that reproduces the claimed label; none when the claim cannot be read that way."""
    maker = _MAKERS.get(claim.quantity)
    if maker is None:
        return ()
    try:
        return tuple(Diagnosis(slip=slip, words=words) for slip, words in maker(claim, facts, tables, right))
    except InputError:
        return ()


def _mirrored_carbon(carbon: int) -> int:
    """The carbon with this number when the ring is numbered the other way round from C1."""
    return (8 - carbon) % 6 or 6


def _position(claim: Claim, facts: tuple[Facts, ...], tables: Tables, right: Answer) -> Slips:
    claimed = word("position", claim.claimed)
    yield (
        "other-chair",
        "This is the label in the other chair: the flip was made once too often or not at all.",
    )
    carbon = claim.carbons[0]
    chair = chair_of(claim, facts[0], tables)
    ligand = ligand_of(claim, facts[0], carbon, table_of(claim, tables))
    other_face: Face = "down" if ligand.face == "up" else "up"
    if position_in_chair(carbon, other_face, chair.odd_up_axial) == claimed:
        yield "face-changed", f"{ligand.group} was drawn on the other face ({other_face}) of C{carbon}."
    alike = {position_in_chair(c, ligand.face, chair.odd_up_axial) for c in (carbon % 6 + 1,)}
    if claimed in alike:
        yield (
            "alternation-forgotten",
            "Axial bonds alternate up and down from carbon to carbon; here they do not.",
        )


def _face(claim: Claim, facts: tuple[Facts, ...], tables: Tables, right: Answer) -> Slips:
    if plain(claim.chair).lower() in {"other", "b"}:
        yield "face-changed-on-flip", "A ring flip was thought to turn up into down; it keeps every face."
    chair = facts[0].chairs[0]
    ligand = ligand_of(claim, facts[0], claim.carbons[0], table_of(claim, tables))
    if position_in_chair(claim.carbons[0], ligand.face, chair.odd_up_axial) == "equatorial":
        yield "face-from-slant", "The slant of an equatorial bond was read as its face."
    yield "mirror-image", "The mirror image (or the ring seen from below) was drawn."


def _relation(claim: Claim, facts: tuple[Facts, ...], tables: Tables, right: Answer) -> Slips:
    table, chair = table_of(claim, tables), facts[0].chairs[0]
    ligands = [ligand_of(claim, facts[0], carbon, table) for carbon in claim.carbons]
    labels = [
        position_in_chair(carbon, ligand.face, chair.odd_up_axial)
        for carbon, ligand in zip(claim.carbons, ligands, strict=True)
    ]
    from_labels = "cis" if labels[0] == labels[1] else "trans"
    if word("relation", claim.claimed) == from_labels:
        yield (
            "cis-trans-from-ae",
            f"cis or trans was read from axial and equatorial ({labels[0]}, {labels[1]}), not from faces.",
        )
    else:
        yield "face-changed", "One of the two groups was put on the wrong face."


def _flip(claim: Claim, facts: tuple[Facts, ...], tables: Tables, right: Answer) -> Slips:
    table = table_of(claim, tables)
    before = chair_of(claim, facts[0], tables)
    claimed = _bare(read_pattern(claim, table))
    start, product = _bare(pattern(before.name) or ()), _bare(pattern(right.text) or ())
    if claimed == start:
        yield (
            "mirror-image-as-flip",
            "Axial and equatorial are unchanged: the mirror image, or the same chair turned, was drawn as "
            "the flip.",
        )
    if claimed == _reversed(product):
        yield "numbering-reversed", "The ring was numbered the other way round."
    changed = [one for one, two in zip(claimed, product, strict=False) if one != two]
    if len(claimed) == len(product) and 0 < len(changed) < len(product):
        yield "flip-incomplete", "Not every group changed: a flip changes all six carbons."


def _bare(found: tuple[tuple[int, str, str], ...]) -> tuple[tuple[int, str], ...]:
    return tuple(sorted((carbon, letter) for carbon, letter, _ in found))


def _reversed(found: tuple[tuple[int, str], ...]) -> tuple[tuple[int, str], ...]:
    return tuple(sorted((_mirrored_carbon(carbon), letter) for carbon, letter in found))


def _stable(claim: Claim, facts: tuple[Facts, ...], tables: Tables, right: Answer) -> Slips:
    claimed = plain(claim.claimed).lower()
    chair_a, chair_b = facts[0].chairs
    if claimed in {"equal", "same", "both"}:
        yield "groups-taken-as-equal", "The groups were counted, but their A-values differ."
        return
    if right.text == "equal":
        yield "not-seen-equal", "Both chairs have the same groups axial; neither is more stable."
        return
    letters = {"a": chair_a, "b": chair_b}
    chosen = letters.get(claimed) or (
        chair_a
        if _bare(read_pattern(claim, table_of(claim, tables))) == _bare(pattern(chair_a.name) or ())
        else chair_b
    )
    axial = {chair.letter: sum(g.position == "axial" for g in chair.groups) for chair in facts[0].chairs}
    rival = other_chair(chosen, facts[0])
    if axial[chosen.letter] < axial[rival.letter]:
        yield (
            "counted-not-weighed",
            "The chair with fewer axial groups was chosen without comparing A-values.",
        )
    yield "sign-reversed", "The chair of higher energy was chosen: the sign of the gap is reversed."


def _cip(claim: Claim, facts: tuple[Facts, ...], tables: Tables, right: Answer) -> Slips:
    claimed = plain(claim.claimed).strip("()")
    if {claimed, right.text} in ({"R", "S"}, {"r", "s"}):
        yield (
            "mirror-image",
            "This is the label of the mirror image, or the lowest priority points to the viewer.",
        )
        if claim.chair:
            yield "label-changed-on-flip", "R and S were thought to change on a ring flip; no bond is broken."
    if claimed.upper() == right.text.upper() and claimed != right.text:
        yield "pseudoasymmetric", "Small letters mark a pseudoasymmetric centre, capital letters a true one."
    if right.text == "none":
        yield (
            "no-stereocentre",
            "Both ways round the ring are alike from here, so this carbon is no stereocentre.",
        )


def _chirality(claim: Claim, facts: tuple[Facts, ...], tables: Tables, right: Answer) -> Slips:
    claimed, hand = plain(claim.claimed).lower(), handedness(facts[0])
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


def _ranking(claim: Claim, facts: tuple[Facts, ...], tables: Tables, right: Answer) -> Slips:
    claimed, order = read_order(claim.claimed, len(facts)), read_order(right.text, len(facts))
    if claimed is None or order is None:
        return
    if claimed == order[::-1]:
        yield "order-reversed", "The least stable is written first."
    if len(claimed) > len(order):
        yield "tie-not-seen", "Two isomers with the same sum were ranked apart."
    if len(claimed) < len(order):
        yield "false-tie", "Isomers with different sums were ranked equal."


def _newman(claim: Claim, facts: tuple[Facts, ...], tables: Tables, right: Answer) -> Slips:
    claimed, correct = read_projection(claim.claimed), read_projection(right.text)
    if claimed is None or correct is None:
        return
    front, back = correct
    mirrored = (front[:1] + front[:0:-1], back[::-1])
    if same_projection(claimed, mirrored):
        yield "read-counterclockwise", "The groups are listed counterclockwise, or seen from the back carbon."
    chair = chair_of(claim, facts[0], tables)
    flipped = answer(replace(claim, chair=other_chair(chair, facts[0]).letter), facts, tables)
    projected = read_projection(flipped.text)
    if projected is not None and same_projection(claimed, projected):
        yield "other-chair", "This is the projection of the other chair."
    turned = [(front, back[shift:] + back[:shift]) for shift in (1, 2)]
    if any(same_projection(claimed, pair) for pair in turned):
        yield "back-turned", "The back carbon is turned by 120 degrees against the front one."


def _stages(claim: Claim, facts: tuple[Facts, ...], tables: Tables, right: Answer) -> Slips:
    text = plain(claim.claimed).lower().replace("->", ",").replace(">", ",").replace(";", ",")
    claimed = tuple(part.strip() for part in text.split(",") if part.strip())
    swapped = tuple({"boat": "twist-boat", "twist-boat": "boat"}.get(stage, stage) for stage in STAGES)
    if claimed == swapped:
        yield "boat-and-twist-boat-exchanged", "The boat is the high point between two twist-boats."
    if claimed == tuple(stage for stage in STAGES if stage != "half-chair"):
        yield "half-chair-left-out", "The half-chair, the highest point of the path, is left out."
    if claimed == ("chair", "half-chair", "boat", "half-chair", "chair"):
        yield "twist-boat-left-out", "The twist-boats on both sides of the boat are left out."


def _pairs(claim: Claim, facts: tuple[Facts, ...], tables: Tables, right: Answer) -> Slips:
    chair = chair_of(claim, facts[0], tables)
    flipped = replace(claim, chair=other_chair(chair, facts[0]).letter)
    if same(claim, answer(flipped, facts, tables), facts, table_of(claim, tables)):
        yield "other-chair", "This is true of the other chair."


_MAKERS: dict[str, Callable[[Claim, tuple[Facts, ...], Tables, Answer], Slips]] = {
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
    "diaxial count": _pairs,
    "gauche count": _pairs,
}
