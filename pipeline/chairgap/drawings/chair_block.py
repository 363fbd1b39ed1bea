"""One chair as SVG elements round its middle, with its caption; and the legend of several."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import product, takewhile

from chairgap.drawings.chair_frame import LOCANTS, Frame, frame
from chairgap.drawings.chair_layout import (
    LABEL_PX,
    NUMBER_PX,
    Fixed,
    LigandToDraw,
    Spot,
    fixed,
    placed,
)
from chairgap.drawings.lettering import (
    CAP_EM,
    Run,
    letterings,
    runs_of,
    symbol,
    symbol_letterings,
    text_element,
    width_em,
)
from chairgap.drawings.plane import Box, Point, around, box_of_line
from chairgap.drawings.svg import Element, element
from chairgap.records import Chair, Face, PlacedLigand
from chairgap.shape.chairs import chair_name

CAPTION_PX = 13.0
_LETTER_PX = 12.5
_X_HEIGHT_EM = 0.56
_TRIANGLE_PX = 8.0
_EMPTY_PX = 30.0
# Ring scales, and the widest label in em before a group becomes R and a number, in the order of trying.
_SIZES = (
    *((11.0, scale) for scale in (1.0, 1.2, 1.45)),
    *((4.5, scale) for scale in (1.0, 1.2, 1.45, 1.75, 2.1)),
    *((1.5, scale) for scale in (1.45, 1.75, 2.1)),
)
_FACES: tuple[Face, Face] = ("up", "down")


@dataclass(frozen=True, kw_only=True)
class ChairOptions:
    """What is shown: numbers of the carbons; groups with bonds and labels (without them twelve empty bonds);
    positions as letters a and e and as kinds of line; faces as marks for up and down; hydrogens on the other
    bonds; names of the chairs below, or where those are left out their letters. With room_for_marks the
    room of both marks stays free where they are not shown."""

    numbers: bool = True
    groups: bool = True
    positions: bool = True
    faces: bool = False
    hydrogens: bool = False
    names: bool = True
    letters: bool = False
    room_for_marks: bool = False


@dataclass(frozen=True, kw_only=True)
class Block:
    """A chair in px round its middle: its box, wide enough for the caption, and the lines of the caption."""

    elements: tuple[Element, ...]
    box: Box
    caption: tuple[tuple[Run, ...], ...]


@dataclass(frozen=True, kw_only=True)
class Blocks:
    """Chairs at one scale, and the groups that stand as R and a number in them."""

    blocks: tuple[Block, ...]
    symbols: dict[str, int]

    @property
    def width_px(self) -> float:
        """Of all of them, one above the other."""
        inner = around([block.box for block in self.blocks])
        return inner.right - inner.left


def blocks_of(chairs: Sequence[Chair], options: ChairOptions, room_px: float = math.inf) -> Blocks:
    """The chairs at the smallest scale at which nothing touches and none is wider than the room; where none
    fits into it, as narrow as they are at any scale."""
    groups = list(dict.fromkeys(ligand.group for chair in chairs for ligand in chair.groups))
    found = []
    for widest, scale in _SIZES:
        written_out = [group for group in groups if "*" in group or width_em(runs_of(group)) > widest]
        symbols = {group: number for number, group in enumerate(written_out, start=1)}
        made = (_block(chair, options, frame(chair.odd_up_axial, scale), symbols) for chair in chairs)
        drawn = tuple(block for block in takewhile(lambda one: one is not None, made) if block is not None)
        if len(drawn) == len(chairs):
            found.append(Blocks(blocks=drawn, symbols=symbols if options.groups else {}))
            if found[-1].width_px <= room_px:
                return found[-1]
    if not found:
        raise AssertionError(f"no room found for {groups}; twelve symbols have room at these scales")
    return min(found, key=lambda one: one.width_px)


def _block(chair: Chair, options: ChairOptions, bare: Frame, symbols: dict[str, int]) -> Block | None:
    standing = fixed(bare, numbers=options.numbers)
    spots = placed(bare, standing, _wanted(chair, options, symbols)) if options.groups else ()
    if spots is None:
        return None
    elements = [*_ring(standing), *_numbers(standing)]
    boxes = [box for _, box in standing.numbers] + [box_of_line(line) for _, _, line in standing.ring]
    groups = {(item.carbon, item.face) for item in chair.groups}
    for spot in spots:
        elements += _ligand(spot, options, quiet=(spot.carbon, spot.face) not in groups)
        boxes += [box_of_line(spot.bond), spot.label, *([spot.mark] if spot.mark else [])]
    if not options.groups:
        elements += _empty(bare)
        boxes.append(_room_of_empty(bare))
    box = around(boxes)
    caption = _caption(chair, options, symbols, box)
    half = max((width_em(line) * CAPTION_PX / 2 for line in caption), default=0.0)
    return Block(
        elements=tuple(elements),
        box=around([box, Box(-half, box.top, half, box.bottom)]),
        caption=caption,
    )


def _wanted(chair: Chair, options: ChairOptions, symbols: dict[str, int]) -> list[LigandToDraw]:
    letter = options.positions or options.room_for_marks
    triangle_too = options.faces or options.room_for_marks
    wide = _LETTER_PX * 0.64 * letter + 2.0 * (letter and triangle_too) + _TRIANGLE_PX * triangle_too
    requested = [
        LigandToDraw(
            carbon=item.carbon,
            face=item.face,
            letterings=symbol_letterings(symbols[item.group])
            if item.group in symbols
            else letterings(item.group),
            mark_px=(wide, _TRIANGLE_PX) if wide else None,
        )
        for item in chair.groups
    ]
    taken = {(item.carbon, item.face) for item in chair.groups}
    for locant, face in product(LOCANTS, _FACES) if options.hydrogens else ():
        if (locant, face) not in taken:
            requested.append(LigandToDraw(carbon=locant, face=face, letterings=letterings("H"), mark_px=None))
    return requested


def _line(ends: tuple[Point, Point], kind: str, width: float, **attributes: str) -> Element:
    (ax, ay), (bx, by) = ends
    return element(
        "line",
        x1=ax,
        y1=ay,
        x2=bx,
        y2=by,
        class_=f"line-{kind}",
        stroke_width=width,
        stroke_linecap="round",
        **attributes,
    )


def _ring(standing: Fixed) -> Iterable[Element]:
    """The front bond, between carbons 2 and 3, is heavier."""
    for one, two, line in standing.ring:
        yield _line(line, "ink", 3.6 if (one, two) == (2, 3) else 2.0, data_bond=f"{one}-{two}")


def _numbers(standing: Fixed) -> Iterable[Element]:
    for locant, box in standing.numbers:
        at = ((box.left + box.right) / 2, box.bottom)
        yield text_element((Run(str(locant), 0),), at, NUMBER_PX, "middle", "quiet", data_number=str(locant))


def _ligand(spot: Spot, options: ChairOptions, *, quiet: bool) -> Iterable[Element]:
    key = f"{spot.carbon} {spot.face}"
    phrase, kind, width = key, "ink", 2.0
    if options.positions:
        phrase, kind = f"{key} {spot.position}", spot.position
        width = 3.2 if spot.position == "axial" else 2.0
    if quiet:
        kind, width = "quiet", 1.2
    yield _line(spot.bond, kind, width, data_ligand=phrase)
    fill = "quiet" if quiet else "ink"
    yield text_element(spot.runs, spot.at, LABEL_PX, spot.anchor, fill, data_label=key)
    if spot.mark:
        middle = (spot.mark.top + spot.mark.bottom) / 2
        if options.positions:
            at = (spot.mark.left + _LETTER_PX * 0.32, middle + _X_HEIGHT_EM * _LETTER_PX / 2)
            letter = (Run(spot.position[0], 0),)
            yield text_element(letter, at, _LETTER_PX, "middle", spot.position, data_mark=key)
        if options.faces:
            yield triangle(spot.face, (spot.mark.right - _TRIANGLE_PX / 2, middle), data_face=key)


def triangle(face: Face, middle: Point, **attributes: str) -> Element:
    """Our mark for a face: a solid triangle that points up, an open one that points down."""
    (x, y), half = middle, _TRIANGLE_PX / 2 - 0.6
    base, tip = (y + half, y - half) if face == "up" else (y - half, y + half)
    points = f"{x - half:.2f},{base:.2f} {x + half:.2f},{base:.2f} {x:.2f},{tip:.2f}"
    kind = "fill-ink" if face == "up" else "line-ink"
    return element("polygon", points=points, class_=kind, stroke_width=1.1, **attributes)


def _empty_bonds(bare: Frame) -> Iterable[tuple[str, tuple[Point, Point]]]:
    for locant, face in product(LOCANTS, _FACES):
        (x, y), (dx, dy) = bare.point(locant), bare.direction(locant, face)
        yield f"{locant} {face}", ((x, y), (x + _EMPTY_PX * dx, y + _EMPTY_PX * dy))


def _empty(bare: Frame) -> Iterable[Element]:
    for key, line in _empty_bonds(bare):
        yield _line(line, "quiet", 1.2, data_ligand=key)


def _room_of_empty(bare: Frame) -> Box:
    """Empty bonds with room to write a group at their ends."""
    box = around([box_of_line(line) for _, line in _empty_bonds(bare)])
    return Box(box.left - 20.0, box.top - 20.0, box.right + 20.0, box.bottom + 20.0)


def _caption(
    chair: Chair, options: ChairOptions, symbols: dict[str, int], box: Box
) -> tuple[tuple[Run, ...], ...]:
    """'A: 1e 2a' in lines no wider than the chair where the words allow; or its letter alone, or nothing."""
    if not options.names:
        return ((Run(chair.letter, 0),),) if options.letters else ()
    words = [f"{chair.letter}:", *named(chair.groups, symbols).split(" ")]
    lines = [words[0]]
    for word in words[1:]:
        longer = f"{lines[-1]} {word}"
        if width_em(runs_of(longer)) * CAPTION_PX > box.right - box.left:
            lines.append(word)
        else:
            lines[-1] = longer
    return tuple(runs_of(line) for line in lines)


def named(groups: tuple[PlacedLigand, ...], symbols: dict[str, int]) -> str:
    """The chair's name with R1 (raised 1) for a group that is spelled out below."""
    short = {group: symbol(number) for group, number in symbols.items()}
    return chair_name(tuple(replace(item, group=short.get(item.group, item.group)) for item in groups))


def caption_element(line: tuple[Run, ...], at: Point) -> Element:
    return text_element(line, at, CAPTION_PX, "middle", "ink", data_caption="")


def legend_lines(symbols: dict[str, int], room_px: float) -> list[tuple[Run, ...]]:
    """'R1 = fragment' of every symbol, broken where the room ends, and what the star means."""
    lines: list[tuple[Run, ...]] = []
    for group, number in symbols.items():
        line = (*runs_of(symbol(number)), Run(" = ", 0))
        whole = (*line, *runs_of(group))
        if "*" not in group and width_em(whole) * CAPTION_PX <= room_px:
            lines.append(whole)
            continue
        for letter in group:
            if width_em((*line, Run(letter, 0))) * CAPTION_PX > room_px:
                lines.append(line)
                line = (Run("   ", 0),)
            line = (*line[:-1], Run(line[-1].text + letter, 0))
        lines.append(line)
    if any("*" in group for group in symbols):
        lines.append((Run("* is the ring carbon", 0),))
    return lines


def faces_legend(x: float, baseline: float) -> Element:
    """What the two triangles mean, in one row."""
    middle, children = baseline - CAP_EM * CAPTION_PX / 2, []
    for face in _FACES:
        children.append(triangle(face, (x + _TRIANGLE_PX / 2, middle)))
        x += _TRIANGLE_PX + 5.0
        word = (Run(face, 0),)
        children.append(text_element(word, (x, baseline), CAPTION_PX, "start", "ink", data_legend=""))
        x += width_em(word) * CAPTION_PX + 18.0
    return element("g", *children)
