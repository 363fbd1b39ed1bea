"""Claims of a checked key as question-bank items: QTI 2.1 (a zip package) and plain CSV.

QTI: IMS Question and Test Interoperability, Assessment Test, Section and Item Information Model 2.1, 2012;
element and attribute names from memory. Each item is one assessmentItem: a number typed into a text entry
and compared within a tolerance, or a choice of two words. The unit stands in the prompt. Only claims that
were not found wrong are exported, with the right answer of the declared conventions.
"""

import io
import re
import zipfile
from collections.abc import Iterable
from dataclasses import dataclass
from xml.etree import ElementTree

from chairgap.key.reading import tolerance_of
from chairgap.keydesk.checking import CheckedKey
from chairgap.records import Finding
from chairgap.report.cells import Row, csv_text, frame_of

ITEM_SPACE = "http://www.imsglobal.org/xsd/imsqti_v2p1"
PACKAGE_SPACE = "http://www.imsglobal.org/xsd/imscp_v1p1"
ITEM_TYPE = "imsqti_item_xmlv2p1"
CSV_HEADERS = ("item", "prompt", "answer", "low", "high", "unit", "feedback")
_CHOICES = {
    "position": ("axial", "equatorial"),
    "face": ("up", "down"),
    "relation": ("cis", "trans"),
    "twist-boat": ("yes", "no"),
}
_PROMPTS = {
    "position": "Is the group axial or equatorial?",
    "face": "Does the group point up or down?",
    "relation": "Are the two groups cis or trans?",
    "twist-boat": "Does the molecule prefer a twist-boat?",
    "diaxial count": "How many 1,3-diaxial contacts are there?",
    "gauche count": "How many gauche interactions are there?",
    "term": "What does this term add to the energy?",
    "gap": "Estimate the Gibbs gap between the two chairs",
    "K": "Estimate the equilibrium constant [stable chair]/[other chair].",
    "percent": "What percentage is the chair asked for?",
}
# One time for every member, so that the same key gives the same bytes.
_STAMP = (2000, 1, 1, 0, 0, 0)


@dataclass(frozen=True, kw_only=True)
class Question:
    """One exportable claim. choices is empty for a number; low and high bound what is right."""

    identifier: str
    title: str
    prompt: str
    answer: str
    choices: tuple[str, ...]
    low: float | None
    high: float | None
    unit: str
    feedback: str


def questions(checked: CheckedKey) -> tuple[Question, ...]:
    """The claims that can be asked as a number or a choice of two words, in the order of the key."""
    fitting = [
        finding
        for finding in checked.report.findings
        if finding.verdict != "ERROR" and finding.claim.quantity in _PROMPTS
    ]
    return tuple(_question(number, finding) for number, finding in enumerate(fitting, start=1))


def _question(number: int, finding: Finding) -> Question:
    claim, right = finding.claim, finding.answer
    value = right.value
    slack = tolerance_of(claim, right) if value is not None else 0.0
    if claim.quantity in ("diaxial count", "gauche count"):
        slack = 0.0
    where = f", carbon {'-'.join(map(str, claim.carbons))}" if claim.carbons else ""
    group = f" ({claim.group})" if claim.group else ""
    chair = f", chair {claim.chair}" if claim.chair else ""
    unit = f" Unit: {right.unit}." if right.unit else ""
    direction = f" Direction: {claim.conventions.direction}." if claim.quantity == "gap" else ""
    share = f" Asked for: {claim.conventions.percent_of}." if claim.quantity == "percent" else ""
    kelvin = f" T = {claim.conventions.temperature_k:g} K." if claim.quantity in ("K", "percent") else ""
    return Question(
        identifier=f"item-{number:03d}",
        title=f"{claim.item}: {claim.quantity}",
        prompt=f"{', '.join(claim.molecules)}{where}{group}{chair}: {_PROMPTS[claim.quantity]}"
        f"{direction}{share}{kelvin}{unit}",
        answer=right.text if value is None else f"{value:.6g}",
        choices=_CHOICES.get(claim.quantity, ()),
        low=None if value is None else value - slack,
        high=None if value is None else value + slack,
        unit=right.unit,
        feedback=" ".join(right.steps),
    )


def questions_csv(asked: Iterable[Question]) -> str:
    """The items as CSV, each number with the range that counts as right."""
    rows: list[Row] = [
        {
            "item": item.title,
            "prompt": item.prompt,
            "answer": item.answer,
            "low": item.low,
            "high": item.high,
            "unit": item.unit,
            "feedback": item.feedback,
        }
        for item in asked
    ]
    return csv_text(frame_of(rows, CSV_HEADERS))


def item_xml(item: Question) -> bytes:
    """One assessmentItem."""
    root = _element(
        None,
        "assessmentItem",
        xmlns=ITEM_SPACE,
        identifier=item.identifier,
        title=_clean(item.title),
        adaptive="false",
        timeDependent="false",
    )
    declared = _element(
        root,
        "responseDeclaration",
        identifier="RESPONSE",
        cardinality="single",
        baseType="identifier" if item.choices else "float",
    )
    correct = item.answer.replace("-", "_") if item.choices else item.answer
    _element(_element(declared, "correctResponse"), "value").text = correct
    score = _element(root, "outcomeDeclaration", identifier="SCORE", cardinality="single", baseType="float")
    _element(_element(score, "defaultValue"), "value").text = "0"
    _element(root, "outcomeDeclaration", identifier="FEEDBACK", cardinality="single", baseType="identifier")
    body = _element(root, "itemBody")
    if item.choices:
        asked = _element(
            body, "choiceInteraction", responseIdentifier="RESPONSE", shuffle="false", maxChoices="1"
        )
        _element(asked, "prompt").text = _clean(item.prompt)
        for choice in item.choices:
            _element(asked, "simpleChoice", identifier=choice.replace("-", "_")).text = choice
    else:
        line = _element(body, "p")
        line.text = _clean(item.prompt) + " "
        _element(line, "textEntryInteraction", responseIdentifier="RESPONSE", expectedLength="12")
    _processing(root, item)
    solution = _element(
        root, "modalFeedback", outcomeIdentifier="FEEDBACK", identifier="SOLUTION", showHide="show"
    )
    solution.text = _clean(item.feedback)
    return _bytes(root)


def _processing(root: ElementTree.Element, item: Question) -> None:
    """SCORE 1 when the response fits; the solution is shown in either case."""
    processing = _element(root, "responseProcessing")
    rule = _element(_element(processing, "responseCondition"), "responseIf")
    if item.choices or item.low is None or item.high is None:
        test = _element(rule, "match")
    else:
        slack = f"{0.5 * (item.high - item.low):.6g}"
        test = _element(rule, "equal", toleranceMode="absolute", tolerance=f"{slack} {slack}")
    _element(test, "variable", identifier="RESPONSE")
    _element(test, "correct", identifier="RESPONSE")
    scored = _element(rule, "setOutcomeValue", identifier="SCORE")
    _element(scored, "baseValue", baseType="float").text = "1"
    shown = _element(processing, "setOutcomeValue", identifier="FEEDBACK")
    _element(shown, "baseValue", baseType="identifier").text = "SOLUTION"


def package(asked: Iterable[Question]) -> bytes:
    """A content package: imsmanifest.xml and one file an item; the same questions give the same bytes."""
    items = tuple(asked)
    root = _element(None, "manifest", xmlns=PACKAGE_SPACE, identifier="chairgap-key")
    _element(root, "organizations")
    resources = _element(root, "resources")
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for item in items:
            name = f"items/{item.identifier}.xml"
            resource = _element(
                resources, "resource", identifier=f"res-{item.identifier}", type=ITEM_TYPE, href=name
            )
            _element(resource, "file", href=name)
            archive.writestr(zipfile.ZipInfo(name, _STAMP), item_xml(item))
        archive.writestr(zipfile.ZipInfo("imsmanifest.xml", _STAMP), _bytes(root))
    return out.getvalue()


def _element(parent: ElementTree.Element | None, name: str, **attributes: str) -> ElementTree.Element:
    if parent is None:
        return ElementTree.Element(name, attributes)
    return ElementTree.SubElement(parent, name, attributes)


def _clean(text: str) -> str:
    """Text without the characters that XML 1.0 does not allow."""
    return re.sub(r"[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]", " ", text)


def _bytes(root: ElementTree.Element) -> bytes:
    ElementTree.indent(root)
    text: bytes = ElementTree.tostring(root, encoding="utf-8", xml_declaration=True)
    return text + b"\n"
