"""`chairgap cache`, and what the commands keep."""

import os
import re
from pathlib import Path


def last_line(out: str) -> str:
    place, rest = out.splitlines()
    assert place == (
        f"Folder: {os.environ['CHAIRGAP_CACHE']} (another one, or 'off': environment variable CHAIRGAP_CACHE)"
    )
    return rest


def test_a_molecule_fills_it_and_it_is_cleared(chairgap) -> None:
    """The molecule of two groups is a part itself."""
    words = ("molecule", "1 up F, 2 up Cl", "--effort", "quick")
    assert last_line(chairgap("cache")[1]) == "0 groups and pairs, 0 kB of at most 100 MB."
    cold = chairgap(*words)
    assert cold[0] == 0
    assert chairgap(*words) == cold
    filled = last_line(chairgap("cache")[1])
    assert re.fullmatch(r"3 groups and pairs, \d+ kB of at most 100 MB\.", filled)
    cleared = last_line(chairgap("cache", "--clear")[1])
    assert cleared == f"Cleared: {filled.removesuffix(' of at most 100 MB.')}."
    assert list(Path(os.environ["CHAIRGAP_CACHE"]).iterdir()) == []
    assert chairgap(*words) == cold


def test_switched_off_nothing_is_kept(chairgap, monkeypatch) -> None:
    folder = Path(os.environ["CHAIRGAP_CACHE"])
    monkeypatch.setenv("CHAIRGAP_CACHE", "off")
    assert chairgap("molecule", "1 up F", "--effort", "quick")[0] == 0
    assert chairgap("cache") == (
        0,
        "Switched off: CHAIRGAP_CACHE is 'off'. Nothing is kept between runs.\n",
        "",
    )
    assert not folder.exists()
