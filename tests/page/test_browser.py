"""The page in a browser: opened from a file, without the network, and everything that can be moved works."""

import csv
import io
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pypdf
import pytest
from browser import Watched, axe_script, playwright_with_browser, wait_until
from page_outcomes import outcome_of, results, written, written_large
from PIL import Image
from playwright.sync_api import Browser, Locator, Page
from rdkit import Chem

from chairgap.compare.series import temperature_series
from chairgap.drawings.chair_pair import chair_pair
from chairgap.drawings.picture import alone
from chairgap.page.forms import MOST_OPEN
from chairgap.records import Verdict
from chairgap.report.headline import headline_verdict
from chairgap.report.words import VERDICTS
from svg_readers import READERS
from texts_written import texts_written

LARGE = 500
LAST_COMPUTED = "() => document.querySelector('#table tr:last-child [data-live=gibbs]').dataset.key !== ''"


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


@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return written_large(LARGE, tmp_path_factory.mktemp("large"))


@pytest.fixture
def opened(browser: Browser, small: Path) -> Iterator[Watched]:
    """The small page, which must neither ask the network nor complain, whatever a test does with it."""
    context = browser.new_context(viewport={"width": 1280, "height": 900}, accept_downloads=True)
    watched = Watched(context.new_page(), small)
    yield watched
    assert watched.asked_the_network_for() == []
    assert watched.complaints == []
    context.close()


def names(page: Page) -> list[str]:
    return page.locator("#table tbody tr:visible th").all_inner_texts()


def colours_in(place: Locator) -> int:
    """How many different colours a picture of this place has."""
    image = Image.open(io.BytesIO(place.screenshot())).convert("RGB")
    found = image.getcolors(maxcolors=1 << 24)
    return 0 if found is None else len(found)


NOTES_TYPES = """() => {
  const made = URL.createObjectURL;
  window.types = [];
  URL.createObjectURL = (blob) => { window.types.push(blob.type); return made(blob); };
}"""


def saved(page: Page, button: Locator) -> tuple[str, str]:
    """The name and the text of what a button saves."""
    with page.expect_download() as download:
        button.click()
    return download.value.suggested_filename, Path(download.value.path()).read_text(encoding="utf-8")


def test_it_opens_from_a_file_with_the_table_of_verdicts(opened: Watched) -> None:
    page = opened.page
    assert page.url.startswith("file://") and page.title() == "Made for tests of the page"
    assert page.locator("main > section").first.get_attribute("id") == "verdicts"
    assert names(page) == [result.molecule.name for result in results()]
    assert page.locator("section.molecule").count() == len(results())
    assert page.get_by_text("A computed preference is not an instruction for the laboratory.").is_visible()


@pytest.mark.parametrize("media", ["light", "dark"])
@pytest.mark.parametrize("width", [1280, 390])
def test_nothing_is_wider_than_the_page(browser: Browser, small: Path, width: int, media: Any) -> None:
    context = browser.new_context(viewport={"width": width, "height": 900}, color_scheme=media)
    page = Watched(context.new_page(), small).page
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert len(page.screenshot()) > 15_000
    dark = page.evaluate("getComputedStyle(document.body).backgroundColor")
    assert (dark == "rgb(18, 24, 31)") == (media == "dark")
    context.close()


def test_heads_sort_the_table_both_ways_and_say_so(opened: Watched) -> None:
    page = opened.page
    head = page.locator("#table thead th").filter(has_text="MMFF94, 298.15")
    by_gap = sorted(results(), key=lambda result: result.gaps.gibbs_kcal_mol or 0.0)
    head.get_by_role("button").click()
    assert head.get_attribute("aria-sort") == "ascending"
    assert names(page) == [result.molecule.name for result in by_gap]
    head.get_by_role("button").press("Enter")
    assert head.get_attribute("aria-sort") == "descending"
    assert names(page) == [result.molecule.name for result in reversed(by_gap)]
    page.locator("#table thead th").filter(has_text="Molecule").get_by_role("button").click()
    assert head.get_attribute("aria-sort") is None
    assert names(page) == sorted(names(page), key=str.casefold)


@pytest.mark.parametrize("verdict", VERDICTS)
def test_each_count_shows_the_molecules_of_its_verdict(opened: Watched, verdict: Verdict) -> None:
    page = opened.page
    wanted = [result.molecule.name for result in results() if headline_verdict(result) == verdict]
    count = page.get_by_role("button", name=f"{len(wanted)} {VERDICTS[verdict].counted}", exact=True)
    assert count.count() == bool(wanted)
    if wanted:
        count.click()
        assert count.get_attribute("aria-pressed") == "true"
        assert page.locator(".counts [aria-pressed=true]").count() == 1
        assert names(page) == wanted and len(wanted) < len(results())
        assert page.locator("#shown").inner_text() == f"{len(wanted)} of {len(results())} molecules shown"
        page.get_by_role("button", name="All 4", exact=True).click()
    assert names(page) == [result.molecule.name for result in results()]
    assert page.locator("#shown").inner_text() == ""


def test_a_name_is_searched_for_and_a_search_for_nothing_says_so(opened: Watched) -> None:
    page = opened.page
    page.get_by_label("Name contains").fill("cl")
    assert len(names(page)) == 1 and "Cl" in names(page)[0]
    page.locator(".counts").get_by_text("agree", exact=False).first.click()
    page.get_by_label("Name contains").fill("no such molecule")
    assert names(page) == []
    shown = page.locator("#shown")
    assert "agree" in shown.inner_text() and "“no such molecule” in the name" in shown.inner_text()
    assert shown.inner_text().endswith("Empty the search, or press All.")
    assert shown.get_attribute("role") == "status"


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


def test_heads_and_names_stay_in_sight(opened: Watched) -> None:
    page = opened.page
    page.set_viewport_size({"width": 800, "height": 600})
    page.get_by_role("button", name="All columns").click()
    box = page.locator("#verdicts .scroll")
    wait_until(page, "() => document.querySelector('#verdicts .scroll.scrolls') !== null")
    assert page.get_by_text("More columns: scroll sideways").first.is_visible()
    box.evaluate("box => box.scrollTo(400, 40)")
    _corner, head, name = (
        box.locator(where).bounding_box() for where in ("..", "thead th >> nth=2", "tbody th >> nth=2")
    )
    at = box.bounding_box()
    assert at is not None and head is not None and name is not None
    assert abs(head["y"] - at["y"]) < 12 and abs(name["x"] - at["x"]) < 2


def test_what_scrolls_says_so_and_nothing_else_is_a_stop(opened: Watched) -> None:
    page = opened.page
    for width in (1280, 390):
        page.set_viewport_size({"width": width, "height": 900})
        page.evaluate(
            "document.querySelectorAll('.body').forEach(one => { one.style.contentVisibility = 'visible'; })"
        )
        page.wait_for_timeout(300)
        found = page.evaluate(
            "[...document.querySelectorAll('.scroll')].map(box => [box.scrollWidth > box.clientWidth + 1,"
            " box.tabIndex === 0, box.previousElementSibling?.className === 'cue'])"
        )
        assert all(scrolls == stop == said for scrolls, stop, said in found)
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


@pytest.mark.parametrize("temperature_k", [100.0, 233.0, 298.15, 600.0])
def test_the_slider_gives_the_numbers_of_the_program(opened: Watched, temperature_k: float) -> None:
    page = opened.page
    page.locator("#temperature-number").fill(str(temperature_k))
    page.locator("#temperature-number").press("Enter")
    wait_until(
        page,
        "k => [...document.querySelectorAll('section.molecule')].every("
        "one => one.querySelector('[data-live=temperature]').textContent.startsWith(k.toFixed(2)))",
        temperature_k,
    )
    for number, result in enumerate(results(), 1):
        masses_u = result.molecule.topology.masses_u
        (point,) = temperature_series(result.conformers, masses_u, [temperature_k]).points

        def live(kind: str, at: str = f"#molecule-{number}") -> float:
            return float(page.locator(f"{at} [data-live={kind}]").first.get_attribute("data-key") or "nan")

        assert live("gibbs") == pytest.approx(point.gibbs_kcal_mol, abs=1e-6)
        assert live("constant") == pytest.approx(point.equilibrium_constant, rel=5e-6)
        assert live("share_a") == pytest.approx(point.population_a, abs=1e-6)
        assert live("share_b") == pytest.approx(point.population_b, abs=1e-6)
        assert live("share_other") == pytest.approx(point.population_non_chair, abs=1e-6)
        row = f"#table tr:nth-child({number})"
        assert live("gibbs", row) == live("gibbs") and live("share_a", row) == live("share_a")


def test_the_slider_moves_by_keys_shows_celsius_and_goes_back(opened: Watched) -> None:
    page = opened.page
    verdicts = page.locator("#table td.verdict").all_inner_texts()
    slider = page.locator("#temperature")
    slider.focus()
    slider.press("ArrowRight")
    slider.press("PageUp")
    assert page.locator("#temperature-number").input_value() == "309.15"
    assert page.locator("#temperature-celsius").inner_text() == "(36.0 °C)"
    page.locator("#temperature-number").fill("9999")
    page.locator("#temperature-number").press("Enter")
    assert page.locator("#temperature-number").input_value() == "600.00"
    page.get_by_role("button", name="Reset").click()
    assert page.locator("#temperature-number").input_value() == "298.15"
    assert page.locator("#table td.verdict").all_inner_texts() == verdicts
    assert page.get_by_text("verdicts stay those of 298.15 K").is_visible()


def test_the_3d_view_draws_turns_and_closes(opened: Watched) -> None:
    page = opened.page
    box = page.locator("#molecule-1 .shape")
    assert page.locator("canvas").count() == 0 and box.locator(".still:visible").count() == 1
    box.get_by_role("button", name="Turn in 3D").click()
    stage = box.locator(".stage")
    stage.locator("canvas").wait_for()
    assert box.locator(".still:visible").count() == 0
    assert colours_in(stage) > 50
    wait_until(page, "() => document.activeElement.classList.contains('stage')")
    canvas = stage.locator("canvas")
    seen = [canvas.screenshot()]
    for key in ("ArrowRight", "ArrowUp", "+", "Home"):
        page.keyboard.press(key)
        seen.append(canvas.screenshot())
    assert len(set(seen[:4])) == 4, "each key changes the picture"
    assert seen[4] == seen[0], "Home brings the first view back"
    middle = stage.bounding_box()
    assert middle is not None
    page.mouse.move(middle["x"] + 200, middle["y"] + 150)
    page.mouse.down()
    page.mouse.move(middle["x"] + 260, middle["y"] + 170)
    page.mouse.up()
    assert canvas.screenshot() != seen[0]
    # Another molecule takes the one view over.
    page.locator("#molecule-3").get_by_role("button", name="Turn in 3D").click()
    page.locator("#molecule-3 canvas").wait_for()
    assert page.locator("canvas").count() == 1 and box.locator(".still:visible").count() == 1
    page.locator("#molecule-3").get_by_role("button", name="Back to the still picture").click()
    assert page.locator("canvas").count() == 0


def test_every_conformer_can_be_chosen(opened: Watched) -> None:
    page = opened.page
    box = page.locator("#molecule-3 .shape")
    conformers = results()[2].conformers
    assert box.locator("option").count() == len(conformers)
    number = str(max(conformer.number for conformer in conformers))
    box.get_by_role("combobox").select_option(number)
    assert box.locator(".still:visible").get_attribute("data-conformer") == number
    box.get_by_role("button", name="Turn in 3D").click()
    box.locator("canvas").wait_for()
    label = box.locator(".stage").get_attribute("aria-label") or ""
    assert label.startswith(f"3D view of conformer {number}, ")
    axial = sum(item.position == "axial" and item.group != "H" for item in conformers[-1].ligands)
    shown = box.locator(".stage .label").all_inner_texts()
    assert sum(text.endswith(" a") for text in shown) == axial
    assert {"1", "2", "3", "4", "5", "6"} <= set(shown)


def test_without_webgl_the_still_picture_stays(launch: Callable[..., Browser], small: Path) -> None:
    flat = launch("--disable-3d-apis")
    watched = Watched(flat.new_page(), small)
    box = watched.page.locator("#molecule-1 .shape")
    box.get_by_role("button", name="Turn in 3D").click()
    box.get_by_text("no WebGL").wait_for()
    assert box.locator(".still:visible").count() == 1 and box.locator("canvas").count() == 0
    assert watched.complaints == []
    flat.close()


def test_it_is_read_without_javascript(browser: Browser, small: Path) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(small.as_uri())
    assert page.locator("section.molecule .body:visible").count() == len(results())
    assert page.locator("button:visible, input:visible, select:visible").count() == 0
    context.close()


def test_what_is_saved_is_what_the_files_hold(opened: Watched) -> None:
    page, texts = opened.page, texts_written(outcome_of(*results()))
    page.evaluate(NOTES_TYPES)
    name, text = saved(page, page.get_by_role("button", name="Save table"))
    assert (name, text) == ("gaps.csv", texts["gaps.csv"])
    section = page.locator("#molecule-2")
    name, text = saved(page, section.get_by_role("button", name="Save conformers"))
    assert name.endswith(".sdf") and text in texts["conformers.sdf"]
    supplier = Chem.SDMolSupplier()
    supplier.SetData(text, removeHs=False)
    assert len(supplier) == len(results()[1].conformers)
    # Nothing else opens such a file on a machine without a program for it.
    assert page.evaluate("window.types")[-1] == "text/plain;charset=utf-8"
    name, text = saved(page, section.get_by_role("button", name="Save hand estimate"))
    assert name.endswith("-ledger.csv")
    assert [row["name"] for row in csv.DictReader(io.StringIO(text))] == [
        results()[1].molecule.name for _ in results()[1].estimate.terms
    ]


@pytest.mark.parametrize("colours", ["light", "dark"])
def test_a_saved_drawing_is_the_same_in_readers_that_are_no_browsers(opened: Watched, colours: str) -> None:
    page = opened.page
    page.evaluate("colours => { document.documentElement.dataset.colours = colours; }", colours)
    figures = page.locator("#molecule-1 figure").filter(has=page.get_by_role("button", name="Save as SVG"))
    saved_texts = dict(
        saved(page, button) for button in figures.get_by_role("button", name="Save as SVG").all()[:4]
    )
    (text,) = (text for name, text in saved_texts.items() if name.endswith("-chairs.svg"))
    meant = alone(chair_pair(results()[0].chairs))
    for read in READERS.values():
        assert np.array_equal(read(text), read(meant))
    assert all(text.startswith("<?xml") and "var(" not in text for text in saved_texts.values())


def test_everything_is_reached_by_the_tab_key(opened: Watched) -> None:
    page = opened.page
    wanted = page.evaluate(
        "[...document.querySelectorAll('a[href], button, input, select, summary, [tabindex=\"0\"]')]"
        ".filter(one => one.checkVisibility() && one.tabIndex >= 0).length"
    )
    page.evaluate("document.body.focus()")
    seen: list[tuple[str, bool]] = []
    for _ in range(wanted + 5):
        page.keyboard.press("Tab")
        mark = page.evaluate(
            "(() => { const one = document.activeElement; one.dataset.met ??= String(Math.random());"
            " const style = getComputedStyle(one);"
            " return [one.dataset.met, style.outlineStyle !== 'none' || one === document.body]; })()"
        )
        seen.append(tuple(mark))
    assert all(outlined for _, outlined in seen), "focus is seen"
    assert len({met for met, _ in seen}) >= wanted


def test_colours_are_changed_by_a_button(opened: Watched) -> None:
    page = opened.page
    button = page.get_by_role("button", name="Dark colours")
    before = page.evaluate("getComputedStyle(document.body).backgroundColor")
    button.press("Enter")
    assert button.get_attribute("aria-pressed") == "true"
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") != before


def printed(page: Page, size: str = "A4") -> list[str]:
    """The words of each sheet that the browser's own menu prints."""
    return [sheet.extract_text() for sheet in pypdf.PdfReader(io.BytesIO(page.pdf(format=size))).pages]


@pytest.mark.parametrize("size", ["A4", "Letter"])
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


def test_a_page_of_many_molecules_prints_every_one_and_repeats_its_heads(
    browser: Browser, tmp_path: Path
) -> None:
    page = Watched(browser.new_page(), written_large(MOST_OPEN + 1, tmp_path)).page
    sheets = printed(page)
    assert "".join(sheets).count("Close contacts in the best conformer") == MOST_OPEN + 1
    assert all(
        "Main reason" in sheet
        for sheet in sheets
        if "+ both agree\n" in sheet.split("molecule no. 1 ")[0][:400]
    )
    assert sum("Main reason" in sheet for sheet in sheets) >= 2
    page.close()


def test_one_molecule_is_printed_from_the_first_sheet_on(browser: Browser, tmp_path: Path) -> None:
    page = Watched(browser.new_page(), written(outcome_of(results()[1]), tmp_path)).page
    assert "equal by symmetry, the gap is exactly 0" in printed(page)[0].replace("\n", " ")
    page.close()


def test_nothing_bars_a_reader(opened: Watched) -> None:
    """axe-core (Deque Systems, MPL-2.0) finds no violation, best practices included; nor by its rules of
    level AAA on contrast (7:1 for text) and on the size of targets; in the dark colours contrast is 4.5:1."""
    page, script = opened.page, axe_script()
    page.locator("#molecule-1").get_by_role("button", name="Turn in 3D").click()
    page.locator("canvas").wait_for()
    page.evaluate(script)
    page.locator("#molecule-1 .stage").scroll_into_view_if_needed()
    for rules in (None, ["color-contrast-enhanced", "target-size"], ["color-contrast"]):
        if rules == ["color-contrast"]:
            page.get_by_role("button", name="Dark colours").click()
        options = {"runOnly": rules} if rules else {}
        found = page.evaluate("options => axe.run(document, options)", options)
        told = [(item["id"], item["impact"], item["nodes"][0]["html"][:200]) for item in found["violations"]]
        assert told == []
        assert any(item["id"].startswith("color-contrast") for item in found["passes"])


def test_a_large_page_opens_and_its_sections_come_when_asked_for(browser: Browser, large: Path) -> None:
    watched = Watched(browser.new_page(), large)
    page = watched.page
    assert len(names(page)) == LARGE
    assert page.locator("section.molecule svg").count() == 0, "nothing is unpacked yet"
    page.get_by_label("Name contains").fill("molecule no. 321")
    page.locator("#table tbody tr:visible a").click()
    section = page.locator("#molecule-321")
    section.locator("svg").first.wait_for()
    assert section.get_by_role("heading", name="Populations").is_visible()
    assert page.locator("section.molecule .body:not(:empty)").count() == 1
    section.get_by_role("button", name="Turn in 3D").click()
    section.locator("canvas").wait_for()
    page.locator("#molecule-7 summary").press("Enter")
    page.locator("#molecule-7 svg").first.wait_for()
    wait_until(page, LAST_COMPUTED)
    assert watched.asked_the_network_for() == [] and watched.complaints == []
    page.close()


@pytest.mark.long
def test_all_sections_of_a_packed_page_can_be_opened(browser: Browser, tmp_path: Path) -> None:
    page = Watched(browser.new_page(), written_large(41, tmp_path)).page
    page.get_by_role("button", name="Open all sections").click()
    wait_until(page, "() => document.querySelectorAll('details[open] .body svg').length > 41 * 5")
    wait_until(page, "() => document.querySelectorAll('details[open]').length === 41")
    page.get_by_role("button", name="Close all sections").click()
    assert page.locator("details[open]").count() == 0
    page.close()
