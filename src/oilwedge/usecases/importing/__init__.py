"""Take readings from tables and job files: all or nothing, or the good rows only."""

from oilwedge.usecases.importing.imported import BadRow, BadRows, Imported
from oilwedge.usecases.importing.into_job import ImportReport, import_into_job
from oilwedge.usecases.importing.read import read_table

__all__ = ["BadRow", "BadRows", "ImportReport", "Imported", "import_into_job", "read_table"]
