"""boardfit: which board goes into which unit, what must be programmed, and what it can do then."""

from importlib.metadata import version

__version__ = version("boardfit")
"""The release that runs, as pyproject.toml states it."""
