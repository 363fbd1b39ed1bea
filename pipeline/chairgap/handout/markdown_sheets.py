"""Question sheets and keys as Markdown, with their drawings as SVG files beside them.

The drawings of a key lie in a folder of their own, so that a folder of questions can be handed out whole.
"""

from collections.abc import Iterator

from chairgap.drawings.picture import Picture, alone
from chairgap.handout.sheets import Answer, Question, Sheet
from chairgap.handout.values import Values
from chairgap.handout.wording import LEFT, RIGHT, Part
from chairgap.report.markdown import table
from chairgap.text import escaped, typeset

# By the carbons that are raised in the left frame.
_FRAMES = {True: "drawings/chair_frames.svg", False: "drawings/chair_frames_other.svg"}


def drawings(sheets: tuple[Sheet, ...]) -> dict[str, str]:
    """The SVG files of the question sheets and of the keys by name."""
    asked = [question for sheet in sheets for question in sheet.questions]
    files = {_FRAMES[question.odd_raised_left]: alone(question.frames) for question in asked}
    for sheet in sheets:
        for answer in sheet.answers:
            files[_molecule(sheet.letter, answer.question)] = alone(answer.question.molecule)
            files[_chairs(sheet.letter, answer)] = alone(answer.chairs)
    return files


def questions_markdown(sheet: Sheet) -> str:
    """The question sheet of a version; nothing of its key is in it."""
    lines = [
        f"# {escaped(sheet.title)}",
        "",
        f"Question sheet, version {sheet.letter}: {len(sheet.questions)} questions, {_points(sheet.points)}",
        "",
        "Name or number: ____________________ Date: __________",
        "",
        "## Before you begin",
        "",
        *(f"- {_said(line)}" for line in sheet.conventions),
        "",
        *_values(sheet.values),
    ]
    for question in sheet.questions:
        lines += ["", *_question(sheet.letter, question)]
    return "\n".join([*lines, "", escaped(sheet.origin)]) + "\n"


def key_markdown(sheet: Sheet) -> str:
    """The key of a version."""
    lines = [
        f"# {escaped(sheet.title)}",
        "",
        f"Key, version {sheet.letter}: for the instructor, {_points(sheet.points)}",
        "",
        "## How to mark",
        "",
        *(f"- {_said(line)}" for line in sheet.rubric),
        *(f"- {escaped(line)}" for line in sheet.notes),
    ]
    lines += ["", "## At a glance", "", *_glance(sheet)]
    for answer in sheet.answers:
        lines += ["", *_answer(sheet.letter, answer)]
    lines += ["", *_values(sheet.values), "", "## Sources of the energies", ""]
    lines += [f"- {_said(source)}" for source in sheet.sources]
    lines += ["", *(f"- {caution}" for caution in sheet.cautions), "", escaped(sheet.key_origin)]
    return "\n".join(lines) + "\n"


def _question(letter: str, question: Question) -> Iterator[str]:
    name = f": {escaped(question.name)}" if question.name else ""
    yield from (f"## Question {question.number}{name}", "")
    yield from (_image(question.molecule, _molecule(letter, question)), "")
    yield from (f"- {_said(group)}" for group in question.groups)
    yield from ("", question.numbered)
    draw, label, estimate, prefer = question.parts
    yield from ("", _asked(draw), "", _image(question.frames, _FRAMES[question.odd_raised_left]), "")
    yield from (f"Left: {LEFT}. Right: {RIGHT}.", "", _asked(label), "")
    yield from table(["Group", *_frames()], [[_said(group), "", ""] for group in question.groups])
    yield from ("", _asked(estimate), "", f"{typeset('dG')} = __________ kcal/mol", "", _asked(prefer), "")
    yield "Preferred: __________ K = __________ Percent: __________"


def _glance(sheet: Sheet) -> list[str]:
    head = ["Question", "Molecule", typeset("dG of (c), kcal/mol"), "Preferred"]
    head += [f"K, percent at {sheet.temperature}", "Read first"]
    rows = [
        [
            str(answer.question.number),
            escaped(answer.name),
            _said(f"{answer.glance.gap} {answer.glance.over}"),
            answer.glance.preferred,
            _said(answer.glance.equilibrium),
            "before (d)" if answer.doubts else "note" if answer.remarks else "",
        ]
        for answer in sheet.answers
    ]
    return table(head, rows)


def _answer(letter: str, answer: Answer) -> Iterator[str]:
    yield from (f"## Question {answer.question.number}: {escaped(answer.name)}", "")
    if answer.doubts or answer.remarks:
        head = "Do not mark (d) before you have read this." if answer.doubts else "Note:"
        yield from (f"**{head}** {_said(' '.join((*answer.doubts, *answer.remarks)))}", "")
    yield from (f"{answer.question.numbered} {escaped(answer.systematic)}", "")
    yield from (_said(answer.against), "", "(a)", "")
    yield from (_image(answer.chairs, _chairs(letter, answer)), "")
    yield from (f"Left: {LEFT}. Right: {RIGHT}.", "", "(b)", "")
    yield from table(["Group", *_frames()], [[_said(cell) for cell in row] for row in answer.positions])
    yield from ("", "(c, d)", "")
    rows = [[term.chair, _said(term.words), typeset(term.value)] for term in answer.terms]
    if rows:
        yield from (*table(["Chair", "Term", "kcal/mol"], rows, right=(2,)), "")
    yield from (f"- {_said(line)}" for line in answer.estimate)
    yield from ("", "Computation beside the estimate:", "")
    yield from (f"- {_said(line)}" for line in answer.computed)


def _values(values: Values) -> Iterator[str]:
    yield from ("## Energies for the estimates", "")
    for head, lines in (
        ("A-value, G(axial) - G(equatorial)", values.a_values),
        ("Correction for two groups of one chair, on top of the A-values", values.corrections),
    ):
        if lines:
            rows = [[_said(line.what), typeset(line.value), _said(line.source)] for line in lines]
            yield from (*table([typeset(head), "kcal/mol", "Source"], rows, right=(1,)), "")
    yield from (_said(values.note), "")
    yield from (f"{number}. {_said(source)}" for number, source in enumerate(values.sources, start=1))


def _said(text: str) -> str:
    """Words of ours in type, escaped."""
    return escaped(typeset(text))


def _frames() -> tuple[str, str]:
    return LEFT.capitalize(), RIGHT.capitalize()


def _asked(part: Part) -> str:
    return f"**({part.letter})** {_said(part.text)} ({_points(part.points)})"


def _points(count: int) -> str:
    return f"{count} point{'' if count == 1 else 's'}"


def _image(picture: Picture, path: str) -> str:
    return f"![{escaped(picture.alt)}]({path})"


def _molecule(letter: str, question: Question) -> str:
    return f"drawings/questions_{letter}_{question.number}.svg"


def _chairs(letter: str, answer: Answer) -> str:
    return f"key_drawings/key_{letter}_{answer.question.number}.svg"
