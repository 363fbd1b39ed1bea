"""Pages of feedback: one for each anonymous id, and one of the class, as HTML and Markdown for print."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from chairgap.answer_key.files.checking import carbons_words
from chairgap.answer_key.rules.feedback import ClaimInClass, right_in_the_way
from chairgap.answer_key.rules.students import Marked, Outcome
from chairgap.report.markdown import table
from chairgap.report.templates import environment
from chairgap.text import escaped, one_line
from chairgap.units import fixed

PAGES = "pages"
CLASS_PAGE = "class_summary"
_TEMPLATES = Path(__file__).parent / "templates"
_SIGNS: dict[Outcome, str] = {
    "right": "+ right",
    "convention": "~ other convention",
    "carried": "> carried forward",
    "wrong": "x wrong",
    "missing": "- not answered",
    "unreadable": "? not readable",
}
_FOOT = "Points are those of the key. A person decides a grade."
_OF_STUDENTS = (
    *("Question", "Your answer", "Mark", "Points", "Right answer", "Right in yours"),
    "Read this",
)
_OF_CLASS = (
    *("Question", "Answer", "Students", "Answered", "Right", "Difficulty", "Discrimination"),
    *("Slips", "Wrong answers"),
)
_SHOWN = 3


@dataclass(frozen=True, kw_only=True)
class Page:
    """A page before it is written: title, lines above the table, head and rows, how wide the columns are in
    percent, and which of them is the mark's."""

    title: str
    lines: tuple[str, ...]
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    widths: tuple[int, ...]
    outcome_column: int
    landscape: bool = False

    def html(self) -> str:
        """The page as one HTML file that asks the network for nothing."""
        template = environment(_TEMPLATES).get_template("feedback.html")
        return template.render(
            title=self.title,
            lines=self.lines,
            heads=self.heads,
            rows=self.rows,
            widths=self.widths,
            outcome_column=self.outcome_column,
            landscape=self.landscape,
            foot=_FOOT,
        )

    def markdown(self) -> str:
        """The same as Markdown."""
        rows = [[escaped(one_line(cell)) for cell in row] for row in self.rows]
        body = "\n".join(table(self.heads, rows))
        parts = [f"# {escaped(self.title)}", *map(escaped, self.lines), body, _FOOT]
        return "\n\n".join(parts) + "\n"


def page_of_student(marks: Sequence[Marked]) -> Page:
    """Each answer of one student with its mark, what was right in it, and the one sentence to read."""
    points, possible = sum(mark.points for mark in marks), sum(mark.claim.points or 0.0 for mark in marks)
    open_points = sum(mark.open_points for mark in marks)
    right = sum(mark.outcome == "right" for mark in marks)
    lines = [f"{right} of {len(marks)} answers are right: {points:g} of {possible:g} points."]
    if open_points:
        lines.append(
            f"For a person to decide: {open_points:g} more, for answers that follow from an own earlier "
            "number (carried forward), or are right by another source or convention."
        )
    return Page(
        title=f"Feedback for {marks[0].student}",
        lines=tuple(lines),
        heads=_OF_STUDENTS,
        rows=tuple(
            (
                _question(mark),
                mark.given,
                _SIGNS[mark.outcome],
                _points(mark),
                "" if mark.outcome == "right" else mark.expected,
                right_in_the_way(mark),
                mark.read,
            )
            for mark in marks
        ),
        widths=(17, 12, 13, 9, 12, 15, 22),
        outcome_column=2,
    )


def page_of_class(claims: Sequence[ClaimInClass]) -> Page:
    """How each claim did, those that failed most first, with the numbers of students behind it."""
    students = max((claim.students for claim in claims), default=0)
    ordered = sorted(claims, key=lambda claim: (claim.difficulty is None, claim.difficulty or 0.0))
    return Page(
        title="Class summary",
        lines=(
            f"{students} {'sheet' if students == 1 else 'sheets'}. What failed most stands first.",
            "Difficulty: right answers / answers. Discrimination: correlation of a right answer with the "
            "other right answers of the same student, from 10 answers on; near or below 0: look at "
            "the question.",
        ),
        heads=_OF_CLASS,
        rows=tuple(_class_row(claim) for claim in ordered),
        widths=(15, 11, 8, 9, 6, 11, 12, 14, 14),
        outcome_column=0,
        landscape=True,
    )


def _class_row(claim: ClaimInClass) -> tuple[str, ...]:
    return (
        _question(claim.first),
        claim.expected,
        str(claim.students),
        str(claim.answered),
        str(claim.right),
        _ratio(claim.difficulty, claim.answered),
        _ratio(claim.discrimination, claim.answered),
        _counted([(slip.replace("-", " "), count) for slip, count in claim.slips]),
        _counted(claim.wrong_answers),
    )


def _ratio(value: float | None, students: int) -> str:
    return "none" if value is None else f"{fixed(value, 2)} (n = {students})"


def _counted(items: Sequence[tuple[str, int]]) -> str:
    return "; ".join(f"{one_line(words)} ({count})" for words, count in items[:_SHOWN])


def _question(mark: Marked) -> str:
    claim = mark.claim
    where = f" C{carbons_words(claim)}" if claim.carbons else ""
    chair = f", chair {claim.chair}" if claim.chair else ""
    return one_line(f"{claim.item}: {claim.quantity}{where}{chair}")


def _points(mark: Marked) -> str:
    if mark.claim.points is None:
        return ""
    extra = f" (+{mark.open_points:g}?)" if mark.open_points else ""
    return f"{mark.points:g} of {mark.claim.points:g}{extra}"
