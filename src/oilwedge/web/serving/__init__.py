"""The server of the bench: its authority, its addresses, its sockets. No Django in here."""
