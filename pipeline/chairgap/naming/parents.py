"""Parents that take endings: those of `words` and those of the table with their own numbering (menthane).
Pure but for the table, which `chairgap.tables` reads."""

import re
from functools import cache

from chairgap.naming.words import Word, parents
from chairgap.tables.shipped import read_retained_names

_HYDROGENS = re.compile(r"\[CH\d?:(\d+)\]")


@cache
def all_parents() -> dict[str, Word]:
    """By the word without its final e: 'cyclohexan', 'propan', 'p-menthan'."""
    found = dict(parents())
    for row in read_retained_names():
        if row.kind == "parent":
            smiles = _HYDROGENS.sub(r"[C:\1]", row.smiles)
            stems = [name.casefold().removesuffix("e") for name in (row.name, *row.names)]
            found |= {stem: Word(name=stem, smiles=smiles, has_ring=True) for stem in stems}
    return found


@cache
def stems() -> tuple[str, ...]:
    """The words of `all_parents`, longer ones first."""
    return tuple(sorted(all_parents(), key=len, reverse=True))
