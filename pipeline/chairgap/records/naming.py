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


@dataclass(frozen=True, kw_only=True)
class SystematicName:
    """The name of a substituted cyclohexane by the IUPAC recommendations, with its ring as the parent.

    name: with CIP descriptors, '' where none can be made; why_none: the reason then. cis_trans: 'cis' or
    'trans' where two groups stand on two carbons, else ''; name_by_faces: the name with that word instead of
    the ring's descriptors. groups: as they are cited, a suffix with a hyphen in front ('-ol', 'methyl'), by
    locant; locants: theirs. cip: R, S, r, s or '' of ring carbons 1 to 6 in the numbering of the name.
    """

    name: str
    name_by_faces: str
    groups: tuple[str, ...]
    locants: tuple[int, ...]
    cis_trans: str
    cip: tuple[str, ...]
    why_none: str = ""


@dataclass(frozen=True, kw_only=True)
class MoleculeName:
    """The systematic name of a molecule as it was asked for.

    name: with CIP descriptors, of the mirror image that is drawn; '' where none can be made. relative: the
    molecule stands for its mirror image as well; its name then begins with 'rel-' and is, as this form asks
    for, that of the mirror image whose first descriptor is R, which is the drawn one but in a twin of a
    handout. carbons: the numbers that carbons 1 to 6 of the name have in the molecule.
    """

    name: str
    systematic: SystematicName
    relative: bool
    carbons: tuple[int, ...]
