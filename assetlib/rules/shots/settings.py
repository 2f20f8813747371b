"""`FACET=VALUE` as it is typed after an option."""

from __future__ import annotations

from collections.abc import Iterable

from assetlib.errors import WrongUsage
from assetlib.rules.shots import grammar


def read_settings(settings: Iterable[str]) -> list[tuple[str, str | None]]:
    """`FACET=VALUE` texts as facet and canonical value, the value None for `FACET=`.

    Raises WrongUsage naming what is allowed.
    """
    found: list[tuple[str, str | None]] = []
    for setting in settings:
        name, equals, value = setting.partition("=")
        facet = name.strip().lower().replace(" ", "_").replace("-", "_")
        if not equals or facet not in grammar.FACETS:
            raise WrongUsage(
                f"'{setting}' does not say what a drawing shows",
                f"write it like pose=seated, with one of: {', '.join(sorted(grammar.FACETS))}",
            )
        found.append((facet, grammar.parse_option(facet, value.strip()) if value.strip() else None))
    return found
