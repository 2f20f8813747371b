"""assetlib: a board artist's library of drawings."""

__version__ = "0.1.0"
