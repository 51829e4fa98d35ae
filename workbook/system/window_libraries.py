"""Libraries of a Linux system that a window needs and that Qt does not bring."""

import ctypes

# by the package that has it on Debian 12; later releases still provide these names
_NEEDED = {
    "libglib2.0-0": "libglib-2.0.so.0",
    "libgl1": "libGL.so.1",
    "libegl1": "libEGL.so.1",
    "libfontconfig1": "libfontconfig.so.1",
    "libdbus-1-3": "libdbus-1.so.3",
    "libxkbcommon0": "libxkbcommon.so.0",
}
_FOR_X11 = {
    "libxkbcommon-x11-0": "libxkbcommon-x11.so.0",
    "libx11-xcb1": "libX11-xcb.so.1",
    "libxcb-cursor0": "libxcb-cursor.so.0",
    "libxcb-icccm4": "libxcb-icccm.so.4",
    "libxcb-image0": "libxcb-image.so.0",
    "libxcb-keysyms1": "libxcb-keysyms.so.1",
    "libxcb-randr0": "libxcb-randr.so.0",
    "libxcb-render-util0": "libxcb-render-util.so.0",
    "libxcb-shape0": "libxcb-shape.so.0",
    "libxcb-sync1": "libxcb-sync.so.1",
    "libxcb-xfixes0": "libxcb-xfixes.so.0",
    "libxcb-xkb1": "libxcb-xkb.so.1",
}
_FOR_WAYLAND = {"libwayland-cursor0": "libwayland-cursor.so.0", "libwayland-egl1": "libwayland-egl.so.1"}


def missing(*, x11: bool, wayland: bool) -> list[str]:
    """Debian's names of the packages with libraries that cannot be loaded here."""
    needed = {**_NEEDED, **(_FOR_X11 if x11 else {}), **(_FOR_WAYLAND if wayland else {})}
    return [package for package, library in needed.items() if not _loads(library)]


def _loads(library: str) -> bool:
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True
