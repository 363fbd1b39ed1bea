"""The systematic name of a molecule in words.

Of one mirror image it is the name with CIP descriptors. Where both are meant it is, for two groups, the name
with cis or trans, and else that with 'rel-'. Locants are those of the name; where a group stands at another
number in the molecule as it was given, that is said.
"""

from chairgap.records import Molecule, MoleculeName
from chairgap.report.blocks import AsGiven


def name_words(naming: MoleculeName | None) -> AsGiven:
    """'Systematic name: ' and the name as `bare_words` has it; '' for a part of a molecule."""
    return AsGiven(f"Systematic name: {bare_words(naming)}") if naming else AsGiven()


def other_name_words(molecule: Molecule) -> AsGiven:
    """`name_words`, but '' where that is the name the molecule was given."""
    same = molecule.naming is not None and bare_words(molecule.naming) == molecule.name
    return AsGiven() if same else name_words(molecule.naming)


def bare_words(naming: MoleculeName) -> str:
    """'(1R,2R)-2-methylcyclohexan-1-ol (trans); C1 of the name is C3 here, C2 is C4', or why there is
    none."""
    found = naming.systematic
    if not naming.name:
        return f"none, since {found.why_none}"
    words = naming.name + (f" ({found.cis_trans})" if found.cis_trans else "")
    if naming.relative:
        if found.name_by_faces:
            words = f"{found.name_by_faces}, {_descriptors(naming)}"
        words += ", and its mirror image"
    numbers = _numbers(naming)
    return f"{words}; {numbers}" if numbers else words


def _descriptors(naming: MoleculeName) -> str:
    """'rel-(1R,2R)'."""
    return f"rel-({','.join(cip_words(naming))})"


def cip_words(naming: MoleculeName) -> tuple[str, ...]:
    """'1R', '2S': of the ring carbons that have one, by the locants of the name."""
    return tuple(f"{locant}{letter}" for locant, letter in enumerate(naming.systematic.cip, 1) if letter)


def _numbers(naming: MoleculeName) -> str:
    """'C1 of the name is C3 here, C2 is C4' of all carbons with groups; '' where the numbers are
    the same."""
    numbers = [(locant, naming.carbons[locant - 1]) for locant in sorted(set(naming.systematic.locants))]
    if all(locant == carbon for locant, carbon in numbers):
        return ""
    (first, carbon), *more = numbers
    return ", ".join(
        (f"C{first} of the name is C{carbon} here", *(f"C{locant} is C{carbon}" for locant, carbon in more))
    )
