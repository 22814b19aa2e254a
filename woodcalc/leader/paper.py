"""Pages for letter paper: worksheets with their key and handouts, as HTML, and as PDF where a browser can print one."""

import os
import re
import shutil
import subprocess
import tempfile
from pathlib import Path

from jinja2 import Environment, PackageLoader, StrictUndefined

_BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome", "msedge")

_pages = Environment(
    loader=PackageLoader("woodcalc.leader", "pages"),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
)
_NUMBER_AND_UNIT = re.compile(r"(?<=\d) (?=(?:%|in|ft|ft2|ft3|lb|bf|F|C|oz|g)(?![a-z]))")


def tied(text):
    """Return a text whose numbers keep their unit on the same line.

    Examples
    --------
    >>> tied("8 ft at 65 % in all").split(" ")
    ['8\\xa0ft', 'at', '65\\xa0%', 'in', 'all']
    """
    return _NUMBER_AND_UNIT.sub("\u00a0", text)


_pages.filters["tied"] = tied


def page(template, **values):
    """Return the HTML text of a page.

    Parameters
    ----------
    template : str
        File in `woodcalc/lesson/pages`.
    **values
        What the template asks for.
    """
    return _pages.get_template(template).render(**values)


def write(path, text):
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
