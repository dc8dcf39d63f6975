"""oilwedge: readings from the bench in, a verdict on every running fit of an engine out.

Importing the package costs nothing; each room is imported by whoever needs it.
"""

__version__ = "0.1.0"
