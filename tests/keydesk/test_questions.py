"""Question-bank items: a structural test written from the QTI 2.1 information model (IMS, 2012; from memory).

The published schema is in no general library, so the files are not validated against it.
"""

import csv
import io
import re
import zipfile
from pathlib import Path
from xml.etree import ElementTree

from chairgap.keydesk.checking import check_file
from chairgap.keydesk.questions import ITEM_SPACE, PACKAGE_SPACE, package, questions, questions_csv

DEMO = Path(__file__).parents[2] / "configs" / "demo_key.csv"
NC_NAME = re.compile(r"[A-Za-z_][\w.-]*")
Q = f"{{{ITEM_SPACE}}}"


def members(content: bytes) -> dict[str, ElementTree.Element]:
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert archive.testzip() is None
        return {name: ElementTree.fromstring(archive.read(name)) for name in archive.namelist()}


def test_every_item_has_what_the_information_model_asks_for() -> None:
    asked = questions(check_file(DEMO))
    files = members(package(asked))
    manifest = files.pop("imsmanifest.xml")
    resources = manifest.findall(f".//{{{PACKAGE_SPACE}}}resource")
    assert {resource.get("href") for resource in resources} == set(files)
    assert len(files) == len(asked) >= 15
    for root in files.values():
        assert root.tag == f"{Q}assessmentItem"
        assert {"identifier", "title", "adaptive", "timeDependent"} <= set(root.keys())
        assert NC_NAME.fullmatch(root.get("identifier", ""))
        order = [child.tag.removeprefix(Q) for child in root]
        assert order == [
            "responseDeclaration",
            "outcomeDeclaration",
            "outcomeDeclaration",
            "itemBody",
            "responseProcessing",
            "modalFeedback",
        ]
        response = root.find(f"{Q}responseDeclaration")
        assert response is not None and response.get("cardinality") == "single"
        interaction = next(element for element in root.iter() if element.tag.endswith("Interaction"))
        assert interaction.get("responseIdentifier") == response.get("identifier") == "RESPONSE"
        value = response.findtext(f"{Q}correctResponse/{Q}value") or ""
        choices = {choice.get("identifier") for choice in root.iter(f"{Q}simpleChoice")}
        if response.get("baseType") == "identifier":
            assert value in choices and len(choices) == 2
        else:
            float(value)
            test = next(root.iter(f"{Q}equal"))
            assert test.get("toleranceMode") == "absolute"
            assert all(float(part) >= 0.0 for part in (test.get("tolerance") or "").split())


def test_units_and_directions_stand_in_the_prompt() -> None:
    by_title = {item.title: item for item in questions(check_file(DEMO))}
    assert "Unit: kJ/mol." in by_title["4a: gap"].prompt and "Direction: B-A." in by_title["4a: gap"].prompt
    assert "T = 298.15 K." in by_title["1c: K"].prompt
    gap = by_title["2h: gap"]
    assert gap.low is not None and gap.high is not None
    assert abs(gap.low - 2.56) < 1e-9 and abs(gap.high - 2.66) < 1e-9


def test_same_key_same_bytes() -> None:
    assert package(questions(check_file(DEMO))) == package(questions(check_file(DEMO)))


def test_wrong_claims_are_left_out_and_names_are_text(tmp_path: Path) -> None:
    path = tmp_path / "key.csv"
    path.write_text(
        "item,molecule,quantity,carbon,claimed\n"
        '<script>alert(1)</script> & "x",1 up CH3,gap,,1.74\n'
        "b,1 up CH3,gap,,9.99\n"
        "=c,1 up CH3,position,1,equatorial\n"
    )
    asked = questions(check_file(path))
    assert len(asked) == 2
    root = members(package(asked))["items/item-001.xml"]
    assert root.get("title") == '<script>alert(1)</script> & "x": gap'
    rows = list(csv.DictReader(io.StringIO(questions_csv(asked))))
    assert rows[1]["item"] == "'=c: position"
    assert float(rows[0]["low"]) < 1.74 < float(rows[0]["high"])
