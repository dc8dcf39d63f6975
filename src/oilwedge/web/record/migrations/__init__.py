"""The steps that make and change the tables of the record."""
