"""Pictures as SVG text, drawn from records; pure.

Decisions, and what was rejected:

* Drawings in a page are coloured by classes alone, so that it shows them light or dark; saved ones
  (`picture.alone`) have their colours as attributes as well, since other readers of SVG know no custom
  properties. Rejected: colours as attributes in the page too, which makes it larger. SVG of RDKit and
  matplotlib is taken apart (`library_svg`): colours become classes; a colour without a name of ours is an
  error.
* Letters are at least 12 px at 100 %, raised and lowered digits aside; a drawing is at most 650 px wide (the
  empty frames more) and never wider than its place. Numbers have a true minus.
* A Newman projection is the geometry projected along the bond, so its angles are the dihedrals; the usual
  small turn that parts eclipsed bonds was rejected, since it draws angles that are not there. Two groups
  on neighbouring carbons are seen along the bond between them, all else along two parallel bonds
  (`newman_view.bonds_shown`); in equal chairs the second is the copy of the first.
* A still draws the contacts that the report lists, the four nearest, instead of a choice by radii of its own.
* The arrow of the levels joins the Gibbs energies of whole chairs, not of their best conformers, so that its
  length is the gap.
* The flat drawing puts carbon 1 at the top and runs clockwise, so a wedge is always 'up'; left to itself
  RDKit drew rings counter-clockwise, and an upper group came out dashed.
* Chairs are drawn from labels, not traced from coordinates (`chair_*`). One frame, given by three ring bonds
  and repeated backwards, makes opposite bonds parallel by construction; its mirror image is the flipped
  chair, every carbon on the same side. Axial bonds are vertical, equatorial ones take the direction of the
  ring bonds one away; only their lengths, and the side a name is written from, are free. A small search
  places bonds, names and marks so that nothing touches; when it fails the ring is drawn larger, and in the
  end a long name becomes R and a number with a legend. Rejected: axial bonds that pass behind the ring
  (nobody sees which carbon they leave), names moved off their bonds, a smaller font. The question is the
  key's layout without its marks, so an answer sheet lies on the key. Tests read the SVG back by geometry
  alone, measured with the font file.
"""
