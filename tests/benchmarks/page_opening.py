"""How long a browser takes to open the page of 12 and of 500 molecules, and their ratio; five times each.

PYTHONPATH=tests:tests/page python tests/benchmarks/page_opening.py
"""

import statistics
import tempfile
from pathlib import Path

from browser import playwright_with_browser
from page_outcomes import repeated, written, written_large

LOADED_MS = "performance.getEntriesByType('navigation')[0].duration"
TIMES = 5


def opening_ms(start, page_file: Path) -> float:
    """Milliseconds from asking for the page until everything in it is loaded and drawn; median."""
    found = []
    for _ in range(TIMES):
        browser = start()
        page = browser.new_page()
        page.goto(page_file.as_uri())
        page.wait_for_timeout(100)
        found.append(page.evaluate(LOADED_MS))
        browser.close()
    return statistics.median(found)


def main() -> None:
    with tempfile.TemporaryDirectory() as temporary, playwright_with_browser() as start:
        folder = Path(temporary)
        pages = {
            12: written(repeated(12), folder / "small"),
            500: written_large(500, folder / "large"),
        }
        took = {count: opening_ms(start, page) for count, page in pages.items()}
        for count, page in pages.items():
            print(f"{count} molecules: {page.stat().st_size / 1e6:.1f} MB, opened in {took[count]:.0f} ms")
        print(f"ratio {took[500] / took[12]:.2f}")


if __name__ == "__main__":
    main()
