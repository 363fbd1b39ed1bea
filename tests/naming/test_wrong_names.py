"""Wrong names are refused in these words, which name what is wrong and end with what to do."""

import pytest

from chairgap import MoleculeError, parse_name
from chairgap.naming.reading import LONGEST_NAME_READ
from naming.wrong_names import WRONG


def test_how_many() -> None:
    assert len(WRONG) >= 60


@pytest.mark.parametrize(("name", "message"), WRONG.items())
def test_message(name: str, message: str) -> None:
    with pytest.raises(MoleculeError) as caught:
        parse_name(name)
    assert caught.value.message == message
    assert message.endswith(".")


@pytest.mark.parametrize("text", ["", " ", "(" * 300, "1-" * 150, "methyl" * 66, "di" * 200, "x" * 10_000])
def test_odd_texts(text: str) -> None:
    with pytest.raises(MoleculeError):
        parse_name(text)
    assert LONGEST_NAME_READ == 400
