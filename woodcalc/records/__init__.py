"""The learner's own wood: tables that are read row by row, checked, and written so that nothing is lost."""

from woodcalc.disk import ChangedError, SaveError
from woodcalc.records.choices import KETTLE_HOLLOW
from woodcalc.records.columns import TABLES, Column, Problem, RecordsError
from woodcalc.records.files import (
    append,
    as_written,
    correct,
    folder,
    links,
    mend,
    problems_in,
    read,
    read_folder,
    schema,
    text,
    write,
)
from woodcalc.records.usable import OwnTables, read_usable
from woodcalc.weighings import mc_readings

__all__ = [
    "ChangedError",
    "Column",
    "KETTLE_HOLLOW",
    "OwnTables",
    "Problem",
    "RecordsError",
    "SaveError",
    "TABLES",
    "append",
    "as_written",
    "correct",
    "folder",
    "links",
    "mc_readings",
    "mend",
    "problems_in",
    "read",
    "read_folder",
    "read_usable",
    "schema",
    "text",
    "write",
]
