"""What every test runs under: no screen, no house file, no files of the user."""

import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import pytest


@pytest.fixture(scope="session", autouse=True)
def _one_application(qapp):
    """The application with windows stands before any sheet is painted, in whatever order."""
    return qapp


@pytest.fixture(autouse=True)
def _nothing_of_the_user(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch):
    """The house file is set empty; settings and recovery copies go to a folder of their own."""
    home = tmp_path_factory.mktemp("home")
    monkeypatch.setenv("FIXPLAN_HOUSE", "")
    for name in ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME"):
        monkeypatch.setenv(name, str(home / name.lower()))
