"""The page in a picture, before all else: where it lies, how it is flattened and lit, what is printed on it.

Comes before cutting and cleaning, and knows neither.
"""

from assetlib.imaging.pages.finding import Page, find_page
from assetlib.imaging.pages.flattening import flatten

__all__ = ["Page", "find_page", "flatten"]
