"""Clean copies: ink off its paper, the body under the line, openings, blemishes.

Knows nothing of cutting or doubles.
"""
