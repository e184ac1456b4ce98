"""Settings for all tests."""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("by-hand", deadline=None)
# CI must give the same verdict on the same commit: new examples are looked for by hand
settings.register_profile("ci", deadline=None, derandomize=True, print_blob=True)
settings.load_profile("ci" if os.environ.get("CI") else "by-hand")
