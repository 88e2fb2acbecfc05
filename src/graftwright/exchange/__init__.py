"""What other programs take and give: tables, map files, address cards, passport files."""

from graftwright.exchange.csv_files import csv_archive, csv_bytes
from graftwright.exchange.entry_rows import entry_table
from graftwright.exchange.guarded import guarded, unguarded
from graftwright.exchange.maps import gpx_of_geojson, mother_trees_geojson, mother_trees_gpx
from graftwright.exchange.offer_file import (
    MOST_OFFER_BYTES,
    OFFER_VERSION,
    offer_bytes,
    offer_from_bytes,
)
from graftwright.exchange.passport import MCPD_FIELDS, Holder, passport_csv, passport_rows
from graftwright.exchange.people import people_vcards
from graftwright.exchange.read_back import ReadBack, entries_back, read_back
from graftwright.exchange.table import Cell, Table
from graftwright.exchange.tables import notebook_tables, standing_tables
from graftwright.exchange.workbook import workbook_bytes

__all__ = [
    "MCPD_FIELDS",
    "MOST_OFFER_BYTES",
    "OFFER_VERSION",
    "Cell",
    "Holder",
    "ReadBack",
    "Table",
    "csv_archive",
    "csv_bytes",
    "entries_back",
    "entry_table",
    "gpx_of_geojson",
    "guarded",
    "mother_trees_geojson",
    "mother_trees_gpx",
    "notebook_tables",
    "offer_bytes",
    "offer_from_bytes",
    "passport_csv",
    "passport_rows",
    "people_vcards",
    "read_back",
    "standing_tables",
    "unguarded",
    "workbook_bytes",
]
