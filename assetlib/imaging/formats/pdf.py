"""PDF pages, rendered by PDFium; a page that is one scan comes at the scan's own resolution."""

from __future__ import annotations

import pypdfium2 as pdfium
from PIL import Image

from assetlib.errors import BadPicture
from assetlib.imaging.formats.interface import Ask, DeepPixels, Facts, Kind, Source, check_size, tell_ending
from assetlib.imaging.formats.raster import damage
from assetlib.imaging.metadata import EmbeddedWords

USUAL_DPI = 300.0  # common practice for print, no source
POINTS = 72.0  # to an inch, ISO 32000-1, 8.3.2.3
MOST_PAGES = 2000
WHOLE_PAGE = 0.9  # share of the page that a scan covers at least
_IMAGE = 3  # FPDF_PAGEOBJ_IMAGE


def open_reading(source: Source, kind: Kind) -> PdfReading:
    """The file, opened. Raises BadPicture for one that is locked."""
    return PdfReading(source, kind)


class PdfReading:
    """A PDF document, read page by page."""

    def __init__(self, source: Source, kind: Kind) -> None:
        self.source = source
        self.kind = kind
        try:
            self.document = pdfium.PdfDocument(source.read())
        except pdfium.PdfiumError as error:
            if "password" in str(error).lower():
                raise BadPicture("it is locked with a password", "Save a copy without one.") from None
            raise BadPicture("damaged: it cannot be opened as PDF", "Save or copy it again.") from None
        with damage():
            self.pages = len(self.document)
        if not 0 < self.pages <= MOST_PAGES:
            raise BadPicture(f"it has {self.pages} pages; up to {MOST_PAGES} are read", "Save it in parts.")

    def facts(self) -> Facts:
        """What the file is; size and resolution are those of the first page."""
        dpi = self._resolution(0)
        return Facts(
            format=self.kind.name,
            media_type=self.kind.media_type,
            size=self._pixels(0, dpi),
            pages=self.pages,
            mode="RGB",
            resolution=(dpi, dpi),
            note=tell_ending(self.source.path, self.kind),
            words=self._words(),
        )

    def image(self, ask: Ask) -> Image.Image:
        """The page at the wanted resolution, RGB on white."""
        if ask.layer is not None:
            raise BadPicture("it has no layers")
        dpi = ask.resolution or self._resolution(ask.page)
        if ask.max_side:
            dpi = min(dpi, dpi * ask.max_side / max(self._pixels(ask.page, dpi)))
        width, height = self._pixels(ask.page, dpi)
        check_size(width, height)
        with damage():
            rendered: Image.Image = self._page(ask.page).render(scale=dpi / POINTS).to_pil().convert("RGB")
            return rendered if rendered.size == (width, height) else rendered.resize((width, height))

    def deep(self, page: int) -> DeepPixels | None:
        """None: pages are rendered at 8 bits."""
        return None

    def _page(self, number: int) -> pdfium.PdfPage:
        if not 0 <= number < self.pages:
            raise BadPicture(f"it has {self.pages} pages, not {number + 1}")
        with damage():
            return self.document[number]

    def _pixels(self, number: int, dpi: float) -> tuple[int, int]:
        with damage():
            width, height = self._page(number).get_size()
        return max(1, round(width * dpi / POINTS)), max(1, round(height * dpi / POINTS))

    def _resolution(self, number: int) -> float:
        """That of a scan that fills the page, else the usual one, less for posters."""
        with damage():
            page = self._page(number)
            width, height = page.get_size()
            found = list(page.get_objects(max_depth=3))
            images = [item for item in found if item.type == _IMAGE]
            if len(images) == 1 and len(found) == 1:
                left, bottom, right, top = images[0].get_bounds()
                if (right - left) * (top - bottom) >= WHOLE_PAGE * width * height:
                    pixels = images[0].get_px_size()
                    across = pixels if (pixels[0] > pixels[1]) == (width > height) else pixels[::-1]
                    return float(round(across[0] / (right - left) * POINTS, 3))
        longest = float(max(width, height)) / POINTS
        return USUAL_DPI if longest * USUAL_DPI <= 10_000 else round(10_000 / longest, 3)

    def _words(self) -> EmbeddedWords:
        with damage():
            found = self.document.get_metadata_dict(skip_empty=True)
        keywords = tuple(
            word.strip() for word in found.get("Keywords", "").replace(";", ",").split(",") if word.strip()
        )
        return EmbeddedWords(
            found.get("Title", ""), found.get("Subject", ""), keywords, found.get("Author", "")
        )
