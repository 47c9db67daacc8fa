"""Settings that all tests share: the same examples on every run, and no clock on any of them."""

import os
import tempfile

from hypothesis import settings

# What commands keep between two calls is not kept in the state folder of whoever runs the tests.
os.environ["XDG_STATE_HOME"] = tempfile.mkdtemp(prefix="besom-tests-")
# Nor is anything recorded in the name of whoever runs them.
os.environ.pop("BESOM_ME", None)

# `pytest --hypothesis-profile=search` looks further, at other examples each time.
settings.register_profile("steady", deadline=None, derandomize=True, max_examples=100)
settings.register_profile("search", deadline=None, max_examples=2000)
settings.load_profile("steady")
