"""How the table of this app came to be."""
