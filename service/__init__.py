"""boardfit: which board goes into which unit, what must be programmed, and what it can do then."""

__version__ = "0.4.0"
"""The release that runs; pyproject.toml states the same, and a test holds the two together."""
