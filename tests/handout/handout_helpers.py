"""Results for handouts: real molecule, chairs and ledger, with invented computed gaps."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import pairwise
from random import Random

from scipy.stats import norm

from chairgap.estimate.ledger import estimate_gap, zero_by_symmetry
from chairgap.handout.blocks import Answer, Bullets, Piece, Together
from chairgap.handout.kinds import KINDS
from chairgap.handout.levels import Level
from chairgap.handout.make import Handout, HandoutOptions, make_handout
from chairgap.handout.matching import Difficulty
from chairgap.handout.planning import Asking, plan
from chairgap.handout.pool import pool_of
from chairgap.handout.sheets import sheets_of
from chairgap.records import Outcome, Reason, Result, Settings, Study
from chairgap.shape.chairs import two_chairs
from pipeline_helpers import TABLE, TABLES, molecule
from report.made_outcome import result as made_result

SET = (
    ("methylcyclohexane", "1 up CH3"),
    ("ethylcyclohexane", "1 up C2H5"),
    ("cyclohexanol", "1 up OH"),
    ("chlorocyclohexane", "1 up Cl"),
    ("trans-4-methylcyclohexanol", "1 up OH, 4 down CH3"),
    ("trans-4-ethylcyclohexanol", "1 up OH, 4 down C2H5"),
    ("cis-1,3-dimethylcyclohexane", "1 up CH3, 3 up CH3"),
    ("trans-1,2-dimethylcyclohexane", "1 up CH3, 2 down CH3"),
)


DIMETHYLS = {
    f"{relation}-1,{other}": f"1 up CH3, {other} {face} CH3"
    for other in (2, 3, 4)
    for relation, face in (("cis", "up"), ("trans", "down"))
}
# Symmetry makes their two chairs the same or mirror images.
_EQUAL = {"cis-1,2", "trans-1,3", "cis-1,4"}


def made(
    groups_by_face: str, name: str = "", *, equal: bool = False, preferred: str = "", **changes: object
) -> Result:
    """A result whose computed Gibbs gap is the estimate plus 0.1 kcal/mol; changes go into its comparison."""
    built = replace(molecule(groups_by_face), name=name or groups_by_face)
    chairs = two_chairs(built.topology)
    estimate = estimate_gap(chairs, TABLE)
    estimate = zero_by_symmetry(estimate) if equal else estimate
    base, gap = made_result(), 0.0 if equal else (estimate.gap_kcal_mol or 0.0) + 0.1
    chosen = preferred or ("equal" if equal else "A" if gap > 0 else "B")
    comparison = replace(
        base.comparison,
        computed_low_kcal_mol=gap - 0.2,
        computed_high_kcal_mol=gap + 0.2,
        preferred=chosen,
        **changes,
    )
    return replace(
        base,
        molecule=built,
        chairs=chairs,
        estimate=estimate,
        gaps=replace(base.gaps, gibbs_kcal_mol=gap, equal_by_symmetry=equal),
        comparison=comparison,
    )


def reason(code: str) -> Reason:
    return Reason(code=code, evidence=f"invented {code}")


def outcome_of(*results: Result, title: str = "Set 1") -> Outcome:
    settings = Settings(title=title, output="out")
    study = Study(settings=settings, tables=TABLES, requests=(), text="", file="made.toml")
    return Outcome(study=study, results=results, refused=(), failed=())


def usual_outcome() -> Outcome:
    return outcome_of(*(made(groups_by_face, name) for name, groups_by_face in SET))


def dimethyls(*names: str) -> list[Result]:
    """Some of the dimethylcyclohexanes, without names all of them."""
    return [made(DIMETHYLS[name], name, equal=name in _EQUAL) for name in names or DIMETHYLS]


def all_kinds_outcome() -> Outcome:
    """A study that serves every kind of question at once."""
    return outcome_of(
        *dimethyls(),
        *(made(f"1 up {group}") for group in ("CH3", "C2H5", "OH", "Br")),
        *(
            made(f"1 up {one}, 4 {face} {other}")
            for one, other in (("Cl", "CH3"), ("OH", "C2H5"))
            for face in ("up", "down")
        ),
    )


def handout(outcome: Outcome, **wanted: object) -> Handout:
    return make_handout(outcome, HandoutOptions(pdf=False, **wanted))


def texts(outcome: Outcome, **wanted: object) -> dict[str, str]:
    return {name: content.decode() for name, content in handout(outcome, **wanted).contents.items()}


def hard(size_kcal_mol: float, groups: int = 1, *pitfalls: str, warned: bool = False) -> Difficulty:
    return Difficulty(groups=groups, size_kcal_mol=size_kcal_mol, pitfalls=frozenset(pitfalls), warned=warned)


def runs_test_p(marks: list[bool]) -> float:
    """Two-sided p of the Wald-Wolfowitz runs test by its normal approximation (Wald & Wolfowitz, Ann. Math.
    Stat. 1940, 11, 147; from memory)."""
    ones, zeros = sum(marks), len(marks) - sum(marks)
    runs = 1 + sum(one != other for one, other in pairwise(marks))
    both = 2.0 * ones * zeros
    mean, variance = (
        both / len(marks) + 1.0,
        both * (both - len(marks)) / (len(marks) ** 2 * (len(marks) - 1.0)),
    )
    return 2.0 * norm.sf(abs(runs - mean) / variance**0.5)


def answers(
    outcome: Outcome,
    kinds: list[str],
    *,
    seed: int = 1,
    questions: int | None = None,
    level: Level | None = None,
) -> list[Answer]:
    """The answers of the only version, in the order of the sheet."""
    rng = Random(seed)
    pool = pool_of(outcome, rng)
    asking = Asking(level=level, questions=questions, versions=1, equal=True)
    found = plan(pool, outcome, [KINDS[kind] for kind in kinds], asking, rng)
    return list(sheets_of(found.chosen, pool, outcome, seed, found.left_out)[0].answers)


def only(outcome: Outcome, kind: str, seed: int = 1) -> Answer:
    (answer,) = answers(outcome, [kind], questions=1, seed=seed)
    return answer


def pieces(items: Iterable[Piece], what: type) -> Iterator[Piece]:
    """The pieces of this type, also those that stand together."""
    for piece in items:
        if isinstance(piece, Together):
            yield from pieces(piece.pieces, what)
        elif isinstance(piece, what):
            yield piece


def lines(answer: Answer) -> str:
    return "\n".join(line for piece in pieces(answer.pieces, Bullets) for line in piece.lines)
