"""Chair drawings read back from their SVG text and held against the drawing rules, the labels and examples
worked by hand."""

import os
import subprocess
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest
from chair_labels import gives_away, legend_of, wanted, written
from chair_molecules import FACES, ODD_GROUPS, chairs, random_groups, table_groups
from chair_reader import broken_rules, read

from chairgap.drawings.chair_pair import (
    ChairOptions,
    blank_pair,
    chair_pair,
    key_pair,
    one_chair,
    question_pair,
)
from chairgap.drawings.picture import Picture
from chairgap.records import Chair

_VARIANTS: dict[str, Callable[[tuple[Chair, Chair]], Picture]] = {
    "key": key_pair,
    "question": question_pair,
    "question without groups": lambda pair: question_pair(pair, groups_shown=False),
    "hydrogens": lambda pair: chair_pair(pair, ChairOptions(hydrogens=True)),
}
_BATCHES = range(0, 500, 50)
_FIRST, *_REST = _BATCHES  # every fifty rings take six seconds


@pytest.mark.parametrize("first", [_FIRST, *(pytest.param(first, marks=pytest.mark.long) for first in _REST)])
def test_five_hundred_random_rings_keep_every_rule(first: int) -> None:
    rules = cache(broken_rules)  # the question without groups is one of two drawings
    for seed in range(first, first + _BATCHES.step):
        pair = chairs(random_groups(seed))
        for name, draw in _VARIANTS.items():
            picture = draw(pair)
            assert rules(picture.svg) == [], f"seed {seed}, {name}"
            if name != "question without groups":
                drawn, legend = read(picture.svg).chairs, legend_of(picture)
                for chair, shown in zip(pair, drawn, strict=True):
                    assert shown.letter == chair.letter
                    assert len(shown.labels) == (12 if name == "hydrogens" else len(chair.groups))
                    assert written(shown, legend) == wanted(chair), f"seed {seed}, {name}"


@pytest.mark.parametrize(
    "group", ["CH3", "C(CH3)3", "OSO2C6H4CH3", "OSi(C6H5)2C(CH3)3", "N(CH3)2", *ODD_GROUPS]
)
@pytest.mark.parametrize("draw", [key_pair, question_pair])
def test_twelve_equal_groups_have_room(group: str, draw: Callable[[tuple[Chair, Chair]], Picture]) -> None:
    pair = chairs({(locant, face): group for locant in range(1, 7) for face in FACES})
    picture = draw(pair)
    assert broken_rules(picture.svg) == []
    legend = legend_of(picture)
    assert [written(shown, legend) for shown in read(picture.svg).chairs] == [wanted(chair) for chair in pair]


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
    legend = legend_of(picture)
    sets = []
    for chair in read(picture.svg).chairs:
        pairs = [(position, group) for _, _, position, group in written(chair, legend)]
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


@pytest.mark.parametrize("seed", range(50))
def test_questions_do_not_give_the_answer_away(seed: int) -> None:
    pair = chairs(random_groups(seed))
    assert gives_away(question_pair(pair)) == []
    unseen = question_pair(pair, groups_shown=False)
    assert gives_away(unseen) == []
    assert all(chair.labels == {} and len(chair.bonds) == 12 for chair in read(unseen.svg).chairs)
    for item in pair[0].groups:
        assert item.group not in unseen.alt.split()
    assert gives_away(key_pair(pair)) != []


@pytest.mark.parametrize("seed", range(20))
def test_the_question_has_everything_where_the_key_has_it(seed: int) -> None:
    """So an answer on paper can be held against the key; and no label stands where the letter belongs."""
    pair = chairs(random_groups(seed))
    for asked, told in zip(
        read(question_pair(pair).svg).chairs, read(key_pair(pair).svg).chairs, strict=True
    ):
        for key, text in told.labels.items():
            assert asked.labels[key].words == text.words
            assert (asked.bonds[key][1] - asked.carbon(1)) == pytest.approx(
                told.bonds[key][1] - told.carbon(1)
            )
            shifts = [told.carbon(1)[axis] - asked.carbon(1)[axis] for axis in (0, 1)]
            moved = [place + shifts[at % 2] for at, place in enumerate(asked.labels[key].box)]
            assert text.box == pytest.approx(moved)


def test_the_question_without_groups_is_the_same_for_every_molecule_with_the_same_frames() -> None:
    one = chairs({(1, "up"): "CH3", (2, "down"): "OH"})
    two = chairs({(3, "up"): "C(CH3)3"})
    assert one[0].odd_up_axial == two[0].odd_up_axial
    assert question_pair(one, groups_shown=False) == question_pair(two, groups_shown=False)


def test_the_template_has_both_frames_and_twelve_bonds_each() -> None:
    picture = blank_pair()
    assert broken_rules(picture.svg) == []
    assert gives_away(picture) == []
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
    assert written(drawn, {}) == wanted(pair[1])
    assert read(picture.svg).arrows == []


def test_names_are_escaped() -> None:
    picture = key_pair(chairs({(1, "up"): "<script>", (2, "up"): "\"&'"}))
    assert "<script" not in picture.svg
    assert "&lt;script&gt;" in picture.svg
    words = {text.words for chair in read(picture.svg).chairs for text in chair.labels.values()}
    assert words == {"<script>", "\"&'"}


def test_control_characters_do_not_break_the_file() -> None:
    """XML 1.0, section 2.2, has no place for them."""
    drawn = read(key_pair(chairs({(1, "up"): "a\x07b"})).svg)
    assert [text.words for chair in drawn.chairs for text in chair.labels.values()] == ["a b", "a b"]
    assert "a b on carbon 1" in drawn.alt


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
