"""Where the book's files lie; the published tables under `data/`, read once."""

from __future__ import annotations

import sys
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pandas as pd


PACKAGE = Path(__file__).parent


def folder() -> Path:
    """Return the path of the data folder, in the checkout or in an installed copy.

    Examples
    --------
    >>> (folder() / "SOURCES.csv").exists()
    True
    """
    return PACKAGE / "_data" if installed() else PACKAGE.parent / "data"


def lessons() -> Path:
    """Return the path of the book's own lessons, in the checkout or in an installed copy.

    Examples
    --------
    >>> (lessons() / "00-start-here.ipynb").exists()
    True
    """
    return PACKAGE / "_lessons" if installed() else PACKAGE.parent / "lessons"


def installed() -> bool:
    """Return True for an installed copy, which has data and lessons inside the package.

    Examples
    --------
    >>> installed() == ("_data" in str(folder()))
    True
    """
    return (PACKAGE / "_data").is_dir()


def forget() -> None:
    """Forget what the package's functions remember of their last calls: what a name stands for has changed.

    The tables themselves stay as they are.

    Examples
    --------
    >>> forget()
    """
    for name, module in [*sys.modules.items()]:
        if name.split(".")[0] == "woodcalc" and module is not sys.modules[__name__]:
            for each in [*vars(module).values()]:
                if callable(clear := getattr(each, "cache_clear", None)) and each is not read:
                    clear()


@cache
def read(name: str) -> pd.DataFrame:
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
