"""Is there a screen? Asked before Qt starts, because Qt itself aborts where there is none.

Loads the system libraries that Qt needs and tries the connection through ctypes; imports no Qt.
"""

import ctypes
import os
import sys
from collections.abc import Callable, Mapping
from pathlib import Path

Loader = Callable[[str], object]

DRAWING_LIBRARIES = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libfontconfig.so.1": "libfontconfig1",
    "libfreetype.so.6": "libfreetype6",
    "libdbus-1.so.3": "libdbus-1-3",
    "libglib-2.0.so.0": "libglib2.0-0",
}
WINDOW_LIBRARIES = {
    "libxcb.so.1": "libxcb1",
    "libX11.so.6": "libx11-6",
    "libX11-xcb.so.1": "libx11-xcb1",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-render.so.0": "libxcb-render0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-shm.so.0": "libxcb-shm0",
    "libxcb-sync.so.1": "libxcb-sync1",
    "libxcb-util.so.1": "libxcb-util1",
    "libxcb-xfixes.so.0": "libxcb-xfixes0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
}
WAYLAND_LIBRARIES = {
    "libwayland-client.so.0": "libwayland-client0",
    "libwayland-cursor.so.0": "libwayland-cursor0",
    "libwayland-egl.so.1": "libwayland-egl1",
}
SCREENLESS = ("offscreen", "minimal", "minimalegl", "vnc", "linuxfb", "eglfs", "vkkhrdisplay")


def drawing_problem(load: Loader = ctypes.CDLL) -> str | None:
    """Why nothing can be drawn at all, not even into a file; None when it can.

    The sentence names the Debian packages to install.
    """
    if sys.platform != "linux":
        return None
    return _missing_sentence(_missing(DRAWING_LIBRARIES, load), "nothing can be drawn")


def display_problem(
    environment: Mapping[str, str] | None = None,
    load: Loader = ctypes.CDLL,
    connect: Callable[[], bool] | None = None,
) -> str | None:
    """Why no window can open, in one sentence that names the Debian packages; None when one can.

    `environment`, `load` and `connect` stand for the process's own in tests.
    """
    if sys.platform != "linux":
        return None
    known = os.environ if environment is None else environment
    problem = drawing_problem(load)
    if problem is not None:
        return problem
    asked = known.get("QT_QPA_PLATFORM", "").split(";")[0].split(":")[0]
    if asked in SCREENLESS:
        return None
    return _window_problem(asked, known, load, connect or _connects)


def _window_problem(
    asked: str, known: Mapping[str, str], load: Loader, connect: Callable[[], bool]
) -> str | None:
    """The first way that opens a window wins; else the X11 way's problem is told."""
    has_wayland = _wayland_socket(known) is not None
    if asked != "xcb" and has_wayland and not _missing(WAYLAND_LIBRARIES, load):
        return None
    if asked.startswith("wayland"):
        return _wayland_problem(has_wayland, load)
    return _x11_problem(known, load, connect)


def _x11_problem(known: Mapping[str, str], load: Loader, connect: Callable[[], bool]) -> str | None:
    if not known.get("DISPLAY"):
        return (
            "There is no display to open the window on: DISPLAY is not set. "
            "Start fixplan from a desktop session."
        )
    problem = _missing_sentence(_missing(WINDOW_LIBRARIES, load), "the window cannot open")
    if problem is not None:
        return problem
    if not connect():
        return (
            f"The display {known['DISPLAY']} does not answer, so the window cannot open. "
            "Start fixplan from a desktop session."
        )
    return None


def _wayland_problem(has_socket: bool, load: Loader) -> str | None:
    if not has_socket:
        return (
            "There is no display to open the window on: no Wayland socket was found. "
            "Start fixplan from a desktop session."
        )
    return _missing_sentence(_missing(WAYLAND_LIBRARIES, load), "the window cannot open")


def _missing(libraries: Mapping[str, str], load: Loader) -> list[str]:
    """Debian packages of the libraries that cannot be loaded."""
    return [package for name, package in libraries.items() if not _loads(name, load)]


def _loads(name: str, load: Loader) -> bool:
    try:
        load(name)
    except OSError:
        return False
    return True


def _missing_sentence(packages: list[str], consequence: str) -> str | None:
    if not packages:
        return None
    noun = "a system library is" if len(packages) == 1 else "system libraries are"
    return (
        f"{noun.capitalize()} missing, so {consequence}: "
        f"install {', '.join(packages)} (Debian: apt install {' '.join(packages)})."
    )


def _wayland_socket(known: Mapping[str, str]) -> Path | None:
    """The Wayland socket that Qt would use, if it is there."""
    name = known.get("WAYLAND_DISPLAY") or (
        "wayland-0" if known.get("XDG_SESSION_TYPE") == "wayland" else ""
    )
    if not name:
        return None
    socket = Path(known.get("XDG_RUNTIME_DIR", "")) / name
    return socket if socket.is_socket() else None


def _connects() -> bool:
    """Whether an X11 server answers at DISPLAY."""
    xcb = ctypes.CDLL("libxcb.so.1")
    xcb.xcb_connect.restype = ctypes.c_void_p
    xcb.xcb_connect.argtypes = [ctypes.c_char_p, ctypes.POINTER(ctypes.c_int)]
    xcb.xcb_connection_has_error.argtypes = [ctypes.c_void_p]
    xcb.xcb_disconnect.argtypes = [ctypes.c_void_p]
    connection = xcb.xcb_connect(None, None)
    answers = bool(xcb.xcb_connection_has_error(connection) == 0)
    xcb.xcb_disconnect(connection)
    return answers
