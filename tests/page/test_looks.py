"""The page as it is looked at: on screens of all widths, at 400 %, in forced colours, on paper, by axe."""

import io
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pypdf
import pytest
from browser import Watched, axe_script, wait_until
from page_outcomes import outcome_of, results, written, written_large
from playwright.sync_api import Browser, Page

from chairgap.page.forms import MOST_OPEN
from chairgap.shape.chairs import two_chairs
from pipeline_helpers import molecule


@pytest.mark.parametrize(("width", "height"), [(1280, 900), (390, 844)])
def test_the_first_screen_shows_ten_answers(
    browser: Browser, tmp_path: Path, width: int, height: int
) -> None:
    """Name, chair, gap and verdict of each; reasons within the width of the screen."""
    context = browser.new_context(viewport={"width": width, "height": height})
    page = Watched(context.new_page(), written_large(12, tmp_path)).page
    for row in page.locator("#table tbody tr").all()[:10]:
        for cell in ("th", ".chair", ".gap", ".verdict"):
            box = row.locator(cell).bounding_box()
            assert box is not None and box["y"] + box["height"] <= height
    assert page.locator("#table .reason:visible").count() > 0
    for reason in page.locator("#table .reason:visible").all():
        box = reason.bounding_box()
        assert box is not None and box["x"] >= 0 and box["x"] + box["width"] <= width
    context.close()


LETTERS_PX = """svg => { const scale = svg.clientWidth / svg.viewBox.baseVal.width;
  return [...svg.querySelectorAll("text")].map(one => scale * parseFloat(one.getAttribute("font-size"))); }"""


def test_on_a_phone_chairs_are_legible_and_what_is_typed_and_chosen_has_a_name(
    browser: Browser, small: Path, tmp_path: Path
) -> None:
    groups = "1 up OSi(CH3)2C(CH3)3, 2 up CO2CH(CH3)2, 3 down OSO2CH3, 4 up CH2C(CH3)3, 6 down N(CH3)2"
    crowded = two_chairs(molecule(groups).topology)
    wide = written(outcome_of(replace(results()[0], chairs=crowded)), tmp_path)
    for page_file in (small, wide):
        page = Watched(browser.new_page(viewport={"width": 390, "height": 844}), page_file).page
        drawing = page.locator("#molecule-1 [data-file=chairs] svg:visible")
        assert drawing.count() == 1 and min(drawing.evaluate(LETTERS_PX)) >= 11.0
        page.set_viewport_size({"width": 1280, "height": 900})
        assert drawing.count() == 1 and drawing.locator("[data-chair]").count() == 2
        page.set_viewport_size({"width": 390, "height": 844})
        for name in ("Name contains", "Sort by"):
            label = page.locator("#filter label span").filter(has_text=name).bounding_box()
            assert label is not None and label["width"] > 30 and label["height"] > 8
        page.close()


def test_heads_and_names_stay_in_sight(opened: Watched) -> None:
    page = opened.page
    page.set_viewport_size({"width": 800, "height": 600})
    page.get_by_role("button", name="All columns").click()
    box = page.locator("#verdicts .scroll")
    wait_until(page, "() => document.querySelector('#verdicts .scroll.scrolls') !== null")
    assert page.get_by_text("More columns: scroll sideways").first.is_visible()
    box.evaluate("box => box.scrollTo(400, 40)")
    head, name = (box.locator(where).bounding_box() for where in ("thead th >> nth=2", "tbody th >> nth=2"))
    at = box.bounding_box()
    assert at is not None and head is not None and name is not None
    assert abs(head["y"] - at["y"]) < 12 and abs(name["x"] - at["x"]) < 2


# Of each box: whether it scrolls, is a stop of the keyboard, and has the words that say so.
_BOXES = (
    "[...document.querySelectorAll('.scroll')].map(box => [box.scrollWidth > box.clientWidth + 1,"
    " box.tabIndex === 0, box.previousElementSibling?.className === 'cue'])"
)


def test_what_scrolls_says_so_and_nothing_else_is_a_stop(opened: Watched) -> None:
    page = opened.page
    for width in (1280, 390):
        page.set_viewport_size({"width": width, "height": 900})
        page.evaluate(
            "document.querySelectorAll('.body').forEach(one => { one.style.contentVisibility = 'visible'; })"
        )
        # The page measures its boxes some time after it was resized.
        wait_until(
            page, f"() => {_BOXES}.every(([scrolls, ...signs]) => signs.every(sign => sign === scrolls))"
        )
        found = page.evaluate(_BOXES)
    assert any(scrolls for scrolls, _, _ in found) and not all(scrolls for scrolls, _, _ in found)


def test_at_400_percent_nothing_stays_in_the_way(browser: Browser, small: Path) -> None:
    """A window of 1280 by 1024 at 400 % has 320 by 256 px (WCAG 2.2, success criterion 1.4.10)."""
    page = Watched(browser.new_page(viewport={"width": 320, "height": 256}), small).page
    page.evaluate("window.scrollTo(0, 900)")
    stays = page.evaluate(
        "[...document.querySelectorAll('body *')].filter(one => ['sticky', 'fixed'].includes("
        "getComputedStyle(one).position) && one.checkVisibility() && one.getBoundingClientRect().top >= 0"
        " && one.getBoundingClientRect().top < 100).map(one => one.outerHTML.slice(0, 80))"
    )
    assert stays == [] and page.evaluate("document.documentElement.scrollWidth") <= 320
    page.close()


def test_pressed_states_are_seen_in_forced_colours(browser: Browser, small: Path) -> None:
    context = browser.new_context(forced_colors="active")
    page = Watched(context.new_page(), small).page
    pressed, other = (
        page.locator(f".counts [aria-pressed={state}]").first.evaluate(
            "one => getComputedStyle(one).backgroundColor"
        )
        for state in ("true", "false")
    )
    assert pressed != other
    context.close()


def printed(page: Page, size: str = "A4") -> list[str]:
    """The words of each sheet that the browser's own menu prints."""
    return [sheet.extract_text() for sheet in pypdf.PdfReader(io.BytesIO(page.pdf(format=size))).pages]


@pytest.mark.parametrize("size", ["A4", pytest.param("Letter", marks=pytest.mark.long)])
def test_it_prints_light_and_without_controls(opened: Watched, size: str) -> None:
    page = opened.page
    page.get_by_role("button", name="Dark colours").click()
    page.locator("#molecule-2 summary").click()
    words = "".join(printed(page, size))
    assert words.count("Close contacts in the best conformer") == len(results()), "opened for printing"
    assert page.locator("#molecule-2 details").get_attribute("open") is None, "and closed again"
    page.emulate_media(media="print")
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    assert page.locator("button:visible, input:visible, select:visible").count() == 0


@pytest.fixture
def many(browser: Browser, tmp_path: Path) -> Iterator[Page]:
    page = Watched(browser.new_page(), written_large(MOST_OPEN + 1, tmp_path)).page
    yield page
    page.close()


def test_all_sections_of_a_packed_page_are_there_when_it_is_printed(many: Page) -> None:
    """A browser prints what is there when its event has been handled, and waits for nothing."""
    filled = "document.querySelectorAll('details[open] .body > .answer').length"
    assert many.evaluate(filled) == 0
    assert many.evaluate(f"(window.dispatchEvent(new Event('beforeprint')), {filled})") == MOST_OPEN + 1


def test_the_heads_of_a_long_table_are_on_every_sheet(many: Page) -> None:
    many.evaluate("document.querySelectorAll('.molecule, figure').forEach(one => one.remove())")
    sheets = printed(many)
    with_rows = [sheet for sheet in sheets if "molecule no." in sheet]
    assert len(with_rows) >= 2 and all("Main reason" in sheet for sheet in with_rows)


@pytest.mark.long
def test_a_page_of_many_molecules_prints_every_one(many: Page) -> None:
    assert "".join(printed(many)).count("Close contacts in the best conformer") == MOST_OPEN + 1


def test_one_molecule_is_printed_from_the_first_sheet_on(browser: Browser, tmp_path: Path) -> None:
    page = Watched(browser.new_page(), written(outcome_of(results()[1]), tmp_path)).page
    assert "equal by symmetry, the gap is exactly 0" in printed(page)[0].replace("\n", " ")
    page.close()


def test_nothing_bars_a_reader(opened: Watched) -> None:
    """axe-core (Deque Systems, MPL-2.0) finds no violation, best practices included; nor, in table and first
    section, by its rules on contrast at level AAA (7:1 for text) and on the size of targets; in the dark
    colours contrast is 4.5:1."""
    page, script = opened.page, axe_script()
    page.locator("#molecule-1").get_by_role("button", name="Turn in 3D").click()
    page.locator("canvas").wait_for()
    page.evaluate(script)
    page.locator("#molecule-1 .stage").scroll_into_view_if_needed()
    for rules in (None, ["color-contrast-enhanced", "target-size"], ["color-contrast"]):
        if rules == ["color-contrast"]:
            page.get_by_role("button", name="Dark colours").click()
        options = {"runOnly": rules} if rules else {}
        found = page.evaluate(
            "([options, where]) => axe.run(where ? {include: where} : document, options)",
            [options, [["#verdicts"], ["#molecule-1"]] if rules else None],
        )
        told = [(item["id"], item["impact"], item["nodes"][0]["html"][:200]) for item in found["violations"]]
        assert told == []
        assert any(item["id"].startswith("color-contrast") for item in found["passes"])
