"""Question sheets and keys against the rules of axe-core, a general checker of accessibility."""

from pathlib import Path

import pytest
from handout_helpers import all_kinds_outcome, made, outcome_of, reason, texts

from chairgap.handout.kinds import KINDS
from page.browser import axe_script, playwright_with_browser

RULES = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "best-practice"]}


@pytest.mark.parametrize("large", [False, True])
def test_pages_keep_the_rules(tmp_path: Path, large: bool) -> None:
    axe = axe_script()
    doubtful = made("1 up OH, 4 down CH3", sign="disagrees", preferred="B", reasons=(reason("vibrations"),))
    usual = texts(outcome_of(doubtful, made("1 up CH3, 1 down C2H5")), versions=1, large_print=large)
    kinds = texts(all_kinds_outcome(), versions=1, large_print=large, kinds=tuple(KINDS))
    written = {name: usual[name] for name in ("questions_1.html", "key_1.html")}
    written |= {f"kinds_{name}": kinds[name] for name in ("questions_1.html", "key_1.html")}
    with playwright_with_browser() as start:
        page = start().new_page()
        for name in written:
            (tmp_path / name).write_text(written[name], encoding="utf-8")
            page.goto((tmp_path / name).as_uri())
            page.evaluate(axe)
            found = page.evaluate("rules => axe.run(document, rules)", RULES)["violations"]
            told = [(one["id"], [node["html"][:120] for node in one["nodes"]]) for one in found]
            assert not told, f"{name}: {told}"
