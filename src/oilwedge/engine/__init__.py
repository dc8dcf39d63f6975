"""What an engine is: its layout, features, fits, limits, and the engine file that a person writes."""
