"""What a PDF page really holds, read back by another library: its paths in mm, with the window each is seen through."""

import ctypes
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import pypdfium2
import pypdfium2.raw as raw

MM = 25.4 / 72
_T = np.linspace(0.0, 1.0, 129)[1:]


@dataclass(frozen=True)
class Drawn:
    """One path: its points (Beziers in 128 chords), its window (x0, y0, x1, y1) or None, and whether it is dashed."""

    points: np.ndarray
    window: tuple | None
    dashed: bool


@lru_cache(maxsize=40)  # several tests look at the same sheets
def pages(data):
    """For each page its size in mm, its paths and its text."""
    document = pypdfium2.PdfDocument(data)
    try:
        return [_page(page) for page in document]
    finally:
        document.close()


def _page(page):
    paths = [drawn for item in page.get_objects(max_depth=1) for drawn in _paths(item.raw)]
    text = page.get_textpage()
    words = text.get_text_range()
    text.close()
    w, h = page.get_size()
    page.close()
    return (w * MM, h * MM), paths, words


def _paths(item):
    """A path, or those of a drawing that is used in several places, where it is used here."""
    kind = raw.FPDFPageObj_GetType(item)
    if kind == raw.FPDF_PAGEOBJ_PATH:
        yield Drawn(_read(item) * MM, _window(item), raw.FPDFPageObj_GetDashCount(item) > 0)
    if kind == raw.FPDF_PAGEOBJ_FORM:
        for i in range(raw.FPDFFormObj_CountObjects(item)):
            inner = raw.FPDFFormObj_GetObject(item, i)
            assert raw.FPDFPageObj_GetType(inner) == raw.FPDF_PAGEOBJ_PATH
            yield Drawn(_placed(item, _read(inner)) * MM, _window(item), raw.FPDFPageObj_GetDashCount(inner) > 0)


def _read(item):
    count = raw.FPDFPath_CountSegments(item)
    return _placed(item, _points([raw.FPDFPath_GetPathSegment(item, i) for i in range(count)]))


def _placed(item, points):
    matrix = raw.FS_MATRIX()
    raw.FPDFPageObj_GetMatrix(item, matrix)
    turn = np.array([[matrix.a, matrix.c], [matrix.b, matrix.d]])
    return points @ turn.T + (matrix.e, matrix.f)


def _points(segments):
    found, waiting, last = [], [], None
    for segment in segments:
        x, y = ctypes.c_float(), ctypes.c_float()
        raw.FPDFPathSegment_GetPoint(segment, x, y)
        if raw.FPDFPathSegment_GetType(segment) == raw.FPDF_SEGMENT_BEZIERTO:
            waiting.append((x.value, y.value))
            if len(waiting) == 3:
                found.append(_bezier(last, *waiting))
                last, waiting = waiting[-1], []
        else:
            last = (x.value, y.value)
            found.append([last])
    return np.concatenate(found)


def _bezier(a, b, c, d):
    t = _T[:, None]
    u = 1 - t
    return u**3 * np.array(a) + 3 * u * u * t * np.array(b) + 3 * u * t * t * np.array(c) + t**3 * np.array(d)


def _window(item):
    clip = raw.FPDFPageObj_GetClipPath(item)
    if raw.FPDFClipPath_CountPaths(clip) < 1:
        return None
    count = raw.FPDFClipPath_CountPathSegments(clip, 0)
    corners = _points([raw.FPDFClipPath_GetPathSegment(clip, 0, i) for i in range(count)]) * MM
    return (*corners.min(axis=0), *corners.max(axis=0))
