"""The mirror guard among the facets: it is said of a version as drawn, every other facet of an entry.

Kept apart from the mapped classes, because a search asks for facets in plain SQL.
"""

from __future__ import annotations

MIRROR = "mirror"
DO_NOT_MIRROR = "do not mirror"
"""The facet, and the one value it has."""

FACETS = f"""(SELECT id, entry_id, facet, value, source, state, 0 AS to_confirm FROM facets
    UNION ALL SELECT g.id, e.id, '{MIRROR}', '{DO_NOT_MIRROR}', g.source, g.state, g.to_confirm
    FROM mirror_guards g JOIN entries e ON e.current_version_id = g.version_id)"""
"""Every facet of every entry, the guard as it stands on the current version."""

OFFERED = """(SELECT id, entry_id, facet, value, recipe AS source, state, 0 AS to_confirm FROM suggestions
    WHERE state = 'offered' AND facet NOT IN ('tag', 'title'))"""
"""Facets that are only offered: told from a picture or a file, and neither taken nor left."""

FACETS_OR_OFFERED = f"(SELECT * FROM {FACETS} UNION ALL SELECT * FROM {OFFERED})"
"""Both, for a list that shows what is known of a drawing, and for filters by which undescribed ones are found."""
