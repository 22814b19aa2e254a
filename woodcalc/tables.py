"""Where the book's files lie; the published tables under `data/`, read once."""

from functools import cache
from pathlib import Path

_PACKAGE = Path(__file__).parent


def folder():
    """Return the path of the data folder, in the checkout or in an installed copy.

    Examples
    --------
    >>> (folder() / "SOURCES.csv").exists()
    True
    """
    return _PACKAGE / "_data" if installed() else _PACKAGE.parent / "data"


def lessons():
    """Return the path of the book's own lessons, in the checkout or in an installed copy.

    Examples
    --------
    >>> (lessons() / "00-start-here.ipynb").exists()
    True
    """
    return _PACKAGE / "_lessons" if installed() else _PACKAGE.parent / "lessons"


def installed():
    """Return True for an installed copy, which has data and lessons inside the package.

    Examples
    --------
    >>> installed() == ("_data" in str(folder()))
    True
    """
    return (_PACKAGE / "_data").is_dir()


@cache
def read(name):
    """Return the table `data/<name>.csv` as a DataFrame; treat it as read-only, it is shared.

    Parameters
    ----------
    name : str
        File name without ``.csv``.

    Examples
    --------
    >>> "source" in read("SOURCES").columns
    True
    """
    import pandas as pd

    return pd.read_csv(folder() / f"{name}.csv", comment="#", dtype={"station_id": str})
