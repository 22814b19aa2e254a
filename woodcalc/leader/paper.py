"""Pages for letter paper: worksheets with their key and handouts, as HTML, and as PDF where a browser can print one."""

from __future__ import annotations

import os
import shutil
import subprocess
import tempfile
from pathlib import Path

_BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome", "msedge")


def write(path: str | Path, text: str) -> list[Path]:
    """Write a page, and its PDF beside it if a browser that prints is installed.

    Parameters
    ----------
    path : str or Path
        Ends in ``.html``.
    text : str

    Returns
    -------
    list of Path
        What was written: the HTML, and the PDF where there is one.
    """
    path = Path(path)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    browser = next(filter(None, map(shutil.which, _BROWSERS)), None)
    if not browser:
        return [path]
    pdf = path.with_suffix(".pdf")
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        command = [
            browser,
            "--headless",
            "--disable-gpu",
            "--no-first-run",
            "--disable-background-networking",
        ]
        if hasattr(os, "geteuid") and os.geteuid() == 0:
            command.append("--no-sandbox")  # the browser refuses to start for root otherwise
        command += [f"--user-data-dir={profile}", "--no-pdf-header-footer", f"--print-to-pdf={pdf}"]
        done = subprocess.run([*command, path.absolute().as_uri()], capture_output=True, timeout=120)
    return [path, pdf] if done.returncode == 0 and pdf.exists() else [path]
