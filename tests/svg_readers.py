"""Two readers of SVG that share no code with each other or a browser; neither knows custom properties."""

import io
from collections.abc import Callable

import numpy as np
import numpy.typing as npt
import resvg_py
from PIL import Image

from chairgap.drawings.picture import LIGHT
from machine import missing

try:
    import cairosvg
except OSError as error:
    missing("libcairo", f"{error} (Debian: apt-get install libcairo2)")

SCALE = 2
Pixels = npt.NDArray[np.uint8]


def by_cairo(svg: str) -> Pixels:
    return pixels(cairosvg.svg2png(bytestring=svg.encode(), scale=SCALE))


def by_resvg(svg: str) -> Pixels:
    return pixels(bytes(resvg_py.svg_to_bytes(svg_string=svg, zoom=SCALE, dpi=96.0)))


READERS: dict[str, Callable[[str], Pixels]] = {"cairo": by_cairo, "resvg": by_resvg}


def pixels(png: bytes) -> Pixels:
    """(height, width, 3), what is clear shown as a green that no drawing has."""
    image = Image.open(io.BytesIO(png)).convert("RGBA")
    ground = Image.new("RGBA", image.size, (0, 255, 0, 255))
    return np.asarray(Image.alpha_composite(ground, image).convert("RGB"))


def rgb(name: str) -> tuple[int, ...]:
    return tuple(int(LIGHT[name][at : at + 2], 16) for at in (1, 3, 5))
