"""What every test shares: Hypothesis draws the same examples in every run.

HYPOTHESIS_PROFILE=explore looks for new ones.
"""

import os

from hypothesis import settings

settings.register_profile("ci", derandomize=True, deadline=None)
settings.register_profile("explore", deadline=None, max_examples=2000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "ci"))
