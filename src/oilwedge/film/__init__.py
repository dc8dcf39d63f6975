"""The oil film of a journal bearing: oil, pressure, loads of a crank train, the journal's path."""
