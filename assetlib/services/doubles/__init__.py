"""The same drawing twice: finding pairs, settling them, making one entry of two.

Decided pairs stay decided.
"""
