"""The more stable chair, gap and K, and percent, of one molecule."""

from chairgap.answer_key.rules.answers.equilibrium import equilibrium_constant
from chairgap.compare.verdict import percent_a
from chairgap.handout import pictures, wording
from chairgap.handout.answers import axial_and_equatorial, estimate_lines, glance
from chairgap.handout.blocks import Blanks, Bullets, Drawing, Grid, Mark, Part, Piece, Space, Together
from chairgap.handout.kinds.four_part import labels_to_fill, ledger
from chairgap.handout.kinds.kind import Task, Written
from chairgap.handout.wording import three_digits, with_sign
from chairgap.records import Position
from chairgap.units import GAS_CONSTANT_KCAL_PER_MOL_K, signed


def stable_chair(task: Task) -> Written:
    """Both chairs are drawn; which is more stable?"""
    posed, settings = task.posed, task.settings
    drawn = Drawing(
        path=task.drawn(pictures.unlabelled_chairs(posed), "chairs").path,
        picture=pictures.unlabelled_chairs(posed),
        size="frames",
        captions=wording.FRAMES,
        singles=pictures.single_unlabelled_chairs(posed),
    )
    which = (
        "Which chair is more stable by the table of this sheet: chair 1, chair 2, or neither (energies less "
        f"than {settings.undecided_below_kcal_mol:.2f} kcal/mol apart)? Write down the terms of each chair."
    )
    found = glance(posed, settings)
    head = ("Group", *(name.capitalize() for name in wording.FRAMES))
    return Written(
        question=(
            Together(pieces=(drawn, Part(letter="a", text=wording.LABEL, points=2), labels_to_fill(task))),
            Together(
                pieces=(
                    Part(letter="b", text=which, points=2),
                    Space(),
                    Blanks(labels=(("More stable:", ""),)),
                ),
                grows=True,
            ),
        ),
        answer=(
            Part(letter="a"),
            task.chairs_of_key(),
            Grid(head=head, rows=task.labels()),
            Part(letter="b"),
            *ledger(task),
            Bullets(lines=estimate_lines(posed, settings)[:2]),
            task.computation(),
        ),
        glance=(f"more stable: {found.preferred}", f"{found.gap} kcal/mol {found.over}"),
        marks=(
            Mark(points=1, words="(a) chair 1 right throughout."),
            Mark(points=1, words="(a) chair 2 right throughout."),
            Mark(points=1, words="(b) the terms of both chairs, from the student's own labels of (a)."),
            Mark(points=1, words="(b) the chair that follows from them."),
        ),
    )


def gap_and_k(task: Task) -> Written:
    """dG from the table, then K."""
    posed, settings = task.posed, task.settings
    _, _, estimate, _ = wording.parts(posed, settings)
    who = wording.reference_words(posed)
    work_out = (
        f"From your dG, work out K = [chair with {who} equatorial] / [chair with it axial] = exp(dG / RT) at "
        f"{settings.temperature_k:.2f} K."
    )
    found = glance(posed, settings)
    return Written(
        question=(
            task.molecule(),
            Together(
                pieces=(Part(letter="a", text=estimate.text, points=estimate.points), Space()), grows=True
            ),
            Together(
                pieces=(
                    Part(letter="b", text=work_out, points=1),
                    Blanks(labels=(("dG =", "kcal/mol"), ("K =", ""))),
                )
            ),
        ),
        answer=(
            Together(pieces=(Part(letter="a"), *_chairs(task), *ledger(task))),
            Bullets(lines=estimate_lines(posed, settings)),
            task.computation(),
        ),
        glance=(f"{found.gap} kcal/mol {found.over}", found.equilibrium),
        marks=(
            Mark(points=1, words="(a) the terms, each with its chair."),
            Mark(points=1, words="(a) the sum."),
            Mark(points=1, words="(a) sign and direction."),
            Mark(points=1, words="(b) K, from the student's own dG of (a)."),
        ),
    )


def percent(task: Task) -> Written:
    """dG is given; the percent of one chair is asked for."""
    posed, settings = task.posed, task.settings
    gap = wording.direction_of(posed) * (posed.estimate.gap_kcal_mol or 0.0)
    kelvin, who = settings.temperature_k, wording.reference_words(posed)
    asked = asked_chair(task)
    given = (
        f"dG = G(chair with {who} axial) - G(chair with it equatorial) = {with_sign(gap)} kcal/mol. Work "
        f"out K = [chair with {who} equatorial] / [chair with it axial] = exp(dG / RT) at {kelvin:.2f} K."
    )
    part_b = f"What percent of the molecules are in the chair with {who} {asked}? The two chairs are 100 %."
    share = percent_a(gap, kelvin)
    value = share if asked == "equatorial" else 100.0 - share
    rt = GAS_CONSTANT_KCAL_PER_MOL_K * kelvin
    k = three_digits(equilibrium_constant(gap, kelvin))
    answer = wording.percent_words(value)
    formula = "100 K / (1 + K)" if asked == "equatorial" else "100 / (1 + K)"
    return Written(
        question=(
            task.molecule(),
            Part(letter="a", text=given, points=1),
            Together(
                pieces=(
                    Part(letter="b", text=part_b, points=2),
                    Space(),
                    Blanks(labels=(("K =", ""), ("Percent:", "%"))),
                ),
                grows=True,
            ),
        ),
        answer=(
            Bullets(
                lines=(
                    f"(a) dG / RT = {signed(gap)} / {rt:.4f} = {signed(gap / rt)}; K = {k}.",
                    f"(b) The chair with {who} {asked}: {formula} = {answer}.",
                    f"The given dG is the estimate from the table '{task.outcome.table.name}'.",
                )
            ),
        ),
        glance=(f"K = {k}", f"{who} {asked}: {answer}"),
        marks=(
            Mark(points=1, words="(a) K, with the sign of dG right."),
            Mark(points=1, words="(b) a percent that follows from the student's own K."),
            Mark(points=1, words="(b) the percent of the chair that is asked for, not of the other one."),
        ),
    )


def asked_chair(task: Task) -> Position:
    """Of which chair the percent is asked for: with the group of dG axial or equatorial."""
    return task.rng_of_all.choice(("axial", "equatorial"))


def _chairs(task: Task) -> tuple[Piece, ...]:
    axial, equatorial = axial_and_equatorial(task.posed)
    who = wording.reference_words(task.posed)
    stands = sorted((f"{axial}: {who} axial", f"{equatorial}: {who} equatorial"))
    return (task.chairs_of_key(), Bullets(lines=("; ".join(stands),)))
