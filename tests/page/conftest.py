"""The browser and the small page that all tests of the page share."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from browser import Watched, playwright_with_browser
from page_outcomes import outcome_of, results, written
from playwright.sync_api import Browser


@pytest.fixture(scope="module")
def launch() -> Iterator[Callable[..., Browser]]:
    with playwright_with_browser() as start:
        yield start


@pytest.fixture(scope="module")
def browser(launch: Callable[..., Browser]) -> Browser:
    return launch()


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return written(outcome_of(*results()), tmp_path_factory.mktemp("small"))


@pytest.fixture
def opened(browser: Browser, small: Path) -> Iterator[Watched]:
    """The small page, which must neither ask the network nor complain, whatever a test does with it."""
    context = browser.new_context(viewport={"width": 1280, "height": 900}, accept_downloads=True)
    watched = Watched(context.new_page(), small)
    yield watched
    assert watched.asked_the_network_for() == []
    assert watched.complaints == []
    context.close()
