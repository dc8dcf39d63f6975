"""What an engine is: layout, features, fits, limits, and the file that a person writes."""
