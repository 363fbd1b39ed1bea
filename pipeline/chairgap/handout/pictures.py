"""The drawings of a handout, with words that fit its sheets."""

from dataclasses import replace
from xml.etree import ElementTree

from chairgap.drawings.chair_pair import ChairOptions, blank_pair, chair_pair
from chairgap.drawings.picture import Picture
from chairgap.handout.posed import Posed
from chairgap.handout.wording import LEFT, RIGHT, group_words, left_and_right
from chairgap.molecule.flat import flat_picture

_SVG = "http://www.w3.org/2000/svg"
_BONDS = {"up": "on a wedge (up)", "down": "on a hashed bond (down)"}


def molecule_picture(posed: Posed) -> Picture:
    """The flat drawing, told without a word on axial or equatorial."""
    told = "; ".join(
        f"{group.group} on carbon {group.carbon} {_BONDS[group.face]}" for group in posed.chairs[0].groups
    )
    words = f"Six-membered ring with its carbons numbered 1 to 6 clockwise: {told}."
    return retold(flat_picture(posed.molecule), words)


def frames_picture() -> Picture:
    """The two empty frames to draw in."""
    words = (
        f"Two empty chair frames with numbered carbons. {LEFT.capitalize()}, left: carbons 1, 3 and 5 are "
        f"raised. {RIGHT.capitalize()}, right: carbons 2, 4 and 6 are raised."
    )
    return retold(blank_pair(), words)


def chairs_picture(posed: Posed) -> Picture:
    """The answer: both chairs in the order of the frames."""
    chairs = left_and_right(posed)
    told = [
        f"{name}: " + "; ".join(f"{group_words(group)} {group.position}" for group in chair.groups)
        for name, chair in zip((LEFT.capitalize(), RIGHT.capitalize()), chairs, strict=True)
    ]
    drawn = chair_pair(chairs, ChairOptions(faces=True, names=False))
    return retold(drawn, ". ".join(told) + ".")


def retold(picture: Picture, words: str) -> Picture:
    """The same drawing with other words for those who do not see it."""
    ElementTree.register_namespace("", _SVG)
    root = ElementTree.fromstring(picture.svg)
    root.set("aria-label", words)
    return replace(picture, svg=ElementTree.tostring(root, encoding="unicode"), alt=words)
