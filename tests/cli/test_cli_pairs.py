"""Pairs without a published value, completed from the command line."""

import re


def test_pairs_are_completed_by_an_option(chairgap) -> None:
    code, out, _ = chairgap("molecule", "1 up Cl, 4 down Cl", "--pairs", "completed", "--effort", "quick")
    assert code == 0
    assert re.search(r"completed sum +\u22120\.27", out)
    assert "gas phase, 298.15 K" in " ".join(
        out.split()
    ) and "+1.06 (0.86 to 1.28); completed sum: \u22120.27" in " ".join(out.split())


def test_a_slip_in_the_option_is_named(chairgap) -> None:
    code, out, err = chairgap("molecule", "1 up Cl, 4 down Cl", "--pairs", "complete")
    assert (code, out) == (2, "")
    assert err == (
        "Error: command line, field '--pairs': It cannot be \"complete\". Did you mean 'completed'? Write "
        "'published' or 'completed'.\n"
    )
