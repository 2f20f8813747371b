"""Selling: origin, clearance, collections, bundles.

What was issued is a record: it is never undone.
"""
