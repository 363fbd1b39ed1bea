"""Pictures as SVG text, drawn from records; pure.

Decisions, and what was rejected:

* Drawings are coloured by classes alone. SVG of RDKit and matplotlib is taken apart (`library_svg`): colours
  become classes; a colour without a name of ours is an error.
* A Newman projection is the geometry projected along the bond, so its angles are the dihedrals; the usual
  small turn that parts eclipsed bonds was rejected, since it draws angles that are not there.
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
