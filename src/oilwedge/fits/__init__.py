"""Fits: what two sizes leave between them, which limits hold, and what can be said of it."""
