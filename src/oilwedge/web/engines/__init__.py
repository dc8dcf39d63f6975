"""Engine files: upload, edit with errors at the line, compare, begin a new one."""
