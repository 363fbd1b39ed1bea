"""Chair drawings read back from their SVG text and held against the drawing rules, the labels and examples
worked by hand."""

import os
import re
import subprocess
import sys
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import pytest
from chair_molecules import FACES, ODD_GROUPS, chairs, random_groups, table_groups
from chair_reader import DrawnChair, broken_rules, read

from chairgap.drawings.chair_pair import (
    ChairOptions,
    blank_pair,
    chair_pair,
    key_pair,
    one_chair,
    question_pair,
)
from chairgap.drawings.picture import Picture, alone
from chairgap.records import Chair

_VARIANTS: dict[str, Callable[[tuple[Chair, Chair]], Picture]] = {
    "key": key_pair,
    "question": question_pair,
    "question without groups": lambda pair: question_pair(pair, groups_shown=False),
    "hydrogens": lambda pair: chair_pair(pair, ChairOptions(hydrogens=True)),
}
_BATCHES = range(0, 500, 50)


def _letters(text: str) -> list[str]:
    """Letters of a group whichever end it is written from; COCH3 turned round has brackets, CH3(O)C."""
    return sorted(re.sub("[()]", "", text.replace("−", "-").replace("≡", "#")))


def _written(chair: DrawnChair, legend: dict[str, str]) -> set[tuple[int, str, str, str]]:
    """(carbon, face, position, group) of every label, place and face as the lines have them."""
    return {
        (*chair.placed(key), "".join(_letters(legend.get(text.words, text.words))))
        for key, text in chair.labels.items()
        if text.words != "H"
    }


def _legend(picture: Picture) -> dict[str, str]:
    """R1, R2, ... with what the lines below the drawing say; broken lines joined again."""
    found: dict[str, str] = {}
    symbol = ""
    for text in read(picture.svg).legend:
        first = re.fullmatch(r"(R\d+) = (.*)", text.words)
        if first:
            symbol, found[first[1]] = first[1], first[2]
        elif text.words.startswith("   "):
            found[symbol] += text.words[3:]
    return found


def _wanted(chair: Chair) -> set[tuple[int, str, str, str]]:
    return {(item.carbon, item.face, item.position, "".join(_letters(item.group))) for item in chair.groups}


@pytest.mark.parametrize("first", _BATCHES)
def test_five_hundred_random_rings_keep_every_rule(first: int) -> None:
    rules = cache(broken_rules)  # the question without groups is one of two drawings
    for seed in range(first, first + _BATCHES.step):
        pair = chairs(random_groups(seed))
        for name, draw in _VARIANTS.items():
            picture = draw(pair)
            assert rules(picture.svg) == [], f"seed {seed}, {name}"
            if name != "question without groups":
                drawn, legend = read(picture.svg).chairs, _legend(picture)
                for chair, shown in zip(pair, drawn, strict=True):
                    assert shown.letter == chair.letter
                    assert _written(shown, legend) == _wanted(chair), f"seed {seed}, {name}"


@pytest.mark.parametrize(
    "group", ["CH3", "C(CH3)3", "OSO2C6H4CH3", "OSi(C6H5)2C(CH3)3", "N(CH3)2", *ODD_GROUPS]
)
@pytest.mark.parametrize("draw", [key_pair, question_pair])
def test_twelve_equal_groups_have_room(group: str, draw: Callable[[tuple[Chair, Chair]], Picture]) -> None:
    pair = chairs({(locant, face): group for locant in range(1, 7) for face in FACES})
    picture = draw(pair)
    assert broken_rules(picture.svg) == []
    legend = _legend(picture)
    assert [_written(shown, legend) for shown in read(picture.svg).chairs] == [
        _wanted(chair) for chair in pair
    ]


@pytest.mark.parametrize("start", range(0, 70, 10))
def test_twelve_different_groups_have_room(start: int) -> None:
    table = table_groups()
    spots = [(locant, face) for locant in range(1, 7) for face in FACES]
    pair = chairs({spot: table[(start + 7 * place) % len(table)] for place, spot in enumerate(spots)})
    for draw in (key_pair, question_pair):
        assert broken_rules(draw(pair).svg) == []


# Positions by hand: on neighbouring carbons trans is ee or aa, on 1,3 cis is, on 1,4 trans is; the rest are
# ae or ea. All-trans 2-isopropyl-5-methylcyclohexanol (the menthol series) and the inositol whose faces
# alternate all the way round have a chair with every group equatorial. Common practice, no source.
_BY_HAND = {
    "trans-1,2": ({(1, "up"): "CH3", (2, "down"): "CH3"}, "1e 2e", "1a 2a"),
    "cis-1,2": ({(1, "up"): "CH3", (2, "up"): "CH3"}, "1e 2a", "1a 2e"),
    "cis-1,3": ({(1, "up"): "CH3", (3, "up"): "CH3"}, "1e 3e", "1a 3a"),
    "trans-1,3": ({(1, "up"): "CH3", (3, "down"): "CH3"}, "1e 3a", "1a 3e"),
    "trans-1,4": ({(1, "up"): "CH3", (4, "down"): "CH3"}, "1e 4e", "1a 4a"),
    "cis-1,4": ({(1, "up"): "CH3", (4, "up"): "CH3"}, "1e 4a", "1a 4e"),
    "menthol series": (
        {(1, "up"): "OH", (2, "down"): "CH(CH3)2", (5, "up"): "CH3"},
        "1e 2e 5e",
        "1a 2a 5a",
    ),
    "alternating hexol": (
        {(locant, FACES[locant % 2]): "OH" for locant in range(1, 7)},
        "1e 2e 3e 4e 5e 6e",
        "1a 2a 3a 4a 5a 6a",
    ),
}


@pytest.mark.parametrize(("groups", "first", "second"), _BY_HAND.values(), ids=_BY_HAND)
def test_positions_worked_by_hand_are_what_is_drawn(
    groups: dict[tuple[int, str], str], first: str, second: str
) -> None:
    picture = key_pair(chairs(groups))
    for chair, name in zip(read(picture.svg).chairs, (first, second), strict=True):
        places = sorted(chair.placed(key) for key in chair.bonds)
        assert " ".join(f"{carbon}{position[0]}" for carbon, _, position in places) == name
        assert {(carbon, face) for carbon, face, _ in places} == set(groups)
        assert {key: text.words for key, text in chair.marks.items()} == {
            (carbon, face): position[0] for carbon, face, position in places
        }
        assert {key: face for key, (face, _) in chair.triangles.items()} == {key: key[1] for key in groups}
        assert [text.words for text in chair.captions] == [f"{chair.letter}: {name}"]


@pytest.mark.parametrize("seed", range(20))
def test_every_carbon_stands_at_the_same_side_in_both_chairs(seed: int) -> None:
    left, right = read(key_pair(chairs(random_groups(seed))).svg).chairs
    for chair in (left, right):
        across = {locant: chair.carbon(locant)[0] for locant in range(1, 7)}
        assert min(across, key=across.__getitem__) == 4
        assert max(across, key=across.__getitem__) == 1
        front = [chair.carbon(near)[1] > chair.carbon(far)[1] for near, far in ((2, 6), (3, 5))]
        assert front == [True, True]
    assert [left.raised(locant) for locant in range(1, 7)] != [right.raised(locant) for locant in range(1, 7)]


def _as_set(groups: dict[tuple[int, str], str]) -> set[frozenset]:
    """The two chairs as sets of (group, position) with their number, whatever carbons are called."""
    picture = key_pair(chairs(groups))
    legend = _legend(picture)
    sets = []
    for chair in read(picture.svg).chairs:
        pairs = [(position, group) for _, _, position, group in _written(chair, legend)]
        sets.append(frozenset((pair, pairs.count(pair)) for pair in pairs))
    return set(sets)


@pytest.mark.parametrize("seed", range(20))
def test_mirror_image_and_renumbering_keep_who_is_axial(seed: int) -> None:
    """Chairs of a mirror image, of a ring numbered from another carbon, and of a ring seen from below (other
    direction, other faces) put the same groups axial (common practice, no source)."""
    groups = random_groups(seed)
    other = {"up": "down", "down": "up"}
    as_drawn = _as_set(groups)
    assert _as_set({(c, other[f]): g for (c, f), g in groups.items()}) == as_drawn
    assert _as_set({(c % 6 + 1, f): g for (c, f), g in groups.items()}) == as_drawn
    assert _as_set({((7 - c), other[f]): g for (c, f), g in groups.items()}) == as_drawn


# ---- questions and the template ----


def _gives_away(picture: Picture) -> list[str]:
    """What tells a position: words, letters, names, attributes or kinds of line."""
    drawn = read(picture.svg)
    texts = re.findall(r">([^<>]+)<", picture.svg)
    found = [text for text in texts if text in ("a", "e") or re.search(r"\b[1-6][ae]\b", text)]
    found += re.findall(r"axial|equatorial|isoclinal|\b[1-6][ae]\b|data-mark", picture.svg + picture.alt)
    for chair in drawn.chairs:
        found += [str(style) for style in list(set(chair.styles.values()))[1:]]
    return found


@pytest.mark.parametrize("seed", range(50))
def test_questions_do_not_give_the_answer_away(seed: int) -> None:
    pair = chairs(random_groups(seed))
    assert _gives_away(question_pair(pair)) == []
    unseen = question_pair(pair, groups_shown=False)
    assert _gives_away(unseen) == []
    assert all(chair.labels == {} and len(chair.bonds) == 12 for chair in read(unseen.svg).chairs)
    for item in pair[0].groups:
        assert item.group not in unseen.alt.split()
    assert _gives_away(key_pair(pair)) != []


def test_the_question_without_groups_is_the_same_for_every_molecule_with_the_same_frames() -> None:
    one = chairs({(1, "up"): "CH3", (2, "down"): "OH"})
    two = chairs({(3, "up"): "C(CH3)3"})
    assert one[0].odd_up_axial == two[0].odd_up_axial
    assert question_pair(one, groups_shown=False) == question_pair(two, groups_shown=False)


def test_the_template_has_both_frames_and_twelve_bonds_each() -> None:
    picture = blank_pair()
    assert broken_rules(picture.svg) == []
    assert _gives_away(picture) == []
    drawn = read(picture.svg)
    assert [len(chair.bonds) for chair in drawn.chairs] == [12, 12]
    assert [sorted(chair.numbers) for chair in drawn.chairs] == [[1, 2, 3, 4, 5, 6]] * 2
    assert [chair.labels for chair in drawn.chairs] == [{}, {}]
    assert [chair.captions for chair in drawn.chairs] == [[], []]
    assert [chair.raised(1) for chair in drawn.chairs] == [True, False]


# ---- words, options, text ----


def test_words_tell_every_group_of_the_key() -> None:
    picture = key_pair(chairs({(1, "up"): "CH3", (2, "up"): "OH"}))
    assert picture.alt == (
        "Two chairs of one ring, joined by the ring flip. "
        "Chair A, 1a 2e: CH3 on carbon 1 axial, up; OH on carbon 2 equatorial, up. "
        "Chair B, 1e 2a: CH3 on carbon 1 equatorial, up; OH on carbon 2 axial, up."
    ) or picture.alt == (
        "Two chairs of one ring, joined by the ring flip. "
        "Chair A, 1e 2a: CH3 on carbon 1 equatorial, up; OH on carbon 2 axial, up. "
        "Chair B, 1a 2e: CH3 on carbon 1 axial, up; OH on carbon 2 equatorial, up."
    )


def test_options_leave_out_what_they_name() -> None:
    pair = chairs({(1, "up"): "CH3", (2, "up"): "OH"})
    bare = read(chair_pair(pair, ChairOptions(numbers=False, positions=False, names=False)).svg)
    for chair in bare.chairs:
        assert (chair.numbers, chair.marks, chair.triangles, chair.captions) == ({}, {}, {}, [])
        assert len(chair.labels) == 2
    full = read(chair_pair(pair, ChairOptions(hydrogens=True, faces=True)).svg)
    for chair in full.chairs:
        assert len(chair.bonds) == len(chair.labels) == 12
        assert len(chair.numbers) == 6
        assert set(chair.marks) == set(chair.triangles) == {(1, "up"), (2, "up")}


def test_one_chair_alone() -> None:
    pair = chairs({(1, "up"): "CH3", (2, "up"): "OH"})
    picture = one_chair(pair[1])
    assert broken_rules(picture.svg) == []
    (drawn,) = read(picture.svg).chairs
    assert _written(drawn, {}) == _wanted(pair[1])
    assert read(picture.svg).arrows == []


def test_names_are_escaped() -> None:
    picture = key_pair(chairs({(1, "up"): "<script>", (2, "up"): "\"&'"}))
    assert "<script" not in picture.svg
    assert "&lt;script&gt;" in picture.svg
    words = {text.words for chair in read(picture.svg).chairs for text in chair.labels.values()}
    assert words == {"<script>", "\"&'"}


def test_same_labels_same_bytes_in_any_process() -> None:
    code = (
        "import sys; sys.path.insert(0, sys.argv[1])\n"
        "from chair_molecules import chairs, random_groups\n"
        "from chairgap.drawings.chair_pair import key_pair\n"
        "sys.stdout.buffer.write(key_pair(chairs(random_groups(3))).svg.encode())\n"
    )
    here = str(Path(__file__).parent)
    runs = [
        subprocess.run(
            [sys.executable, "-c", code, here],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    ]
    assert runs[0] == runs[1] == key_pair(chairs(random_groups(3))).svg.encode()


def test_a_drawing_alone_is_a_file_with_its_style() -> None:
    text = alone(key_pair(chairs(random_groups(1))))
    assert ElementTree.fromstring(text.encode()).find("{http://www.w3.org/2000/svg}style") is not None


# ---- the checker can fail ----


def _changed(change: Callable[[ElementTree.Element], None]) -> list[str]:
    """What the checker says of a good drawing after a change to it."""
    good = key_pair(chairs({(1, "up"): "CH3", (2, "down"): "OH", (4, "up"): "C(CH3)3"})).svg
    assert broken_rules(good) == []
    root = ElementTree.fromstring(good)
    change(root)
    return broken_rules(ElementTree.tostring(root, encoding="unicode"))


def _item(root: ElementTree.Element, **told: str) -> ElementTree.Element:
    """The first element with this data attribute."""
    ((name, value),) = told.items()
    return next(item for item in root.iter() if item.get(f"data-{name}") == value)


def _shift(item: ElementTree.Element, name: str, by: float) -> None:
    item.set(name, str(float(item.get(name, "0")) + by))


def _mirror(root: ElementTree.Element) -> None:
    for item in root.iter():
        for name in ("x", "x1", "x2"):
            if name in item.attrib and "data-legend" not in item.attrib:
                item.set(name, str(-float(item.attrib[name])))


def _remove_bond(root: ElementTree.Element) -> None:
    group = _item(root, chair="B")
    group.remove(_item(group, bond="5-6"))


_CHANGES: dict[str, tuple[Callable[[ElementTree.Element], None], str]] = {
    "an axial bond leans by 1 px": (
        lambda root: _shift(_item(root, ligand="4 up axial"), "x2", 1.0),
        "equatorial bond (4, 'up') not parallel to ring bond",
    ),
    "an equatorial bond is turned by 1 px": (
        lambda root: _shift(_item(root, ligand="1 up equatorial"), "y2", 1.0),
        "equatorial bond (1, 'up') not parallel to ring bond",
    ),
    "a bond points to the other face": (
        lambda root: _shift(_item(root, ligand="4 up axial"), "y2", 70.0),
        "axial bond (4, 'up') points to the wrong side",
    ),
    "a ring carbon is moved": (
        lambda root: _shift(_item(root, bond="1-2"), "y1", 2.0),
        "ring bond 1 not parallel to the opposite one",
    ),
    "a ring bond is missing": (_remove_bond, "B: ring bonds"),
    "a chair is mirrored": (_mirror, "numbers do not run clockwise"),
    "a label lies on its bond": (
        lambda root: _shift(_item(root, label="4 up"), "y", 20.0),
        "label (4, 'up') on a line",
    ),
    "a label is far from its bond": (
        lambda root: _shift(_item(root, label="4 up"), "x", 16.0),
        "label (4, 'up') is not at the end of its bond",
    ),
    "a number lies on the ring": (
        lambda root: _shift(_item(root, number="3"), "y", -9.0),
        "number 3 on a line",
    ),
    "two labels meet": (
        lambda root: [
            _item(root, label="2 down").set(name, _item(root, label="1 up").get(name)) for name in "xy"
        ],
        "label (1, 'up') on label (2, 'down')",
    ),
    "the paper is too narrow": (
        lambda root: [
            root.set("viewBox", "0 0 300 300"),
            root.set("width", "300"),
            root.set("height", "300"),
        ],
        "leaves the drawing",
    ),
    "a caption reaches the other chair": (
        lambda root: _shift(_item(root, caption=""), "x", 270.0),
        "on chair",
    ),
}


@pytest.mark.parametrize(("change", "fault"), _CHANGES.values(), ids=_CHANGES)
def test_a_spoiled_drawing_is_caught(change: Callable[[ElementTree.Element], None], fault: str) -> None:
    found = _changed(change)
    assert any(fault in item for item in found), found


def test_a_group_at_the_wrong_carbon_and_a_telling_question_are_caught() -> None:
    pair = chairs({(1, "up"): "CH3", (2, "down"): "OH"})
    good = key_pair(pair)
    swapped = replace(good, svg=good.svg.replace(">OH<", ">NH<", 1))
    assert _written(read(swapped.svg).chairs[0], {}) != _wanted(pair[0])
    question = question_pair(pair)
    told = replace(question, alt=f"{question.alt} Chair A is 1e 2e.")
    assert _gives_away(told) == ["1e", "2e"]
    root = ElementTree.fromstring(question.svg)
    _item(root, ligand="1 up").set("class", "line-axial")
    coloured = replace(question, svg=ElementTree.tostring(root, encoding="unicode"))
    assert coloured != question
    assert _gives_away(coloured) != []
