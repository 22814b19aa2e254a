"""One JupyterLab and one browser for all browser tests."""

from labtools import browser_fixture, lab_fixture  # noqa: F401
