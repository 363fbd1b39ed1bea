"""The recipe: the outcome of a study in, the files of a handout out."""

import json
from dataclasses import dataclass
from importlib.metadata import version as version_of
from itertools import product
from random import Random

from chairgap.files import PROGRAM
from chairgap.handout.browser import NoPdf, find_browser, pdf_of
from chairgap.handout.choosing import VERSIONS, Chosen, choose
from chairgap.handout.kinds import FOUR_PART, KINDS
from chairgap.handout.levels import Level
from chairgap.handout.markdown_sheets import drawings, key_markdown, questions_markdown
from chairgap.handout.matching_table import MATCHES, ChosenQuestions
from chairgap.handout.pages import sheet_html
from chairgap.handout.planning import Asking, plan
from chairgap.handout.pool import Pool, pool_of
from chairgap.handout.sheets import MOST_LISTED, left_out_words, sheets_of
from chairgap.records import Outcome
from chairgap.text import one_line

MATCHING, HANDOUT = "matching.csv", "handout.json"
PAPERS = ("A4", "Letter")


@dataclass(frozen=True, kw_only=True)
class HandoutOptions:
    """What a handout shall be. questions None: a usual number, or as many as there are. equal:
    any number of molecules with equal chairs. kinds: names of `chairgap.handout.kinds`; level: only questions
    so hard, None for all."""

    versions: int = 2
    questions: int | None = None
    seed: int = 1
    large_print: bool = False
    paper: str = PAPERS[0]
    pdf: bool = True
    equal: bool = False
    kinds: tuple[str, ...] = (FOUR_PART.name,)
    level: Level | None = None

    @property
    def usual(self) -> bool:
        """The question of four parts alone, of any level."""
        return self.kinds == (FOUR_PART.name,) and self.level is None


@dataclass(frozen=True, kw_only=True)
class Handout:
    """The files by name (with / for folders), and remarks for the user."""

    contents: dict[str, bytes]
    remarks: tuple[str, ...]


def make_handout(outcome: Outcome, wanted: HandoutOptions) -> Handout:
    """Choose the questions by the seed, and write up sheets, keys and the table of matches.

    The same outcome, seed and versions give the same bytes, but for PDF. Raises InputError when the study has
    too few molecules that can be asked about.
    """
    rng = Random(wanted.seed)
    pool = pool_of(outcome, rng)
    chosen, kinds_left_out = _chosen(pool, outcome, wanted, rng)
    sheets = sheets_of(chosen, pool, outcome, wanted.seed, kinds_left_out)
    asked = ChosenQuestions(chosen=chosen, outcome=outcome, seed=wanted.seed)
    texts = {MATCHING: MATCHES.csv_text(asked)}
    for sheet in sheets:
        paper, large = wanted.paper, wanted.large_print
        texts[f"questions_{sheet.version}.html"] = sheet_html("questions", sheet, paper=paper, large=large)
        texts[f"key_{sheet.version}.html"] = sheet_html("key", sheet, paper=paper, large=large)
        texts[f"questions_{sheet.version}.md"] = questions_markdown(sheet)
        texts[f"key_{sheet.version}.md"] = key_markdown(sheet)
    texts |= drawings(sheets)
    printed, remarks = _printed(texts) if wanted.pdf else ({}, ())
    facts = {
        "program": PROGRAM,
        "version": version_of(PROGRAM),
        "study_title": outcome.study.settings.title,
        "seed": wanted.seed,
        "versions": list(VERSIONS[: wanted.versions]),
        "questions": len(chosen.matches),
        "matches_of_different_molecules": sum(not match.same_molecule for match in chosen.matches),
        "kinds": list(wanted.kinds),
        "level": wanted.level or "any",
        "large_print": wanted.large_print,
        "paper": wanted.paper,
    }
    texts[HANDOUT] = json.dumps(facts, indent=2, ensure_ascii=False) + "\n"
    # The path of a table may hold bytes that are no UTF-8, which reach Python as lone surrogates.
    encoded = {name: text.encode("utf-8", "backslashreplace") for name, text in texts.items()}
    lost = [
        f"Not asked about: {one_line(refusal.name)}, since it was refused: {one_line(refusal.message)}"
        for refusal in (*outcome.refused, *outcome.failed)[:MOST_LISTED]
    ]
    return Handout(
        contents=encoded | printed, remarks=(*lost, *left_out_words(pool, chosen), *kinds_left_out, *remarks)
    )


def _chosen(
    pool: Pool, outcome: Outcome, wanted: HandoutOptions, rng: Random
) -> tuple[Chosen, tuple[str, ...]]:
    """The questions, and which kinds are not among them, with the reason."""
    if wanted.usual:
        chosen = choose(
            pool,
            outcome,
            questions=wanted.questions,
            versions=wanted.versions,
            rng=rng,
            any_equal=wanted.equal,
        )
        return chosen, ()
    made = plan(
        pool,
        outcome,
        [KINDS[name] for name in wanted.kinds],
        Asking(
            level=wanted.level,
            questions=wanted.questions,
            versions=wanted.versions,
            equal=wanted.equal,
        ),
        rng,
    )
    return made.chosen, made.left_out


def possible_names(versions: int) -> tuple[str, ...]:
    """Names that a handout of so many versions writes in any case, to be looked for before a study runs."""
    kinds = product(("questions", "key"), VERSIONS[:versions], ("html", "md", "pdf"))
    return (MATCHING, HANDOUT, *(f"{kind}_{letter}.{end}" for kind, letter, end in kinds))


def _printed(texts: dict[str, str]) -> tuple[dict[str, bytes], tuple[str, ...]]:
    """The PDF of each HTML file, and why some are missing."""
    made: dict[str, bytes] = {}
    try:
        browser = find_browser()
        for name, text in texts.items():
            if name.endswith(".html"):
                made[name.replace(".html", ".pdf")] = pdf_of(text, browser)
    except NoPdf as error:
        return made, (str(error),)
    return made, ()
