"""The version of the package, and of the forms that it writes."""

__version__ = "0.3.0"

SCHEMA_VERSION = "3.1.0"
"""Version of the forms under `schema/`: of the published documents and tables, of a sheet and of a result."""
