"""The question that a sheet asks by default: draw, label, estimate, choose; and its first half alone."""

from chairgap.handout import wording
from chairgap.handout.answers import estimate_lines, glance, terms
from chairgap.handout.blocks import Beside, Blanks, Bullets, Grid, Mark, Part, Piece, Space, Together
from chairgap.handout.kinds.kind import Task, Written

_TERMS = ("Chair", "Term", "kcal/mol")


def four_part(task: Task) -> Written:
    """Both chairs, their labels, dG, and the preferred chair with K and percent."""
    draw, label, estimate, prefer = wording.parts(task.posed, task.settings)
    blanks = Blanks(labels=(("Preferred", ""), ("K =", ""), ("Percent", "")))
    rest = (estimate, Space(), Blanks(labels=(("dG =", "kcal/mol"),)), prefer, blanks)
    found = glance(task.posed, task.settings)
    return Written(
        question=(*_drawing_parts(task, draw, label), Together(pieces=rest, grows=True)),
        answer=(
            *drawn_answer(task),
            Part(letter="c, d"),
            *ledger(task),
            Bullets(lines=estimate_lines(task.posed, task.settings)),
            task.computation(),
        ),
        glance=(f"{found.gap} {found.over}", found.preferred, found.equilibrium),
    )


def both_chairs(task: Task) -> Written:
    """Both chairs drawn, and every group labelled."""
    draw, label, *_ = wording.parts(task.posed, task.settings)
    left, right = wording.left_and_right(task.posed)
    return Written(
        question=_drawing_parts(task, draw, label),
        answer=drawn_answer(task),
        glance=tuple(
            f"{name}: {wording.pattern_words(chair)}"
            for name, chair in zip(wording.FRAMES, (left, right), strict=True)
        ),
        marks=(
            Mark(points=1, words="(a) every group on the right bond of chair 1."),
            Mark(points=1, words="(a) every group on the right bond of chair 2."),
            Mark(points=1, words="(a) every group keeps its face, up or down, in both chairs."),
            Mark(points=1, words="(b) chair 1 right throughout, or in agreement with the drawing of (a)."),
            Mark(points=1, words="(b) chair 2 right throughout, or in agreement with the drawing of (a)."),
        ),
    )


def _drawing_parts(task: Task, draw: Part, label: Part) -> tuple[Piece, ...]:
    return (
        task.molecule(),
        Together(pieces=(draw, task.frames())),
        Together(pieces=(label, labels_to_fill(task))),
    )


def labels_to_fill(task: Task) -> Grid:
    """A row for each group, a column for each chair."""
    groups = (wording.group_words(group) for group in task.posed.chairs[0].groups)
    head = ("Group", *(name.capitalize() for name in wording.FRAMES))
    return Grid(head=head, rows=tuple((group, "", "") for group in groups), to_fill=True)


def drawn_answer(task: Task) -> tuple[Piece, ...]:
    """The drawing and the labels of both chairs."""
    (flat,) = task.molecule().drawings
    head = ("Group", *(name.capitalize() for name in wording.FRAMES))
    return (
        Together(pieces=(Part(letter="a"), Beside(drawings=(flat, task.chairs_of_key())))),
        Together(pieces=(Part(letter="b"), Grid(head=head, rows=task.labels()))),
    )


def ledger(task: Task) -> tuple[Piece, ...]:
    """The terms of both chairs; nothing where there are none."""
    rows = tuple((term.chair, term.words, term.value) for term in terms(task.posed))
    return (Grid(head=_TERMS, rows=rows, right=(2,)),) if rows else ()
