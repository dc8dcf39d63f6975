"""People: accounts, roles, what each may do, and how they come in."""
