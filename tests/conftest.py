"""Property tests draw the same cases in every run; `SETWRIGHT_RANDOM=1` draws new ones."""

from __future__ import annotations

import os

from hypothesis import settings

# A busy machine is no fault of what is tested, so no case has a deadline.
settings.register_profile("fixed", derandomize=True, deadline=None)
if not os.environ.get("SETWRIGHT_RANDOM"):
    settings.load_profile("fixed")
