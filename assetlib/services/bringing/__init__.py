"""Bringing drawings in: intake of files, cutting sheets, layers, clean copies.

Each use case owns its transaction.
"""
