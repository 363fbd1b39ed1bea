"""Find the mistake: each solution is worked out anew from its text, and has one wrong step."""

import math
import re
from dataclasses import replace
from itertools import combinations

import pytest
from handout_helpers import answers, dimethyls, made, only, outcome_of, pieces, reason

from chairgap.errors import InputError
from chairgap.handout.blocks import Bullets, Words
from chairgap.handout.kinds.mistake import mistakes
from chairgap.handout.kinds.working import step_lines, worked
from chairgap.handout.posed import as_written
from pipeline_helpers import SETTINGS

SOLVED = (
    *("1 up CH3", "1 up OH, 4 up CH3", "1 up CH3, 2 down CH3", "1 up CH3, 3 up CH3"),
    *("1 up Cl, 4 down CH3", "1 up C(CH3)3, 3 down CH3", "1 up CH3, 2 down CH3, 4 up CH3"),
)


def number(text: str) -> float:
    return float(text.replace("\u2212", "-").replace(",", "").rstrip("."))


def wrong_steps(shown, drawn, odd_raised: bool, kelvin: float = 298.15) -> set[int]:
    """The steps of a solution that do not follow from those before them, worked out here from the text
    alone: labels by the alternation of axial bonds, energies by VALUES. A percent follows from K within what
    its three digits leave open. drawn: face by (group, carbon);
    odd_raised: of chair 1."""
    read = {
        (g, int(c)): face for g, c, face in re.findall(r"([^\s,]+) on carbon (\d) \((up|down)\)", shown[0])
    }
    assert len(read) == len(drawn)
    labels = [
        {(g, int(c)): at for g, c, at in re.findall(r"([^\s,]+) on carbon (\d) (axial|equatorial)", line)}
        for line in shown[1:3]
    ]
    by_faces = {
        key: "axial" if ((face == "up") == (key[1] % 2 == 1)) == odd_raised else "equatorial"
        for key, face in read.items()
    }
    flipped = {key: "equatorial" if at == "axial" else "axial" for key, at in labels[0].items()}
    sums, right = zip(*(_sum_of(shown[3 + place], read, labels[place]) for place in (0, 1)), strict=True)
    first, second = re.search(r"G\(chair (\d)\) - G\(chair (\d)\)", shown[5]).groups()
    gap = number(re.search(r"dG = ([-+]?[\d.]+) kcal/mol", shown[5]).group(1))
    apart = sums[int(first) - 1] - sums[int(second) - 1]
    preferred = re.search(r"preferred chair is chair (\d)", shown[6]).group(1)
    exponent = number(re.search(r"ln K = ([-+]?[\d.]+)", shown[7]).group(1))
    share = number(re.search(r"molecules (?:more than |less than )?([\d.]+) %", shown[8]).group(1))
    k = _float(re.search(r"K = ([^ ]+)\.$", shown[7]).group(1))
    follows = {
        **{1: read == drawn, 2: labels[0] == by_faces, 3: labels[1] == flipped},
        **{4: right[0], 5: right[1], 6: gap == pytest.approx(apart, abs=0.006)},
        7: preferred == (second if gap > 0 else first),
        8: exponent == pytest.approx(gap / (0.0019872 * kelvin), abs=0.02)
        and k == pytest.approx(math.exp(exponent), rel=0.02),
        9: share == pytest.approx(100.0 * k / (1.0 + k), abs=0.18),
    }
    return {step for step, fine in follows.items() if not fine}


def _float(text: str) -> float:
    return float(text.replace(",", ""))


def _sum_of(line, faces, labels) -> tuple[float, bool]:
    """The sum that a step gives, and whether its terms are those of the labels, added up."""
    found = [number(sign + value) for sign, value in re.findall(r"(-?) ?(\d+\.\d+) \(", line)]
    total = number(re.search(r"(-?\d+\.\d+) kcal/mol\.$|: (-?\d+\.\d+) \(", line).group(1) or str(sum(found)))
    terms = sorted(_terms(faces, labels))
    fine = sorted(found) == pytest.approx(terms, abs=0.006) and total == pytest.approx(sum(terms), abs=0.006)
    return total, fine


def _terms(faces, labels):
    """Energies of a chair by hand: A-values of axial groups, neighbours that are not both axial, two axial
    on one face at 1,3 (Beckett, Pitzer & Spitzer 1947; Allinger & Miller 1961)."""
    axial = [key for key, at in labels.items() if at == "axial"]
    yield from (VALUES[group] for group, _ in axial)
    for one, other in combinations(labels, 2):
        apart = abs(one[1] - other[1])
        both = labels[one] == labels[other] == "axial"
        if apart in (1, 5) and not both:
            yield VALUES["gauche " + "/".join(sorted((one[0], other[0])))]
        if apart in (2, 4) and both and faces[one] == faces[other]:
            yield VALUES["syn " + "/".join(sorted((one[0], other[0])))]


# Those of data/a_values.csv and data/interactions.csv, with their sources there; 1.96 = 3.70 - 1.74.
VALUES = {
    **{"CH3": 1.74, "OH": 0.70, "Cl": 0.53, "C(CH3)3": 4.90},
    **{"gauche CH3/CH3": 0.87, "syn CH3/CH3": 1.96},
}


@pytest.mark.parametrize("groups", SOLVED)
def test_every_mistake_is_one_wrong_step(groups) -> None:
    result = made(groups)
    outcome = outcome_of(result)
    drawn = {(ligand.group, locant): ligand.face for locant, ligand in result.molecule.topology.groups}
    seen = set()
    for positive, left in ((True, True), (False, False)):
        posed = replace(as_written(result, positive=positive), left_odd_up_axial=left)
        right = step_lines(posed, worked(posed, SETTINGS), SETTINGS)
        assert wrong_steps(right, drawn, left) == set(), right
        for found in mistakes(posed, outcome):
            shown = step_lines(posed, found.working, SETTINGS)
            assert wrong_steps(shown, drawn, left) == {found.step}, (found.slip, shown)
            if "ratio K" in found.words:
                ratio = re.search(r"K = ([^ ]+)\.$", shown[7]).group(1)
                assert _float(ratio) == pytest.approx(found.working.percent, rel=0.01)
            assert shown[-4:] != right[-4:]  # dG, the chair, K or percent are wrong
            seen.add(found.step)
    assert len(seen) >= (6 if len(drawn) > 1 else 4), seen


def test_the_key_names_the_step_and_gives_the_right_solution() -> None:
    result = made("1 up OH, 4 up CH3")
    drawn = {("OH", 1): "up", ("CH3", 4): "up"}
    for seed in range(3):
        answer = only(outcome_of(result), "mistake", seed=seed)
        (shown,) = pieces(answer.question.pieces, Bullets)
        said, right = (piece.lines for piece in pieces(answer.pieces, Bullets) if len(piece.lines) in (3, 9))
        (note,) = [piece.text for piece in pieces(answer.question.pieces, Words) if piece.note]
        odd_raised = "Chair 1 is the chair with carbons 1" in note
        step = int(answer.glance[0].removeprefix("step "))
        assert wrong_steps(shown.lines, drawn, odd_raised) == {step}
        assert wrong_steps(right, drawn, odd_raised) == set()
        assert said[0].startswith(f"(a) Step {step}.")
        assert said[1] == f"As it stands: {shown.lines[step - 1]}"
        assert said[2] == f"(b) As it should be: {right[step - 1]}"


def test_no_mistake_is_planted_where_nothing_changes_or_all_is_in_doubt() -> None:
    outcome = outcome_of(
        *dimethyls("cis-1,4"), made("1 up OH", sign="disagrees", reasons=(reason("vibrations"),))
    )
    with pytest.raises(InputError, match=r"serves none of these kinds \(mistake: .*(is in doubt|dG is 0)"):
        answers(outcome, ["mistake"])
