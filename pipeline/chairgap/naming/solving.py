"""Which marks of centres give the CIP letters of a name: settings are tried and labelled by RDKit (adapter).

`configuration` says why. `part_by_part` is for nearly all names, `all_settings` for those whose letters
depend on each other.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, product

from rdkit import Chem
from rdkit.Chem import rdCIPLabeler

from chairgap.naming.grammar import UnreadableNameError
from chairgap.naming.marks import Turn, everything, is_open, turned

_MIRROR = {"R": "S", "S": "R"}
_MOST_SETTINGS = 64
_MOST_STEPS = 12


@dataclass(frozen=True, kw_only=True)
class Site:
    """A centre or double bond with a letter. where: for messages ('1R')."""

    index: int
    is_bond: bool
    letter: str
    where: str
    start: int


def _labels(mol: Chem.Mol, sites: Sequence[Site]) -> list[str]:
    rdCIPLabeler.AssignCIPLabels(mol)
    parts = [(mol.GetBondWithIdx if site.is_bond else mol.GetAtomWithIdx)(site.index) for site in sites]
    return [part.GetProp("_CIPCode") if part.HasProp("_CIPCode") else "" for part in parts]


def part_by_part(mol: Chem.Mol, sites: Sequence[Site], turns: Sequence[Turn]) -> list[Chem.Mol]:
    """The right setting where the centres fall into parts, most of one centre, that turn their own labels
    only: each part is put right by itself. Parts of several centres only where they are too many for
    `all_settings` and every centre has a letter, so that one setting only can be right. Empty otherwise."""
    if len(turns) != len(sites):
        return []
    wanted = [site.letter for site in sites]
    start = _labels(Chem.Mol(mol), sites)
    parts = _parts_of(mol, sites, turns, start)
    if any(len(part) > 1 for part, _ in parts) and (is_open(mol) or 2 ** len(turns) <= _MOST_SETTINGS):
        return []
    found: list[Turn] = []
    for part, places in parts:
        if 2 ** len(part) > _MOST_SETTINGS:
            return []
        for choice in product((False, True), repeat=len(part)):
            chosen = [turn for turn, yes in zip(part, choice, strict=True) if yes]
            labels = _labels(turned(mol, chosen), sites) if chosen else start
            if all(labels[place] == wanted[place] for place in places):
                found += chosen
                break
        else:
            return []
    setting = turned(mol, found)
    return [setting] if _labels(Chem.Mol(setting), sites) == wanted else []


def _parts_of(
    mol: Chem.Mol, sites: Sequence[Site], turns: Sequence[Turn], start: list[str]
) -> list[tuple[list[Turn], set[int]]]:
    """Turns that change labels in common, and the places of these labels."""
    parts: list[tuple[list[Turn], set[int]]] = []
    for turn in turns:
        after = _labels(turned(mol, [turn]), sites)
        changed = {place for place, (old, new) in enumerate(zip(start, after, strict=True)) if old != new}
        together = [part for part in parts if part[1] & changed]
        for part in together:
            parts.remove(part)
            changed |= part[1]
        parts.append(([*(one for part in together for one in part[0]), turn], changed))
    return parts


def _step_by_step(
    mol: Chem.Mol, sites: Sequence[Site], turns: Sequence[Turn], wanted: list[str]
) -> Chem.Mol | None:
    """A right setting found by turning the one or two centres that put most labels right, again and again."""

    def wrong(setting: Chem.Mol) -> int:
        labels = _labels(Chem.Mol(setting), sites)
        return sum(label != letter for label, letter in zip(labels, wanted, strict=True))

    left = wrong(mol)
    for _ in range(_MOST_STEPS):
        for size in (1, 2):
            settings = [turned(mol, chosen) for chosen in combinations(turns, size)]
            counts = [wrong(setting) for setting in settings]
            if counts and min(counts) < left:
                mol, left = settings[counts.index(min(counts))], min(counts)
                break
        else:
            return None
        if not left:
            return mol
    return None


def all_settings(mol: Chem.Mol, sites: Sequence[Site], turns: Sequence[Turn]) -> list[Chem.Mol]:
    """Every setting with the letters. Where all centres have one, no more than one setting can (the purpose
    of CIP descriptors), and labels of a mirror image are known: R and S exchanged."""
    wanted = [site.letter for site in sites]
    if 2 ** len(turns) > _MOST_SETTINGS:
        if not is_open(mol) and (stepped := _step_by_step(mol, sites, turns, wanted)):
            return [stepped]
        raise UnreadableNameError(
            sites[0].start, "there are too many letters that depend on each other; give a SMILES"
        )
    whole = not is_open(mol) and not any(site.is_bond for site in sites)
    mirrored = [_MIRROR.get(letter, letter) for letter in wanted]
    found = []
    for choice in product((False, True), repeat=len(turns)):
        if whole and choice[0]:
            break
        chosen = [turn for turn, yes in zip(turns, choice, strict=True) if yes]
        setting = turned(mol, chosen)
        labels = _labels(Chem.Mol(setting), sites)
        if labels == wanted:
            found.append(setting)
        elif whole and labels == mirrored:
            found.append(turned(setting, [everything(setting)]))
        if whole and found:
            break
    return found


def say_why(mol: Chem.Mol, sites: Sequence[Site], blocks: list[list[int]]) -> None:
    said = ",".join(site.where for site in sites)
    if blocks:
        raise UnreadableNameError(
            sites[0].start,
            f"the letters ({said}) and the faces that the name gives contradict each other; correct one of "
            "them",
        )
    for letter in ("R", "S"):
        wrong = [site for site in sites if site.letter == letter.lower()]
        if wrong:
            raise UnreadableNameError(
                sites[0].start,
                f"no structure has the letters ({said}); small r and s are those of pseudoasymmetric carbons",
            )
    raise UnreadableNameError(sites[0].start, f"no structure has the letters ({said}); correct them")
