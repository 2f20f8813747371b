"""Keeping a library whole: starting, undo, check, backup and restore, upkeep, the demo.

Nothing said is ever lost silently.
"""
