"""The drawings of a handout, with words that fit its sheets."""

from dataclasses import replace
from xml.etree import ElementTree

from chairgap.drawings.chair_pair import ChairOptions, chair_pair, one_chair
from chairgap.drawings.flat import flat_picture
from chairgap.drawings.picture import Picture
from chairgap.handout.posed import Posed
from chairgap.handout.wording import LEFT, RIGHT, group_words, left_and_right
from chairgap.records import Chair

_SVG = "http://www.w3.org/2000/svg"
_RAISED = {True: "carbons 1, 3 and 5 are raised", False: "carbons 2, 4 and 6 are raised"}
_BLANK_PAIR = ChairOptions(groups=False, positions=False, names=False, room_for_marks=True)
_BLANK = ChairOptions(groups=False, positions=False, names=False)
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


def chairs_picture(posed: Posed) -> Picture:
    """The answer: both chairs in the order of the frames."""
    chairs = left_and_right(posed)
    words = [_in_words(name, chair) for name, chair in zip((LEFT, RIGHT), chairs, strict=True)]
    return retold(chair_pair(chairs, _ANSWER), " ".join(words))


def single_chairs(posed: Posed) -> tuple[Picture, ...]:
    """The same chairs each by itself, for large print."""
    return tuple(
        retold(one_chair(chair, _ANSWER), _in_words(name, chair))
        for name, chair in zip((LEFT, RIGHT), left_and_right(posed), strict=True)
    )


def _in_words(name: str, chair: Chair) -> str:
    groups = "; ".join(f"{group_words(group)} {group.position}" for group in chair.groups)
    return f"{name.capitalize()}: {groups}."


def retold(picture: Picture, words: str) -> Picture:
    """The same drawing with other words for those who do not see it."""
    ElementTree.register_namespace("", _SVG)
    root = ElementTree.fromstring(picture.svg)
    root.set("aria-label", words)
    return replace(picture, svg=ElementTree.tostring(root, encoding="unicode"), alt=words)
