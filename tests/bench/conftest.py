"""The browser fixtures serve the benchmarks too."""

from labtools import browser_fixture, lab_fixture  # noqa: F401
