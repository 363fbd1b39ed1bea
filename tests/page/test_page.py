"""The page as text: every text is shown as text, everything is in it, and the same outcome gives the same
bytes."""

import base64
import hashlib
import json
import re
import zlib
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from page_outcomes import ODD_NAME, named, no_flips, outcome_of, repeated, results

from chairgap.compare.series import temperature_series
from chairgap.page import rendering
from chairgap.page.entry import Texts, entries_of
from chairgap.page.forms import MOST_OPEN, MOST_ROWS_IN_COUNTS, MOST_WITH_SECTIONS, Form, form_of
from chairgap.page.numbers import thermal_numbers
from chairgap.page.rendering import library, said
from chairgap.page.whole import Molecules, PageSummary, frame_of
from chairgap.records import Outcome, Result
from chairgap.report.answer import answer_lines
from chairgap.report.blocks import Own
from chairgap.report.citations import cite_part
from chairgap.report.headline import headline_verdict, shown_reasons
from chairgap.report.words import CAUTIONS, VERDICTS, reason_words
from chairgap.study_output.pieces import OutputOptions, pieces_of
from chairgap.text import typeset
from texts_written import texts_written


class Elements(HTMLParser):
    """Every element with its attributes, and the text of the page outside scripts and styles."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self._inside = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))
        self._inside = tag if tag in ("script", "style") else self._inside

    def handle_endtag(self, tag: str) -> None:
        self._inside = "" if tag == self._inside else self._inside

    def handle_data(self, data: str) -> None:
        self.text += "" if self._inside else data


def page_of(outcome: Outcome) -> str:
    return texts_written(outcome)["page.html"]


def read(page: str) -> Elements:
    parser = Elements()
    parser.feed(page)
    return parser


def packed_in(page: str, kind: str) -> list[Any]:
    """What lies packed in the page, undone by the standard library alone."""
    found = re.findall(rf'<script type="application/json" class="{kind}">"([^"]*)"</script>', page)
    return [json.loads(zlib.decompress(base64.b64decode(text))) for text in found]


@pytest.fixture(scope="module")
def small() -> str:
    return page_of(outcome_of(*results()))


def test_a_text_of_the_user_is_shown_and_never_run() -> None:
    odd = named(results()[0], ODD_NAME)
    elements = read(page_of(outcome_of(odd, title=ODD_NAME)))
    plain = read(page_of(outcome_of(named(results()[0], "plain"), title="plain")))
    assert [tag for tag, _ in elements.found] == [tag for tag, _ in plain.found]
    # Title, heading, row and section (and drawings that bear the name); the refused molecule has this name on
    # both pages.
    assert elements.text.count(ODD_NAME) >= plain.text.count(ODD_NAME) + 4


def test_a_packed_section_shows_texts_as_text_as_well() -> None:
    odd = outcome_of(named(results()[0], ODD_NAME))
    rows, sections = Molecules("lazy", no_flips("lazy")).add(
        pieces_of(odd, OutputOptions(parquet=False, molecules=MOST_OPEN + 1)).page
    )
    (details,) = packed_in(sections, "details")
    assert len(details["section"]) > 10_000
    assert "<script" not in details["section"] and "<script>alert" not in rows + sections


def test_every_script_and_style_is_one_that_the_policy_names(small: str) -> None:
    elements = read(small)
    ((_, policy),) = [(tag, found["content"]) for tag, found in elements.found if "http-equiv" in found]
    assert policy is not None and policy.startswith("default-src 'none'; ")
    bodies = re.findall(r"<(?:script|style(?: id=\"picture-style\")?)>(.*?)</(?:script|style)>", small, re.S)
    assert len(bodies) == 4
    for body in bodies:
        digest = base64.b64encode(hashlib.sha256(body.encode()).digest()).decode()
        assert f"'sha256-{digest}'" in policy
    assert not [found for _, found in elements.found if any(name.startswith("on") for name in found)]
    assert not [found for _, found in elements.found if "src" in found or "style" in found]


def test_the_library_holds_nothing_that_ends_its_script_and_keeps_its_licence() -> None:
    assert "</script" not in library().lower() and "<!--" not in library()
    assert "The MIT License" in library()[:200]


def test_every_picture_has_words(small: str) -> None:
    pictures = [found for tag, found in read(small).found if tag == "svg"]
    # Chairs, structure, populations, levels and dial of each molecule, Newman projections and stills besides.
    assert len(pictures) > 6 * len(results())
    for found in pictures:
        assert found["role"] == "img" and len(found["aria-label"] or "") > 15
    assert not [found for tag, found in read(small).found if tag == "img"]


def test_no_two_pictures_have_the_same_words(small: str) -> None:
    words = [found["aria-label"] for tag, found in read(small).found if tag == "svg"]
    assert len(words) == len(set(words))


def rows_under(page: str, title: str) -> list[list[list[str]]]:
    """The cells of the rows of each table under headings that begin so, tags left out."""
    tables = re.findall(rf"<h3>{title}[^<]*</h3>(?:(?!<h3>).)*?<tbody>(.*?)</tbody>", page, re.S)
    return [
        [
            [re.sub("<[^>]*>", "", cell) for cell in re.findall(r"<td[^>]*>(.*?)</td>", row, re.S)]
            for row in re.findall(r"<tr.*?</tr>", table, re.S)
        ]
        for table in tables
    ]


def number_in(cell: str) -> float:
    """The number that a cell begins with; 0 for none."""
    found = re.match(r"[-+]?\d+\.\d+", cell.replace("\u2212", "-"))
    return float(found.group()) if found else 0.0


def test_sums_of_a_ledger_are_those_of_its_rows(small: str) -> None:
    ledgers = rows_under(small, "Hand estimate")
    assert len(ledgers) == len(results())
    for *terms, in_a, in_b, gap in ledgers:
        for letter, total in (("A", in_a), ("B", in_b)):
            rows = [number_in(row[4]) for row in terms if row[0] == letter]
            assert sum(rows) == pytest.approx(number_in(total[4]), abs=0.005 * (len(rows) + 1))
        assert number_in(in_b[4]) - number_in(in_a[4]) == pytest.approx(number_in(gap[4]), abs=0.015)


def test_sums_of_the_difference_are_those_of_its_parts(small: str) -> None:
    tables = rows_under(small, "Computed gap less estimate")
    assert len(tables) == sum(bool(result.split.parts) for result in results()) > 1
    for *parts, total in tables:
        for column in (3, 4, 5):
            added = sum(number_in(row[column]) for row in parts)
            assert added == pytest.approx(number_in(total[column]), abs=0.005 * (len(parts) + 1))


def test_the_readme_says_what_the_list_of_verdicts_says() -> None:
    """Its marks and meanings are those of the list."""
    readme = (Path(__file__).resolve().parents[2] / "README.md").read_text(encoding="utf-8")
    for verdict in ("undecided", "not comparable"):
        words = VERDICTS[verdict]
        (told,) = re.findall(rf"`{re.escape(words.mark)} {words.counted}`: ([^`]*?)\.", readme)
        assert words.meaning.startswith(told.removesuffix(", or a group is charged"))


def test_no_identifier_stands_twice(small: str) -> None:
    names = [found["id"] for _, found in read(small).found if "id" in found]
    assert len(names) == len(set(names))


def test_what_the_report_says_of_each_molecule_is_on_the_page(small: str) -> None:
    shown = re.sub(r"\s+", " ", read(small).text)
    for result in results():
        for text in (
            result.molecule.name,
            result.molecule.smiles,
            *map(typeset, answer_lines(outcome_of(*results()), result)),
            *(typeset(reason_words(it)) for it in shown_reasons(outcome_of(*results()), result)),
            *(typeset(term.words) for term in result.estimate.terms),
        ):
            assert re.sub(r"\s+", " ", text) in shown
    for caution in CAUTIONS:
        assert typeset(caution) in shown
    assert "made.toml:20" in shown or "made.toml, line 20" in shown or "line 20" in shown
    assert "There is no saturated ring of six carbons. Give a cyclohexane." in shown


def test_the_same_outcome_gives_the_same_bytes(small: str) -> None:
    assert page_of(outcome_of(*results())) == small


@pytest.mark.parametrize("molecules", [MOST_OPEN, MOST_OPEN + 1])
def test_pieces_of_any_size_give_the_same_molecules(molecules: int) -> None:
    """However many workers there are, and however many molecules each is given."""
    count = 6
    whole, wanted = repeated(count), OutputOptions(parquet=False, molecules=molecules)

    def put_together(together: int) -> tuple[str, str]:
        kept, rows, sections = Molecules(wanted.form, no_flips(wanted.form)), "", ""
        for first in range(0, count, together):
            part = replace(whole, results=whole.results[first : first + together], refused=(), failed=())
            more_rows, more_sections = kept.add(pieces_of(part, wanted).page)
            rows, sections = rows + more_rows, sections + more_sections
        return rows + kept.rest(), sections

    assert put_together(count) == put_together(5) == put_together(1)


def test_tables_are_in_the_page_as_their_files_have_them(small: str) -> None:
    texts = texts_written(outcome_of(*results()))
    ends = re.search(r'id="gaps">"([^"]*)"<', small)
    assert ends is not None
    gaps = json.loads(zlib.decompress(base64.b64decode(ends[1])))
    rows = "".join(numbers["gaps"] for numbers in packed_in(small, "numbers"))
    assert gaps["head"] + rows + gaps["rest"] == texts["gaps.csv"]
    details = packed_in(small, "details")
    assert "".join(one["structures"] for one in details) == texts["conformers.sdf"]
    head, *terms = texts["ledger.csv"].splitlines()
    assert [line for one in details for line in one["ledger"].splitlines()[1:]] == terms
    assert {one["ledger"].splitlines()[0] for one in details} == {head}


def gibbs_again(numbers: dict[str, Any], temperature_k: float) -> float:
    """Gibbs energy from what the page ships, by textbook formulas (D. A. McQuarrie, Statistical Mechanics,
    1976, chapters 6 and 8, from memory), with CODATA constants of its own."""
    rt = 8.31446261815324 / 4184.0 * temperature_k
    quanta = np.maximum(numbers["frequencies_cm1"], 100.0) * 2.8591459e-3
    vibrations = float(np.sum(0.5 * quanta + rt * np.log(1.0 - np.exp(-quanta / rt))))
    rotation = -rt * (numbers["ln_q_rot_1k"] + 1.5 * np.log(temperature_k))
    return float(numbers["energy_kcal_mol"] + vibrations + rotation)


@pytest.mark.parametrize("result", results(), ids=lambda result: result.molecule.name)
def test_the_shipped_numbers_give_the_gap_of_the_series(result: Result) -> None:
    for temperature_k in (120.0, 298.15, 590.0):
        rt = 8.31446261815324 / 4184.0 * temperature_k
        sums = np.zeros(3)
        for numbers in json.loads(json.dumps(thermal_numbers(result))):
            sums += np.array(numbers["degeneracy"]) * np.exp(
                -gibbs_again(numbers, temperature_k) / rt + 150.0 / rt
            )
        (point,) = temperature_series(
            result.conformers, result.molecule.topology.masses_u, [temperature_k]
        ).points
        assert point.gibbs_kcal_mol == pytest.approx(-rt * np.log(sums[1] / sums[0]), abs=2e-6)
        shares = (point.population_a, point.population_b, point.population_non_chair)
        assert shares == pytest.approx(tuple(sums / sums.sum()), abs=1e-5)


def test_a_study_of_which_nothing_was_treated_says_so() -> None:
    elements = read(page_of(outcome_of()))
    assert "No molecule was treated; the reasons are below." in elements.text
    assert "There is no saturated ring of six carbons." in elements.text
    assert not [tag for tag, _ in elements.found if tag in ("svg", "input", "figure")]
    assert "table" not in [found.get("id") for _, found in elements.found]


def test_a_molecule_without_conformers_has_a_section() -> None:
    bare = replace(results()[0], conformers=())
    assert "None was found." in read(page_of(outcome_of(bare))).text


def test_a_drawing_that_fails_is_reported_in_its_place_and_loses_nothing(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def failing(*_: object) -> None:
        raise ZeroDivisionError("flat")

    monkeypatch.setattr("chairgap.page.pictures.energy_levels", failing)
    page = page_of(outcome_of(results()[0]))
    told = (
        "Energies of the conformers by MMFF94: internal error, ZeroDivisionError: flat; please report this "
        "molecule."
    )
    assert told in read(page).text
    assert "Newman projection, chair A" in page


def test_code_in_words_of_our_own_is_code_and_in_others_is_text() -> None:
    assert said(Own("named `1a 2e` & so on")) == "named <code>1a 2e</code> &amp; so on"
    assert said(Own("it **matters**")) == "it <strong>matters</strong>"
    assert said("named `1a **<b>**`") == "named `1a **&lt;b&gt;**`"
    assert said("named `1a <b>`") == "named `1a &lt;b&gt;`"


def test_chairs_equal_by_symmetry_are_reported(small: str) -> None:
    assert "their gap is exactly 0 by symmetry" in read(small).text


def test_twelve_molecules_take_less_than_8_mb() -> None:
    assert len(page_of(repeated(12)).encode()) < 8_000_000


def test_beyond_the_bound_only_the_largest_disagreements_are_listed() -> None:
    """1001 molecules and more: counts, and at most so many rows, largest difference first."""
    found = next(result for result in results() if headline_verdict(result) == "disagrees")
    estimate = replace(found.estimate, gap_kcal_mol=found.anchored.gap_kcal_mol)
    base = replace(found, estimate=estimate)
    sizes = [((7 * n) % (MOST_ROWS_IN_COUNTS + 50)) / 100.0 for n in range(MOST_ROWS_IN_COUNTS + 50)]
    many = [
        replace(
            named(base, f"off by {size}"),
            gaps=replace(base.gaps, gibbs_kcal_mol=(base.anchored.gap_kcal_mol or 0.0) + size),
        )
        for size in sizes
    ]
    assert len(many) > MOST_WITH_SECTIONS
    made = Molecules("counts", no_flips("counts"))
    nothing = Texts(gaps="", ledger="", structures="", ledger_head="")
    for part in (many[:600], many[600:]):
        assert made.add(entries_of(outcome_of(*part), "counts", nothing)) == ("", "")
    rows = re.findall(r'<th role="rowheader" scope="row">off by ([0-9.]+)</th>', made.rest())
    assert [float(row) for row in rows] == sorted(sizes, reverse=True)[:MOST_ROWS_IN_COUNTS]


@pytest.mark.parametrize(
    ("molecules", "form"),
    [
        (0, "open"),
        (MOST_OPEN, "open"),
        (MOST_OPEN + 1, "lazy"),
        (MOST_WITH_SECTIONS, "lazy"),
        (MOST_WITH_SECTIONS + 1, "counts"),
    ],
)
def test_the_form_of_the_page_is_reported_by_the_number_of_molecules(molecules: int, form: Form) -> None:
    assert form_of(molecules) == form


def test_the_page_of_a_study_in_counts_points_to_the_files() -> None:
    made = outcome_of(*results())
    wanted = OutputOptions(parquet=False, molecules=MOST_WITH_SECTIONS + 1)
    pieces = pieces_of(made, wanted)
    told = PageSummary(
        tally=pieces.overview.tally,
        plotted=pieces.plotted,
        sources=cite_part(pieces.cited.estimates, {}, ()),
        gaps=("", ""),
        files=("gaps.csv",),
        flip_faults=(),
    )
    frame = frame_of(made, "counts", told)
    elements = read(frame.before + frame.between + frame.after)
    assert "4 molecules treated" in elements.text and "gaps.csv" in elements.text
    assert len([tag for tag, _ in elements.found if tag == "svg"]) == 1
    assert not [found for _, found in elements.found if found.get("id") == "temperature"]


def test_no_two_functions_of_the_scripts_have_one_name() -> None:
    """The scripts share one scope, where the later function would silently take the place of the other."""
    texts = [path.read_text(encoding="utf-8") for path in Path(rendering.__file__).parent.glob("assets/*.js")]
    names = [name for text in texts for name in re.findall(r"^(?:async )?function (\w+)", text, re.MULTILINE)]
    assert len(names) > 30 and len(names) == len(set(names))
