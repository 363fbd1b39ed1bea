"""The flat drawing of a molecule with wedges, by RDKit, with the numbers of its ring carbons."""

from typing import Any
from xml.etree import ElementTree

import numpy as np
from rdkit import Chem
from rdkit.Chem import rdDepictor
from rdkit.Chem.Draw import rdMolDraw2D
from rdkit.Geometry import Point2D

from chairgap.drawings.library_svg import redrawn
from chairgap.drawings.marks import groups_in_words, shortened, words
from chairgap.drawings.picture import Picture
from chairgap.drawings.svg import picture
from chairgap.molecule.build import open_molecule
from chairgap.records import Molecule

_BOND = 1.5
_PX_PER_UNIT = 28.0
_INWARD = 0.3
_BLACK = {"#000000": "ink"}


def flat_picture(molecule: Molecule, *, numbers: bool = True) -> Picture:
    """Ring carbon 1 at the top, the others clockwise: the ring is seen from above, so a wedge is up and a
    dashed bond is down. `numbers`: those of the ring carbons, inside the ring."""
    drawn = laid_out(molecule)
    # A canvas of the drawing's own size.
    drawer = rdMolDraw2D.MolDraw2DSVG(-1, -1)
    options: Any = drawer.drawOptions()
    options.useBWAtomPalette()
    options.clearBackground = False
    options.scalingFactor = _PX_PER_UNIT
    options.padding = 0.06
    drawer.DrawMolecule(drawn)
    drawer.FinishDrawing()
    svg = drawer.GetDrawingText()
    width_px, height_px = (float(each) for each in ElementTree.fromstring(svg).attrib["viewBox"].split()[2:])
    elements = list(redrawn(svg, _BLACK))
    if numbers:
        places = np.array([[point.x, point.y] for point in map(drawer.GetDrawCoords, range(6))])
        inward = places + _INWARD * (places.mean(axis=0) - places)
        elements += [
            words(float(x), float(y), str(locant), size=12.0, colour="quiet")
            for locant, (x, y) in enumerate(inward, start=1)
        ]
    return picture(elements, width_px=width_px, height_px=height_px, alt=_in_words(molecule))


def laid_out(molecule: Molecule) -> Chem.Mol:
    """Heavy atoms with flat coordinates, ring first, and wedges at the stereocentres alone."""
    mol = Chem.RemoveHs(open_molecule(molecule))
    # The copy is only drawn: the marks of carbons that are no stereocentres may go.
    Chem.AssignStereochemistry(mol, cleanIt=True, force=True)
    turns = np.radians(90.0 - 60.0 * np.arange(6))
    ring = {
        index: Point2D(_BOND * float(np.cos(turn)), _BOND * float(np.sin(turn)))
        for index, turn in enumerate(turns)
    }
    rdDepictor.Compute2DCoords(mol, coordMap=ring, canonOrient=False)
    drawn = rdMolDraw2D.PrepareMolForDrawing(mol, kekulize=True, addChiralHs=False, wedgeBonds=True)
    _wedge_groups(drawn)
    return drawn


def _wedge_groups(drawn: Chem.Mol) -> None:
    """RDKit may put the wedge of a ring carbon on a ring bond; the bond to its group shows more, where no
    stereocentre of the group has taken it."""
    for bond in drawn.GetBonds():
        ends = (bond.GetBeginAtomIdx(), bond.GetEndAtomIdx())
        if bond.GetBondDir() == Chem.BondDir.NONE or max(ends) > 5:
            continue
        outward = [
            other
            for other in drawn.GetAtomWithIdx(ends[0]).GetBonds()
            if other.GetOtherAtomIdx(ends[0]) > 5 and other.GetBondDir() == Chem.BondDir.NONE
        ]
        if outward and outward[0].GetBeginAtomIdx() == ends[0]:
            bond.SetBondDir(Chem.BondDir.NONE)
            Chem.WedgeBond(outward[0], ends[0], drawn.GetConformer())


def _in_words(molecule: Molecule) -> str:
    return (
        f"Flat drawing of {shortened(molecule.name, 200)}, ring carbons 1 to 6 clockwise from the top, "
        f"wedge up, dashed bond down; {groups_in_words(molecule.topology)}."
    )
