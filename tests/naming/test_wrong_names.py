"""Wrong names are refused in these words, which name what is wrong and end with what to do."""

import pytest

from chairgap import MoleculeError, parse_name
from naming.wrong_names import WRONG


def test_how_many() -> None:
    assert len(WRONG) >= 60


@pytest.mark.parametrize(("name", "message"), WRONG.items())
def test_message(name: str, message: str) -> None:
    with pytest.raises(MoleculeError) as caught:
        parse_name(name)
    assert caught.value.message == message
    assert message.endswith(".")


@pytest.mark.parametrize("text", ["", " ", "(" * 300, "1-" * 150, "methyl" * 66, "di" * 200])
def test_odd_texts(text: str) -> None:
    with pytest.raises(MoleculeError) as caught:
        parse_name(text)
    assert "characters" not in caught.value.message


@pytest.mark.parametrize("length", [401, 10_000])
def test_a_name_that_is_too_long_is_refused_for_its_length(length: int) -> None:
    """At most 400 characters: 'di' * 200 above is refused for what it says."""
    with pytest.raises(MoleculeError) as caught:
        parse_name("x" * length)
    assert f"it has {length} characters, and at most 400 are read; give a SMILES." in caught.value.message
