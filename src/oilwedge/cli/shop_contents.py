"""What a shop holds when it is opened."""

from enum import Enum


class Contents(Enum):
    """What is in the shop when it opens."""

    OWN = "what is in its folder"
    DEMO = "the invented engines of the demo"
