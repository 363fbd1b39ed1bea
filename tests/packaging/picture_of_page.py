"""The README's picture of a page, by a Chromium browser; look at it before it is kept.

PYTHONPATH=tests:tests/page python tests/packaging/picture_of_page.py PAGE.HTML  (of the demo)
"""

import sys
from pathlib import Path

from browser import playwright_with_browser

PICTURE = Path(__file__).resolve().parents[2] / "reports" / "sample" / "page.png"
SHOWN = "trans-1,2-dimethylcyclohexane"

if __name__ == "__main__":
    with playwright_with_browser() as start:
        page = start().new_page(viewport={"width": 1280, "height": 900})
        page.goto(Path(sys.argv[1]).resolve().as_uri())
        section = page.locator("section.molecule", has=page.get_by_role("heading", name=SHOWN))
        # Sections out of sight are laid out when they come near: the first jump is only about there.
        for _ in range(3):
            section.evaluate("element => element.scrollIntoView()")
            page.wait_for_timeout(500)
        page.screenshot(path=PICTURE)
