"""The record of a shop in a database: jobs whose entries are added and never changed."""
