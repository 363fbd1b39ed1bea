"""The flips in a study's folder on its page and in its report, and the player in a browser."""

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from browser import Watched, axe_script, wait_until
from page_outcomes import ODD_NAME, named, outcome_of, results, written, written_large
from playwright.sync_api import Browser

from chairgap.flip.found import find_flips
from chairgap.page.flips import MOST_FRAMES, FlipsOfPage
from chairgap.page.forms import MOST_OPEN
from made_flips import STEPS, made_flip, put_flip, without_path

# Of the four molecules of the page: 1 up CH3, 3 down OH, with two groups to name.
NUMBER, MIDDLE = 4, STEPS // 2
FLIP = f"#flip-{NUMBER}"


@pytest.fixture(scope="module")
def with_flip(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("flip")
    put_flip(folder, made_flip(results()[NUMBER - 1]), "one")
    return written(outcome_of(*results()), folder)


@pytest.fixture
def played(browser: Browser, with_flip: Path) -> Iterator[Watched]:
    context = browser.new_context(viewport={"width": 1280, "height": 900}, reduced_motion="no-preference")
    watched = Watched(context.new_page(), with_flip)
    yield watched
    assert watched.asked_the_network_for() == [] and watched.complaints == []
    context.close()


def test_page_and_report_show_the_flip_of_its_molecule_alone(with_flip: Path) -> None:
    page, report = (with_flip.parent / name for name in ("page.html", "report.md"))
    assert re.findall(r'id="(flip-\d)"', page.read_text(encoding="utf-8")) == ["flip-4"]
    chapter = report.read_text(encoding="utf-8").partition("## Ring flips")[2]
    assert (
        "### Ring flip of 1 up CH3, 3 down OH" in chapter and "| saddle | half-chair ¹H₂ | 10.25 |" in chapter
    )
    # Only what lies there is pointed to.
    assert "profile.svg" not in chapter and "flip.md" not in chapter


def test_the_report_points_to_the_figures_that_lie_there(tmp_path: Path) -> None:
    kept = made_flip(results()[0])
    for name in ("profile.svg", "map.svg", "flip.md"):
        (put_flip(tmp_path, kept, "odd (name)").parent / name).write_text("there")
    written(outcome_of(*results()), tmp_path)
    report = (tmp_path / "report.md").read_text(encoding="utf-8")
    for name in ("profile.svg", "map.svg", "flip.md"):
        assert f"(flip/odd%20%28name%29/{name})" in report


def test_without_flips_nothing_is_said_of_them(tmp_path: Path) -> None:
    page = written(outcome_of(results()[0]), tmp_path)
    assert "flip-details" not in page.read_text(encoding="utf-8").partition("<script>")[0]
    assert "Ring flip" not in (tmp_path / "report.md").read_text(encoding="utf-8")


def test_a_flip_of_no_molecule_or_of_another_numbering_is_named(tmp_path: Path) -> None:
    kept = made_flip(results()[0])
    put_flip(tmp_path, replace(kept, groups_by_face="Numbers as given: 4 up C(CH3)3"), "turned")
    put_flip(tmp_path, replace(kept, smiles="C"), "other")
    (tmp_path / "flip" / "other" / "notes.txt").write_text("mine")
    page = written(outcome_of(*results()), tmp_path)
    for text in (page.read_text(encoding="utf-8"), (tmp_path / "report.md").read_text(encoding="utf-8")):
        for folder in ("flip/turned", "flip/other"):
            assert f"{folder} is not shown: it is of no molecule of this study" in text


def test_texts_of_the_file_are_text_on_page_and_in_report(tmp_path: Path) -> None:
    kept = made_flip(results()[0])
    levels = replace(
        kept.levels, note=ODD_NAME, model=ODD_NAME, chairs=(ODD_NAME, ODD_NAME), molecule=ODD_NAME
    )
    frames = tuple(replace(frame, form=ODD_NAME, place="minimum <i>") for frame in kept.frames)
    groups = tuple(replace(group, group=ODD_NAME) for group in kept.groups)
    put_flip(tmp_path, replace(kept, levels=levels, frames=frames, groups=groups), "<b>")
    page = written(outcome_of(named(results()[0], ODD_NAME)), tmp_path).read_text(encoding="utf-8")
    assert "flip-1" in page and "<script>alert" not in page and "<b>bold" not in page and "/<b>" not in page
    report = (tmp_path / "report.md").read_text(encoding="utf-8")
    assert "Ring flips" in report and "<script" not in report and "<b>" not in report


def test_a_long_path_is_thinned_but_keeps_minima_and_saddles(tmp_path: Path) -> None:
    kept = made_flip(results()[0])
    between = [frame for frame in kept.frames if not frame.place]
    many = (kept.frames[0], *(40 * between), kept.frames[MIDDLE], *(40 * between), kept.frames[-1])
    put_flip(tmp_path, replace(kept, frames=many))
    short = len(FlipsOfPage(find_flips(tmp_path), "open").of(*key_of(tmp_path), 1).packed)
    put_flip(tmp_path, replace(kept, frames=many[: MOST_FRAMES + 5]))
    assert short < 1.5 * len(FlipsOfPage(find_flips(tmp_path), "open").of(*key_of(tmp_path), 1).packed)
    page = FlipsOfPage(find_flips(tmp_path), "open").of(*key_of(tmp_path), 1).section
    assert f'max="{MOST_FRAMES - 1}"' in page


def key_of(folder: Path) -> tuple[str, str]:
    return next(iter(find_flips(folder).flips)), "name"


def test_a_flip_without_a_path_shows_its_note_and_its_map(browser: Browser, tmp_path: Path) -> None:
    put_flip(tmp_path, without_path(made_flip(results()[0])))
    watched = Watched(browser.new_page(), written(outcome_of(results()[0]), tmp_path))
    flip = watched.page.locator("#flip-1")
    assert flip.locator(".player").count() == 0 and flip.locator("figure svg").count() == 2
    assert "The saddles do not join the chairs." in flip.inner_text()
    assert watched.complaints == []
    watched.page.close()


def test_the_slider_moves_along_the_path(played: Watched) -> None:
    """Geometry, form, energy, groups, the marks on curve and map: all of one frame."""
    page, flip = played.page, played.page.locator(FLIP)
    slider, kept = flip.get_by_role("slider", name="Along the path"), made_flip(results()[NUMBER - 1])
    scene = flip.locator(".scene svg")
    assert flip.locator(".now").inner_text().startswith("chair A (1a 3e), ")
    slider.focus()
    for _ in range(MIDDLE):
        page.keyboard.press("ArrowRight")
    assert slider.input_value() == str(MIDDLE)
    assert "saddle point" in flip.locator(".now").inner_text()
    assert "10.25 kcal/mol above the lowest minimum" in flip.locator(".now").inner_text()
    where = f"{MIDDLE + 1} of {STEPS + 1}"
    assert (scene.get_attribute("aria-label") or "").startswith(
        f"Geometry {where} of the ring flip of 1 up CH3, 3 down OH: "
    )
    told = slider.get_attribute("aria-valuetext") or ""
    assert told.startswith(f"{where}: ") and told.endswith(", saddle point, 10.25 kcal/mol")
    # The ring as it is drawn has the proportions of the geometry.
    drawn = scene.locator("g").evaluate_all(
        "all => all.filter(one => /^[1-6]$/.test(one.textContent)).map(one => [one.textContent,"
        " ...one.getAttribute('transform').match(/-?[\\d.]+/g).map(Number)])"
    )
    places = {int(number): (x, y) for number, x, y in drawn}
    for number, atom in enumerate(kept.ring, 1):
        x, y, _ = kept.frames[MIDDLE].positions[atom]
        assert places[number] == pytest.approx((46.0 * x, -46.0 * y), abs=0.6)
    page.keyboard.press("End")
    assert flip.locator(".now").inner_text().startswith("chair B (1e 3a), ")
    assert scene.locator(".named").all_text_contents() == ["CH₃ e", "OH a"]
    assert "CH₃ on C1 equatorial; OH on C3 axial" in (scene.get_attribute("aria-label") or "")
    shown = flip.locator("[data-play=place]").evaluate_all(
        "all => all.map(one => one.getAttribute('visibility') === 'visible')"
    )
    assert shown == [kept.north == "B", kept.north == "A"]


def test_buttons_go_from_form_to_form(played: Watched) -> None:
    flip = played.page.locator(FLIP)
    slider = flip.get_by_role("slider", name="Along the path")
    for button, value in (
        ("Next form", MIDDLE),
        ("Next form", STEPS),
        ("Next form", STEPS),
        ("Previous form", MIDDLE),
    ):
        flip.get_by_role("button", name=button).press("Enter")
        assert slider.input_value() == str(value)


def test_it_plays_pauses_and_begins_anew(played: Watched) -> None:
    page, flip = played.page, played.page.locator(FLIP)
    slider = flip.get_by_role("slider", name="Along the path")
    assert slider.input_value() == "0", "nothing plays by itself"
    flip.get_by_role("button", name="Play").click()
    wait_until(page, f"() => Number(document.querySelector('{FLIP} [data-play=slider]').value) > 1")
    flip.get_by_role("button", name="Pause").click()
    stands = slider.input_value()
    assert flip.get_by_role("button", name="Play").is_visible() and int(stands) < STEPS
    page.wait_for_timeout(300)
    assert slider.input_value() == stands
    slider.fill(str(STEPS - 1))
    flip.get_by_role("button", name="Play").click()
    wait_until(page, f"() => document.querySelector('{FLIP} [data-play=play]').textContent === 'Play'")
    assert slider.input_value() == str(STEPS)
    flip.get_by_role("button", name="Play").click()
    assert int(slider.input_value()) < STEPS
    flip.get_by_role("button", name="Pause").click()


def test_less_motion_leaves_the_slider_alone(browser: Browser, with_flip: Path) -> None:
    context = browser.new_context(reduced_motion="reduce")
    page = Watched(context.new_page(), with_flip).page
    flip = page.locator(FLIP)
    assert flip.get_by_role("button", name="Play").count() == 0
    assert "asks for less motion" in flip.locator("[data-play=note]").inner_text()
    slider = flip.get_by_role("slider", name="Along the path")
    slider.press("ArrowRight")
    assert slider.input_value() == "1"
    page.emulate_media(reduced_motion="no-preference")
    flip.get_by_role("button", name="Play").click()
    page.emulate_media(reduced_motion="reduce")
    wait_until(page, f"() => document.querySelector('{FLIP} [data-play=play]').textContent === 'Play'")
    context.close()


def test_a_packed_section_has_its_player_once_it_is_opened(browser: Browser, tmp_path: Path) -> None:
    put_flip(tmp_path, made_flip(results()[0]), "one")
    watched = Watched(browser.new_page(), written_large(MOST_OPEN + 1, tmp_path))
    page = watched.page
    assert page.locator("#flip-1 .player").count() == 0
    page.locator("#molecule-1 summary").click()
    page.get_by_role("link", name="The ring flip").first.click()
    page.locator("#flip-1").get_by_role("button", name="Next form").click()
    assert "saddle point" in page.locator("#flip-1 .now").inner_text()
    assert watched.complaints == []
    page.close()


@pytest.mark.parametrize("width", [1280, 390, 320])
def test_the_player_is_no_wider_than_the_screen_and_its_letters_stay_legible(
    browser: Browser, with_flip: Path, width: int
) -> None:
    page = Watched(browser.new_page(viewport={"width": width, "height": 844}), with_flip).page
    page.locator(FLIP).scroll_into_view_if_needed()
    page.wait_for_timeout(200)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    sizes = page.locator(f"{FLIP} .scene text.named").evaluate_all(
        "all => all.map(one => parseFloat(one.getAttribute('font-size')) * one.ownerSVGElement.clientWidth"
        " / one.ownerSVGElement.viewBox.baseVal.width)"
    )
    assert len(sizes) == 2 and min(sizes) >= 12.0
    page.close()


def test_the_player_bars_no_reader(played: Watched) -> None:
    page, script = played.page, axe_script()
    page.locator(FLIP).get_by_role("button", name="Next form").click()
    page.evaluate(script)
    for rules in (None, ["color-contrast-enhanced", "target-size"]):
        options = {"runOnly": rules} if rules else {}
        found = page.evaluate(f"options => axe.run({{include: [['#molecule-{NUMBER}']]}}, options)", options)
        assert [(item["id"], item["nodes"][0]["html"][:200]) for item in found["violations"]] == []
