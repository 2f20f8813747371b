"""Doubles: fingerprints, candidates, and the verdict on two drawings with what was done to the one.

Knows nothing of cutting or clean copies.
"""
