"""The page in a browser: opened from a file, without the network, and everything that can be moved works."""

import csv
import io
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from browser import Watched, wait_until
from page_outcomes import outcome_of, results, written_large
from PIL import Image
from playwright.sync_api import Browser, Locator, Page
from rdkit import Chem

from chairgap.compare.series import temperature_series
from chairgap.drawings.chair_pair import chair_pair
from chairgap.drawings.picture import alone
from chairgap.records import Verdict
from chairgap.report.headline import headline_verdict
from chairgap.report.words import VERDICTS
from svg_readers import READERS
from texts_written import texts_written

LARGE = 500
LAST_COMPUTED = "() => document.querySelector('#table tr:last-child [data-live=gibbs]').dataset.key !== ''"


@pytest.fixture(scope="module")
def large(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return written_large(LARGE, tmp_path_factory.mktemp("large"))


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
