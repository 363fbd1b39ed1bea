"""What the symbolic checks of the answer-key room need of a built molecule."""

from collections.abc import Sequence

from chairgap.molecule.cip import cip_labels, mirror_smiles, mirrored_fragments
from chairgap.records import Facts, Molecule, PublishedGap, Result
from chairgap.shape.chairs import two_chairs


def facts_of(
    molecule: Molecule,
    *,
    text: str,
    systematic: str = "",
    faces_given: bool = False,
    published: Sequence[PublishedGap] = (),
    result: Result | None = None,
) -> Facts:
    """Facts of a molecule that was written as `text`; the others as `chairgap.records.Facts` has them."""
    topology, naming = molecule.topology, molecule.naming
    return Facts(
        text=text,
        smiles=molecule.smiles,
        systematic=systematic,
        carbons_of_name=naming.carbons if naming and naming.name else (),
        faces_given=faces_given,
        mirror_smiles=mirror_smiles(molecule) if naming and naming.relative else "",
        groups_by_face=molecule.groups_by_face,
        numbered=molecule.numbered,
        topology=topology,
        chairs=two_chairs(topology),
        fragments=tuple((carbon.up.fragment, carbon.down.fragment) for carbon in topology.carbons),
        mirror=mirrored_fragments(molecule),
        cip=cip_labels(molecule),
        published=tuple(published),
        result=result,
    )
