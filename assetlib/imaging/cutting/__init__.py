"""A page into drawings: its parts, frames, captions and groups, their boxes and masks.

Knows nothing of clean copies or doubles.
"""
