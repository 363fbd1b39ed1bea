"""Names of cyclohexanes as a table has them."""

from dataclasses import dataclass

from chairgap.records.types import Known


@dataclass(frozen=True, kw_only=True)
class RetainedName:
    """A name that is no systematic one, and the systematic name of the same structure and locants.

    signs: the signs of rotation or series ('-Ll') with which it means this mirror image; the opposite ones
    mean the other. unsigned: what it means without a sign.
    """

    name: str
    names: tuple[str, ...]
    kind: str
    systematic: str
    signs: str
    unsigned: str
    smiles: str
    source: str
    known: Known
    note: str
