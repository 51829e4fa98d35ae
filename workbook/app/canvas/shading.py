"""The ground blade under a lamp: a height field lit from one side, as an image in steel grey.

A blade slopes by only a few degrees, so slopes are exaggerated. Flats are brushed along the blade and bevels across it, as
belts leave them.
"""

from functools import lru_cache
from math import cos, radians, sin

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray
from PySide6.QtGui import QColor, QImage

from workbook.app.look import Look
from workbook.geometry.path import Points
from workbook.grind.bench import heel
from workbook.grind.field import height_field
from workbook.grind.stations import State, faces_of
from workbook.template.model import Face
from workbook.template.shape import Shape

Greys = NDArray[np.float32]
_STEEPEST, _SHOWN_SLOPE = 7.0, 0.42  # exaggeration of slopes, and the steepest slope a bevel is lit at
_ACROSS, _ALONG = 0.030, 0.018  # amplitude of brush marks on bevels and flats, of the range of grey
_GREYS = ("steel0", "steel1", "steel2", "steel3", "steel4", "steel5")
_DARKEST = 0.10


class Light(Struct, frozen=True):
    """The lamp's direction in degrees: round the blade (0 from the point, 90 from the spine) and above its face."""

    round: float = 118.0
    above: float = 38.0

    @property
    def towards(self) -> tuple[float, float, float]:
        """Unit vector from the blade to the lamp: x, y, z."""
        flat = cos(radians(self.above))
        return flat * cos(radians(self.round)), flat * sin(radians(self.round)), sin(radians(self.above))


def brightness(z: Greys, step: float, light: Light, steeper: float = _STEEPEST) -> Greys:
    """Brightness 0..1 of a face at heights `z` (mm, rows rising with y, `step` mm apart). Brushed across where it is not flat.

    `steeper`: the factor by which slopes are exaggerated.
    """
    x, y, up = light.towards
    k = steeper / step
    across, upward = np.empty_like(z), np.empty_like(z)
    np.subtract(z[:, 1:], z[:, :-1], out=across[:, :-1])
    across[:, -1] = across[:, -2]
    np.subtract(z[1:], z[:-1], out=upward[:-1])
    upward[-1] = upward[-2]
    across *= k
    upward *= k
    grey = across * -x
    grey -= upward * y
    grey += up
    np.square(across, out=across)
    across += np.square(upward)
    flat = across < 1e-6
    across += 1.0
    grey /= np.sqrt(across, out=across)
    grey *= 1 - _DARKEST
    grey += _DARKEST
    upright, along = _brushes(*z.shape)
    grey += np.where(flat, along, upright)
    return np.clip(grey, 0.0, 1.0, out=grey)


@lru_cache(maxsize=4)
def _brushes(rows: int, columns: int) -> tuple[Greys, Greys]:
    """Brush marks across and along the blade, the same for every picture."""
    noise = np.random.default_rng(7)
    upright, along = noise.standard_normal((1, columns)) * _ACROSS, noise.standard_normal((rows, 1)) * _ALONG
    return upright.astype(np.float32), along.astype(np.float32)


def shaded(blank: Shape, bar: float, x: Points, y: Points, light: Light, look: Look) -> QImage:
    """The finished right face over columns x and rows y (both rising, mm), as an image with one pixel per point.

    For a bevel on the left face alone, that face is shown, mirrored.
    """
    field = height_field(blank, bar, State.FINISHED, x, y)
    face = np.ascontiguousarray(-field.left if _on_left(blank) else field.right, np.float32)
    slope = float(heel(blank, bar).true_slope[0])
    grey = brightness(face, float(x[1] - x[0]), light, min(_STEEPEST, max(_SHOWN_SLOPE / slope, 1.0)))
    grey *= 255
    levels = np.ascontiguousarray(grey[::-1].astype(np.uint8))
    rows, columns = levels.shape
    image = QImage(levels.data, columns, rows, columns, QImage.Format.Format_Indexed8)
    image.setColorTable(_greys(look))
    return image.copy()  # the copy owns its memory


def _on_left(blank: Shape) -> bool:
    template = blank.template
    return template is not None and faces_of(template) == 1 and template.grind.face is Face.LEFT


@lru_cache(maxsize=4)
def _greys(look: Look) -> list[int]:
    """256 greys interpolated through the palette's steel colours, as RGB values."""
    stops = [look.colour(role) for role in _GREYS]
    places, levels = np.linspace(0, 255, len(stops)), np.arange(256)
    channels = [np.interp(levels, places, [getattr(c, part)() for c in stops]) for part in ("red", "green", "blue")]
    return [QColor(int(r), int(g), int(b)).rgb() for r, g, b in zip(*channels, strict=True)]
