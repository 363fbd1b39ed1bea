"""R and S, chiral, achiral and meso, from faces and fragments alone."""

from dataclasses import dataclass

from chairgap.answer_key.rules.answers.labels import one_carbon
from chairgap.answer_key.rules.choosing import Case
from chairgap.answer_key.rules.words import in_words
from chairgap.records import Answer, Facts


@dataclass(frozen=True, kw_only=True)
class Handedness:
    """chiral: not superposable on its mirror image in any chair. chair_chiral: (A, B) frozen chairs;
    interconverting: achiral on average while the frozen chairs are each other's mirror image. centres: ring
    carbons labelled R or S.
    """

    chiral: bool
    chair_chiral: bool
    centres: tuple[int, ...]

    @property
    def interconverting(self) -> bool:
        return self.chair_chiral and not self.chiral


def handedness(facts: Facts) -> Handedness:
    """Superposes the mirror image on the molecule in all 12 numberings.

    The mirror is the ring plane: it exchanges faces and mirrors each fragment, and makes of a chair with
    axial-up at odd carbons one with axial-down there. Renumbering from carbon k on, clockwise (d = 1) or,
    seen from below, the other way round (d = -1, faces exchanged), multiplies the axial-up sign by
    d (-1)^k. The frozen chair is achiral when both come out the same, so when d (-1)^k = -1.
    """
    mirrored = tuple((facts.mirror[down], facts.mirror[up]) for up, down in facts.fragments)
    fitting = [
        (k, d)
        for k in range(6)
        for d in (1, -1)
        if tuple(_renumbered(facts.fragments, k, d, i) for i in range(6)) == mirrored
    ]
    return Handedness(
        chiral=not fitting,
        chair_chiral=not any(d * (-1) ** k == -1 for k, d in fitting),
        centres=tuple(i + 1 for i, label in enumerate(facts.cip) if label in {"R", "S"}),
    )


def _renumbered(fragments: tuple[tuple[str, str], ...], k: int, d: int, i: int) -> tuple[str, str]:
    up, down = fragments[(k + d * i) % 6]
    return (up, down) if d == 1 else (down, up)


def r_or_s(case: Case) -> Answer:
    """CIP label of a ring carbon; the same in both chairs."""
    carbon = one_carbon(case.claim)
    label = case.facts.cip[carbon - 1] or "none"
    kinds = {"R": "a stereocentre", "r": "a pseudoasymmetric centre", "none": "no stereocentre"}
    kind = kinds[{"S": "R", "s": "r"}.get(label, label)]
    return in_words(
        label,
        f"C{carbon} is {kind}: {label} by the CIP rules.",
        "A ring flip breaks no bond, so no R or S changes.",
    )


def chirality(case: Case) -> Answer:
    """'chiral', 'achiral' or 'meso', on two levels: the molecule on average, and the frozen chair."""
    hand, meso = handedness(case.facts), case.conventions.meso
    if hand.chiral or (meso == "chair" and hand.chair_chiral):
        text = "chiral"
    elif len(hand.centres) >= 2:
        text = "meso, interconverting enantiomers" if hand.interconverting else "meso"
    else:
        text = "achiral"
    centres = " and ".join(f"C{carbon}" for carbon in hand.centres) or "none"
    return in_words(
        text,
        f"Ring stereocentres (R or S): {centres}.",
        "The molecule is superposable on its mirror image"
        + (" in some chair." if not hand.chiral else ": no, in neither chair, so it is chiral."),
        "A single chair, without a ring flip, "
        + ("is chiral" if hand.chair_chiral else "has a mirror plane or inversion centre")
        + ("; the flip turns it into its mirror image." if hand.interconverting else "."),
        f"Convention meso={meso}: {text}.",
    )
