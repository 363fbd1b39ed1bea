"""Cis or trans, R or S, and what a ring flip does to them."""

from chairgap.answer_key.rules.answers.dispatch import answer
from chairgap.handout import wording
from chairgap.handout.blocks import Bullets, Grid, Mark, Part, Space, Together
from chairgap.handout.kinds.kind import Task, Written, case_of
from chairgap.handout.pool import Candidate
from chairgap.handout.posed import Posed
from chairgap.records import Outcome, PlacedLigand


def lacks_pair(candidate: Candidate, outcome: Outcome) -> str:
    """Why there is no pair of groups to be cis or trans."""
    alone = _single(candidate.result.chairs[0].groups)
    return "" if len(alone) > 1 else "it has no two carbons with one group each"


def _single(groups: tuple[PlacedLigand, ...]) -> list[PlacedLigand]:
    """The groups that are alone on their carbon."""
    carbons = [group.carbon for group in groups]
    return [group for group in groups if carbons.count(group.carbon) == 1]


def configuration(task: Task) -> Written:
    """Of two groups, and of every carbon with one group."""
    posed = task.posed
    groups = _single(posed.chairs[0].groups)
    one, other = sorted(task.rng_of_all.sample(range(len(groups)), 2))
    pair = (groups[one], groups[other])
    carbons = tuple(group.carbon for group in pair)
    relation = answer(case_of((posed,), task.outcome, "relation", carbons=carbons))
    centres = [(group, _descriptor(posed, task.outcome, group.carbon)) for group in groups]
    listed = " and ".join(wording.with_article(group) for group in pair)
    return Written(
        question=(
            task.molecule(),
            Part(letter="a", text=f"Are {listed} cis or trans to each other?", points=1),
            Part(
                letter="b",
                text="Write the descriptor of each carbon: R or S, small r or s where the centre is "
                "pseudoasymmetric, or none where it is no stereocentre.",
                points=len(centres),
            ),
            Grid(
                head=("Carbon", "Descriptor"),
                rows=tuple((f"carbon {group.carbon}", "") for group in groups),
                to_fill=True,
            ),
            Together(
                pieces=(
                    Part(
                        letter="c",
                        text="Which answers of (a) and (b) does a ring flip change? Give the reason in one "
                        "sentence.",
                        points=1,
                    ),
                    Space(),
                ),
                grows=True,
            ),
        ),
        answer=(
            Bullets(lines=tuple(f"(a) {step}" for step in relation.steps)),
            Bullets(lines=tuple(f"(b) {' '.join(steps[:1])}" for _, (_, steps) in centres)),
            Bullets(
                lines=("(c) None: a ring flip breaks no bond, so every group keeps its face and its carbon.",)
            ),
        ),
        glance=(
            relation.text,
            ", ".join(f"carbon {group.carbon}: {text}" for group, (text, _) in centres),
        ),
        marks=(
            Mark(points=1, words="(a) cis or trans, by the faces and not by axial and equatorial."),
            *(Mark(points=1, words=f"(b) carbon {group.carbon}: {text}.") for group, (text, _) in centres),
            Mark(points=1, words="(c) none, with the reason."),
        ),
    )


def _descriptor(posed: Posed, outcome: Outcome, carbon: int) -> tuple[str, tuple[str, ...]]:
    found = answer(case_of((posed,), outcome, "R/S", carbons=(carbon,)))
    return found.text, found.steps
