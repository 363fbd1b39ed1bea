"""The two chairs of a ring side by side, drawn from their labels: key, question and blank template."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import count as count_from

from chairgap.drawings.chair_block import (
    CAPTION_PX,
    Block,
    ChairOptions,
    blocks_of,
    caption_element,
    faces_legend,
    legend_lines,
)
from chairgap.drawings.chair_words import chair_in_words, frame_in_words
from chairgap.drawings.lettering import text_element
from chairgap.drawings.picture import Picture
from chairgap.drawings.plane import around
from chairgap.drawings.svg import Element, element, picture
from chairgap.records import Chair

__all__ = [
    "ChairOptions", "blank_pair", "chair_column", "chair_pair", "flip_arrow", "key_pair", "one_chair",
    "question_pair",
]  # fmt: skip

_MARGIN = 12.0
_ARROW = 46.0
_BESIDE_ARROW = 24.0
_ROW = 20.0
# A phone's width of 390 px without the margins of the page.
_NARROW = 366.0

_SHOWN = ChairOptions()
_KEY = ChairOptions(faces=True)
_ASKED = ChairOptions(positions=False, names=False, letters=True, room_for_marks=True)
_UNSEEN = replace(_ASKED, groups=False)
_BLANK = replace(_UNSEEN, letters=False)


def chair_pair(chairs: tuple[Chair, Chair], options: ChairOptions = _SHOWN) -> Picture:
    """Both chairs with the arrow of the flip between them; every carbon stands at the same side in both.

    Raises nothing: a group too long for its place is written R with a number and spelled out below.
    """
    phrase = f"Two chairs of one ring, joined by the ring flip. {_in_words(chairs, options)}"
    return _drawn(chairs, options, phrase)


def chair_column(chairs: tuple[Chair, Chair], options: ChairOptions = _SHOWN) -> Picture:
    """The same below each other, for a narrow screen: there the letters of a wide picture become too small,
    so that more groups are written R with a number."""
    phrase = f"Two chairs of one ring, joined by the ring flip. {_in_words(chairs, options)}"
    made = blocks_of(chairs, options, _NARROW - 2 * _MARGIN)
    inner = around([block.box for block in made.blocks])
    width = inner.right - inner.left + 2 * _MARGIN
    children: list[Element] = []
    y = _MARGIN
    for place, (chair, block) in enumerate(zip(chairs, made.blocks, strict=True)):
        if place:
            upright = f"translate({width / 2:.2f} {y:.2f}) rotate(90)"
            children.append(element("g", *flip_arrow(0.0, 0.0, _ARROW), transform=upright))
            y += _ARROW + _MARGIN
        bottom = y - block.box.top + block.box.bottom
        shift = f"translate({_MARGIN - inner.left:.2f} {y - block.box.top:.2f})"
        captions = _captions(block, block.box.bottom)
        children.append(element("g", *block.elements, *captions, transform=shift, data_chair=chair.letter))
        y = bottom + _ROW * len(block.caption) + _MARGIN
    legend = list(_legend(made.symbols, False, y, width - _MARGIN))
    return picture([*children, *legend], width_px=width, height_px=y + _ROW * len(legend), alt=phrase)


def one_chair(chair: Chair, options: ChairOptions = _SHOWN) -> Picture:
    """One chair alone."""
    return _drawn((chair,), options, _in_words((chair,), options))


def key_pair(chairs: tuple[Chair, Chair]) -> Picture:
    """The answer: every group with its letter a or e and its mark for up or down, the chairs named below."""
    return chair_pair(chairs, _KEY)


def question_pair(chairs: tuple[Chair, Chair], *, groups_shown: bool = True) -> Picture:
    """What a student gets: the chairs in the order of the key, and every bond and label in its place there.

    With groups: label each of them a or e, beside its bond, where the key has the letter. Without: both
    numbered frames with twelve empty bonds each, to draw the groups in. No letter, name, colour, width or
    attribute distinguishes axial from equatorial.
    """
    return chair_pair(chairs, _ASKED if groups_shown else _UNSEEN)


def blank_pair() -> Picture:
    """A template for any ring: two numbered frames with twelve empty bonds each."""
    bare = [Chair(letter=letter, odd_up_axial=letter == "A", name="", groups=()) for letter in ("A", "B")]
    phrase = f"{frame_in_words('Left chair', True)} {frame_in_words('Right chair', False)}"
    return _drawn(bare, _BLANK, f"Template: two chairs of a six-membered ring with empty bonds. {phrase}")


def flip_arrow(left_px: float, middle_px: float, length_px: float) -> tuple[Element, ...]:
    """The arrow of an equilibrium: two half arrows, the upper to the right and the lower to the left (common
    practice, no source); from left_px on, round the height middle_px."""
    right = left_px + length_px
    shafts = (
        f"M{left_px:.2f} {middle_px - 3:.2f}H{right:.2f}l-9 -6",
        f"M{right:.2f} {middle_px + 3:.2f}H{left_px:.2f}l9 6",
    )
    return tuple(
        element("path", d=path, class_="line-ink", stroke_width=1.6, stroke_linejoin="bevel", data_arrow=word)
        for path, word in zip(shafts, ("forward", "back"), strict=True)
    )


def _in_words(chairs: Sequence[Chair], options: ChairOptions) -> str:
    if not options.groups:
        frames = (
            frame_in_words(f"Chair {chair.letter}{f', {chair.name}' * options.names}", chair.odd_up_axial)
            for chair in chairs
        )
        return f"Every ring carbon has two empty bonds. {' '.join(frames)}"
    shown = options.positions or options.names
    return " ".join(chair_in_words(chair, positions=shown) for chair in chairs)


def _drawn(chairs: Sequence[Chair], options: ChairOptions, alt: str) -> Picture:
    """Chairs from left to right with their middles at one height, captions and legend below."""
    made = blocks_of(chairs, options)
    inner = around([block.box for block in made.blocks])
    middle, x = _MARGIN - inner.top, _MARGIN
    children: list[Element] = []
    for place, (chair, block) in enumerate(zip(chairs, made.blocks, strict=True)):
        if place:
            children += flip_arrow(x + _BESIDE_ARROW, middle, _ARROW)
            x += _ARROW + 2 * _BESIDE_ARROW
        captions = _captions(block, inner.bottom)
        shift = f"translate({x - block.box.left:.2f} {middle:.2f})"
        children.append(element("g", *block.elements, *captions, transform=shift, data_chair=chair.letter))
        x += block.box.right - block.box.left
    below = middle + inner.bottom + _ROW * max(len(block.caption) for block in made.blocks) + _MARGIN
    faces = options.faces and options.groups and any(chair.groups for chair in chairs)
    legend = list(_legend(made.symbols, faces, below, x - _MARGIN))
    height = below + _ROW * len(legend)
    return picture([*children, *legend], width_px=x + _MARGIN, height_px=height, alt=alt)


def _captions(block: Block, foot_px: float) -> list[Element]:
    return [
        caption_element(line, (0.0, foot_px + _ROW * (row + 1))) for row, line in enumerate(block.caption)
    ]


def _legend(symbols: dict[str, int], faces: bool, top: float, room_px: float) -> Iterator[Element]:
    """One element for each row."""
    line_tops = count_from(top + _ROW - _MARGIN, _ROW)
    if faces:
        yield faces_legend(_MARGIN, next(line_tops))
    for line in legend_lines(symbols, room_px):
        yield text_element(line, (_MARGIN, next(line_tops)), CAPTION_PX, "start", "ink", data_legend="")
