"""Shot lists as they come: which of their lines are shots, and what of each has to be drawn.

Text and cells in, shots out; reading files is done elsewhere.
"""
