"""The published tables under `data/`, read once."""

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
    installed = _PACKAGE / "_data"
    return installed if installed.is_dir() else _PACKAGE.parent / "data"


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
