"""The worked solution of a claim, as Markdown."""

from chairgap.answer_key.rules.choosing import Case
from chairgap.records import Answer, Facts
from chairgap.shape.chairs import position_in_chair
from chairgap.text import escaped


def worked_solution(case: Case, right: Answer) -> str:
    """Heading, per-carbon table of each molecule, the steps with their rules, and the answer."""
    claim = case.claim
    where = f", carbon {'-'.join(map(str, claim.carbons))}" if claim.carbons else ""
    chair = f", chair {claim.chair}" if claim.chair else ""
    lines = [f"### {escaped(f'{claim.item}: {claim.quantity}{where}{chair}')}", ""]
    for molecule in case.molecules if claim.quantity != "flip stages" else ():
        head = escaped(f"{molecule.numbered}: {molecule.groups_by_face}; SMILES {molecule.smiles}")
        lines += [head, "", *_table(molecule), ""]
    lines += [f"{number}. {escaped(step)}" for number, step in enumerate(right.steps, start=1)]
    lines += ["", f"**Answer:** {escaped(right.text)}", ""]
    return "\n".join(lines)


def _table(facts: Facts) -> list[str]:
    heads = " | ".join(f"Chair {chair.letter} ({chair.name})" for chair in facts.chairs)
    rows = [f"| Carbon | Face | Group | {heads} |", "|---|---|---|---|---|"]
    for locant, ligand in facts.topology.groups:
        labels = [position_in_chair(locant, ligand.face, chair.odd_up_axial) for chair in facts.chairs]
        rows.append(f"| {locant} | {ligand.face} | {escaped(ligand.group)} | {labels[0]} | {labels[1]} |")
    return rows
