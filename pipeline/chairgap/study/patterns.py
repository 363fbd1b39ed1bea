"""The [[pattern]] blocks of a study: groups and numbers of carbons, and every molecule they mean.

All blocks are checked before any molecule of them is listed; how many there will be is counted, not tried.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from chairgap.errors import ChairgapError, InputError, MoleculeError, Place
from chairgap.molecule import fragments
from chairgap.molecule.numbering import HYDROGEN
from chairgap.molecule.patterns import Choice, arrangements, counts_by_carbons
from chairgap.molecule.substituents import resolve_group, row_names, sort_name
from chairgap.records import EstimateTable, MoleculeRequest, Refusal
from chairgap.study.molecules import Item, Names
from chairgap.study.schema import PatternTable, checked
from chairgap.study.toml_text import KeyPath, Source, shown_path
from chairgap.text import as_written

MOST_MOLECULES = 200_000


@dataclass(frozen=True, kw_only=True)
class Pattern:
    """A [[pattern]] block that was found sound; `place` is that of the block."""

    table: PatternTable
    choices: tuple[Choice, ...]
    place: Place

    def counts(self) -> dict[int, int]:
        """Number of carbons to number of molecules."""
        counts = counts_by_carbons(self.choices, mirror_images=self.table.mirror_images)
        return {carbons: counts[carbons] for carbons in sorted(self.table.carbons)}


def read_patterns(
    blocks: Sequence[object], groups_of: EstimateTable | None, source: Source
) -> tuple[list[Pattern], list[ChairgapError]]:
    """The sound patterns of a study in file order, and every problem of the others; with one of these nothing
    may be listed.

    Without a table (its own problems are reported elsewhere) groups are not looked up.
    """
    patterns: list[Pattern] = []
    problems: list[ChairgapError] = []
    for number, block in enumerate(blocks):
        path: KeyPath = ("pattern", number)
        place = source.place(path)
        if not isinstance(block, dict):
            message = f"It cannot be {as_written(block)}. Write one [[pattern]] block per set of groups."
            problems.append(InputError(message, place=place))
            continue
        table = checked(PatternTable, block, source, path)
        problems += table if isinstance(table, list) else []
        if groups_of is None:
            continue
        choices, found = _choices(block.get("groups"), groups_of, source, path)
        problems += found
        if not isinstance(table, list) and not found:
            patterns.append(Pattern(table=table, choices=choices, place=place))
    return patterns, problems + _too_many(patterns)


def _choices(
    groups: object, table: EstimateTable, source: Source, path: KeyPath
) -> tuple[tuple[Choice, ...], list[ChairgapError]]:
    """The groups, each with all its stereoisomers, and those that cannot be used."""
    choices: list[Choice] = []
    problems: list[ChairgapError] = []
    taken: dict[str, str] = {}
    names = row_names(table)
    for number, group in enumerate(groups if isinstance(groups, list) else []):
        if not isinstance(group, str) or not group.strip():
            continue  # reported by the schema
        here: KeyPath = (*path, "groups", number)
        try:
            found = _isomers(group, table, taken)
        except MoleculeError as error:
            problems.append(InputError(error.message, place=source.place(here), value=group))
            continue
        taken |= dict.fromkeys(found, shown_path(here))
        choices += [
            Choice(
                name=names.get(fragment, fragment),
                fragment=fragment,
                mirror=fragments.mirror(fragment),
                sort_name=sort_name(fragment, table),
            )
            for fragment in found
        ]
    return tuple(choices), problems


def _isomers(group: str, table: EstimateTable, taken: dict[str, str]) -> tuple[str, ...]:
    fragment = resolve_group(group, table)
    if fragment == HYDROGEN:
        raise MoleculeError("Every position without a group has hydrogen. Leave it out of the list.")
    found = fragments.isomers(fragment)
    for isomer in found:
        if isomer in taken:
            raise MoleculeError(
                f"{as_written(group)} is named already, by {taken[isomer]}. Name each group once."
            )
    return found


def _too_many(patterns: Sequence[Pattern]) -> list[ChairgapError]:
    """One problem, at the first block with which the study has more than MOST_MOLECULES molecules."""
    before = 0
    for pattern in patterns:
        counts = pattern.counts()
        count = sum(counts.values())
        if before + count <= MOST_MOLECULES:
            before += count
            continue
        parts = "; ".join(f"{number:,} with groups on {k}" for k, number in counts.items())
        others = f" beside the {before:,} of the blocks above" if before else ""
        once = ', or mirror_images = "once"' if pattern.table.mirror_images == "both" else ""
        message = (
            f"This would be {count:,} molecules{others}{f' ({parts})' if len(counts) > 1 else ''}, and a "
            f"study takes at most {MOST_MOLECULES:,} from its patterns. Take fewer groups or fewer carbons"
            f"{once}, or spread them over several studies."
        )
        return [InputError(message, place=pattern.place, value=count)]
    return []


def from_patterns(patterns: Sequence[Pattern], names: Names) -> list[Item]:
    """Every molecule of the patterns, in the order of the blocks and of `molecule.patterns.arrangements`.

    A molecule is named by its groups, '1 up CH3, 2 down OH'; where the block has a name, by that with its
    groups in square brackets.
    """
    return [item for pattern in patterns for item in _molecules(pattern, names)]


def _molecules(pattern: Pattern, names: Names) -> list[Item]:
    table, place = pattern.table, pattern.place
    items: list[Item] = []
    for arrangement in arrangements(pattern.choices, table.carbons, mirror_images=table.mirror_images):
        groups = ", ".join([f"{put.carbon} {put.face} {put.group}" for put in arrangement.groups])
        name = f"{table.name} [{groups}]" if table.name else groups
        if name in names:
            message = (
                f"The name '{name}' is taken already ({names[name]}). Give this [[pattern]] block a name "
                "of its own, which its molecules then begin with."
            )
            items.append(Refusal(name=name, message=message, place=place))
            continue
        names[name] = place
        items.append(
            MoleculeRequest(
                name=name,
                place=place,
                substituents=arrangement.groups,
                mirror_too=arrangement.mirror_too,
                pattern=table.name or "",
            )
        )
    return items
