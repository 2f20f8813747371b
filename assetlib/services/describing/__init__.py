"""Putting words on drawings after a job: titles, tags, facts of the shot, the vocabulary they come from.

What the artist says stands above what was read.
"""
