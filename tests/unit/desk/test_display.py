"""Is there a screen? Every answer a user can meet, without starting Qt."""

import ctypes
import os
import socket
import subprocess
import sys

import pytest

from fixplan.desk import display


def load_all_but(*missing):
    def load(name):
        if name in missing:
            raise OSError(f"{name}: cannot open shared object file")
        return object()

    return load


X11 = {"DISPLAY": ":5"}


def test_a_screen_that_answers_is_no_problem():
    assert display.display_problem(X11, load_all_but(), lambda: True) is None


def test_without_display_says_so():
    said = display.display_problem({}, load_all_but(), lambda: True)
    assert said is not None
    assert "DISPLAY is not set" in said


def test_a_dead_display_is_named():
    said = display.display_problem(X11, load_all_but(), lambda: False)
    assert said is not None
    assert ":5 does not answer" in said


def test_a_missing_library_names_its_package():
    said = display.display_problem(X11, load_all_but("libxcb-cursor.so.0"), lambda: True)
    assert said is not None
    assert "install libxcb-cursor0" in said
    assert said.startswith("A system library is missing")


def test_several_missing_libraries_are_all_named():
    load = load_all_but("libxcb-cursor.so.0", "libxcb-util.so.1")
    said = display.display_problem(X11, load, lambda: True)
    assert said is not None
    assert "libxcb-cursor0, libxcb-util1" in said
    assert said.startswith("System libraries are missing")


def test_offscreen_needs_only_the_drawing_libraries():
    load = load_all_but("libxcb-cursor.so.0")
    assert display.display_problem({"QT_QPA_PLATFORM": "offscreen"}, load) is None


def test_a_missing_drawing_library_stops_even_offscreen():
    load = load_all_but("libEGL.so.1")
    said = display.display_problem({"QT_QPA_PLATFORM": "offscreen"}, load)
    assert said is not None
    assert "nothing can be drawn" in said
    assert "libegl1" in said
    assert display.drawing_problem(load) == said


@pytest.fixture
def wayland(tmp_path):
    with socket.socket(socket.AF_UNIX) as server:
        server.bind(str(tmp_path / "wayland-0"))
        yield {"XDG_RUNTIME_DIR": str(tmp_path), "WAYLAND_DISPLAY": "wayland-0"}


def test_a_wayland_socket_is_enough(wayland):
    assert display.display_problem(wayland, load_all_but()) is None


def test_wayland_without_its_library_falls_back_to_x11(wayland):
    load = load_all_but("libwayland-cursor.so.0")
    assert display.display_problem(wayland | X11, load, lambda: True) is None
    said = display.display_problem(wayland, load, lambda: True)
    assert said is not None


def test_wayland_asked_for_but_absent(tmp_path):
    known = {"QT_QPA_PLATFORM": "wayland", "XDG_RUNTIME_DIR": str(tmp_path), **X11}
    said = display.display_problem(known, load_all_but(), lambda: True)
    assert said is not None
    assert "no Wayland socket" in said


def test_wayland_asked_for_names_its_packages(wayland):
    known = wayland | {"QT_QPA_PLATFORM": "wayland"}
    said = display.display_problem(known, load_all_but("libwayland-egl.so.1"))
    assert said is not None
    assert "libwayland-egl1" in said


def test_a_socket_name_without_a_socket_does_not_count(tmp_path):
    known = {"XDG_RUNTIME_DIR": str(tmp_path), "XDG_SESSION_TYPE": "wayland"}
    assert display.display_problem(known, load_all_but()) is not None


@pytest.mark.skipif(sys.platform != "linux", reason="X11 only")
def test_a_real_dead_display_is_found_out_without_an_abort():
    try:
        ctypes.CDLL("libxcb.so.1")
    except OSError:
        pytest.skip("libxcb is not installed here")
    code = "from fixplan.desk.display import _connects; print(_connects())"
    environment = os.environ | {"DISPLAY": ":98765"}
    answer = subprocess.run(
        [sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=True
    )
    assert answer.stdout.strip() == "False"


def test_asking_imports_no_qt():
    code = (
        "import sys; from fixplan.desk import display; display.display_problem();"
        "print(any(name.startswith('PySide6') for name in sys.modules))"
    )
    answer = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    )
    assert answer.stdout.strip() == "False"
