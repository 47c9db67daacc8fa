"""Settings that all tests share: the same examples on every run, and no clock on any of them."""

from hypothesis import settings

# `pytest --hypothesis-profile=search` looks further, at other examples each time.
settings.register_profile("steady", deadline=None, derandomize=True, max_examples=100)
settings.register_profile("search", deadline=None, max_examples=2000)
settings.load_profile("steady")
