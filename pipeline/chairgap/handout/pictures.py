"""The drawings of a handout, with words that fit its sheets."""

from dataclasses import replace
from xml.etree import ElementTree

from chairgap.drawings.chair_pair import ChairOptions, chair_pair, one_chair
from chairgap.drawings.flat import flat_picture
from chairgap.drawings.newman import blank_projection, newman
from chairgap.drawings.picture import Picture
from chairgap.handout.posed import Posed
from chairgap.handout.wording import FRAMES, LEFT, RIGHT, group_words, left_and_right
from chairgap.records import Chair
from chairgap.shape.ideal import on_ideal_chair

_SVG = "http://www.w3.org/2000/svg"
_RAISED = {True: "carbons 1, 3 and 5 are raised", False: "carbons 2, 4 and 6 are raised"}
_BLANK_PAIR = ChairOptions(groups=False, positions=False, names=False, room_for_marks=True)
_BLANK = ChairOptions(groups=False, positions=False, names=False)
_UNLABELLED = ChairOptions(positions=False, names=False)
_ANSWER = ChairOptions(faces=True, names=False)
_BONDS = {"up": "on a wedge (up)", "down": "on a hashed bond (down)"}


def molecule_picture(posed: Posed) -> Picture:
    """The flat drawing in words, without a word on axial or equatorial."""
    phrase = "; ".join(
        f"{group.group} on carbon {group.carbon} {_BONDS[group.face]}" for group in posed.chairs[0].groups
    )
    words = f"Six-membered ring with its carbons numbered 1 to 6 clockwise: {phrase}."
    return retold(flat_picture(posed.molecule), words)


def frames_picture(left_odd_up_axial: bool) -> Picture:
    """The two empty frames to draw in, side by side."""
    left, right = _frame_words(left_odd_up_axial)
    words = f"Two empty chair frames with numbered carbons. Left, {left}; right, {right}."
    return retold(chair_pair(_bare(left_odd_up_axial), _BLANK_PAIR), words)


def single_frames(left_odd_up_axial: bool) -> tuple[Picture, ...]:
    """The same frames each by itself, for large print."""
    return tuple(
        retold(one_chair(chair, _BLANK), f"Empty frame of {words}.")
        for chair, words in zip(_bare(left_odd_up_axial), _frame_words(left_odd_up_axial), strict=True)
    )


def _bare(left_odd_up_axial: bool) -> tuple[Chair, Chair]:
    left = Chair(letter="A", odd_up_axial=left_odd_up_axial, name="", groups=())
    return left, replace(left, letter="B", odd_up_axial=not left_odd_up_axial)


def _frame_words(left_odd_up_axial: bool) -> tuple[str, str]:
    return f"{LEFT}: {_RAISED[left_odd_up_axial]}", f"{RIGHT}: {_RAISED[not left_odd_up_axial]}"


def chairs_picture(posed: Posed, names: tuple[str, ...] = FRAMES) -> Picture:
    """The answer: both chairs in the order of the frames."""
    chairs = left_and_right(posed)
    words = [_in_words(name, chair) for name, chair in zip(names, chairs, strict=True)]
    return retold(chair_pair(chairs, _ANSWER), " ".join(words))


def single_chairs(posed: Posed, names: tuple[str, ...] = FRAMES) -> tuple[Picture, ...]:
    """The same chairs each by itself, for large print."""
    return tuple(
        retold(one_chair(chair, _ANSWER), _in_words(name, chair))
        for name, chair in zip(names, left_and_right(posed), strict=True)
    )


def unlabelled_chairs(posed: Posed) -> Picture:
    """Both chairs with their groups, without a word, letter or line that says axial or equatorial."""
    chairs = left_and_right(posed)
    words = [_without_labels(name, chair) for name, chair in zip(FRAMES, chairs, strict=True)]
    return retold(chair_pair(chairs, _UNLABELLED), " ".join(words))


def single_unlabelled_chairs(posed: Posed) -> tuple[Picture, ...]:
    """The same chairs each by itself, for large print."""
    return tuple(
        retold(one_chair(chair, _UNLABELLED), _without_labels(name, chair))
        for name, chair in zip(FRAMES, left_and_right(posed), strict=True)
    )


def chair_alone(chair: Chair) -> Picture:
    """One chair with its groups, without labels."""
    return retold(one_chair(chair, _UNLABELLED), _without_labels("a chair", chair))


def chair_to_flip(chair: Chair) -> tuple[Picture, Picture]:
    """A chair with its groups, without labels, and the empty frame of the other chair."""
    _, other = _bare(chair.odd_up_axial)
    words = f"Empty frame after the flip: {_RAISED[other.odd_up_axial]}."
    return chair_alone(chair), retold(one_chair(other, _BLANK), words)


def blank_newman(front: int, back: int) -> Picture:
    """The circle of a projection with its two carbons and no bond."""
    return blank_projection((front, back))


def newman_answer(posed: Posed, chair: Chair, bond: tuple[int, int]) -> Picture:
    """The projection of an ideal chair."""
    topology = posed.molecule.topology
    return newman(topology, on_ideal_chair(topology, odd_up_axial=chair.odd_up_axial), bond)


def _without_labels(name: str, chair: Chair) -> str:
    groups = "; ".join(group_words(group) for group in chair.groups)
    return f"{name.capitalize()}: {_RAISED[chair.odd_up_axial]}; {groups}."


def _in_words(name: str, chair: Chair) -> str:
    groups = "; ".join(f"{group_words(group)} {group.position}" for group in chair.groups)
    return f"{name.capitalize()}: {groups}."


def retold(picture: Picture, words: str) -> Picture:
    """The same drawing with other words for those who do not see it."""
    ElementTree.register_namespace("", _SVG)
    root = ElementTree.fromstring(picture.svg)
    root.set("aria-label", words)
    return replace(picture, svg=ElementTree.tostring(root, encoding="unicode"), alt=words)
