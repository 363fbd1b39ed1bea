"""The question-bank package, against a structural test written from the standard.

IMS Question and Test Interoperability (QTI), Assessment Test, Section and Item Information Model, version
2.1, 2012: required attributes, order and content of the elements used here, the types of expressions; IMS
Content Packaging 1.1 for the manifest; W3C Namespaces in XML 1.0 for NCName. All of it from memory: the
published schema is in no general library. A small interpreter of the response rules used here marks answers.
"""

import io
import re
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from chairgap.answer_key.files.checking import check_file
from chairgap.answer_key.files.qti import ITEM_SPACE, PACKAGE_SPACE, item_xml, package
from chairgap.answer_key.files.questions import questions
from chairgap.answer_key.rules.asking import Question, Slip

DEMO = Path(__file__).parents[3] / "configs" / "demo_key.csv"
NC_NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_.-]*")
Q = f"{{{ITEM_SPACE}}}"
Element = ElementTree.Element

# Element -> (required attributes, optional attributes, allowed children); the parts of the model in use.
RULES = {"responseCondition", "setOutcomeValue"}
EXPRESSIONS = {"match", "equal", "variable", "correct", "baseValue", "multiple"}
MODEL: dict[str, tuple[set[str], set[str], set[str]]] = {
    "assessmentItem": (
        {"identifier", "title", "adaptive", "timeDependent"},
        {"label", "toolName", "toolVersion"},
        {"responseDeclaration", "outcomeDeclaration", "itemBody", "responseProcessing", "modalFeedback"},
    ),
    "responseDeclaration": ({"identifier", "cardinality", "baseType"}, set(), {"correctResponse"}),
    "outcomeDeclaration": ({"identifier", "cardinality", "baseType"}, {"normalMaximum"}, {"defaultValue"}),
    "correctResponse": (set(), set(), {"value"}),
    "defaultValue": (set(), set(), {"value"}),
    "value": (set(), set(), set()),
    "itemBody": (set(), set(), {"p", "choiceInteraction"}),
    "p": (set(), set(), {"textEntryInteraction"}),
    "textEntryInteraction": ({"responseIdentifier"}, {"expectedLength"}, set()),
    "choiceInteraction": (
        {"responseIdentifier", "shuffle", "maxChoices"},
        set(),
        {"prompt", "simpleChoice"},
    ),
    "prompt": (set(), set(), set()),
    "simpleChoice": ({"identifier"}, {"fixed"}, set()),
    "responseProcessing": (set(), {"template"}, RULES),
    "responseCondition": (set(), set(), {"responseIf", "responseElseIf", "responseElse"}),
    "responseIf": (set(), set(), RULES | EXPRESSIONS),
    "responseElse": (set(), set(), RULES),
    "setOutcomeValue": ({"identifier"}, set(), EXPRESSIONS),
    "match": (set(), set(), EXPRESSIONS),
    "equal": ({"toleranceMode"}, {"tolerance"}, EXPRESSIONS),
    "variable": ({"identifier"}, set(), set()),
    "correct": ({"identifier"}, set(), set()),
    "baseValue": ({"baseType"}, set(), set()),
    "multiple": (set(), set(), EXPRESSIONS),
    "modalFeedback": ({"outcomeIdentifier", "identifier", "showHide"}, {"title"}, {"p"}),
}
ORDER = ["responseDeclaration", "outcomeDeclaration", "itemBody", "responseProcessing", "modalFeedback"]


def name(element: Element) -> str:
    assert element.tag.startswith(Q), element.tag
    return element.tag.removeprefix(Q)


def check_model(element: Element) -> None:
    needed, optional, children = MODEL[name(element)]
    assert needed <= set(element.keys()) <= needed | optional, (name(element), element.attrib)
    for child in element:
        assert name(child) in children, (name(element), name(child))
        check_model(child)


def check_item(root: Element) -> None:
    assert name(root) == "assessmentItem"
    check_model(root)
    order = [ORDER.index(name(child)) for child in root]
    assert order == sorted(order)
    assert root.get("title") and root.get("adaptive") == root.get("timeDependent") == "false"
    declared = {
        child.get("identifier"): (child.get("cardinality"), child.get("baseType"))
        for child in root
        if name(child).endswith("Declaration")
    }
    assert declared["SCORE"] == ("single", "float")
    choices = [choice.get("identifier") for choice in root.iter(f"{Q}simpleChoice")]
    assert len(set(choices)) == len(choices)
    for identifier in (root.get("identifier"), *declared, *choices):
        assert NC_NAME.fullmatch(identifier or ""), identifier
    (interaction,) = (element for element in root.iter() if name(element).endswith("Interaction"))
    cardinality, kind = declared[interaction.get("responseIdentifier")]
    values = [
        value.text or "" for value in root.iterfind(f"{Q}responseDeclaration/{Q}correctResponse/{Q}value")
    ]
    assert values and (cardinality == "multiple" or len(values) == 1)
    if name(interaction) == "choiceInteraction":
        assert kind == "identifier" and set(values) <= set(choices) and len(choices) >= 2
        assert interaction.get("maxChoices") == ("0" if cardinality == "multiple" else "1")
    else:
        assert (cardinality, kind) in {("single", "float"), ("single", "integer")} and not choices
        assert [float(value) if kind == "float" else int(value) for value in values]
    check_processing(root, declared)


def check_processing(root: Element, declared: dict[str | None, tuple[str | None, str | None]]) -> None:
    shown = {
        (found.get("outcomeIdentifier"), found.get("identifier")) for found in root.iter(f"{Q}modalFeedback")
    }
    for element in root.iter():
        kind = name(element)
        if kind in {"variable", "correct", "setOutcomeValue"}:
            assert element.get("identifier") in declared
        if kind == "setOutcomeValue":
            assert len(element) == 1
            for value in element.iter(f"{Q}baseValue"):
                if element.get("identifier") in {"SLIPS", "SOLUTION"}:
                    assert (element.get("identifier"), value.text) in shown
        check_rule(element, kind)
    for outcome, identifier in shown:
        assert declared[outcome][1] == "identifier" and NC_NAME.fullmatch(identifier or "")


def check_rule(element: Element, kind: str) -> None:
    if kind == "responseIf":
        assert name(element[0]) in {"match", "equal"}
        assert all(name(child) in RULES for child in element[1:]) and len(element) > 1
    if kind == "responseCondition":
        assert [name(child) for child in element] in (["responseIf"], ["responseIf", "responseElse"])
    if kind in {"match", "equal"}:
        assert len(element) == 2
    if kind == "equal":
        mode = element.get("toleranceMode")
        assert (mode == "exact") == (element.get("tolerance") is None) and mode in {"exact", "absolute"}
        assert all(float(part) >= 0.0 for part in (element.get("tolerance") or "").split())


class Delivery:
    """Runs the response rules in use here, as the section on response processing has them."""

    def __init__(self, root: Element, response: object):
        self.root, self.values = root, {"RESPONSE": response, "SLIPS": [], "SCORE": 0.0}
        found = root.find(f"{Q}responseDeclaration")
        assert found is not None
        self.kind, self.cardinality = found.get("baseType"), found.get("cardinality")
        texts = [value.text or "" for value in found.iter(f"{Q}value")]
        read = [self._read(self.kind, text) for text in texts]
        self.correct = set(read) if self.cardinality == "multiple" else read[0]
        for rule in root.find(f"{Q}responseProcessing") or ():
            self._rule(rule)

    @staticmethod
    def _read(kind: str | None, text: str) -> object:
        return float(text) if kind in {"float", "integer"} else text

    def _rule(self, rule: Element) -> None:
        if name(rule) == "setOutcomeValue":
            self.values[rule.get("identifier") or ""] = self._value(rule[0])
            return
        branch = rule[0]
        otherwise = list(rule[1]) if len(rule) > 1 else []
        for child in list(branch[1:]) if self._value(branch[0]) else otherwise:
            self._rule(child)

    def _value(self, found: Element) -> object:
        kind = name(found)
        if kind == "variable":
            return self.values[found.get("identifier") or ""]
        if kind == "correct":
            return self.correct
        if kind == "baseValue":
            return self._read(found.get("baseType"), found.text or "")
        if kind == "multiple":
            parts = [self._value(child) for child in found]
            return [x for part in parts for x in (part if isinstance(part, list) else [part])]
        one, two = (self._value(child) for child in found)
        if kind == "match" or found.get("toleranceMode") == "exact":
            return one == two
        below, above = (float(part) for part in (found.get("tolerance") or "").split())
        assert isinstance(one, float) and isinstance(two, float)
        return two - below <= one <= two + above

    def told(self) -> list[str]:
        return [
            "".join(shown.itertext()).strip()
            for shown in self.root.iter(f"{Q}modalFeedback")
            if shown.get("identifier") in self.values["SLIPS"]  # type: ignore[operator]
        ]


def members(content: bytes) -> dict[str, Element]:
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert archive.testzip() is None
        return {member: ElementTree.fromstring(archive.read(member)) for member in archive.namelist()}


@pytest.fixture(scope="module")
def shipped() -> tuple[Question, ...]:
    return questions(check_file(DEMO), DEMO).questions


def test_items_have_the_structure_of_the_standard(shipped: tuple[Question, ...]) -> None:
    files = members(package(shipped))
    del files["imsmanifest.xml"]
    assert len(files) == len(shipped)
    for root in files.values():
        check_item(root)
    kinds = {name(element) for root in files.values() for element in root.iter()}
    assert kinds == set(MODEL)  # nothing of the model above goes untested


def test_manifest_names_each_file_once(shipped: tuple[Question, ...]) -> None:
    files = members(package(shipped))
    manifest = files.pop("imsmanifest.xml")
    p = f"{{{PACKAGE_SPACE}}}"
    assert manifest.tag == f"{p}manifest"
    assert [child.tag.removeprefix(p) for child in manifest] == ["metadata", "organizations", "resources"]
    resources = manifest.findall(f"{p}resources/{p}resource")
    assert [resource.get("href") for resource in resources] == list(files)
    assert {resource.get("type") for resource in resources} == {"imsqti_item_xmlv2p1"}
    for resource in resources:
        (file,) = resource
        assert file.get("href") == resource.get("href")
    identifiers = [manifest.get("identifier"), *(resource.get("identifier") for resource in resources)]
    assert len(set(identifiers)) == len(identifiers)
    assert all(NC_NAME.fullmatch(identifier or "") for identifier in identifiers)


def test_answers_are_marked_as_the_question_has_it(shipped: tuple[Question, ...]) -> None:
    for item in shipped:
        root = ElementTree.fromstring(item_xml(item, "item-1"))
        points = 1.0 if item.points is None else item.points
        if item.choices:
            for choice in item.choices:
                given = f"choice-{item.choices.index(choice) + 1}"
                done = Delivery(root, {given} if item.several else given)
                assert done.values["SCORE"] == (points if {choice} == set(item.answers) else 0.0)
                assert done.told() == [slip.words for slip in item.slips if slip.choice == choice]
            right = {f"choice-{item.choices.index(answer) + 1}" for answer in item.answers}
            done = Delivery(root, right if item.several else right.pop())
            assert done.values["SCORE"] == points
            continue
        assert item.low is not None and item.high is not None
        width = max(item.high - item.low, 1e-3)
        inside = (item.low + 1e-4 * width, 0.5 * (item.low + item.high), item.high - 1e-4 * width)
        for value in inside if not item.whole else (item.low,):
            assert Delivery(root, value).values["SCORE"] == points, (item.title, value)
        for value in (item.low - 0.01 * width, item.high + 0.01 * width):
            assert Delivery(root, value).values["SCORE"] == 0.0
        for slip in item.slips:
            assert slip.number is not None
            done = Delivery(root, slip.number)
            assert slip.words in done.told() and done.values["SCORE"] == 0.0


def test_same_questions_same_bytes_and_no_clock(shipped: tuple[Question, ...]) -> None:
    assert package(shipped) == package(shipped)
    with zipfile.ZipFile(io.BytesIO(package(shipped))) as archive:
        assert {member.date_time for member in archive.infolist()} == {(2000, 1, 1, 0, 0, 0)}


def test_hostile_names_are_text(tmp_path: Path) -> None:
    path = tmp_path / "key.csv"
    path.write_text(
        "item,molecule,quantity,carbon,claimed\n"
        '"<script>alert(1)</script> & ""x"" ]]>",1 up CH3,gap,,1.74\n'
        "&lt;b,1 up CH3,position,1,equatorial\n"
    )
    asked = questions(check_file(path), path).questions
    files = members(package(asked))
    first, second = files["items/item-0001.xml"], files["items/item-0002.xml"]
    assert first.get("title") == '<script>alert(1)</script> & "x" ]]>: gap'
    assert second.get("title") == "&lt;b: position, C1"
    assert all("script" not in element.tag for root in files.values() for element in root.iter())


NOISE = st.text(max_size=30)


@settings(max_examples=80, deadline=None, derandomize=True)
@given(NOISE, NOISE, NOISE, st.floats(-1e6, 1e6), st.floats(0.0, 10.0))
def test_any_text_makes_a_well_formed_item(
    title: str, prompt: str, words: str, value: float, slack: float
) -> None:
    item = Question(
        title=title + ".",
        prompt=prompt,
        answers=(),
        choices=(),
        several=False,
        number=value,
        low=value - slack,
        high=value + slack,
        whole=False,
        unit="",
        points=None,
        feedback=words,
        slips=(Slip(number=value + 1.0, choice="", words=words),),
    )
    check_item(ElementTree.fromstring(item_xml(item, "item-1")))
