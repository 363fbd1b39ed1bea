"""A drawing that a notebook shows."""

import base64
from dataclasses import dataclass
from pathlib import Path

from chairgap.drawings.picture import Picture, alone
from chairgap.files import OutputFolder, write_files


@dataclass(frozen=True, kw_only=True, repr=False)
class Drawing:
    """A drawing as SVG text, on white paper, with the words that stand for it."""

    svg: str
    alt: str

    def save(self, path: str | Path) -> Path:
        """Write the SVG file, over one that was saved before; returns its path. Raises InputError for another
        file of this name, or one that was changed since; ChairgapError when it cannot be written."""
        place = Path(path)
        command = f"drawing {place.name}"
        output = OutputFolder(path=place.parent, command=command, advice="save it under another name")
        return write_files(output, {place.name: self.svg.encode()})[0]

    def __repr__(self) -> str:
        return f"<Drawing: {self.alt}>"

    def _repr_svg_(self) -> str:
        return self.svg

    @property
    def data_uri(self) -> str:
        """The drawing as the source of an <img>: there its style sheet touches nothing else on the page."""
        return f"data:image/svg+xml;base64,{base64.b64encode(self.svg.encode()).decode()}"


def drawing_of(picture: Picture) -> Drawing:
    """A picture as a notebook shows it."""
    return Drawing(svg=alone(picture), alt=picture.alt)
