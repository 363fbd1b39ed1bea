"""Questions as a QTI 2.1 content package.

IMS Question and Test Interoperability: Assessment Test, Section and Item Information Model, version 2.1,
2012, and IMS Content Packaging; element and attribute names from memory. A number is a text entry compared
within its range; words are a choice. SCORE is the key's points (1 where it gives none). The solution is shown
in every case, and the feedback to each known slip that makes the answer given.
"""

import io
import zipfile
from collections.abc import Iterable
from xml.etree import ElementTree

from chairgap.answer_key.files.sheets import xml_text
from chairgap.answer_key.rules.asking import Question, Slip

ITEM_SPACE = "http://www.imsglobal.org/xsd/imsqti_v2p1"
PACKAGE_SPACE = "http://www.imsglobal.org/xsd/imscp_v1p1"
ITEM_TYPE = "imsqti_item_xmlv2p1"
# One time for every member, so that the same key gives the same bytes.
_STAMP = (2000, 1, 1, 0, 0, 0)
Element = ElementTree.Element


def package(asked: Iterable[Question]) -> bytes:
    """The zip: imsmanifest.xml and one file a question; the same questions give the same bytes."""
    root = _element(None, "manifest", xmlns=PACKAGE_SPACE, identifier="chairgap-key")
    metadata = _element(root, "metadata")
    _element(metadata, "schema").text = "QTIv2.1 Package"
    _element(metadata, "schemaversion").text = "1.0.0"
    _element(root, "organizations")
    resources = _element(root, "resources")
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for number, item in enumerate(asked, start=1):
            identifier = f"item-{number:04d}"
            name = f"items/{identifier}.xml"
            resource = _element(
                resources, "resource", identifier=f"res-{identifier}", type=ITEM_TYPE, href=name
            )
            _element(resource, "file", href=name)
            _write(archive, name, item_xml(item, identifier))
        _write(archive, "imsmanifest.xml", _bytes(root))
    return out.getvalue()


def _write(archive: zipfile.ZipFile, name: str, content: bytes) -> None:
    member = zipfile.ZipInfo(name, _STAMP)
    member.compress_type = zipfile.ZIP_DEFLATED
    member.create_system, member.external_attr = 3, 0o644 << 16
    archive.writestr(member, content)


def item_xml(item: Question, identifier: str) -> bytes:
    """One assessmentItem; identifier must be an NCName."""
    root = _element(
        None,
        "assessmentItem",
        xmlns=ITEM_SPACE,
        identifier=identifier,
        title=xml_text(item.title),
        adaptive="false",
        timeDependent="false",
    )
    _declare_response(root, item)
    points = 1.0 if item.points is None else item.points
    score = _outcome(root, "SCORE", "single", "float")
    score.set("normalMaximum", f"{points:g}")
    _element(_element(score, "defaultValue"), "value").text = "0"
    _outcome(root, "SOLUTION", "single", "identifier")
    if item.slips:
        _outcome(root, "SLIPS", "multiple", "identifier")
    _body(root, item)
    _processing(root, item, points)
    _feedback(root, "SOLUTION", "shown", item.feedback)
    for number, slip in enumerate(item.slips, start=1):
        _feedback(root, "SLIPS", f"slip-{number}", slip.words)
    return _bytes(root)


def _declare_response(root: Element, item: Question) -> None:
    kind = "identifier" if item.choices else "integer" if item.whole else "float"
    declared = _element(
        root,
        "responseDeclaration",
        identifier="RESPONSE",
        cardinality="multiple" if item.several else "single",
        baseType=kind,
    )
    correct = _element(declared, "correctResponse")
    number = f"{item.number:.0f}" if item.whole else f"{item.number or 0.0:.10g}"
    for value in [_choice(item, answer) for answer in item.answers] if item.choices else [number]:
        _element(correct, "value").text = value


def _choice(item: Question, text: str) -> str:
    """An identifier for a choice (its text may be no NCName, or differ from another in case alone)."""
    return f"choice-{item.choices.index(text) + 1}"


def _outcome(root: Element, identifier: str, cardinality: str, kind: str) -> Element:
    return _element(root, "outcomeDeclaration", identifier=identifier, cardinality=cardinality, baseType=kind)


def _body(root: Element, item: Question) -> None:
    body = _element(root, "itemBody")
    if not item.choices:
        line = _element(body, "p")
        line.text = xml_text(item.prompt) + " "
        _element(line, "textEntryInteraction", responseIdentifier="RESPONSE", expectedLength="12")
        return
    most = "0" if item.several else "1"
    asked = _element(
        body, "choiceInteraction", responseIdentifier="RESPONSE", shuffle="false", maxChoices=most
    )
    _element(asked, "prompt").text = xml_text(item.prompt)
    for choice in item.choices:
        _element(asked, "simpleChoice", identifier=_choice(item, choice)).text = xml_text(choice)


def _processing(root: Element, item: Question, points: float) -> None:
    """Points when the response fits, else the slips it fits; the solution in either case."""
    processing = _element(root, "responseProcessing")
    condition = _element(processing, "responseCondition")
    rule = _element(condition, "responseIf")
    if item.choices:
        test = _element(rule, "match")
    elif item.whole or item.low is None or item.high is None or item.number is None:
        test = _element(rule, "equal", toleranceMode="exact")
    else:
        shown = float(f"{item.number:.10g}")
        test = _equal(rule, shown - item.low, item.high - shown)
    _element(test, "variable", identifier="RESPONSE")
    _element(test, "correct", identifier="RESPONSE")
    _set(rule, "SCORE", "float", f"{points:g}")
    if item.slips:
        otherwise = _element(condition, "responseElse")
        for number, slip in enumerate(item.slips, start=1):
            _slip_rule(otherwise, item, f"slip-{number}", slip)
    _set(processing, "SOLUTION", "identifier", "shown")


def _set(parent: Element, outcome: str, kind: str, value: str) -> None:
    rule = _element(parent, "setOutcomeValue", identifier=outcome)
    _element(rule, "baseValue", baseType=kind).text = value


def _slip_rule(parent: Element, item: Question, name: str, slip: Slip) -> None:
    """Adds a slip's name to SLIPS; several can fit, since slips collide."""
    rule = _element(_element(parent, "responseCondition"), "responseIf")
    if slip.number is None:
        test = _element(rule, "match")
        _element(test, "variable", identifier="RESPONSE")
        _element(test, "baseValue", baseType="identifier").text = _choice(item, slip.choice)
    else:
        slack = 0.5 * ((item.high or 0.0) - (item.low or 0.0))
        test = _equal(rule, slack, slack)
        _element(test, "variable", identifier="RESPONSE")
        _element(test, "baseValue", baseType="float").text = f"{slip.number:.6g}"
    slips = _element(_element(rule, "setOutcomeValue", identifier="SLIPS"), "multiple")
    _element(slips, "variable", identifier="SLIPS")
    _element(slips, "baseValue", baseType="identifier").text = name


def _equal(parent: Element, below: float, above: float) -> Element:
    return _element(
        parent, "equal", toleranceMode="absolute", tolerance=f"{max(below, 0.0):.8g} {max(above, 0.0):.8g}"
    )


def _feedback(root: Element, outcome: str, identifier: str, words: str) -> None:
    shown = _element(root, "modalFeedback", outcomeIdentifier=outcome, identifier=identifier, showHide="show")
    _element(shown, "p").text = xml_text(words)


def _element(parent: Element | None, name: str, **attributes: str) -> Element:
    if parent is None:
        return ElementTree.Element(name, attributes)
    return ElementTree.SubElement(parent, name, attributes)


def _bytes(root: Element) -> bytes:
    ElementTree.indent(root)
    text: bytes = ElementTree.tostring(root, encoding="utf-8", xml_declaration=True)
    return text + b"\n"
