"""The checker of the drawing rules can fail: good drawings with one thing spoiled are caught."""

from collections.abc import Callable
from dataclasses import replace
from xml.etree import ElementTree

import pytest
from chair_labels import gives_away, wanted, written
from chair_molecules import chairs
from chair_reader import broken_rules, read

from chairgap.drawings.chair_pair import key_pair, question_pair


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
    "two numbers are exchanged": (
        lambda root: [
            _item(root, number="3").set("data-number", "x"),
            _item(root, number="4").set("data-number", "3"),
            _item(root, number="x").set("data-number", "4"),
        ],
        "number 3 is not at its carbon",
    ),
    "a letter stands at another bond": (
        lambda root: [
            _item(root, mark="2 down").set(name, _item(root, mark="4 up").get(name)) for name in "xy"
        ],
        "mark of (2, 'down') is not at its bond",
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
    assert written(read(swapped.svg).chairs[0], {}) != wanted(pair[0])
    question = question_pair(pair)
    told = replace(question, alt=f"{question.alt} Chair A is 1e 2e.")
    assert gives_away(told) == ["1e", "2e"]
    root = ElementTree.fromstring(question.svg)
    _item(root, ligand="1 up").set("class", "line-axial")
    coloured = replace(question, svg=ElementTree.tostring(root, encoding="unicode"))
    assert coloured != question
    assert gives_away(coloured) != []
