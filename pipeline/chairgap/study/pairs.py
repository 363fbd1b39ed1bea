"""The [[pair]] blocks of a study: what two groups do to each other, by the user's own word."""

from collections.abc import Callable, Sequence

from chairgap.errors import ChairgapError, InputError, MoleculeError
from chairgap.molecule.numbering import HYDROGEN
from chairgap.molecule.substituents import group_name, resolve_group
from chairgap.records import DeclaredPair, EstimateTable, Medium
from chairgap.study.schema import PairTable, checked
from chairgap.study.toml_text import KeyPath, Source, shown_path
from chairgap.text import as_written

_CHANGE_PLACES = ("geminal", "cis-1,2", "trans-1,3", "cis-1,4")


def read_pairs(
    blocks: Sequence[object],
    groups_of: EstimateTable | None,
    medium_of: Callable[[str], Medium],
    source: Source,
) -> tuple[tuple[DeclaredPair, ...], list[ChairgapError]]:
    """The sound pairs of a study in file order, and every problem of the others.

    Without a table (its own problems are reported elsewhere) groups are not looked up. medium_of raises
    InputError for a medium that there is not.
    """
    pairs: list[DeclaredPair] = []
    problems: list[ChairgapError] = []
    taken: dict[tuple[object, str], str] = {}
    for number, block in enumerate(blocks):
        path: KeyPath = ("pair", number)
        if not isinstance(block, dict):
            message = f"It cannot be {as_written(block)}. Write one [[pair]] block per pair of groups."
            problems.append(InputError(message, place=source.place(path)))
            continue
        table = checked(PairTable, block, source, path)
        if isinstance(table, list):
            problems += table
            continue
        medium, found = _medium(table, medium_of, source, path)
        names, of_groups = _names(table, groups_of, source, path)
        problems += [*found, *of_groups]
        if found or len(names) != 2:
            continue
        problem = _contradiction(names, table, source, path)
        key = (tuple(sorted(names)), table.relation)
        if problem is None and key in taken:
            message = f"This pair is declared already, by {taken[key]}. Keep one of them."
            problem = InputError(message, place=source.place(path))
        if problem is not None:
            problems.append(problem)
            continue
        taken[key] = shown_path(path)
        pairs.append(
            DeclaredPair(
                group_1=names[0],
                group_2=names[1],
                relation=table.relation,
                value_kcal_mol=table.value_kcal_mol,
                uncertainty_kcal_mol=table.uncertainty_kcal_mol,
                source=table.source,
                medium=medium,
            )
        )
    return tuple(pairs), problems


def _medium(
    table: PairTable, medium_of: Callable[[str], Medium], source: Source, path: KeyPath
) -> tuple[str, list[InputError]]:
    if table.medium is None:
        return "", []
    try:
        return medium_of(table.medium).name, []
    except InputError as error:
        return "", [InputError(error.message, place=source.place((*path, "medium")), value=table.medium)]


def _names(
    table: PairTable, groups_of: EstimateTable | None, source: Source, path: KeyPath
) -> tuple[list[str], list[InputError]]:
    """The groups as the chairs of a molecule name them."""
    names: list[str] = []
    problems: list[InputError] = []
    if groups_of is None:
        return names, problems
    for number, group in enumerate(table.groups):
        place = source.place((*path, "groups", number))
        try:
            fragment = resolve_group(group, groups_of)
        except MoleculeError as error:
            problems.append(InputError(error.message, place=place, value=group))
            continue
        if fragment == HYDROGEN:
            problems.append(InputError("Hydrogen makes no pair. Name two groups.", place=place, value=group))
        else:
            names.append(group_name(fragment, groups_of))
    return names, problems


def _contradiction(names: list[str], table: PairTable, source: Source, path: KeyPath) -> InputError | None:
    """Equal groups of which one is axial where the other is equatorial add nothing to the gap."""
    if names[0] != names[1] or table.relation not in _CHANGE_PLACES or table.value_kcal_mol == 0.0:
        return None
    message = (
        f"Two equal groups that are {table.relation} change places in the ring flip, so they add 0 to the "
        "gap by symmetry. Leave this [[pair]] block out, or correct its groups or relation."
    )
    return InputError(message, place=source.place((*path, "value_kcal_mol")), value=table.value_kcal_mol)
