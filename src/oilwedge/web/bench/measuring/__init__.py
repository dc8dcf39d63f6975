"""Measuring at the bench: one big field at a time, kept in the browser when the line is cut."""
