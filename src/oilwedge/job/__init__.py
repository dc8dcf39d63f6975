"""One engine on one bench: readings and events as frozen values, their record and its file."""
