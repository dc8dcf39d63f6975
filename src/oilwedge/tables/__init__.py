"""Cited constants: one module and one data file a table."""
